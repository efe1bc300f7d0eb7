"""What a list of moves costs: counted, and in minutes only where a site has logged its own."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import nnls

from cuffwright.case.limb_plan import LimbCounts
from cuffwright.case.limbs import LimbField, LimbState, Move, MoveKind
from cuffwright.limbs.coding import Board, lives
from cuffwright.limbs.following import after
from cuffwright.limbs.search import Search

TIMED: tuple[MoveKind, ...] = ("insert", "retrieve", "pass", "penetrate", "tie", "cut", "scope", "seat")
"""Kinds of moves that a site's minutes are shared among."""


def count(field: LimbField, state: LimbState, moves: Sequence[Move]) -> LimbCounts:
    """Count moves, retrievals, limbs moved, pulls through tendon and crossings of a list of moves from ``state``.

    A pull through tendon is a pass, a sliding knot, or a knotless limb drawn tight. A limb step is one limb hanging
    out of the skin after one move.
    """
    board = Board(field)
    search, s = Search(board), board.coded(state)
    kinds = [m.kind for m in moves]
    shuttles = crossings = pulls = steps = most = 0
    for move in moves:
        m = board.coded_move(move)
        t = after(board, s, m)
        shuttles += len(m.limbs) if m.kind == "retrieve" else 0
        pulls += m.kind in ("pass", "penetrate", "unpass")
        pulls += m.kind == "tie" and field.sutures[m.what].slides
        pulls += sum(not board.tied[i // 2] for i in m.limbs) if m.kind == "seat" else 0
        crossings += search.crossings(m, t)
        out = sum(lives(code) for code in t.at)
        steps += out if m.kind != "test" else 0
        most = max(most, out)
        s = t
    return LimbCounts(
        moves=sum(kind != "test" for kind in kinds),
        retrievals=kinds.count("retrieve"),
        shuttles=shuttles,
        passes=kinds.count("pass") + kinds.count("penetrate"),
        knots=kinds.count("tie"),
        cuts=kinds.count("cut"),
        seats=kinds.count("seat"),
        scope_moves=kinds.count("scope"),
        most_parked=most,
        limb_steps=steps,
        crossings=crossings,
        pulls=pulls,
    )


@dataclass(frozen=True)
class Logged:
    """One operation of a site's log: how often each kind of move was made, and the minutes they took in all."""

    moves: dict[MoveKind, int]
    minutes: float


@dataclass(frozen=True)
class Minutes:
    """Minutes of each kind of move as a site's own log gives them; ``needs`` says what is missing, ``""`` nothing."""

    each: dict[MoveKind, float] = field(default_factory=dict)
    needs: str = ""

    def of(self, moves: Sequence[Move]) -> float | None:
        """Minutes of a list of moves; None where the log does not say."""
        kinds = {m.kind for m in moves} - {"test", "unpass", "cannula"}
        if self.needs or not kinds <= set(self.each):
            return None
        return round(sum(self.each[m.kind] for m in moves if m.kind in self.each), 1)


def calibrated(log: Sequence[Logged], least: int) -> Minutes:
    """Minutes of each kind of move by non-negative least squares on the site's log of at least ``least`` operations."""
    if len(log) < least:
        return Minutes(needs=f"{least} operations logged at this site with their minutes; there are {len(log)}")
    kinds = [k for k in TIMED if any(one.moves.get(k, 0) for one in log)]
    table = np.array([[float(one.moves.get(k, 0)) for k in kinds] for one in log])
    found, _ = nnls(table, np.array([one.minutes for one in log]))
    return Minutes({k: float(x) for k, x in zip(kinds, found, strict=True)})
