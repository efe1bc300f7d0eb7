"""Which limbs an instrument goes under, so that no knot and no lateral anchor pins a limb that must still slide."""

from dataclasses import replace

from cuffwright.case.limbs import LimbState, Move
from cuffwright.limbs.coding import Board, Coded, State
from cuffwright.limbs.following import after
from cuffwright.limbs.tangle import Layers


def laid(board: Board, state: LimbState, coded: tuple[Coded, ...]) -> tuple[Move, ...]:
    """The moves, with limbs brought under those that their knot or lateral anchor would else pin."""
    s, layers = board.coded(state), Layers.of(board, state)
    moves: list[Move] = []
    for at, m in enumerate(coded):
        t = after(board, s, m)
        under = _lifted(layers, t, m.limbs, _pinned(board, layers, t, coded, at))
        layers.follow(board, m, t, under)
        moves.append(replace(board.plain_move(m), under=tuple(board.limbs[i] for i in under)))
        s = t
    return tuple(moves)


def _lifted(layers: Layers, t: State, moved: tuple[int, ...], under: list[int]) -> list[int]:
    """With these limbs also all that lie over them: under one and over another above it would close a ring."""
    pairs = [pair for pair in layers.over if not set(pair) & set(moved)]
    reached, fresh = set(under), set(under)
    while fresh:
        fresh = {a for a, b in pairs if b in fresh} - reached
        reached |= fresh
    crossed = {j for i in moved for j in layers.diagram.crossed(t.at, i)}
    return sorted(reached & crossed)


def _pinned(board: Board, layers: Layers, t: State, moves: tuple[Coded, ...], at: int) -> list[int]:
    """Limbs to go under with this move, since the knot or the lateral anchor that comes next would else pin them."""
    m = moves[at]
    if m.kind not in ("retrieve", "pass") or at + 1 == len(moves):
        return []
    trial = Layers(layers.diagram, set(layers.over), set(layers.suspect))
    trial.follow(board, m, t)
    if m.kind == "retrieve" and moves[at + 1].kind == "tie":
        lies = trial.ties(t, (2 * moves[at + 1].what, 2 * moves[at + 1].what + 1))
        return [i for i, lie in lies.items() if lie == "pinned" and trial.slides(board, t, i)]
    seat = next((n for n in moves[at + 1 :] if n.kind != "retrieve" or n.to != m.to), None)
    if seat is None or seat.kind != "seat" or seat.to != m.to:
        return []
    below = {b for a, b in trial.over if a in m.limbs and b not in seat.limbs}
    return sorted(i for i in below if trial.slides(board, t, i))
