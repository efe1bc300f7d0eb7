"""A second, simpler look at a finished plan, which shares no rule with the planner: replay, count, linking numbers.

Every limb carries the moment it was last laid down; of two that cross, the later lies on top unless its instrument went
under. The linking number of a limb with a pair is half the difference of its two signs; 1 is a capture.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from dataclasses import field as fresh

from cuffwright.case.limbs import Ending, LimbField, LimbState, Move, Suture

Point = tuple[float, float]


@dataclass
class Replay:
    """Where every limb is, when it was laid, and what was found wrong so far."""

    field: LimbField
    stage: dict[str, str]
    place: dict[str, str]
    scope: str
    laid: dict[str, int]
    under: dict[str, frozenset[str]]
    older: set[tuple[str, str]]
    together: set[str]
    trouble: list[str] = fresh(default_factory=list)
    ties: list[tuple[int, str, str]] = fresh(default_factory=list)

    def here(self, portal: str) -> set[str]:
        """Limbs hanging out of a portal."""
        return {x for x, p in self.place.items() if p == portal}

    def need(self, holds: bool, step: int, words: str) -> None:
        """Note what is wrong at a step."""
        if not holds:
            self.trouble.append(f"step {step}: {words}")


def certify(field: LimbField, state: LimbState, moves: Sequence[Move]) -> Replay:
    """Replay a plan; ``trouble`` is empty when it is legal, complete and free of tangles.

    Limbs laid over everything each time never lie in a ring; whether they do is looked at once one was laid under.
    """
    replay = Replay(
        field,
        {x.limb: x.stage for x in state.limbs},
        {x.limb: x.place for x in state.limbs if x.stage in ("unpassed", "passed", "knotted")},
        state.scope,
        {x.limb: 0 for x in state.limbs},
        {},
        set(state.over),
        set(state.together),
    )
    ring: list[str] = []
    for step, move in enumerate(moves, 1):
        _step(replay, step, move)
        for portal in field.portals:
            here = replay.here(portal.name)
            replay.need(len(here) <= portal.capacity, step, f"{len(here)} limbs in the {portal.name} portal")
            replay.need(not here or portal.name != replay.scope, step, "a limb hangs out beside the arthroscope")
        if state.over or any(replay.under.values()):
            last, ring = ring, _ring(replay)
            replay.need(not ring or ring == last, step, f"{', '.join(ring)} lie each over the next in a ring")
    left = [x for x, stage in replay.stage.items() if stage not in ("fixed", "cut", "removed")]
    replay.need(not left, len(moves), f"{', '.join(left)} not brought to an end")
    return replay


def _step(r: Replay, step: int, m: Move) -> None:
    if m.kind == "insert":
        for suture in (s for s in r.field.sutures if s.carrier == m.anchor):
            for limb, hole in zip(suture.limbs, (suture.front, suture.back), strict=True):
                if r.stage[limb] == "outside":
                    _lay(r, limb, "unpassed" if hole is not None else "passed", m.to, step, m)
    elif m.kind == "retrieve":
        _retrieved(r, step, m)
    elif m.kind in ("pass", "penetrate"):
        _passed(r, step, m)
    elif m.kind == "unpass":
        (limb,) = m.limbs
        r.need(r.stage[limb] == "passed", step, f"{limb} is {r.stage[limb]}, so there is no hole to take it out of")
        r.together.discard(r.field.suture(limb).name)
        _lay(r, limb, "unpassed", m.to, step, m)
    elif m.kind == "tie":
        _tied(r, step, m)
    elif m.kind in ("seat", "cut"):
        _ended(r, step, m)
    elif m.kind == "scope":
        r.scope = m.to


def _retrieved(r: Replay, step: int, m: Move) -> None:
    for limb in m.limbs:
        r.need(r.place.get(limb) == m.source, step, f"{limb} is not in the {m.source} portal")
        r.together.discard(r.field.suture(limb).name)
        _lay(r, limb, r.stage[limb], m.to, step, m)
    for suture in r.field.sutures:
        if set(suture.limbs) <= set(m.limbs):
            r.together.add(suture.name)


def _lay(r: Replay, limb: str, stage: str, portal: str, step: int, m: Move) -> None:
    r.stage[limb], r.place[limb], r.laid[limb], r.under[limb] = stage, portal, step, frozenset(m.under)
    r.older = {pair for pair in r.older if limb not in pair}


def _passed(r: Replay, step: int, m: Move) -> None:
    (limb,) = m.limbs
    r.need(r.stage[limb] == "unpassed", step, f"{limb} is {r.stage[limb]}")
    if m.kind == "pass":
        r.need(r.here(m.source) == {limb}, step, "the passing cannula holds more or less than the limb")
    else:
        r.need(m.to != r.scope, step, "the instrument works beside the arthroscope")
    r.together.discard(r.field.suture(limb).name)
    _lay(r, limb, "passed", m.to, step, m)


def _tied(r: Replay, step: int, m: Move) -> None:
    suture = r.field.suture(m.limbs[0])
    r.need(r.here(m.to) == set(suture.limbs), step, "the tying cannula holds more or less than the pair")
    r.need(all(r.stage[x] == "passed" for x in suture.limbs), step, f"{suture.name} is not passed")
    r.need(suture.name in r.together, step, f"{suture.name} did not come in one grasp")
    for limb in sorted(r.place):
        if limb not in suture.limbs:
            _linked(r, step, suture, limb)
    for limb in suture.limbs:
        r.stage[limb] = "knotted"


def _linked(r: Replay, step: int, suture: Suture, limb: str) -> None:
    signs = [_sign(r, limb, strand) for strand in suture.limbs]
    if signs == [0, 0]:
        return
    linking = (signs[0] - signs[1]) / 2
    later = r.field.suture(limb)
    slides = r.stage[limb] in ("unpassed", "passed") if later.ending != "knotless" else True
    if abs(linking) == 1:
        r.need(False, step, f"the knot of {suture.name} captures {limb}")
    elif abs(linking) == 0.5 and slides and r.stage[limb] != "unpassed":
        (strand,) = (x for x, sign in zip(suture.limbs, signs, strict=True) if sign)
        r.need(not _on_top(r, strand, limb), step, f"the knot of {suture.name} pins {limb}")
    words = {0: "both on one side", 0.5: "crosses one strand", 1: "captured"}[abs(linking)]
    r.ties.append((step, limb, f"{words}, linking number {linking:g}"))


def _sign(r: Replay, limb: str, strand: str) -> int:
    """1 when, where the two cross, the strand that runs towards the back is on top; -1 below; 0 without a crossing."""
    a, b = _line(r, limb), _line(r, strand)
    if r.place[limb] == r.place[strand] or not _cross(a, b):
        return 0
    on_top = _on_top(r, limb, strand)
    backwards = (a[1][0] - a[0][0]) > (b[1][0] - b[0][0])
    return 1 if on_top == backwards else -1


def _on_top(r: Replay, limb: str, other: str) -> bool:
    if (limb, other) in r.older or (other, limb) in r.older:
        return (limb, other) in r.older
    if r.laid[limb] == r.laid[other]:
        return limb > other
    late, early = (limb, other) if r.laid[limb] > r.laid[other] else (other, limb)
    top = early if early in r.under.get(late, ()) else late
    return top == limb


def _ring(r: Replay) -> list[str]:
    """Limbs of which none can be lifted off, since each lies over the next; found by lifting off all that can be."""
    left = sorted(r.place)
    below = {a: {b for b in left if b != a and _sign(r, a, b) and _on_top(r, a, b)} for a in left}
    while True:
        lowest = [a for a in below if not below[a] & set(below)]
        if not lowest:
            return sorted(below)
        for a in lowest:
            del below[a]


def _line(r: Replay, limb: str) -> tuple[Point, Point]:
    suture, f = r.field.suture(limb), r.field
    portal = f.portal(r.place[limb])
    hole = suture.front if limb == suture.limbs[0] else suture.back
    if r.stage[limb] == "knotted":
        holes = [u for u in (suture.front, suture.back) if u is not None]
        start = (sum(holes) / len(holes), f.hole_line)
    elif r.stage[limb] == "passed" and hole is not None:
        start = (hole, f.hole_line)
    else:
        start = (f.carrier(suture.carrier).at, f.eyelet_line)
    return start, (portal.x, portal.y)


def _cross(a: tuple[Point, Point], b: tuple[Point, Point]) -> bool:
    """Whether two lines cross: solved for their meeting point, which must lie within both."""
    (px, py), (qx, qy) = a
    (rx, ry), (sx, sy) = b
    across = (qx - px) * (sy - ry) - (qy - py) * (sx - rx)
    if across == 0:
        return False
    along = ((rx - px) * (sy - ry) - (ry - py) * (sx - rx)) / across
    other = ((rx - px) * (qy - py) - (ry - py) * (qx - px)) / across
    return 0 < along < 1 and 0 < other < 1


def _ended(r: Replay, step: int, m: Move) -> None:
    limbs = set(m.limbs) if m.kind == "cut" else r.here(m.to)
    if m.kind == "seat":
        r.need(limbs == set(m.limbs), step, f"lateral anchor {m.anchor} would take other limbs than listed")
        for other in sorted(set(r.place) - limbs):
            slides = r.stage[other] != "knotted"
            above = [x for x in sorted(limbs) if slides and _sign(r, x, other) and _on_top(r, x, other)]
            r.need(not above, step, f"lateral anchor {m.anchor} pins {other}")
    for limb in limbs:
        suture = r.field.suture(limb)
        last = {"bridged": "knotted", "tied and cut": "knotted", "knotless": "passed"}
        endings: dict[Ending, str] = {"bridged": "seat", "tied and cut": "cut", "knotless": "seat"}
        r.need(r.stage[limb] == last[suture.ending], step, f"{limb} is only {r.stage[limb]}")
        r.need(endings[suture.ending] == m.kind, step, f"{limb} does not end that way")
        r.need(m.kind == "cut" or m.anchor in suture.seats, step, f"{limb} does not go to {m.anchor}")
        r.stage[limb] = "cut" if m.kind == "cut" else "fixed"
        r.place.pop(limb, None)
