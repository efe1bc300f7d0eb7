"""What stands after a move, legal or not, and whether all is done."""

from cuffwright.limbs.coding import CUT, FIXED, KNOTTED, OUTSIDE, PASSED, STRIDE, UNPASSED, Board, Coded, State
from cuffwright.limbs.rules import contents


def after(board: Board, s: State, m: Coded) -> State:
    """What stands after the move as made, legal or not."""
    if m.kind == "scope":
        return s._replace(scope=m.to, joint=m.joint)
    if m.kind == "cannula":
        return s._replace(cannulas=s.cannulas | 1 << m.to)
    if m.kind == "test":
        return s
    at, together = list(s.at), s.together
    if m.kind == "insert":
        for i in (i for q in board.carried[m.what] for i in (2 * q, 2 * q + 1)):
            if at[i] // STRIDE == OUTSIDE:
                at[i] = (PASSED if board.hole[i] is None else UNPASSED) * STRIDE + m.to
    elif m.kind == "retrieve":
        together = _regrasped(s, m.limbs)
        for i in m.limbs:
            at[i] = at[i] // STRIDE * STRIDE + m.to
    elif m.kind in ("pass", "penetrate", "unpass"):
        (i,) = m.limbs
        at[i] = (UNPASSED if m.kind == "unpass" else PASSED) * STRIDE + m.to
        together &= ~(1 << i // 2)
    elif m.kind == "tie":
        at[2 * m.what] = at[2 * m.what + 1] = KNOTTED * STRIDE + m.to
        together &= ~(1 << m.what)
    else:
        return _ended(s, m, at)
    return s._replace(at=tuple(at), together=together)


def _ended(s: State, m: Coded, at: list[int]) -> State:
    """The state after limbs were cut or seated."""
    if m.kind == "cut":
        for i in (2 * m.what, 2 * m.what + 1):
            at[i] = CUT * STRIDE if at[i] // STRIDE == KNOTTED else at[i]
        return s._replace(at=tuple(at))
    for i in contents(s, m.to):
        at[i] = FIXED * STRIDE + m.what
    return s._replace(at=tuple(at), seated=s.seated | 1 << m.what)


def _regrasped(s: State, limbs: tuple[int, ...]) -> int:
    """The together bits after these limbs were moved in one grasp."""
    together = s.together
    for i in limbs:
        together &= ~(1 << i // 2)
    for i in limbs:
        both = i % 2 == 0 and i + 1 in limbs
        if both and s.at[i] // STRIDE == PASSED and s.at[i + 1] // STRIDE == PASSED:
            together |= 1 << i // 2
    return together


def done(s: State) -> bool:
    """Whether every limb has come to its end."""
    return all(code // STRIDE >= FIXED for code in s.at) if s.at else True
