"""The field seen from above: each limb a straight line from its source to its portal; which lines cross."""

from functools import lru_cache

from cuffwright.limbs.coding import KNOTTED, PASSED, STRIDE, Board, lives, place_of

Point = tuple[float, float]


class Diagram:
    """Where limbs start and leave in the plane of a field, and whether two of them cross."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.exits = tuple((p.x, p.y) for p in board.field.portals)
        self.cross = lru_cache(maxsize=None)(self._cross)

    def source(self, limb: int, stage: int) -> Point:
        """Where the limb starts: eyelet before it is passed, its hole once passed, the knot once tied."""
        field, q = self.board.field, limb // 2
        suture, carrier = field.sutures[q], field.carriers[self.board.carrier[q]]
        hole = self.board.hole[limb]
        if stage == KNOTTED:
            holes = [u for u in (suture.front, suture.back) if u is not None]
            return sum(holes) / max(1, len(holes)), field.hole_line
        if stage == PASSED and hole is not None:
            return hole, field.hole_line
        return carrier.at, field.eyelet_line

    def _cross(self, first: int, first_code: int, second: int, second_code: int) -> bool:
        if not (lives(first_code) and lives(second_code)) or place_of(first_code) == place_of(second_code):
            return False
        a, b = (self.source(i, code // STRIDE) for i, code in ((first, first_code), (second, second_code)))
        if a == b:
            return False
        return crossing((a, self.exits[place_of(first_code)]), (b, self.exits[place_of(second_code)]))

    def crossed(self, at: tuple[int, ...], limb: int) -> list[int]:
        """The limbs whose lines cross the line of ``limb``."""
        return [j for j in range(len(at)) if j != limb and self.cross(limb, at[limb], j, at[j])]


def crossing(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Whether two straight pieces cross within both."""
    (a, b), (c, d) = first, second
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
