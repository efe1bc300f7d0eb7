"""The whole answer: every scenario pulled and drawn, the tendon pressed on the bone, the verdict said."""

import hashlib
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from cuffwright import __version__
from cuffwright.case.contact import Contact
from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.hold import HoldResult, ScenarioHold
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Caution
from cuffwright.case.reach import USUAL, Approach
from cuffwright.course.body import in_the_body
from cuffwright.course.comparing import titled
from cuffwright.course.contact import contact_of, picture, press
from cuffwright.course.doubt import Doubt, doubted_area, widened_scenario
from cuffwright.course.prepared import Prepared
from cuffwright.course.pulling import Pulled, estimated, ramp_scenario, settled
from cuffwright.course.reaching import REACH_CODES, told_reach
from cuffwright.course.rules import check_layout
from cuffwright.course.verdict import verdict_parts
from cuffwright.course.width import area_spread
from cuffwright.mechanics.scatter import CHUNK, SHARE, Draws, draw
from cuffwright.mechanics.weave import Woven

THREADS = 2
"""Numerical choice: draws run in this many threads; the result does not depend on it."""

DRAWS = 500
"""Numerical choice: draws per scenario of a settled answer, of which there are three before theatre."""

CONTESTED = 100
"""Numerical choice: draws for the mean with the contested bridging factor, which is shown without an interval."""

QUICK = 100
"""Numerical choice: draws of a first look, made when nothing settled is known yet."""

Progress = Callable[[int, int], None]
Cancelled = Callable[[], bool]


FirstLook = Callable[[ScenarioHold], None]


class StoppedError(Exception):
    """The answer was cancelled before it settled; nothing was kept."""


@dataclass(frozen=True)
class Asked:
    """What an answer was asked with, and what the rules said of it."""

    rules: tuple[Caution, ...]
    draws: int
    seed: int
    approach: Approach


def settle(
    prepared: Prepared,
    layout: Layout,
    *,
    draws: int = DRAWS,
    seed: int = 1,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
    first: FirstLook | None = None,
    threads: int = THREADS,
    approach: Approach = USUAL,
) -> HoldResult:
    """Draw every scenario ``draws`` times and put the answer together.

    ``first`` is told an early look at the middle scenario; the rules of reach look from ``approach``.

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
    rules = _ruled(prepared, layout, approach, facts)
    stated, doubt = facts.number("rule.load.stated"), Doubt.from_facts(facts)
    pulled = [ramp_scenario(prepared, layout, scenario) for scenario in prepared.scenarios]
    if first is not None:
        middle = pulled[prepared.middle]
        early = _drawn(prepared, middle.woven, QUICK, (seed, stated, threads), cancelled)
        first(widened_scenario(settled(middle, early, None, stated), doubt))
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
        answers.append(widened_scenario(settled(one, drawn, contested, stated), doubt))
        done += draws
    body = in_the_body(prepared, layout, pulled[prepared.middle], facts, seed)
    told = Asked(rules, draws, seed, approach)
    found = replace(_assembled(prepared, layout, pulled, answers, told, facts), body=body)
    return doubted_area(found, doubt, SHARE, area_spread(prepared, layout, found.contact.area_share))


def glance(prepared: Prepared, layout: Layout, last: HoldResult | None, approach: Approach = USUAL) -> HoldResult:
    """A quick answer while something moves: runs without scatter, with the last settled spread moved along.

    What the last settled answer said of reach is kept, and the next one says it anew; but said anew at once when arm
    or portals no longer stand as they did.

    Raises
    ------
    CaseError, OutsideValidity
        As :func:`settle`.
    """
    fits = last is not None and len(last.scenarios) == len(prepared.scenarios)
    if last is None or not fits or last.layout.pattern != layout.pattern:
        last = settle(prepared, layout, draws=QUICK, approach=approach)
    facts = Citing(prepared.book)
    facts.number("rule.load.stated")
    doubt = Doubt.from_facts(facts)
    if last.approach == approach:
        known = tuple(caution for caution in last.cautions if caution.code in REACH_CODES)
        rules = (*check_layout(layout, prepared.strip, prepared.bed, facts, prepared.sheet), *known)
    else:
        rules = _ruled(prepared, layout, approach, facts)
    pulled = [ramp_scenario(prepared, layout, scenario, contested=False) for scenario in prepared.scenarios]
    answers = [estimated(one, before) for one, before in zip(pulled, last.scenarios, strict=True)]
    found = _assembled(prepared, layout, pulled, answers, Asked(rules, last.draws, last.seed, approach), facts)
    return doubted_area(found, doubt, SHARE, last.contact.area_sd)


def input_hash(prepared: Prepared, layout: Layout, draws: int, seed: int, approach: Approach = USUAL) -> str:
    """The name of exactly these inputs: sheet, layout, arm and portals, draws, seed, version and evidence edition."""
    told = repr((prepared.sheet, layout, approach, draws, seed, __version__, prepared.book.edition))
    return hashlib.sha256(told.encode()).hexdigest()


def _ruled(prepared: Prepared, layout: Layout, approach: Approach, facts: Citing) -> tuple[Caution, ...]:
    """What every rule says of these places, those of reach among them."""
    reached, unknown = told_reach(prepared, layout, approach)
    return (*check_layout(layout, prepared.strip, prepared.bed, facts, prepared.sheet, reached), *unknown)


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
    asked: Asked,
    facts: Citing,
) -> HoldResult:
    shown = pulled[prepared.middle]
    tied = press(prepared, layout, shown.ramp.tied)
    loaded, withheld = _loaded(prepared, layout, shown, facts.number("rule.load.stated"))
    limits = tuple({c.code + c.text: c for one in pulled for c in _limits(one)}.values())
    cautions = (*asked.rules, *limits, *withheld, *prepared.cautions)
    parts = verdict_parts(layout, titled(layout), answers, cautions, facts)
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
        draws=asked.draws,
        seed=asked.seed,
        version=__version__,
        edition=prepared.book.edition,
        input_hash=input_hash(prepared, layout, asked.draws, asked.seed, asked.approach),
        verdict_parts=parts,
        approach=asked.approach,
    )


def _limits(one: Pulled) -> list[Caution]:
    """What limits a scenario's ramp, with the scenario named."""
    told = f"With {one.scenario.tissue} tissue and {one.scenario.bone} bone"
    return [replace(c, text=f"{told}: {c.text}.") for c in one.cautions]


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
