"""Suture limbs at length: random walks, all mishaps, plans from disorder, all orders and the bound in all states.

``make long-limbs`` writes ``docs/long/limbs.json``; it exits 1 on any failure.
"""

import argparse
import json
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from long_record import write_record

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from cuffwright.limbs.certify import certify  # noqa: E402
from cuffwright.limbs.coding import Board  # noqa: E402
from cuffwright.limbs.following import after  # noqa: E402
from cuffwright.limbs.judge import apply, legal_moves, opening  # noqa: E402
from cuffwright.limbs.mishaps import mishap  # noqa: E402
from cuffwright.limbs.planning import make_plan  # noqa: E402
from cuffwright.limbs.search import Search  # noqa: E402
from tests.limbs.every import Work, least  # noqa: E402
from tests.limbs.exact import bound_gaps  # noqa: E402
from tests.limbs.schematic import schematic  # noqa: E402
from tests.limbs.test_mishaps import SIZES, events, moments, roomy  # noqa: E402
from tests.limbs.walks import broken, start, walk  # noqa: E402

COVERS = ["src/cuffwright/limbs", "src/cuffwright/case/limbs.py", "tests/limbs"]
SEED = 20260101
KINDS = (((2, 2, 1), 1), ((2, 2, 2), 0), ((3, 2, 2), 0), ((4, 4, 3), 4))

RULES_OFF = {
    "four single-loaded anchors": Work(pairs=4, each=2),
    "a second tying cannula": Work(second=True),
    "lateral anchors not seated alone": Work(seat_alone=False),
    "limbs not passed alone": Work(pass_alone=False),
}
"""What each safety rule costs the smallest double-loaded case, and a repair of four sutures."""

BY_DESIGN = {
    "four single-loaded anchors": 38,
    "a second tying cannula": 35,
    "lateral anchors not seated alone": 34,
    "limbs not passed alone": 32,
}
"""The moves a separate, earlier search found for each."""

BOUNDED = {
    "two double-loaded anchors": Work(),
    "two double-loaded anchors, two far holes": Work(far=2),
    "three single-loaded anchors": Work(pairs=3, each=2),
    "two single-loaded anchors, limbs taken back": Work(pairs=2, each=2, back=True),
    "one double-loaded anchor, limbs taken back": Work(pairs=2, each=4, back=True),
}
"""Repairs over two lateral anchors whose bound is held against the exact moves left in every state work reaches."""


def bounded(name: str) -> dict[str, Any]:
    """Moves from the start, states, and how often the exact moves left are how many more than the bound."""
    moves, gaps = bound_gaps(BOUNDED[name])
    told = {str(gap): count for gap, count in sorted(gaps.items())}
    return {"moves": moves, "states": gaps.total(), "left_less_bound": told}


def walks(part: int, each: int) -> Counter[str]:
    """Walks of five random legal moves, begun anywhere along a plan; what broke, and how many there were."""
    told: Counter[str] = Counter()
    rng = np.random.default_rng(SEED + part)
    size, far = KINDS[part % len(KINDS)]
    board = Board(schematic(*size, far=far))
    along = [start(board.field)]
    found = Search(board)(along[0])
    for m in found.moves if found else ():
        along.append(after(board, along[-1], m))
    for _ in range(each):
        before = along[int(rng.integers(len(along)))]
        told["walks"] += 1
        for m, now in walk(board, before, rng, 5):
            wrong = broken(board, before, m, now)
            told["moves"] += 1
            told[f"broken: {wrong}"] += bool(wrong)
            before = now
    return told


def mishaps() -> dict[str, Any]:
    """Eight mishaps at three moments of two cases: how each plan is proven, its gap, the slowest."""
    told: Counter[str] = Counter()
    gaps: list[str] = []
    slowest = 0.0
    for size in SIZES:
        for moment in range(3):
            for event in events(roomy(size), moment):
                began = time.perf_counter()
                found = mishap(roomy(size), moments(size)[moment], event).plan.certificate
                slowest = max(slowest, time.perf_counter() - began)
                told[found.proof] += 1
                told["not clean"] += not (found.legal and found.complete and found.tangle_free)
                if found.gap:
                    gaps.append(f"{size} moment {moment + 1} {event.kind} {event.name}: {found.gap}")
    return {"plans": dict(told), "gaps": gaps, "slowest_s": round(slowest, 2)}


def disordered(starts: int) -> dict[str, Any]:
    """Plans after 1, 3 and 6 random retrievals at a random moment: how each is proven."""
    found: dict[str, Any] = {}
    for size in ((2, 2, 2), (3, 3, 2)):
        field, rng = schematic(*size), np.random.default_rng(SEED)
        moves = make_plan(field, opening(field)).moves
        for wrong in (1, 3, 6):
            told: Counter[str] = Counter()
            for _ in range(starts):
                state = opening(field)
                for move in moves[: int(rng.integers(4, len(moves) - 1))]:
                    state = apply(field, state, move)
                for _ in range(wrong):
                    astray = [m for m in legal_moves(field, state) if m.kind == "retrieve"]
                    state = apply(field, state, astray[int(rng.integers(len(astray)))]) if astray else state
                plan = make_plan(field, state)
                trouble = certify(field, state, plan.moves).trouble
                told[plan.certificate.proof] += 1
                told["tangled or unlawful"] += bool(trouble)
            found[f"{size} {wrong} wrong"] = dict(told)
    return found


def main() -> int:
    """Read the options, run, write, and say how it went."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--walks", type=int, default=100_000)
    options.add_argument("--starts", type=int, default=60)
    given = options.parse_args()
    told: Counter[str] = Counter()
    parts = 40
    with ProcessPoolExecutor() as pool:
        for one in pool.map(partial(walks, each=given.walks // parts), range(parts)):
            told.update(one)
        bounds = dict(zip(BOUNDED, pool.map(bounded, BOUNDED), strict=True))
    orders = {f"{far} far holes, anchors at any time": least(Work(far=far, anchors_first=False)) for far in (0, 2)}
    orders |= {name: least(work) for name, work in RULES_OFF.items()}
    found = {
        "walks": {k: n for k, n in told.items() if n},
        "mishaps": mishaps(),
        "disordered": disordered(given.starts),
        "bound": bounds,
        "all_orders": {k: {"moves": m, "states": n} for k, (m, n) in orders.items()},
    }
    print(json.dumps(found, indent=1))
    if given.walks >= 100_000:
        write_record("limbs", COVERS, found, SEED)
    wrong = any(k.startswith("broken") for k in found["walks"]) or found["mishaps"]["plans"].get("not clean")
    wrong = wrong or any(int(gap) < 0 for one in bounds.values() for gap in one["left_less_bound"])
    wrong = wrong or any(orders[name][0] != moves for name, moves in BY_DESIGN.items())
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
