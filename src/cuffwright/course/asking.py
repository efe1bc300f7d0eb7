"""Ask a number: what it means, how it comes about, what it rests on, how far to believe it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Fact
from cuffwright.case.hold import HoldResult, MemberLoad, ScenarioHold
from cuffwright.case.quantity import Interval
from cuffwright.course.asking_body import BODY, BODY_TITLES
from cuffwright.course.moving import HOW, STILL, Moved, Movers, Run, movers
from cuffwright.course.prepared import Prepared
from cuffwright.course.rules import closest_beds

PERCENT = 100.0
"""Numerical choice: a share in percent."""

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
    move it most, each with what was changed in it and the change of the result in ``moved_unit``; ``moved_how`` says
    how that was found, and that nothing moves it where nothing does.
    """

    name: str
    title: str
    value: str
    meaning: str
    formula: str
    inputs: tuple[tuple[str, str], ...]
    facts: tuple[Fact, ...]
    validity: str
    movers: Movers = ()
    moved_unit: str = "N"
    moved_how: str = ""

    @property
    def text(self) -> str:
        """The whole answer as text to copy."""
        rows = [
            f"{f.key} = {f.value:g} {f.unit}, {f.provenance}{'' if f.verified else ', unverified'}: {f.source.citation}"
            for f in self.facts
        ]
        moved = [f"{name}: {change:+g} {self.moved_unit}" for name, change in self.movers]
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
    moved: Moved | None = None
    tissue: str = ""


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
    plain = Answer(name, asked.title, asked.value, asked.meaning, asked.formula, inputs, facts, asked.validity)
    return replace(plain, **_moves(prepared, result, asked)) if asked.moved else plain


def _moves(prepared: Prepared, result: HoldResult, asked: _Asked) -> dict[str, Any]:
    """What moves the number most, as the answer carries it."""
    scenarios, moved = prepared.scenarios, asked.moved
    if moved is None:
        return {}
    one = next((s for s in scenarios if asked.tissue in (s.tissue, s.bone)), scenarios[prepared.middle])
    found = movers(prepared, result.layout, one.parameters, moved)
    return {
        "movers": found,
        "moved_unit": moved.unit,
        "moved_how": f"{HOW if found else STILL} {moved.instead}".strip(),
    }


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
        moved=Moved("N", lambda run: run.ramp.ultimate),
        tissue=one.tissue,
    )


def _weakest(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    shares = ", ".join(f"{words} {share:.0%}" for words, share in one.failure_shares)
    return _Asked(
        "Weakest link", shares or "no member failed", "How often each member gives way first over the draws.",
        "Count of first failures over number of draws.", (*STRENGTH_KEYS, "scatter.surgery."),
        moved=Moved("N", _first_load, instead="Told is the load at which the first member gives way."),
        tissue=one.tissue,
    )  # fmt: skip


def _gap(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    return _Asked(
        f"Gap at {one.gap_load:g} N", f"{_span(one.gap)}, reached in {one.reached_share:.0%} of draws",
        "How far the tendon edge moves medially from its place as tied.",
        "Motion of the tendon edge at the stated load minus that at the preload. Ends: draws joined with the error of"
        " the model.",
        ("suture.", "hole.bearing", "friction.", "bench.", "rule.load.", "model.error.gap"),
        moved=Moved("mm", lambda run: run.ramp.gap(one.gap_load)), tissue=one.tissue,
    )  # fmt: skip


def _stiffness(result: HoldResult, rest: str) -> _Asked:
    one = _scenario(result, rest)
    return _Asked(
        "Stiffness", _span(one.stiffness), "Load per mm of pull, the tendon's own stretch included.",
        "Secant of load over motion between 50 N and 0.6 of the ultimate. Ends: draws joined with the error of the"
        " model.",
        ("suture.", "hole.bearing", "tendon.mod", "model.error.stiffness"),
        moved=Moved("N/mm", lambda run: run.ramp.stiffness), tissue=one.tissue,
    )  # fmt: skip


PRESSED = {
    "area": Moved("%", lambda run: run.tied.share_above() * PERCENT, contact=True),
    "force": Moved("N", lambda run: run.tied.force, contact=True),
    "mean": Moved("MPa", lambda run: run.tied.mean, contact=True),
    "peak": Moved("MPa", lambda run: run.tied.peak, contact=True),
}


def _first_load(run: Run) -> float | None:
    """The load (N) at which the first member gives way, or None."""
    return run.ramp.first.load if run.ramp.first else None


def _carried(run: Run, kind: str, name: str, load: float) -> float | None:
    """What one member carries (N) at ``load`` newtons; None where that load is not reached."""
    found = run.ramp.shares(load)
    return None if found is None else getattr(found, f"{kind}s").get(name)


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
        CONTACT_KEYS, FILM, PRESSED[rest],
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
        moved=Moved("N", lambda run: _carried(run, kind, name, one.gap_load)),
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
