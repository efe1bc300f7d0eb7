"""The shape of a model or a published rate, and how it answers when something is missing."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from cuffwright.case.fact import Citing
from cuffwright.case.odds import Inside, OddsAnswer, Population
from cuffwright.healing.deciding import Domain, Given, completions, deciding
from cuffwright.healing.known import Known

Span = tuple[float, float]

NOT_HEALED = "not healed, or torn again, on imaging"
PARTIAL = "only a partial repair possible"
PLACES = 4
"""Numerical choice: decimals kept of a share; finer than any published rate."""


@dataclass(frozen=True)
class Found:
    """What a model says once all its inputs are given: a span of shares, or None where the source says nothing."""

    span: Span | None
    points: float | None = None


@dataclass(frozen=True)
class Membership:
    """Whether this patient lies in the studied population; what speaks against it, or what is needed to tell."""

    inside: Inside
    why: tuple[str, ...] = ()


@dataclass(frozen=True)
class Model:
    """One model: the inputs it cannot do without, those it can be run over, and how it answers.

    ``required`` inputs, and ``more`` of them in some patients, are never guessed; ``domain`` holds, for
    the others, the values that stand for all values.
    ``say`` adds words to the numbers; ``for_patients`` allows it on a patient's sheet where all its rows were read.
    """

    name: str
    title: str
    order: tuple[int, ...]
    outcome: str
    people: str
    imaging: str
    when: str
    key: str
    required: tuple[str, ...]
    domain: Callable[[Citing], Domain]
    work: Callable[[Given, Citing], Found]
    member: Callable[[Known, Citing], Membership]
    say: Callable[[OddsAnswer, Citing], str] = field(default=lambda answer, _: spoken(answer))
    cautions: tuple[str, ...] = ()
    for_patients: bool = True
    only_if: Callable[[Known], bool] = lambda _: True
    more: Callable[[Known], tuple[str, ...]] = lambda _: ()


def percent(share: float) -> str:
    """A share in percent, as a surgeon reads it."""
    return f"{share:.1%}".replace(".0%", "%")


def spoken(answer: OddsAnswer) -> str:
    """The range in words, or what is missing."""
    if answer.low is None or answer.high is None:
        lacks = ", ".join(answer.missing)
        return f"not computed, needs {lacks}" if lacks else "not computed: the source gives no rate here"
    if answer.low == answer.high:
        return f"{percent(answer.low)} {answer.outcome}"
    return f"between {percent(answer.low)} and {percent(answer.high)} {answer.outcome}"


def answer(model: Model, known: Known, facts: Citing) -> OddsAnswer:
    """What the model says of this shoulder; a missing input widens the range or stops it, never more."""
    citing = Citing(facts.book)
    population = _population(model, citing)
    missing = known.missing((*model.required, *model.more(known)))
    spans: list[Span] = []
    points: list[float] = []
    silent = False
    open_inputs: tuple[str, ...] = ()
    if not missing:
        domain = model.domain(citing)
        for given in completions(known, domain):
            found = model.work(given, citing)
            silent = silent or found.span is None
            spans += [found.span] if found.span else []
            points += [found.points] if found.points is not None else []
        open_inputs = deciding(known, domain, lambda given: model.work(given, citing))
    gone = silent or not spans
    member = model.member(known, citing)
    result = OddsAnswer(
        name=model.name,
        title=model.title,
        outcome=model.outcome,
        low=None if gone else round(min(low for low, _ in spans), PLACES),
        high=None if gone else round(max(high for _, high in spans), PLACES),
        points=(min(points), max(points)) if points else None,
        words="",
        population=population,
        inside=member.inside,
        why_outside=member.why,
        over_all_values_of=open_inputs,
        missing=missing or (open_inputs if gone else ()),
        facts=(),
        verified=True,
        for_patients=False,
        cautions=model.cautions,
    )
    return _told(result, model, citing, facts)


def _population(model: Model, citing: Citing) -> Population:
    source = citing.fact(model.key).source
    return Population(model.people, source.year or 0, model.imaging, model.when, source.source)


def _told(result: OddsAnswer, model: Model, citing: Citing, facts: Citing) -> OddsAnswer:
    words = model.say(result, citing)
    verified = all(row.verified for row in citing.used.values())
    facts.used.update(citing.used)
    return replace(
        result,
        words=words,
        facts=tuple(citing.used),
        verified=verified,
        for_patients=model.for_patients and verified and result.low is not None,
    )


def first_repair(
    known: Known, _facts: Citing, against: tuple[str, ...] = (), asked: tuple[str, ...] = ()
) -> Membership:
    """Whether this is a first repair, of any depth; ``against`` also speaks against it, ``asked`` must be known too."""
    why = against
    if known.yes("patient.earlier_repair"):
        why = (*why, "an earlier repair; the series is of first repairs")
    if why:
        return Membership("outside", why)
    return lacking(known.missing(("patient.earlier_repair", *asked)))


def lacking(paths: tuple[str, ...]) -> Membership:
    """Inside where nothing lacks, else not known, with what would tell."""
    return Membership("not known", (f"needs {' and '.join(paths)}",)) if paths else Membership("inside")


def primary(known: Known, facts: Citing) -> Membership:
    """Whether this is a first repair of a full-thickness tear, as most series are."""
    partial = () if known.yes("tear.full_thickness") else ("a partial tear; the series is of full-thickness tears",)
    return first_repair(known, facts, partial)
