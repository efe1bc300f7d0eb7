"""Ask a number of Access: what it means, how it comes about, what it rests on, how far to believe it."""

from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from typing import Any

from cuffwright.access.margins import SENTENCE
from cuffwright.case.errors import CaseError
from cuffwright.case.reach import AccessResult, Pose
from cuffwright.course.access import Ready
from cuffwright.course.asking import Answer
from cuffwright.web.access_live import moved

DRAWN = (
    "Over drawn shoulders that agree with what the case measures, with hands that place and stab a little off and an"
    " arm a few degrees off. Straight instruments, bones as blocks, rods and a ball; soft tissue does not give."
)


NARROW = ("acromion.", "footprint.", "shoulder.")
"""Measures of the case that narrow the shoulder; those of the tear only place what is to be reached."""


@dataclass(frozen=True)
class _Told:
    title: str
    value: str
    meaning: str
    formula: str
    keys: tuple[str, ...]
    validity: str = DRAWN


def explain(asked: Ready, found: AccessResult, name: str) -> dict[str, Any]:
    """Answer for one number by its name; raises CaseError for a name that cannot be asked."""
    head, _, rest = name.partition(".")
    try:
        told = ASKS[head](found, rest)
    except (KeyError, StopIteration):
        raise CaseError(f"{name!r} is no result of Access; ask one of {', '.join(sorted(ASKS))}") from None
    book = asked.prepared.book
    facts = tuple(book.fact(key) for key in found.facts if key.startswith(told.keys))
    inputs = tuple(
        (path, f"{m.value:g}, SD {m.sd:g}, {m.origin}; {m.trace}")
        for path, m in asked.prepared.sheet.measurements()
        if m is not None and path.startswith(NARROW if head == "margin" else (*NARROW, "tear."))
    )
    answer = Answer(name, told.title, told.value, told.meaning, told.formula, inputs, facts, told.validity)
    if head == "reach":
        most = _turned(asked, found, rest)
        answer = replace(answer, movers=most, moved_unit="degrees", moved_how=MOVED if most else STILL)
    return {**asdict(answer), "text": answer.text}


MORE_DEGREES = 5.0
"""Numerical choice: the arm is turned so much further to see how an angle moves."""

MORE_MM = 5.0
"""Numerical choice: a portal is put so much further on to see how an angle moves."""

MOVED = "The angle of the path to the bone on the mean shoulder, one thing changed at a time."
STILL = "Neither arm nor portal, moved a little, changes the angle on the mean shoulder."
ALONG = {"down": "further down", "medial": "further medial", "behind": "further back", "beside": "further outwards"}
"""Ways a portal can be moved, by the distance that says it."""


def _turned(asked: Ready, found: AccessResult, rest: str) -> tuple[tuple[str, float], ...]:
    """The two changes of arm or portal that turn the path to a site most (degrees)."""
    portal, _, site = rest.partition(".")
    row = next(one for one in found.reaches if (one.portal, one.site) == (portal, site))
    pose, place = row.pose, next(one for one in asked.scene.places if one.name == portal)
    base = _angle(asked, pose, portal, site)
    arms = (
        (
            f"abduction, {MORE_DEGREES:g} degrees more",
            replace(pose, abduction_degrees=pose.abduction_degrees + MORE_DEGREES),
        ),
        (
            f"outward rotation, {MORE_DEGREES:g} degrees more",
            replace(pose, rotation_degrees=pose.rotation_degrees + MORE_DEGREES),
        ),
    )
    changes = [(words, _angle(asked, arm, portal, site) - base) for words, arm in arms]
    for name, words in ALONG.items():
        if getattr(place, name):
            other = moved(asked, replace(place, **{name: getattr(place, name) + MORE_MM}))
            changes.append((f"{portal} portal {MORE_MM:g} mm {words}", _angle(other, pose, portal, site) - base))
    told = [(words, round(change, 1)) for words, change in changes if round(change, 1)]
    return tuple(sorted(told, key=lambda one: -abs(one[1]))[:2])


def _angle(asked: Ready, pose: Pose, portal: str, site: str) -> float:
    """The angle of one path above the bone, degrees, on the mean shoulder."""
    scene = asked.scene
    names = [one.name for one in scene.places], [one.name for one in scene.sites]
    return float(scene.paths((pose,)).angle[0, names[0].index(portal), names[1].index(site)])


def _reach(found: AccessResult, rest: str) -> _Told:
    portal, _, site = rest.partition(".")
    row = next(one for one in found.reaches if (one.portal, one.site) == (portal, site))
    room = "" if row.room is None else f", {row.room:g} mm of bone behind the tip"
    return _Told(
        f"{row.kind.capitalize()} {site} from the {portal} portal",
        row.words.split(": ", 1)[1],
        f"A straight path {row.length:g} mm long at {row.angle_degrees:g} degrees to the bone (90 is square){room}.",
        "The path runs from the skin to the site, as thick as its tool. It counts when no bone is struck, its angle and"
        " length suffice, and an anchor keeps bone behind its tip; the probability is the share of draws in which it"
        " does.",
        ("tool.", "reach.", "pose.error", "portal.error", "scatter.surgery.", f"portal.{portal.split()[0]}"),
    )


def _margin(found: AccessResult, rest: str) -> _Told:
    one = next(m for m in found.margins if m.portal == rest)
    m = one.margin
    return _Told(
        f"{one.nerve.capitalize()} nerve from the {rest} portal",
        f"{m.middle:g} mm ({m.share:.0%} between {m.low:g} and {m.high:g}); 5th percentile {one.fifth:g}, with the"
        f" shortest published distance {one.floor:g}",
        SENTENCE,
        "Published distances carried to this shoulder and arm position, of disagreeing series the lower. The 5th"
        " percentile takes the largest published loss with abduction.",
        (f"nerve.{one.nerve}", "pose.rhythm", "arm.length"),
        "A population estimate: how far the nerve lies in people like this one, never that a portal is harmless.",
    )


def _hidden(found: AccessResult, _: str) -> _Told:
    sites = f"; under it lie {', '.join(found.hidden.sites)}" if found.hidden.sites else ""
    return _Told(
        "Footprint under the acromion",
        f"{found.hidden.share:.1%}{sites}",
        "Share of the footprint's area that lies under the acromion, looked at along the plate's normal.",
        "Points over the footprint, each weighted by the bone's area about it, counted where the acromion covers them.",
        ("acromion.", "form.acromion", "footprint."),
        "On the mean shoulder; acromions differ more than any other bone of the shoulder.",
    )


def _moves(found: AccessResult, _: str) -> _Told:
    steps = "; ".join(f"{move.pose.words}: {', '.join(site for site, _ in move.steps)}" for move in found.moves)
    return _Told(
        "Arm positions",
        f"{len(found.moves)}: {steps}",
        "The fewest arm positions in which every site that can be reached is reached, in working order.",
        "Medial anchors, then holes, then lateral anchors; searched exactly, of equal plans the one that swings the arm"
        " least.",
        ("pose.",),
        "On the mean shoulder: the share of drawn shoulders in which each step holds stands in the table.",
    )


def _unreached(found: AccessResult, rest: str) -> _Told:
    rows = [row for row in found.reaches if row.site == rest]
    if not rows:
        raise StopIteration
    return _Told(
        f"{rest} from nowhere",
        "; ".join(f"{row.portal}: {row.reason or row.answer}" for row in rows),
        "No portal reaches it in any arm position tried.",
        "Each straight path over all arm positions tried; told is what stops most of them.",
        ("tool.", "reach."),
    )


def _better(found: AccessResult, rest: str) -> _Told:
    one = next(b for b in found.better if b.portal == rest)
    return _Told(
        f"A better place for the {rest} portal",
        f"{one.after} sites in reach here instead of {one.before}; flattest anchor path {one.angle_after:g} degrees",
        "The place within the portal's latitude that brings most sites into reach in this arm position.",
        "Places tried along and across the edge within the latitude; the first of the best.",
        ("portal.latitude", "portal.accessory"),
        "On the mean shoulder, counted without draws.",
    )


def _caution(found: AccessResult, rest: str) -> _Told:
    caution = next(c for c in found.cautions if c.code == rest)
    keys = (caution.fact,) if caution.fact else ()
    return _Told("Caution", caution.text, "Where it applies: " + (caution.where or "the whole answer"), "", keys)


ASKS: dict[str, Callable[[AccessResult, str], _Told]] = {
    "reach": _reach,
    "margin": _margin,
    "hidden": _hidden,
    "moves": _moves,
    "unreached": _unreached,
    "better": _better,
    "caution": _caution,
}
"""What can be asked, by the first word of its name."""
