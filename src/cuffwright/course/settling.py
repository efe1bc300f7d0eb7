"""The whole answer: every scenario pulled and drawn, the tendon pressed on the bone, the verdict said."""

import hashlib
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

from cuffwright import __version__
from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.hold import Contact, HoldResult, ScenarioHold
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Caution
from cuffwright.course.contact import contact_of, picture, press
from cuffwright.course.prepared import Prepared
from cuffwright.course.pulling import Pulled, estimated, ramp_scenario, settled
from cuffwright.course.rules import check_layout
from cuffwright.course.verdict import verdict_parts
from cuffwright.mechanics.scatter import CHUNK, Draws, draw
from cuffwright.mechanics.weave import Woven
from cuffwright.repair.patterns import pattern

THREADS = 2
"""Numerical choice: draws run in this many threads; the result does not depend on it."""

DRAWS = 1000
"""Numerical choice: draws per scenario of a settled answer."""

CONTESTED = 200
"""Numerical choice: draws for the mean with the contested bridging factor, which is shown without an interval."""

QUICK = 100
"""Numerical choice: draws of a first estimate, made when nothing settled is known yet."""

Progress = Callable[[int, int], None]
Cancelled = Callable[[], bool]


class StoppedError(Exception):
    """The answer was cancelled before it settled; nothing was kept."""


def settle(
    prepared: Prepared,
    layout: Layout,
    *,
    draws: int = DRAWS,
    seed: int = 1,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
    threads: int = THREADS,
) -> HoldResult:
    """Draw every scenario ``draws`` times and put the answer together.

    Raises
    ------
    CaseError
        When an anchor lies off the bone or a limb misses the tendon.
    OutsideValidity
        When the layout breaks a limit of the model.
    StoppedError
        When ``cancelled`` said so between two chunks.
    """
    facts = Citing(prepared.book)
    rules = check_layout(layout, prepared.strip, prepared.bed, facts, prepared.sheet)
    stated = facts.number("rule.load.stated")
    pulled = [ramp_scenario(prepared, layout, scenario) for scenario in prepared.scenarios]
    done = 0
    total = draws * len(pulled)
    answers: list[ScenarioHold] = []
    for one in pulled:

        def count(chunk: int, base: int = done) -> None:
            if progress is not None:
                progress(min(total, base + chunk * CHUNK), total)

        numbers = (seed, stated, threads)
        drawn = _drawn(prepared, one.woven, draws, numbers, cancelled, count)
        few = min(draws, CONTESTED)
        contested = _drawn(prepared, one.contested, few, numbers, cancelled) if one.contested else None
        answers.append(settled(one, drawn, contested, stated))
        done += draws
    return _assembled(prepared, layout, pulled, answers, rules, facts, draws, seed)


def glance(prepared: Prepared, layout: Layout, last: HoldResult | None) -> HoldResult:
    """A quick answer while something moves: runs without scatter, with the last settled spread moved along.

    Raises
    ------
    CaseError, OutsideValidity
        As :func:`settle`.
    """
    fits = last is not None and len(last.scenarios) == len(prepared.scenarios)
    if last is None or not fits or last.layout.pattern != layout.pattern:
        last = settle(prepared, layout, draws=QUICK)
    facts = Citing(prepared.book)
    facts.number("rule.load.stated")
    rules = check_layout(layout, prepared.strip, prepared.bed, facts, prepared.sheet)
    pulled = [ramp_scenario(prepared, layout, scenario) for scenario in prepared.scenarios]
    answers = [estimated(one, before) for one, before in zip(pulled, last.scenarios, strict=True)]
    return _assembled(prepared, layout, pulled, answers, rules, facts, last.draws, last.seed)


def input_hash(prepared: Prepared, layout: Layout, draws: int, seed: int) -> str:
    """The name of exactly these inputs: sheet, layout, draws, seed, version and evidence edition."""
    told = repr((prepared.sheet, layout, draws, seed, __version__, prepared.book.edition))
    return hashlib.sha256(told.encode()).hexdigest()


def _drawn(
    prepared: Prepared,
    woven: Woven,
    draws: int,
    numbers: tuple[int, float, int],
    cancelled: Cancelled | None,
    count: Callable[[int], None] | None = None,
) -> Draws:
    """Draw one threaded repair; ``numbers`` are seed, stated load (N) and threads."""
    seed, stated, threads = numbers

    def chunk(number: int) -> Draws | None:
        return draw(woven, prepared.spread, seed=seed, chunk=number, load=stated, cancelled=cancelled)

    chunks = range(-(-draws // CHUNK))
    parts: list[Draws] = []
    with ThreadPoolExecutor(threads) as pool:
        for number, part in enumerate(pool.map(chunk, chunks), 1):
            if part is None:
                raise StoppedError
            parts.append(part)
            if count is not None:
                count(number)
    return Draws.join(parts)


def _assembled(
    prepared: Prepared,
    layout: Layout,
    pulled: Sequence[Pulled],
    answers: Sequence[ScenarioHold],
    rules: tuple[Caution, ...],
    facts: Citing,
    draws: int,
    seed: int,
) -> HoldResult:
    shown = pulled[prepared.middle]
    tied = press(prepared, layout, dict(zip(shown.woven.limbs, shown.ramp.curve.tension[0].tolist(), strict=True)))
    loaded, withheld = _loaded(prepared, layout, shown, facts.number("rule.load.stated"))
    limits = tuple({c.code + c.text: c for one in pulled for c in one.cautions}.values())
    title = pattern(layout.pattern).title
    cautions = (*rules, *limits, *withheld, *prepared.cautions)
    parts = verdict_parts(layout, title, answers, cautions, facts)
    return HoldResult(
        case=prepared.sheet.identity.patient,
        side=prepared.sheet.identity.side,
        layout=layout,
        strip=prepared.strip,
        scenarios=tuple(answers),
        contact=contact_of(tied),
        contact_loaded=loaded,
        pressure=picture(layout.on(prepared.strip).front, tied),
        cautions=cautions,
        verdict="".join(words for words, _ in parts),
        inputs=prepared.inputs,
        missing=prepared.missing,
        facts=tuple(sorted({*prepared.facts, *facts.used})),
        draws=draws,
        seed=seed,
        version=__version__,
        edition=prepared.book.edition,
        input_hash=input_hash(prepared, layout, draws, seed),
        verdict_parts=parts,
    )


def _loaded(
    prepared: Prepared, layout: Layout, shown: Pulled, stated: float
) -> tuple[Contact | None, tuple[Caution, ...]]:
    """Contact under the stated load; None with a note where the load is not reached or the model must not answer."""
    shares = shown.ramp.shares(stated)
    if shares is None:
        words = f"Contact under {stated:g} N not computed: the repair does not reach that load."
        return None, (Caution("contact-load-not-reached", words, severity="note"),)
    try:
        return contact_of(press(prepared, layout, shares.limbs)), ()
    except OutsideValidity as limit:
        words = f"Contact under {stated:g} N withheld: {limit}."
        return None, (Caution("contact-load-withheld", words, severity="note", fact="limit.indentation"),)
