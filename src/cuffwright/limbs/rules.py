"""The hard rules: which rule a move breaks, and what stands after it. Planner and judge share this one place."""

from collections.abc import Iterator

from cuffwright.limbs.coding import (
    KNOTTED,
    OUTSIDE,
    PASSED,
    STRIDE,
    UNPASSED,
    Board,
    Coded,
    State,
    lives,
    place_of,
    stage_of,
)

Broken = tuple[str, tuple[int, ...]]
"""The name of a rule, and the limbs it is about."""


def contents(s: State, portal: int) -> list[int]:
    """Limbs that hang out of a portal."""
    return [i for i, code in enumerate(s.at) if lives(code) and place_of(code) == portal]


def owed(board: Board, s: State, seat: int) -> list[tuple[int, int]]:
    """What a lateral anchor is still owed: limb and -1 for a knotless limb, else -1 and the suture, once per limb."""
    if s.seated >> seat & 1:
        return []
    found = []
    for q, targets in enumerate(board.targets):
        if seat not in targets:
            continue
        if not board.tied[q]:
            found += [(2 * q + k, -1) for k, to in enumerate(targets) if to == seat and _wanted(s.at[2 * q + k])]
        elif not board.tied_off[q]:
            living = sum(_wanted(code) for code in s.at[2 * q : 2 * q + 2])
            pending = [to for to in targets if to >= 0 and not s.seated >> to & 1]
            found += [(-1, q) for to in pending[:living] if to == seat]
    return found


def _wanted(code: int) -> bool:
    return code // STRIDE <= KNOTTED


def passing_left(board: Board, s: State) -> bool:
    """Whether a limb with a hole is not yet through the tendon."""
    return any(u is not None and code // STRIDE <= UNPASSED for u, code in zip(board.hole, s.at, strict=True))


def tying_left(board: Board, s: State) -> bool:
    """Whether a suture that is to be tied is not yet tied."""
    return any(tied and s.at[2 * q] // STRIDE <= PASSED for q, tied in enumerate(board.tied))


def ready(board: Board, s: State, seat: int, here: list[int]) -> bool:
    """Whether ``here`` is exactly the set of limbs the lateral anchor is owed, all in their last stage."""
    due = owed(board, s, seat)
    if not due or len(due) != len(here):
        return False
    if any(stage_of(s.at[i]) != (KNOTTED if board.tied[i // 2] else PASSED) for i in here):
        return False
    wanted = sorted(i if q < 0 else -1 - q for i, q in due)
    return wanted == sorted(i if not board.tied[i // 2] else -1 - i // 2 for i in here)


def broken(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    """Every rule the move breaks, the bookkeeping first; weights are not looked at."""
    if s.joint and m.kind not in ("scope", "cannula", "test", "cut"):
        yield "subacromial", ()
    yield from _ENTRANCES[m.kind](board, s, m)


def allowed(board: Board, s: State, m: Coded) -> bool:
    """Whether the move breaks no rule that binds."""
    return all(rule not in board.hard for rule, _ in broken(board, s, m))


def _entered(board: Board, s: State, to: int, more: int) -> Iterator[Broken]:
    """Rules about limbs or an instrument that enter by a portal."""
    if not board.open[to]:
        yield "portal-open", ()
    if to == s.scope:
        yield "scope-clear", ()
    if len(contents(s, to)) + more > board.capacity[to]:
        yield "capacity", tuple(contents(s, to))


def _insert(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    limbs = [i for q in board.carried[m.what] for i in (2 * q, 2 * q + 1)]
    if not any(s.at[i] // STRIDE == OUTSIDE for i in limbs):
        yield "where", tuple(limbs)
    if m.to not in board.inserts[m.what]:
        yield "reach", ()
    yield from _entered(board, s, m.to, sum(s.at[i] // STRIDE == OUTSIDE for i in limbs))
    eyelet = board.field.carriers[m.what].eyelet
    if eyelet is not None and len(board.carried[m.what]) > eyelet:
        yield "eyelet", tuple(limbs)


def _retrieve(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    astray = tuple(i for i in m.limbs if not lives(s.at[i]) or place_of(s.at[i]) != m.source)
    if astray or not m.limbs or m.source == m.to or len(set(m.limbs)) != len(m.limbs):
        yield "where", astray
    if len(m.limbs) > board.field.grasp:
        yield "grasp", m.limbs
    yield from _entered(board, s, m.to, len(m.limbs))


def _early(board: Board, s: State) -> Iterator[Broken]:
    for c in board.first:
        waiting = tuple(i for q in board.carried[c] for i in (2 * q, 2 * q + 1) if s.at[i] // STRIDE == OUTSIDE)
        if waiting:
            yield "anchors-first", waiting
            return


def _in_order(board: Board, s: State, limb: int) -> Iterator[Broken]:
    rank = board.pass_rank
    before = tuple(
        i
        for i, code in enumerate(s.at)
        if board.hole[i] is not None and code // STRIDE <= UNPASSED and rank[i] < rank[limb]
    )
    if before:
        yield "pass-order", before


def _pass(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    (limb,) = m.limbs
    code = s.at[limb]
    if code // STRIDE != UNPASSED or board.hole[limb] is None:
        yield "unpassed-only", m.limbs
    elif place_of(code) != m.source:
        yield "where", m.limbs
    if m.source == s.scope:
        yield "scope-clear", m.limbs
    if not s.cannulas >> m.source & 1:
        yield "cannula", m.limbs
    others = tuple(i for i in contents(s, m.source) if i != limb)
    if others:
        yield "pass-alone", others
    if m.source not in board.passes[limb]:
        yield "reach", m.limbs
    if m.to != m.source:
        if not board.field.assistant:
            yield "hand-over", m.limbs
        yield from _entered(board, s, m.to, 1)
    yield from _early(board, s)
    yield from _in_order(board, s, limb)


def _penetrate(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    (limb,) = m.limbs
    if s.at[limb] // STRIDE != UNPASSED or board.hole[limb] is None:
        yield "unpassed-only", m.limbs
    if m.to not in board.pierces[limb]:
        yield "reach", m.limbs
    if board.pierce_view >= 0 and s.scope != board.pierce_view:
        yield "pierce-view", m.limbs
    yield from _entered(board, s, m.to, int(place_of(s.at[limb]) != m.to))
    yield from _early(board, s)
    yield from _in_order(board, s, limb)


def _tie(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    pair = (2 * m.what, 2 * m.what + 1)
    here = contents(s, m.to)
    astray = tuple(i for i in pair if s.at[i] // STRIDE != PASSED or place_of(s.at[i]) != m.to)
    if astray or not board.tied[m.what]:
        yield "where", astray or pair
    if m.to == s.scope:
        yield "scope-clear", pair
    if not s.cannulas >> m.to & 1:
        yield "cannula", pair
    others = tuple(i for i in here if i not in pair)
    if others:
        yield "tie-alone", others
    if not s.together >> m.what & 1:
        yield "together", pair
    if passing_left(board, s):
        yield "passes-first", _unpassed(board, s)
    rank = board.tie_rank
    before = tuple(
        i
        for q, tied in enumerate(board.tied)
        if tied and s.at[2 * q] // STRIDE <= PASSED and rank[q] < rank[m.what]
        for i in (2 * q, 2 * q + 1)
    )
    if before:
        yield "tie-order", before


def _unpassed(board: Board, s: State) -> tuple[int, ...]:
    return tuple(i for i, code in enumerate(s.at) if board.hole[i] is not None and code // STRIDE <= UNPASSED)


def _cut(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    pair = (2 * m.what, 2 * m.what + 1)
    if not board.tied_off[m.what] or not any(s.at[i] // STRIDE == KNOTTED for i in pair):
        yield "cut-after-knot", pair


def _scope(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    if m.to not in board.views or (m.to == s.scope and m.joint == s.joint):
        yield "reach", ()
    here = tuple(contents(s, m.to))
    if here:
        yield "scope-clear", here


def _seat(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    if m.to not in board.seats[m.what]:
        yield "reach", ()
    if m.to == s.scope:
        yield "scope-clear", ()
    here = contents(s, m.to)
    if not ready(board, s, m.what, here):
        yield "seat-complete", tuple(here)
    if len(here) > board.field.seats[m.what].load:
        yield "seat-load", tuple(here)
    if passing_left(board, s):
        yield "passes-first", _unpassed(board, s)
    if tying_left(board, s):
        waiting = [q for q, tied in enumerate(board.tied) if tied and s.at[2 * q] // STRIDE <= PASSED]
        yield "ties-first", tuple(i for q in waiting for i in (2 * q, 2 * q + 1))


def _unpass(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    (limb,) = m.limbs
    if s.at[limb] // STRIDE != PASSED or board.hole[limb] is None:
        yield "where", m.limbs
    yield from _entered(board, s, m.to, int(place_of(s.at[limb]) != m.to))


def _cannula(board: Board, _s: State, m: Coded) -> Iterator[Broken]:
    if not board.field.portals[m.to].cannula:
        yield "reach", ()


def _test(board: Board, s: State, m: Coded) -> Iterator[Broken]:
    limbs = tuple(i for q in board.carried[m.what] for i in (2 * q, 2 * q + 1))
    if not any(lives(s.at[i]) for i in limbs):
        yield "where", limbs


_ENTRANCES = {
    "insert": _insert,
    "test": _test,
    "retrieve": _retrieve,
    "pass": _pass,
    "penetrate": _penetrate,
    "tie": _tie,
    "cut": _cut,
    "scope": _scope,
    "seat": _seat,
    "unpass": _unpass,
    "cannula": _cannula,
}
