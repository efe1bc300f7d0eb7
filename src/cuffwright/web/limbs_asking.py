"""Ask a number of a plan of limbs: what it means, how it comes about, how far it holds."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from typing import Any

from cuffwright.case.errors import CaseError, CuffError
from cuffwright.case.limb_plan import LimbPlan
from cuffwright.case.limbs import LimbField
from cuffwright.course.asking import Answer

COUNTED = (
    "Counts are exact for this plan. Room in portals and how many limbs one grasp takes are settings without published"
    " values; bursa, swelling and slack are not in the model."
)
STRAIGHT = (
    "Limbs are straight lines from their source to their portal; over and under is what the list says. It shows no"
    " tangle if the instruments go where the list says, not that there is none; look down each pair before it is tied."
)


COUNTS: dict[str, tuple[Callable[[LimbPlan], int], str]] = {
    "moves": (lambda plan: plan.counts.moves, "moves"),
    "bound": (lambda plan: plan.certificate.bound, "moves"),
    "retrievals": (lambda plan: plan.counts.retrievals, "retrievals"),
    "pulls": (lambda plan: plan.counts.pulls, "pulls"),
    "scope": (lambda plan: plan.counts.scope_moves, "changes"),
    "parked": (lambda plan: plan.counts.most_parked, "limbs"),
}
"""Numbers that a setting can move: the count of the plan, and its unit."""

MOVED = "Planned anew with one setting changed, the repair as it is."
STILL = "Planned anew with each setting changed, it stays the same."


@dataclass(frozen=True)
class _Told:
    title: str
    value: str
    meaning: str
    formula: str
    validity: str = COUNTED


def explain(
    field: LimbField, plan: LimbPlan, name: str, planned: Callable[[LimbField], LimbPlan] | None = None
) -> dict[str, Any]:
    """Answer for one number by its name; ``planned`` plans another field from the same point, to see what moves it.

    Raises
    ------
    CaseError
        For a name that cannot be asked.
    """
    told = _answers(field, plan).get(name)
    if told is None:
        raise CaseError(f"{name!r} is no number of the limbs; ask one of {', '.join(sorted(_answers(field, plan)))}")
    inputs = (
        ("portals", ", ".join(f"{p.name} ({p.code}), {p.capacity} limbs at most" for p in field.portals)),
        ("sutures", f"{len(field.sutures)} on {len(field.carriers)} anchors, {len(field.seats)} lateral anchors"),
        ("grasp", f"{field.grasp} limbs in one grasp; {'a' if field.assistant else 'no'} second hand holds a grasper"),
        ("hard rules", ", ".join(rule.name for rule in field.rules if rule.weight == "hard")),
    )
    answer = Answer(name, told.title, told.value, told.meaning, told.formula, inputs, (), told.validity)
    if planned is not None and name in COUNTS:
        answer = _moved(answer, field, plan, planned)
    return {**asdict(answer), "text": answer.text}


def _moved(answer: Answer, field: LimbField, plan: LimbPlan, planned: Callable[[LimbField], LimbPlan]) -> Answer:
    """The answer with the two settings that move its count most."""
    count, unit = COUNTS[answer.name]
    changes: list[tuple[str, float]] = []
    for words, other in _settings(field):
        with suppress(CuffError):
            changes.append((words, float(count(planned(other)) - count(plan))))
    most = tuple(sorted((one for one in changes if one[1]), key=lambda one: -abs(one[1]))[:2])
    return replace(answer, movers=most, moved_unit=unit, moved_how=MOVED if most else STILL)


def _settings(field: LimbField) -> Iterator[tuple[str, LimbField]]:
    """Each setting of the field changed alone, in words."""
    yield "one limb more in one grasp", replace(field, grasp=field.grasp + 1)
    held = "without" if field.assistant else "with"
    yield f"{held} a second hand on the grasper", replace(field, assistant=not field.assistant)
    roomy = tuple(replace(one, capacity=one.capacity + 1) for one in field.portals)
    yield "room for one limb more in every portal", replace(field, portals=roomy)


def _answers(field: LimbField, plan: LimbPlan) -> dict[str, _Told]:
    c, proven = plan.counts, plan.certificate
    proof = {
        "bound": "The plan has as many moves as the least that counting allows, so none is shorter.",
        "search": "Every shorter order of work was searched and none was found.",
        "gap": "Counting allows fewer moves; none with fewer was found, nor was it shown that there is none.",
    }
    ties = "; ".join(f"step {step}: {limb} {words}" for step, limb, words in proven.ties)
    waits = ", ".join(f"{p.name} {p.capacity}" for p in field.portals)
    return {
        "moves": _Told(
            "Moves",
            f"{c.moves}",
            "Everything an instrument does once: insert, retrieve, pass, tie, cut, change the view, seat. A pull test"
            " is done with its anchor and is not counted.",
            f"{c.retrievals} retrievals, {c.passes} passes, {c.knots} knots, {c.cuts} cuts, {c.seats} lateral anchors,"
            f" {c.scope_moves} changes of view, the rest insertions.",
        ),
        "bound": _Told(
            "Least possible",
            f"{proven.bound} moves at the least",
            proof[proven.proof],
            "Each pass, knot and lateral anchor prescribes what hangs in the working cannula; between two of them limbs"
            f" must come and go. The moves this asks for are counted. {proven.expanded} states were looked at.",
        ),
        "tangle": _Told(
            "Tangles",
            "; ".join(proven.trouble) or "none",
            "No knot closes on a limb that runs through its pair, none pins a limb that must still slide, and no ring"
            " of limbs lies each over the next.",
            "A second, separate count: the linking number of every other limb with each pair at its knot."
            + (f" {ties}." if ties else " No limb crosses a pair at its knot."),
            STRAIGHT,
        ),
        "retrievals": _Told(
            "Retrievals",
            f"{c.retrievals}, {c.shuttles} limbs moved",
            "How often a grasper brings limbs from one portal to another.",
            f"At most {field.grasp} limbs in one grasp.",
        ),
        "pulls": _Told(
            "Pulls through tendon",
            f"{c.pulls}",
            "How often suture runs through tendon, which cuts into it: each pass, each sliding knot, each knotless limb"
            " drawn tight.",
            f"{c.passes} passes and what slides afterwards.",
        ),
        "scope": _Told(
            "Changes of view",
            f"{c.scope_moves}",
            "How often the arthroscope goes to another portal; no limb may hang out of the portal it is in.",
            "Counted in the plan.",
        ),
        "parked": _Told(
            "Limbs outside at once",
            f"{c.most_parked}",
            "The most limbs that hang out of the skin together; each is held by a clamp with its label.",
            f"Counted after every move. Room in the portals: {waits}.",
        ),
        "minutes": _Told(
            "Time",
            f"{plan.minutes:g} min" if plan.minutes is not None else f"not computed, needs {plan.minutes_needs}",
            "Minutes of the moves in this plan as this site's own operations took them.",
            "Minutes of each kind of move, fitted to the site's log, times how often it occurs.",
            "No published minutes per move exist; nothing is filled in.",
        ),
    }
