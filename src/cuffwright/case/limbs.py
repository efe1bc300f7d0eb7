"""Suture limbs in theatre as plain values: portals, sutures, rules, the state between two moves, and a move.

Limbs are named anchor, suture letter, then ``F`` (front) or ``B`` (back): ``1aF``, ``1aB``. A limb without a hole is
the other end of a simple stitch or of a tunnel's suture. Places along the tear are the chart's u, in mm.
"""

from dataclasses import dataclass, replace
from typing import Literal

from cuffwright.case.errors import CaseError
from cuffwright.case.reach import Compartment

Stage = Literal["outside", "unpassed", "passed", "knotted", "fixed", "cut", "removed"]
"""Where a limb is in its course; the last three are final."""

MoveKind = Literal[
    "insert",
    "test",
    "retrieve",
    "pass",
    "penetrate",
    "tie",
    "cut",
    "scope",
    "seat",
    "unpass",
    "cannula",
]

Ending = Literal["bridged", "tied and cut", "knotless"]
Holder = Literal["surgeon", "assistant"]
Weight = Literal["hard", "soft", "risk", "note"]


@dataclass(frozen=True)
class Span:
    """An interval along the tear, chart u in mm, ends included."""

    low: float
    high: float

    def holds(self, u: float) -> bool:
        """Whether ``u`` lies in it."""
        return self.low <= u <= self.high


@dataclass(frozen=True)
class LimbPortal:
    """A portal as limbs see it.

    ``x`` (backwards) and ``y`` (lateral) place it in the diagram seen from above, schematic mm. ``inserts`` is where
    anchors that carry limbs go in through it, ``seats`` lateral anchors, ``passes`` a passer, ``pierces`` a
    penetrating instrument: spans along the tear, None for not at all. ``capacity`` counts limbs.
    """

    name: str
    code: str
    x: float
    y: float
    capacity: int
    cannula: bool = False
    open: bool = True
    views: bool = False
    inserts: Span | None = None
    seats: Span | None = None
    passes: Span | None = None
    pierces: Span | None = None


@dataclass(frozen=True)
class Carrier:
    """An anchor, tunnel or free suture that brings limbs in: its name, place along the tear, sutures it admits.

    ``first`` carriers go in before any limb is passed. ``eyelet`` is how many sutures the eyelet admits, None unknown.
    ``through`` names the portals it goes in by; none: those whose interval holds its place.
    """

    name: str
    at: float
    kind: Literal["anchor", "tunnel", "free suture"] = "anchor"
    first: bool = True
    eyelet: int | None = None
    through: tuple[str, ...] = ()


@dataclass(frozen=True)
class Look:
    """What a thread looks like, as opened: colour by the palette's name, and pattern."""

    colour: str
    pattern: str

    @property
    def words(self) -> str:
        """Both as spoken."""
        return f"{self.colour} {self.pattern}"


@dataclass(frozen=True)
class Suture:
    """One suture: its two limbs, the holes they pass (None: no hole), how it ends, the seats its limbs go to.

    A bridged suture is tied, then each limb goes to one of ``seats`` (either to either); a knotless one sends its
    front limb to the first and its back limb to the second (``""``: nowhere). ``order`` is its place in the order of
    passing; tied sutures are tied in the reverse.
    """

    name: str
    carrier: str
    front: float | None
    back: float | None
    ending: Ending
    seats: tuple[str, ...] = ()
    look: Look | None = None
    slides: bool = True

    @property
    def limbs(self) -> tuple[str, str]:
        """Names of its front and its back limb."""
        return f"{self.name}F", f"{self.name}B"


@dataclass(frozen=True)
class Seat:
    """A lateral anchor: its name, its place along the tear, and how many limbs it takes."""

    name: str
    at: float
    load: int


@dataclass(frozen=True)
class LimbRule:
    """One row of the rule table: what it is called, whether it binds, its weight, why, and how well that is known."""

    name: str
    weight: Weight
    penalty: int
    reason: str
    provenance: str
    source: str


@dataclass(frozen=True)
class LimbField:
    """Everything that stays while limbs move: portals, carriers, sutures, seats, rules and settings.

    ``grasp`` is how many limbs one retrieval takes, ``assistant`` whether a second person holds a grasper, so that a
    passed limb is handed over. ``passed_park`` and ``tied_park`` are where limbs wait by preference. ``pierce_view`` is
    the portal from which a penetrating pass is watched, ``""`` any.

    Raises
    ------
    CaseError
        At birth, when a name stands twice or points nowhere.
    """

    portals: tuple[LimbPortal, ...]
    carriers: tuple[Carrier, ...]
    sutures: tuple[Suture, ...]
    seats: tuple[Seat, ...]
    rules: tuple[LimbRule, ...]
    scope: str
    passed_park: str
    tied_park: str
    pierce_view: str = ""
    compartment: Compartment = "subacromial"
    grasp: int = 2
    assistant: bool = True
    hitches: int = 3
    hole_line: float = 0.0
    eyelet_line: float = 0.0

    def __post_init__(self) -> None:
        carriers, seats = {c.name for c in self.carriers}, {s.name for s in self.seats}
        lists = ([p.name for p in self.portals], [s.name for s in self.sutures])
        for names in (*lists, [c.name for c in self.carriers], [s.name for s in self.seats]):
            double = {n for n in names if names.count(n) > 1}
            if double:
                raise CaseError(f"{min(double)} stands twice among portals, anchors or sutures; name it once")
        for suture in self.sutures:
            lost = ({suture.carrier} - carriers) | (set(suture.seats) - seats - {""})
            if lost:
                raise CaseError(f"suture {suture.name} needs {min(lost)}, which is not there")
        for name in (self.scope, self.passed_park, self.tied_park, self.pierce_view or self.scope):
            self.portal(name)

    def portal(self, name: str) -> LimbPortal:
        """The portal of this name or two-letter code; raises CaseError when there is none."""
        for portal in self.portals:
            if name in (portal.name, portal.code):
                return portal
        raise CaseError(f"there is no portal {name} here; there are {', '.join(p.name for p in self.portals)}")

    def suture(self, name: str) -> Suture:
        """The suture of this name, or of the limb of this name; raises CaseError when there is none."""
        for suture in self.sutures:
            if name == suture.name or name in suture.limbs:
                return suture
        raise CaseError(f"there is no suture or limb {name}; sutures are {', '.join(s.name for s in self.sutures)}")

    def carrier(self, name: str) -> Carrier:
        """The anchor, tunnel or free suture of this name; raises CaseError when there is none."""
        for carrier in self.carriers:
            if carrier.name == name:
                return carrier
        raise CaseError(f"there is no anchor {name} here; there are {', '.join(c.name for c in self.carriers)}")

    def rule(self, name: str) -> LimbRule:
        """The rule of this name; raises CaseError when there is none."""
        for rule in self.rules:
            if rule.name == name:
                return rule
        raise CaseError(f"there is no limb rule {name}")

    def with_rule(self, name: str, weight: Weight) -> "LimbField":
        """The same field with one rule made to weigh otherwise, such as an order rule made soft."""
        self.rule(name)
        return replace(self, rules=tuple(replace(r, weight=weight) if r.name == name else r for r in self.rules))


@dataclass(frozen=True)
class LimbAt:
    """A limb, its stage, and where it hangs: a portal, or the seat that holds it once fixed, or ``""``."""

    limb: str
    stage: Stage
    place: str = ""


@dataclass(frozen=True)
class LimbState:
    """What stands between two moves.

    ``together`` names sutures whose passed limbs came to their portal in one grasp; ``over`` holds pairs of crossing
    limbs, the upper one first; ``suspect`` pairs that a grasp in mid-strand left unresolved. ``untested`` names
    anchors in place that nobody has pulled on yet. ``grasper`` is who holds the grasper. ``astray`` names limbs
    that went through the hole of another and are to be taken back out of it before other work.
    """

    limbs: tuple[LimbAt, ...]
    scope: str
    compartment: Compartment
    cannulas: tuple[str, ...]
    together: tuple[str, ...] = ()
    seated: tuple[str, ...] = ()
    untested: tuple[str, ...] = ()
    grasper: Holder = "surgeon"
    over: tuple[tuple[str, str], ...] = ()
    suspect: tuple[tuple[str, str], ...] = ()
    astray: tuple[str, ...] = ()

    def limb(self, name: str) -> LimbAt:
        """The limb of this name; raises CaseError when there is none."""
        for limb in self.limbs:
            if limb.limb == name:
                return limb
        raise CaseError(f"there is no limb {name} here; there are {', '.join(x.limb for x in self.limbs)}")

    def hanging(self, portal: str) -> tuple[str, ...]:
        """Names of the limbs that hang out of a portal."""
        return tuple(x.limb for x in self.limbs if x.place == portal and x.stage in ("unpassed", "passed", "knotted"))


@dataclass(frozen=True)
class Move:
    """One move: ``limbs`` moved or tied, ``anchor`` inserted, tested or seated, portals ``source`` to ``to``.

    ``under`` names limbs the instrument went under (over all others); ``grab`` in mid-strand leaves the part between
    source and grasp unresolved. ``held`` says whether the pull test, done with an insertion or alone, was passed.
    """

    kind: MoveKind
    limbs: tuple[str, ...] = ()
    source: str = ""
    to: str = ""
    anchor: str = ""
    under: tuple[str, ...] = ()
    grab: Literal["at the source", "mid-strand"] = "at the source"
    held: bool = True
    compartment: Compartment = "subacromial"
