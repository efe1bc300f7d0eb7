"""Portals with the parts they play for suture limbs: who sees, who works, who lets anchors in, who parks.

Each part goes to the portal it is usually played by; another takes over only what that one misses.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.limbs import LimbPortal, Span
from cuffwright.course.limb_reach import LimbReach, PortalReach, Task

CODES = {
    "posterior": "PO",
    "anterior": "AN",
    "lateral": "LA",
    "accessory superolateral": "SL",
    "anterolateral": "AL",
    "posterolateral": "PL",
    "superomedial": "SM",
}
"""Two letters of each portal, for the step card; its legend says them in full."""

SETS: dict[str, tuple[str, ...]] = {
    "four": ("posterior", "anterior", "lateral", "accessory superolateral"),
    "four in front": ("posterior", "anterior", "anterolateral", "accessory superolateral"),
    "five": ("posterior", "anterior", "lateral", "accessory superolateral", "posterolateral"),
    "five in front": ("posterior", "anterior", "lateral", "accessory superolateral", "anterolateral"),
    "five above": ("posterior", "anterior", "lateral", "accessory superolateral", "superomedial"),
    "seven": tuple(CODES),
}
"""Sets of portals a repair may be worked through, by name."""

FEWEST = "fewest"
"""The set that is planned with unless another is asked for: the first of the sets that reaches everything."""

VIEWING, PARK, SIDE = "posterior", "anterior", "accessory superolateral"
WORKING = ("lateral", "anterolateral")
VIEWS = ("posterior", "lateral", "posterolateral")
INSERTING = (SIDE, "posterolateral", "anterolateral", "lateral", "superomedial", VIEWING)
SEATING = ("posterolateral", "anterolateral", "anterior")
PIERCING = (VIEWING, "superomedial", "posterolateral", "anterior", SIDE)

ASIDE = 1.0
"""Numerical choice: portals are drawn at least this far apart along the tear, mm."""


@dataclass(frozen=True)
class Parts:
    """The portals of a field and the parts of it that are portals: the first view, where limbs wait, who watches.

    ``through`` names for each anchor that brings limbs the portals it goes in by.
    """

    portals: tuple[LimbPortal, ...]
    scope: str
    passed_park: str
    tied_park: str
    pierce_view: str
    worked_from: dict[str, str]
    through: dict[str, tuple[str, ...]]


def portals_of(reach: LimbReach, names: Sequence[str], loose: Sequence[float], facts: Citing) -> Parts:
    """The portals of ``names`` with their parts; ``loose`` are places of free sutures, which need no bone.

    Raises
    ------
    CaseError
        When an anchor or a hole is reached from none of them, by its name.
    """
    working = next((name for name in WORKING if name in names), None)
    if working is None or not {VIEWING, PARK, SIDE} <= set(names):
        raise CaseError(
            "no order of work: limbs need a posterior, an anterior, an accessory superolateral and a lateral or"
            f" anterolateral portal; there are {', '.join(names)}"
        )
    inserts = _shared(reach, "insert", [n for n in INSERTING if n in names])
    seats = _shared(reach, "seat", [n for n in (working, *SEATING) if n in names])
    passes = {working: _in_one_run(reach, "hole", reach.reached(working, "hole"))}
    pierces = _shared(reach, "hole", [n for n in PIERCING if n in names], reach.sites["hole"] - passes[working])
    tasks = _Tasks(inserts, seats, passes, pierces)
    room = {name: round(facts.number("limbs.setting.capacity.park")) for name in names}
    room[VIEWING] = round(facts.number("limbs.setting.capacity.view"))
    room[working] = round(facts.number("limbs.setting.capacity.cannula"))
    made = [_portal(reach, one, tasks, room[one.name]) for one in reach.portals if one.name in names]
    portals = _with_loose(_drawn(made, reach, facts.number("limbs.setting.arc")), loose, inserts, working)
    watched = working if working in VIEWS and set(pierces) == {VIEWING} else ""
    worked = {
        site: name for part in (passes, inserts, seats, pierces) for name, sites in part.items() for site in sites
    }
    through = {site: tuple(n for n in inserts if site in reach.reached(n, "insert")) for site in reach.sites["insert"]}
    return Parts(portals, VIEWING, PARK, SIDE, watched, worked, through)


@dataclass(frozen=True)
class _Tasks:
    """Which portal serves which sites, for each task."""

    inserts: dict[str, frozenset[str]]
    seats: dict[str, frozenset[str]]
    passes: dict[str, frozenset[str]]
    pierces: dict[str, frozenset[str]]


def _portal(reach: LimbReach, one: PortalReach, tasks: _Tasks, room: int) -> LimbPortal:
    def span(shared: dict[str, frozenset[str]], task: Task) -> Span | None:
        return reach.span(shared.get(one.name, frozenset()) | _near(reach, task, one.name, shared), task)

    return LimbPortal(
        one.name,
        CODES[one.name],
        one.backwards,
        0.0,
        room,
        cannula=one.name in tasks.passes,
        views=one.name in VIEWS,
        inserts=span(tasks.inserts, "insert"),
        seats=span(tasks.seats, "seat"),
        passes=span(tasks.passes, "hole"),
        pierces=span(tasks.pierces, "hole"),
    )


def _near(reach: LimbReach, task: Task, name: str, shared: dict[str, frozenset[str]]) -> frozenset[str]:
    """Places beyond the repair's own sites that a portal with a part in the task reaches too."""
    return reach.probes[task] & frozenset(reach.portal(name).poses) if name in shared else frozenset()


def _shared(
    reach: LimbReach, task: Task, names: list[str], wanted: frozenset[str] | None = None
) -> dict[str, frozenset[str]]:
    """Which portal serves which sites: the first that serves all, else the first and others for what it misses.

    Raises
    ------
    CaseError
        When a site is served by none, by its name.
    """
    left = reach.sites[task] if wanted is None else wanted
    if not left:
        return {}
    sites = {name: reach.reached(name, task) & left for name in names}
    whole = [name for name in names if sites[name] == left]
    found: dict[str, frozenset[str]] = {}
    for name in whole[:1] or names:
        # an anchor that brings limbs names its portals; holes and lateral anchors are known by an interval
        mine = sites[name] if task == "insert" else _in_one_run(reach, task, sites[name])
        if mine & left:
            found[name] = mine
            left -= mine
    if left:
        raise CaseError(f"no order of work: {_unserved(reach, task, names, min(left))}")
    return found


def _unserved(reach: LimbReach, task: Task, names: list[str], site: str) -> str:
    """Why no portal serves a site: none reaches it, or each that does misses another at the same place."""
    what = {"insert": "anchor", "hole": "hole", "seat": "lateral anchor"}[task]
    from_here = [name for name in names if site in reach.portal(name).poses]
    if not from_here:
        return (
            f"{what} {site} is reached from none of the portals that may serve it ({', '.join(names)});"
            f" move a portal, turn the arm, or move the {what}"
        )
    return (
        f"{what} {site} is reached from {', '.join(from_here)}, but not the next {what} at or beside its place along"
        f" the tear, and reach is planned as one interval for each portal; move a portal or the {what}"
    )


def _in_one_run(reach: LimbReach, task: Task, sites: frozenset[str]) -> frozenset[str]:
    """Those of some sites that lie in the one interval a portal serves."""
    span = reach.span(sites, task)
    return frozenset(name for name in sites if span and span.holds(reach.along[name]))


def _drawn(portals: list[LimbPortal], reach: LimbReach, arc: float) -> tuple[LimbPortal, ...]:
    """The portals in the diagram: measured along the tear, on a schematic arc lateral to it."""
    xs: list[float] = []
    for portal in portals:
        xs.append(max(portal.x, xs[-1] + ASIDE) if xs else portal.x)
    holes = [reach.along[name] for name in reach.sites["hole"]]
    middle = (min(holes) + max(holes)) / 2
    beyond = (max(holes) - min(holes)) / 2
    front = max(beyond, *(middle - x for x in xs)) + ASIDE
    back = max(beyond, *(x - middle for x in xs)) + ASIDE

    def lateral(x: float) -> float:
        return arc * sqrt(1 - ((x - middle) / (front if x < middle else back)) ** 2)

    return tuple(replace(p, x=round(x, 1), y=round(lateral(x), 1)) for p, x in zip(portals, xs, strict=True))


def _with_loose(
    portals: tuple[LimbPortal, ...], loose: Sequence[float], inserts: dict[str, frozenset[str]], working: str
) -> tuple[LimbPortal, ...]:
    """Free sutures come in by the side portal, or where anchors also go in there by the working cannula."""
    if not loose:
        return portals
    entry = working if SIDE in inserts else SIDE
    return tuple(
        replace(p, inserts=Span(min(loose), max(loose))) if p.name == entry and p.inserts is None else p
        for p in portals
    )
