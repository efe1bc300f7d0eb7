"""Plan the limbs of every pattern on every tear shape through every set of portals: a plan or a refusal by name.

``make long-limbs-patterns`` keeps counts, reasons and failures in ``docs/long/limbs-patterns.json``; it exits 1 when a
plan, or the usual order beside it, is illegal, unfinished or not free of tangles by the separate replay, when the usual
order is the shorter one, when the bound is anywhere above the moves still to come, or when anything but a named refusal
is raised.
"""

import json
import sys
from collections import Counter
from itertools import product
from pathlib import Path
from typing import Any

from long_record import write_record

ROOT = Path(__file__).resolve().parent.parent
COVERS = [
    *(f"src/cuffwright/{part}" for part in ("access", "case", "evidence/rows", "limbs", "repair")),
    *(f"src/cuffwright/course/{file.name}" for file in (ROOT / "src/cuffwright/course").glob("limb*.py")),
]


def one(prepared: Any, pattern: str, portals: str) -> tuple[str, str]:
    """How one trial went (planned, gap, refused, broken) and in which words."""
    from cuffwright.case.errors import CuffError
    from cuffwright.course.limbs import lay_limbs
    from cuffwright.course.prepared import lay
    from cuffwright.limbs.certify import certify
    from cuffwright.limbs.judge import check
    from cuffwright.limbs.planning import make_plan
    from cuffwright.limbs.usual import usual

    try:
        laid = lay_limbs(prepared, lay(prepared, pattern), portal_set=portals)
        plan = make_plan(laid.field, laid.state, arm=laid.arm)
        common = usual(laid.field)
    except CuffError as refused:
        return "refused", f"{pattern}, {portals}: {refused}"
    except Exception as wrong:
        return "broken", f"{pattern}, {portals}: {type(wrong).__name__}: {wrong}"
    for name, moves in (("plan", plan.moves), ("usual order", common)):
        illegal = [f for f in check(laid.field, laid.state, moves)[0] if f.severity == "illegal"]
        trouble = [*certify(laid.field, laid.state, moves).trouble, *(f"step {f.step}: {f.rule}" for f in illegal)]
        if trouble:
            return "broken", f"{pattern}, {portals}: {name}, {trouble[0]}"
        above = _bound_above(laid, moves)
        if above:
            return "broken", f"{pattern}, {portals}: {name}, {above}"
    if len(common) < plan.certificate.moves:
        return "broken", f"{pattern}, {portals}: usual order {len(common)}, plan {plan.certificate.moves} moves"
    return ("gap" if plan.certificate.proof == "gap" else "planned"), f"{pattern}, {portals}: {plan.certificate.words}"


def _bound_above(laid: Any, moves: Any) -> str:
    """Where along a list of moves the counting bound says more than the list still takes; "" nowhere."""
    from cuffwright.limbs.bound import Bound
    from cuffwright.limbs.coding import Board
    from cuffwright.limbs.following import after

    board = Board(laid.field)
    bound, state = Bound(board), board.coded(laid.state)
    counted = [move for move in moves if move.kind != "test"]
    for at, move in enumerate(counted):
        if bound(state) > len(counted) - at:
            return f"bound {bound(state)} with {len(counted) - at} moves left"
        state = after(board, state, board.coded_move(move))
    return ""


def run() -> dict[str, Any]:
    """Try all; the counts, and every reason with how often it was given."""
    sys.path.insert(0, str(ROOT))
    from cuffwright.case.identity import Identity
    from cuffwright.case.sheet import CaseSheet
    from cuffwright.case.tissues import Footprint
    from cuffwright.course.limb_portals import FEWEST, SETS
    from cuffwright.course.prepared import prepare
    from cuffwright.evidence.book import load_book
    from cuffwright.repair.patterns import patterns
    from tests.course.tear_grid import TEARS, mm

    book = load_book()
    counts: dict[str, Counter[str]] = {how: Counter() for how in ("planned", "gap", "refused", "broken")}
    for shape, tear in TEARS.items():
        sheet = CaseSheet(Identity("invented", "right"), tear, footprint=Footprint(ap_mm=mm(36), ml_mm=mm(13)))
        prepared = prepare(sheet, book, plain=True)
        for pattern, portals in product(patterns(), (FEWEST, *SETS)):
            how, words = one(prepared, pattern, portals)
            counts[how][f"{shape}: {words}" if how in ("gap", "broken") else words] += 1
        print(shape, {how: found.total() for how, found in counts.items()}, file=sys.stderr, flush=True)
    told: dict[str, Any] = {how: found.total() for how, found in counts.items()}
    told |= {"gaps": sorted(counts["gap"]), "refusals": dict(sorted(counts["refused"].items()))}
    return told | {"failures": sorted(counts["broken"])}


def main() -> int:
    """Run, write, and say how it went."""
    found = run()
    write_record("limbs-patterns", COVERS, found)
    print(json.dumps({how: found[how] for how in ("planned", "gap", "refused", "broken", "failures")}, indent=1))
    return 1 if found["broken"] else 0


if __name__ == "__main__":
    sys.exit(main())
