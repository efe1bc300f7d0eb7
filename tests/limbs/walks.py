"""Random legal walks, and what must hold after every step of them."""

import numpy as np

from cuffwright.case.limbs import LimbField
from cuffwright.limbs.coding import CUT, FIXED, KNOTTED, OUTSIDE, PASSED, REMOVED, UNPASSED, Board, Coded, State
from cuffwright.limbs.following import after
from cuffwright.limbs.options import legal

FINAL = (FIXED, CUT, REMOVED)


def start(field: LimbField) -> State:
    """Nothing in yet."""
    board = Board(field)
    cannulas = sum(1 << k for k, p in enumerate(field.portals) if p.cannula)
    return State((0,) * (2 * len(field.sutures)), board.portals.index(field.scope), 0, 0, cannulas, 0)


def walk(board: Board, s: State, rng: np.random.Generator, most: int) -> list[tuple[Coded, State]]:
    """Up to ``most`` random legal moves, work twice as likely as shuffles, and the state after each."""
    found: list[tuple[Coded, State]] = []
    for _ in range(most):
        moves = legal(board, s)
        if not moves:
            break
        work = [m for m in moves if m.kind not in ("retrieve", "unpass", "scope")]
        chosen = work if work and rng.random() < 0.5 else moves
        m = chosen[int(rng.integers(len(chosen)))]
        s = after(board, s, m)
        found.append((m, s))
    return found


def broken(board: Board, before: State, m: Coded, now: State) -> str:
    """The first law of the bookkeeping that a step breaks; ``""`` when all hold. Uses no rule of the planner."""
    field = board.field
    old, new = ([(c // 64, c % 64) for c in s.at] for s in (before, now))
    out = [place for stage, place in new if UNPASSED <= stage <= KNOTTED]
    if len(new) != 2 * len(field.sutures) or any(not OUTSIDE <= stage <= REMOVED for stage, _ in new):
        return "every limb has one stage"
    if any(a != b for a, b in zip(old, new, strict=True) if a[0] in FINAL):
        return "what is fixed or cut stays"
    if m.kind != "unpass" and any(b[0] < a[0] for a, b in zip(old, new, strict=True)):
        return "no stage goes back"
    for q in range(len(field.sutures)):
        pair = {new[2 * q][0] >= KNOTTED, new[2 * q + 1][0] >= KNOTTED}
        if len(pair) > 1:
            return "both limbs of a suture are tied at once"
    for k, portal in enumerate(field.portals):
        if out.count(k) > portal.capacity:
            return "no portal holds more than it may"
    if now.scope in out:
        return "nothing hangs out beside the arthroscope"
    for j, seat in enumerate(field.seats):
        inside = [i for i, (stage, place) in enumerate(new) if stage == FIXED and place == j]
        if len(inside) > seat.load or len({i // 2 for i in inside}) != len(inside):
            return "a lateral anchor takes one limb of each suture and not too many"
    if sum(stage == PASSED for stage, _ in new) and m.kind == "pass" and new[m.limbs[0]][0] != PASSED:
        return "a pass passes its limb"
    return ""
