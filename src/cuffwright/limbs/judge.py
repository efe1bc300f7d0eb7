"""The judge: what a move would break or risk, why, what to do; and the state after it. All in plain values."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cuffwright.case.limb_plan import Finding, Severity
from cuffwright.case.limbs import LimbAt, LimbField, LimbState, Move
from cuffwright.limbs.coding import KNOTTED, PASSED, STRIDE, UNPASSED, Board, Coded, State, lives, place_of
from cuffwright.limbs.diagram import Diagram
from cuffwright.limbs.following import after
from cuffwright.limbs.options import legal
from cuffwright.limbs.remedies import REMEDIES
from cuffwright.limbs.rules import broken, passing_left
from cuffwright.limbs.tangle import Layers

TANGLED = {"captured": "capture", "suspect": "capture", "pinned": "pin"}
"""Which rule a limb's lie to a pair breaks."""


def opening(field: LimbField) -> LimbState:
    """The state before the first anchor: nothing in, cannulas where they are meant, arthroscope at its start."""
    limbs = tuple(LimbAt(name, "outside") for suture in field.sutures for name in suture.limbs)
    cannulas = tuple(p.name for p in field.portals if p.cannula and p.open)
    return LimbState(limbs, field.portal(field.scope).name, field.compartment, cannulas)


def legal_moves(field: LimbField, state: LimbState) -> tuple[Move, ...]:
    """Every move that the judge would not call illegal."""
    diagram = Diagram(Board(field))
    board = diagram.board
    s = board.coded(state)
    moves = [board.plain_move(m) for m in legal(board, s)]
    moves += [Move("test", anchor=name) for name in state.untested]
    moves += [
        Move("cannula", to=p.name) for p in field.portals if p.cannula and p.open and p.name not in state.cannulas
    ]
    return tuple(m for m in moves if not any(f.severity == "illegal" for f in judge(field, state, m, diagram)))


def judge(field: LimbField, state: LimbState, move: Move, diagram: Diagram | None = None) -> tuple[Finding, ...]:
    """What speaks against a move: rules it breaks first, then risks, then notes; empty when nothing does.

    ``diagram`` is the field's own, handed in where many moves are judged.

    Raises
    ------
    CaseError
        When the move names a limb, portal or anchor that is not there.
    """
    diagram = diagram or Diagram(Board(field))
    board = diagram.board
    s, m = board.coded(state), board.coded_move(move)
    found = [_said(board, rule, limbs) for rule, limbs in broken(board, s, m)]
    found += _untested(board, state, m)
    if state.astray and m.kind in ("pass", "penetrate", "tie", "seat"):
        found.append(_said(board, "astray", tuple(board.limbs.index(x) for x in state.astray)))
    if not any(f.severity == "illegal" and f.rule == "where" for f in found):
        layers = Layers.of(board, state, diagram)
        found += _tangles(board, layers, s, m)
        found += _risks(board, layers, s, m, move)
    order: dict[Severity, int] = {"illegal": 0, "risk": 1, "note": 2}
    return tuple(sorted(found, key=lambda f: order[f.severity]))


def apply(field: LimbField, state: LimbState, move: Move, diagram: Diagram | None = None) -> LimbState:
    """The state after a move as it was made, legal or not; ``diagram`` as in ``judge``.

    Raises
    ------
    CaseError
        When the move names a limb, portal or anchor that is not there.
    """
    diagram = diagram or Diagram(Board(field))
    board = diagram.board
    s, m = board.coded(state), board.coded_move(move)
    layers = Layers.of(board, state, diagram)
    t = after(board, s, m)
    layers.follow(board, m, t, [board.limbs.index(x) for x in move.under], move.grab == "mid-strand")
    untested = set(state.untested)
    if move.kind in ("insert", "test"):
        untested = untested - {move.anchor} if move.held else untested | {move.anchor}
    grasper = state.grasper
    if move.kind in ("retrieve", "pass"):
        grasper = "assistant" if move.kind == "pass" and move.to != move.source else "surgeon"
    return LimbState(
        limbs=tuple(board.at(name, code) for name, code in zip(board.limbs, t.at, strict=True)),
        scope=board.portals[t.scope],
        compartment="joint" if t.joint else "subacromial",
        cannulas=tuple(p for k, p in enumerate(board.portals) if t.cannulas >> k & 1),
        together=tuple(x.name for q, x in enumerate(field.sutures) if t.together >> q & 1),
        seated=tuple(x.name for j, x in enumerate(field.seats) if t.seated >> j & 1),
        untested=tuple(sorted(untested)),
        grasper=grasper,
        over=layers.named(board, layers.over),
        suspect=layers.named(board, layers.suspect),
        astray=tuple(x for x in state.astray if move.kind != "unpass" or x not in move.limbs),
    )


def check(field: LimbField, state: LimbState, moves: Sequence[Move]) -> tuple[tuple[Finding, ...], LimbState]:
    """Judge a recorded list of moves and follow it to its end, illegal steps too; findings carry their step."""
    found: list[Finding] = []
    diagram = Diagram(Board(field))
    for step, move in enumerate(moves, 1):
        found += [replace(finding, step=step) for finding in judge(field, state, move, diagram)]
        state = apply(field, state, move, diagram)
    return tuple(found), state


def _said(board: Board, rule: str, limbs: tuple[int, ...]) -> Finding:
    row = board.field.rule(rule)
    severity: Severity = "illegal" if row.weight == "hard" else ("note" if row.weight == "note" else "risk")
    names = tuple(board.limbs[i] for i in limbs)
    about = f"{', '.join(names)}: " if names else ""
    return Finding(rule, severity, f"{about}{row.reason}", REMEDIES.get(rule, ""), names)


def _untested(board: Board, state: LimbState, m: Coded) -> list[Finding]:
    if m.kind not in ("pass", "penetrate"):
        return []
    carrier = board.field.carriers[board.carrier[m.limbs[0] // 2]].name
    return [_said(board, "tested", m.limbs)] if carrier in state.untested else []


def _tangles(board: Board, layers: Layers, s: State, m: Coded) -> list[Finding]:
    """What runs through the loop about to be tied, or lies under the bar of its knot."""
    if m.kind == "seat":
        pinned = {b for a, b in layers.over if a in m.limbs and b not in m.limbs and layers.slides(board, s, b)}
        return [_said(board, "capture", tuple(sorted(pinned)))] if pinned else []
    if m.kind != "tie":
        return []
    found = []
    for limb, lie in layers.ties(s, (2 * m.what, 2 * m.what + 1)).items():
        rule = TANGLED.get(lie)
        if rule == "capture" or (rule == "pin" and layers.slides(board, s, limb)):
            found.append(_said(board, rule, (limb,)))
    return found


def _risks(board: Board, layers: Layers, s: State, m: Coded, move: Move) -> Iterator[Finding]:
    t = after(board, s, m)
    if m.kind == "retrieve":
        yield from _retrieved(board, layers, s, m)
    if m.kind == "tie" and board.field.sutures[m.what].slides and None not in board.hole[2 * m.what : 2 * m.what + 2]:
        yield _said(board, "pulls", (2 * m.what, 2 * m.what + 1))
    if (
        m.kind == "insert"
        and board.field.carriers[m.what].kind == "anchor"
        and board.field.carriers[m.what].eyelet is None
    ):
        yield _said(board, "eyelet-unknown", ())
    if lives_there := [i for i in range(len(t.at)) if lives(t.at[i]) and place_of(t.at[i]) == m.to]:
        yield from _alike(board, lives_there)
    before = layers.locked()
    layers.follow(board, m, t, [board.limbs.index(x) for x in move.under], move.grab == "mid-strand")
    ring = layers.locked()
    if ring and ring != before:
        yield _said(board, "interlock", ring)


def _retrieved(board: Board, layers: Layers, s: State, m: Coded) -> Iterator[Finding]:
    covering = sorted({a for a, b in layers.over if b in m.limbs and a not in m.limbs})
    if covering:
        yield _said(board, "covered", tuple(covering))
    if s.cannulas >> m.to & 1 and not passing_left(board, s):
        for i in m.limbs:
            mate = i ^ 1
            pair = s.at[i] // STRIDE == PASSED == s.at[mate] // STRIDE
            if pair and board.tied[i // 2] and mate not in m.limbs:
                yield _said(board, "brought-alone", (i,))
    for i in m.limbs:
        if s.at[i] // STRIDE == UNPASSED and i ^ 1 not in m.limbs and s.at[i ^ 1] // STRIDE < KNOTTED:
            yield _said(board, "unloading", (i,))


def _alike(board: Board, here: list[int]) -> Iterator[Finding]:
    looks: dict[tuple[str, str], set[int]] = {}
    for i in here:
        look = board.field.sutures[i // 2].look
        if look is not None:
            looks.setdefault((look.colour, look.pattern), set()).add(i // 2)
    for sutures in looks.values():
        if len(sutures) > 1:
            yield _said(board, "alike", tuple(i for i in here if i // 2 in sutures))
