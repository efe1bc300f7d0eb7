"""Why a field allows no order of work, found before any search and named."""

from collections.abc import Iterator

from cuffwright.limbs.coding import OUTSIDE, PASSED, STRIDE, UNPASSED, Board, State
from cuffwright.limbs.rules import owed


def obstacle(board: Board, s: State) -> str:
    """Why no order of work can exist, as the end of a sentence; ``""`` when nothing obvious stands in the way."""
    return next((reason for part in _PARTS for reason in part(board, s)), "")


def _holes(board: Board, s: State) -> Iterator[str]:
    for i, code in enumerate(s.at):
        if board.hole[i] is None or code // STRIDE > UNPASSED:
            continue
        ways = {*board.passes[i], *board.pierces[i]}
        if not ways:
            yield f"no portal reaches hole {board.limbs[i]}; move a portal, turn the arm, or move the hole"
        yield from _unseen(board, s, ways, f"hole {board.limbs[i]} is reached")


def _carriers(board: Board, s: State) -> Iterator[str]:
    for c, carrier in enumerate(board.field.carriers):
        waiting, ways = [q for q in board.carried[c] if s.at[2 * q] // STRIDE == OUTSIDE], board.inserts[c]
        if waiting and not ways:
            yield f"no open portal admits anchor {carrier.name} there; open or move a portal"
        if waiting:
            yield from _unseen(board, s, set(ways), f"anchor {carrier.name} goes in")
        if waiting and 2 * len(waiting) > max((board.capacity[k] for k in ways), default=0):
            yield f"anchor {carrier.name} brings {2 * len(waiting)} limbs, more than its portal holds"
        if carrier.eyelet is not None and len(board.carried[c]) > carrier.eyelet:
            yield f"the eyelet of anchor {carrier.name} admits {carrier.eyelet} sutures, not {len(board.carried[c])}"


def _knots(board: Board, s: State) -> Iterator[str]:
    workers = [k for k, p in enumerate(board.field.portals) if p.cannula and p.open]
    if any(tied and s.at[2 * q] // STRIDE <= PASSED for q, tied in enumerate(board.tied)):
        if not any(board.capacity[k] > 1 for k in workers):
            yield "there is no open portal with a cannula to tie in; place one"
        yield from _unseen(board, s, set(workers), "knots are tied")


def _seats(board: Board, s: State) -> Iterator[str]:
    for j, seat in enumerate(board.field.seats):
        due = len(owed(board, s, j))
        if due and not board.seats[j]:
            yield f"no open portal admits lateral anchor {seat.name}; open or move a portal"
        if due > seat.load:
            yield f"lateral anchor {seat.name} is to take {due} limbs but takes {seat.load}; add a lateral anchor"
        if due and due > max(board.capacity[k] for k in board.seats[j]):
            yield f"lateral anchor {seat.name} is to take {due} limbs, more than its portal holds"
        if due:
            yield from _unseen(board, s, set(board.seats[j]), f"lateral anchor {seat.name} goes in")


def _closed(board: Board, s: State) -> Iterator[str]:
    if s.at and not any(board.open[k] and most for k, most in enumerate(board.capacity)):
        yield "no portal is open"


def _unseen(board: Board, s: State, ways: set[int], what: str) -> Iterator[str]:
    """Work that is possible only where the arthroscope stands, when it has no other portal to go to."""
    if ways == {s.scope} and set(board.views) <= ways and "scope-clear" in board.hard:
        yield (
            f"{what} only by the {board.portals[s.scope]} portal, where the arthroscope stands, and no other portal"
            " of this set that is open may view; add one that may"
        )


_PARTS = (_holes, _carriers, _knots, _seats, _closed)
