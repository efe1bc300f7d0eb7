"""Ask a number: what it means, how it comes about, what it rests on, how far to believe it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Fact
from cuffwright.case.hold import HoldResult, MemberLoad, ScenarioHold
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Interval
from cuffwright.course.asking_body import BODY, BODY_TITLES
from cuffwright.course.prepared import Prepared, Scenario
from cuffwright.course.pulling import thread
from cuffwright.course.rounding import newtons
from cuffwright.course.rules import closest_beds
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.pull import pull

NUDGE = 1.1
"""Numerical choice: an input is raised by this factor to see how far it moves a result."""

LABORATORY = (
    "Time zero, laboratory conditions; says nothing about healing. Compare layouts with each other: typical error of"
    " the model is 20 % for ratios and 50 % for newtons."
)
FILM = (
    "Absolute pressures differ up to fourfold between laboratories; only rankings and ratios are safe. Area depends on"
    " the threshold printed with it."
)


@dataclass(frozen=True)
class Answer:
    """The answer to one asked number.

    ``inputs`` are (path, value with SD, origin and trace); ``facts`` the published rows; ``movers`` the inputs that
    move it most, each with the change (in the result's unit) for a rise of a tenth.
    """

    name: str
    title: str
    value: str
    meaning: str
    formula: str
    inputs: tuple[tuple[str, str], ...]
    facts: tuple[Fact, ...]
    validity: str
    movers: tuple[tuple[str, float], ...] = ()

    @property
    def text(self) -> str:
        """The whole answer as text to copy."""
        rows = [
            f"{f.key} = {f.value:g} {f.unit}, {f.provenance}{'' if f.verified else ', unverified'}: {f.source.citation}"
            for f in self.facts
        ]
        moved = [f"{name} + 10 %: {change:+g}" for name, change in self.movers]
        inputs = [f"{path}: {told}" for path, told in self.inputs]
        lines = [f"{self.title}: {self.value}", self.meaning, self.formula, *inputs, *moved, *rows, self.validity]
        return "\n".join(lines)


@dataclass(frozen=True)
class _Asked:
    title: str
    value: str
    meaning: str
    formula: str
    keys: tuple[str, ...]
    validity: str = LABORATORY
    moved: bool = False


STRENGTH_KEYS = (
    *("hole.", "tissue.", "stitch.", "bridge.", "anchor.strength.", "suture.strength."),
    "model.error.ultimate",
)
CONTACT_KEYS = ("contact.", "layer.", "suture.tension.", "suture.width", "model.error.contact")


def explain(prepared: Prepared, result: HoldResult, name: str) -> Answer:
    """Answer for one number of ``result`` by its name; raises CaseError for a name that cannot be asked."""
    head, _, rest = name.partition(".")
    try:
        asked = ASKS[head](result, rest)
    except (KeyError, StopIteration):
        raise CaseError(f"{name!r} is no result of this repair; ask one of {', '.join(sorted(ASKS))}") from None
    facts = tuple(prepared.book.fact(k) for k in result.facts if k.startswith(asked.keys))
    inputs = tuple((path, f"{m.value:g}, SD {m.sd:g}, {m.origin}; {m.trace}") for path, m in result.inputs)
    movers = _movers(prepared, result.layout) if asked.moved else ()
    return Answer(name, asked.title, asked.value, asked.meaning, asked.formula, inputs, facts, asked.validity, movers)


def _span(found: Interval | None) -> str:
    if found is None:
        return "not reached"
    return f"{found.middle:g} {found.unit} ({found.share:.0%} between {found.low:g} and {found.high:g})"


def _doubt(found: Interval | None) -> str:
    if found is None:
        return ""
    return f"; with the error of the model {found.share:.0%} between {found.low:.0%} and {found.high:.0%}"


def _scenario(result: HoldResult, tissue: str) -> ScenarioHold:
    if not tissue:
        return result.scenarios[len(result.scenarios) // 2]
    return next(s for s in result.scenarios if tissue in (s.tissue, s.bone))


def _ultimate(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    contested = f"; {one.ultimate_contested:g} N with the contested bridging factor" if one.ultimate_contested else ""
    return _Asked(
        f"Ultimate load, {one.tissue} tissue, {one.bone} bone",
        _span(one.ultimate) + contested,
        "The highest load the repair carries in one steady pull before it gives way.",
        "Each draw pulls the tied repair step by step; the member used beyond its strength fails first and the load"
        " passes to the others. Middle: mean of the draws. Ends: draws times the error of the model on blind rows.",
        (*STRENGTH_KEYS, "scatter.surgery.", "tendon.capacity."),
        moved=True,
    )


def _weakest(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    shares = ", ".join(f"{words} {share:.0%}" for words, share in one.failure_shares)
    return _Asked(
        "Weakest link", shares or "no member failed", "How often each member gives way first over the draws.",
        "Count of first failures over number of draws.", (*STRENGTH_KEYS, "scatter.surgery."),
    )  # fmt: skip


def _gap(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    return _Asked(
        f"Gap at {one.gap_load:g} N", f"{_span(one.gap)}, reached in {one.reached_share:.0%} of draws",
        "How far the tendon edge moves medially from its place as tied.",
        "Motion of the tendon edge at the stated load minus that at the preload. Ends: draws joined with the error of"
        " the model.",
        ("suture.", "hole.bearing", "friction.", "bench.", "rule.load.", "model.error.gap"),
    )  # fmt: skip


def _stiffness(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    return _Asked(
        "Stiffness", _span(one.stiffness), "Load per mm of pull, the tendon's own stretch included.",
        "Secant of load over motion between 50 N and 0.6 of the ultimate. Ends: draws joined with the error of the"
        " model.",
        ("suture.", "hole.bearing", "tendon.mod", "model.error.stiffness"),
    )  # fmt: skip


def _contact(result: HoldResult, rest: str) -> _Asked:
    c = result.contact
    values = {
        "area": f"{c.area_share:.0%} of {c.window_area:g} mm2 at {c.threshold:g} MPa or more{_doubt(c.area_interval)}",
        "force": f"{c.force:g} N",
        "mean": f"{c.mean:g} MPa",
        "peak": f"{c.peak:g} MPa",
    }
    meanings = {
        "area": "Share of the torn footprint pressed at the threshold or more, as tied. Its ends hold the error of the"
        f" model and {c.area_sd:.1%} (SD) from the measured width of the tear.",
        "force": "Force with which the tendon presses on the torn footprint, as tied.",
        "mean": "Mean pressure over the torn footprint, as tied.",
        "peak": "Highest pressure on the torn footprint, as tied.",
    }
    return _Asked(
        f"Contact {rest}", values[rest], meanings[rest],
        "Limbs as strings on an elastic layer over rigid bone; lift-off is solved for. Negative pressure left:"
        f" {c.clipped_share:.1%}; lifted: {c.lifted_share:.1%} of the footprint.",
        CONTACT_KEYS, FILM,
    )  # fmt: skip


def _member(result: HoldResult, rest: str) -> _Asked:
    kind, _, name = rest.partition(".")
    one = result.scenarios[len(result.scenarios) // 2]
    member: MemberLoad = next(m for m in one.members if m.kind == kind and m.name == name)
    loaded = _span(member.loaded)
    return _Asked(
        f"{kind.capitalize()} {name}",
        f"{member.tied:g} N as tied; {loaded} at {one.gap_load:g} N; bears {member.capacity:g} N; gives way first in"
        f" {member.first_share:.0%}",
        "Load on this member, and what it can bear, in the middle scenario.",
        "From the balance of limbs, tendon and anchors at each step of the pull.",
        (*STRENGTH_KEYS, "suture.tension."),
    )


def _spacing(result: HoldResult, _: str) -> _Asked:
    beds = closest_beds(result.layout.anchors)
    told = f"{beds[0]:.1f} mm between anchors {beds[1].name} and {beds[2].name}" if beds else "one anchor"
    return _Asked(
        "Distance of anchor beds", told, "Closest two anchors, centre to centre, along the map.",
        "Straight distance on the chart.", ("rule.anchor.spacing",),
        "The rule comes from foam and porcine bone.",
    )  # fmt: skip


def _caution(result: HoldResult, rest: str) -> _Asked:
    caution = next(c for c in result.cautions if c.code == rest)
    keys = (caution.fact,) if caution.fact else ("rule.none",)
    return _Asked(
        "Caution", caution.text, "A limit on what this result can say.", "A rule checked on the inputs.", keys
    )


def _body(result: HoldResult, rest: str) -> _Asked:
    body = result.body
    if body is None:
        raise KeyError(rest)
    told = " ".join(words for words, name in body.sentences if name == f"body.{rest}")
    meaning, formula, keys, validity = BODY[rest]
    return _Asked(BODY_TITLES[rest], told, meaning, formula, keys, validity)


ASKS: dict[str, Callable[[HoldResult, str], _Asked]] = {
    "ultimate": _ultimate,
    "weakest": _weakest,
    "gap": _gap,
    "stiffness": _stiffness,
    "contact": _contact,
    "member": _member,
    "spacing": _spacing,
    "caution": _caution,
    "body": _body,
}
"""Heads of the names that can be asked; what follows the dot says which one."""


def _movers(prepared: Prepared, layout: Layout) -> tuple[tuple[str, float], ...]:
    """The two inputs that move the ultimate load most: change in N, without scatter, for a rise of a tenth."""
    scenario: Scenario = prepared.scenarios[prepared.middle]
    base = pull(thread(prepared, layout, scenario.parameters), plain=prepared.plain).ultimate
    changes = []
    for words, raised in _raised(scenario.parameters):
        moved = pull(thread(prepared, layout, raised), plain=prepared.plain).ultimate
        changes.append((words, newtons(moved - base)))
    return tuple(sorted(changes, key=lambda item: -abs(item[1]))[:2])


def _raised(numbers: Parameters) -> list[tuple[str, Parameters]]:
    return [
        ("what a hole bears (tissue, thickness)", replace(numbers, capacity=numbers.capacity * NUDGE)),
        ("what an anchor holds", replace(numbers, holds={k: v * NUDGE for k, v in numbers.holds.items()})),
        ("what a limb bears", replace(numbers, strength={k: v * NUDGE for k, v in numbers.strength.items()})),
        ("tension as tied", replace(numbers, tension={k: v * NUDGE for k, v in numbers.tension.items()})),
        ("friction of tendon on bone", replace(numbers, friction=numbers.friction * NUDGE)),
    ]
