"""A practice's own follow-ups put together: what failed, what was lost, against which target; a chart, no verdict."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from cuffwright import __version__
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.followup import FollowUp
from cuffwright.case.practice import Entered, Funnel, Practice, RunLength, Where
from cuffwright.case.score import ScoreTable
from cuffwright.course.general import GENERAL
from cuffwright.course.practice_counts import events, reached
from cuffwright.healing.models.age_band import age_rate
from cuffwright.outcome.integrity import imaged
from cuffwright.outcome.practice.funnel import errors_above, exact_limits, normal_limits
from cuffwright.outcome.practice.running import differences, run_length, scores, shift_of, shifted, weight
from cuffwright.outcome.practice.share import bounds, wilson

TARGETS = {
    "hospitals": "217 repairs of 47 hospitals, not healed at 12 months, MR or ultrasound",
    "expert": "one expert, torn again at 6 months, ultrasound, partial tears included; the higher of 13 and 17 %",
}
LIMITS = ("practice.limit.quick", "practice.limit.middle", "practice.limit")

MATCH = "Match case mix, what counts as a failure and the imaging before comparing with any target."
REVIEW = "A signal means: look at these cases. It is no verdict on a surgeon."


@dataclass(frozen=True)
class Seen:
    """One repair old enough to be counted: whether it failed, or None where no image decides."""

    record: FollowUp
    failed: bool | None


def practised(
    records: tuple[FollowUp, ...],
    tables: Mapping[str, ScoreTable],
    book: FactBook,
    *,
    today: date,
    limit: float | None = None,
    reviewed: tuple[date, ...] = (),
) -> Practice:
    """Work out what these follow-ups add up to on the day ``today``.

    ``limit`` is the score at which the chart signals, that of the paper unless given; the chart starts anew with the
    first repair after each day in ``reviewed``.

    Raises
    ------
    CaseError
        When there is no follow-up, one stands twice, one is of a day to come, or the limit is not above 0.
    """
    _check(records, today, limit)
    facts = Citing(book)
    ordered = sorted(records, key=lambda one: (one.operation_date, one.patient, one.side))
    age = timedelta(weeks=facts.number("retear.weeks.sure"))
    old = [Seen(one, _failed(one, today, facts)) for one in ordered if one.operation_date + age <= today]
    failed, lost = sum(one.failed is True for one in old), sum(one.failed is None for one in old)
    seen = len(old) - lost
    share = seen / len(old) if old else None
    blocked = _not_compared(share, seen, facts)
    chart = _charted(old, facts)
    top = facts.number("practice.limit") if limit is None else limit
    odds = facts.number("practice.odds")
    used = tuple(sorted(risk for _, _, risk in chart.entered))
    return Practice(
        today=today,
        repairs=len(ordered),
        waiting=len(ordered) - len(old),
        due=len(old),
        lost=lost,
        failed=failed,
        bounds=bounds(failed, lost, len(old)) if old else None,
        interval=wilson(failed, seen, facts.number("practice.errors.inner")) if seen else None,
        followed_share=share,
        funnels=() if blocked else tuple(_funnel(name, failed, seen, facts) for name in TARGETS),
        not_compared=blocked,
        odds=odds,
        limit=top,
        better_odds=facts.number("practice.better.odds"),
        better_limit=facts.number("practice.better.limit"),
        calibrated_on=chart.calibrated_on,
        shift=chart.shift,
        chart=_run(chart.entered, odds, top, reviewed, facts),
        left_out=chart.left_out,
        runs=tuple(_length(used, odds, each) for each in _limits(top, facts)) if used else (),
        scores=reached(ordered, tables, book, today),
        events=events(ordered, today, facts),
        cautions=_cautions(share, chart, facts),
        general=GENERAL,
        facts=tuple(facts.used),
        unverified=tuple(key for key, row in facts.used.items() if not row.verified),
        version=__version__,
        edition=book.edition,
    )


def _check(records: tuple[FollowUp, ...], today: date, limit: float | None) -> None:
    if not records:
        raise CaseError("there is no follow-up to count; give at least one")
    names = [(one.patient, one.side, one.operation_date) for one in records]
    double = next((one for one in names if names.count(one) > 1), None)
    if double:
        raise CaseError(f"the follow-up of {double[0]}, {double[1]}, {double[2]} stands twice; keep one")
    late = next((one for one in records if one.operation_date > today), None)
    if late:
        raise CaseError(f"the operation of {late.patient} on {late.operation_date} lies after {today}; correct a day")
    if limit is not None and not 0 < limit < float("inf"):
        raise CaseError(f"a limit of {limit:g} gives no chart; give a number above 0, such as 4.5")


def _failed(record: FollowUp, today: date, facts: Citing) -> bool | None:
    """Torn again on any image; else whole where one late enough says so; else not known. Later visits do not count."""
    visits = [one for one in record.visits if one.seen is not None and one.day <= today]
    said = {imaged(record.operation_date, one.day, one.seen, facts).said for one in visits if one.seen}
    return True if "torn again" in said else False if "healed" in said else None


def _not_compared(share: float | None, seen: int, facts: Citing) -> str:
    claim = facts.number("practice.followup.claim")
    if share is None or not seen:
        return "not compared with any target: needs repairs with an image that decides"
    if share < claim:
        return f"not compared with any target: {share:.0%} were followed, needs {claim:.0%}"
    return ""


def _funnel(name: str, failed: int, seen: int, facts: Citing) -> Funnel:
    row = facts.fact(f"practice.target.{name}")
    exact = seen < facts.number("practice.exact.below")
    inner, outer = (
        exact_limits(row.value, seen, facts.number(f"practice.tail.{which}"))
        if exact
        else normal_limits(row.value, seen, facts.number(f"practice.errors.{which}"))
        for which in ("inner", "outer")
    )
    share = failed / seen
    where: Where = "within both limits"
    if not outer[0] <= share <= outer[1]:
        where = "outside both limits"
    elif not inner[0] <= share <= inner[1]:
        where = "outside the inner limits"
    z = errors_above(share, seen, row.value)
    return Funnel(name, row.value, inner, outer, exact, z, where, TARGETS[name], row.source.source)


@dataclass(frozen=True)
class _Chart:
    entered: list[tuple[FollowUp, bool, float]]
    left_out: tuple[str, ...]
    calibrated_on: int
    shift: float | None


def _charted(old: list[Seen], facts: Citing) -> _Chart:
    """Repairs that enter the chart with their risk, after the first ones moved the published risks to this practice."""
    told: list[tuple[FollowUp, bool, float]] = []
    left_out = []
    for one in old:
        who = f"{one.record.patient}, {one.record.side}, {one.record.operation_date}"
        if one.failed is None:
            left_out.append(f"{who}: needs an image that decides")
        elif one.record.age is None:
            left_out.append(f"{who}: risk not computed, needs age")
        else:
            told.append((one.record, one.failed, age_rate(one.record.age, facts)))
    first = int(facts.number("practice.calibrate"))
    shift = shift_of([risk for *_, risk in told[:first]], [torn for _, torn, _ in told[:first]])
    if len(told) <= first or shift is None:
        return _Chart(told, tuple(left_out), 0, None)
    later = [(record, torn, shifted(risk, shift)) for record, torn, risk in told[first:]]
    return _Chart(later, tuple(left_out), first, shift)


def _run(
    entered: list[tuple[FollowUp, bool, float]], odds: float, limit: float, reviewed: tuple[date, ...], facts: Citing
) -> tuple[Entered, ...]:
    days = [record.operation_date for record, _, _ in entered]
    resets = frozenset(next((at for at, one in enumerate(days) if one > day), len(days)) for day in reviewed)
    risks, torn = [risk for *_, risk in entered], [failed for _, failed, _ in entered]
    run, ahead = scores(risks, torn, odds, resets), differences(risks, torn)
    better = scores(risks, torn, facts.number("practice.better.odds"), resets)
    enough = facts.number("practice.better.limit")
    return tuple(
        Entered(
            record.patient,
            record.side,
            record.operation_date,
            risk,
            failed,
            weight(risk, failed, odds),
            score,
            difference,
            score >= limit,
            other,
            other >= enough,
        )
        for (record, failed, risk), score, difference, other in zip(entered, run, ahead, better, strict=True)
    )


def _limits(top: float, facts: Citing) -> tuple[float, ...]:
    return tuple(sorted({top, *(facts.number(key) for key in LIMITS)}))


def _length(risks: tuple[float, ...], odds: float, limit: float) -> RunLength:
    return RunLength(limit, run_length(risks, odds, limit, 1.0), run_length(risks, odds, limit, odds))


def _cautions(share: float | None, chart: _Chart, facts: Citing) -> tuple[str, ...]:
    found = [MATCH, REVIEW]
    warn, first = facts.number("practice.followup.warn"), facts.number("practice.calibrate")
    if share is not None and share < warn:
        years = facts.number("practice.followup.year1"), facts.number("practice.followup.year2")
        found.append(
            f"Only {share:.0%} were followed, below {warn:.0%}: the lost may differ from those seen. Elsewhere"
            f" {years[0]:.0%} answered at one year and {years[1]:.0%} at two."
        )
    if not chart.calibrated_on:
        found.append(
            f"Risks are the published ones of one expert, not moved to this practice: that needs more than {first:g}"
            " repairs on the chart, with failures and without. Till then the chart measures the model."
        )
    return tuple(found)
