"""Hold every pattern on every tear of the grid: computed or refused by name, never broken, never without a number.

``make long-patterns`` runs all trials of ``tests/course/tear_grid.py`` and keeps counts, reasons and failures in
``docs/long/patterns.json``; it exits 1 on any failure.
"""

import argparse
import json
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

from long_record import write_record

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "cuffwright"
COVERS = [
    *(f"src/cuffwright/{part}" for part in ("anatomy", "case", "evidence/rows", "mechanics", "repair")),
    *(f"src/cuffwright/course/{file.name}" for file in SOURCE.joinpath("course").glob("*.py")),
]
Outcome = tuple[str, str, str]
"""How it went (held, refused, withheld, broken), the pattern, the words."""


def one(number: int, draws: int) -> Outcome:
    """Try one trial of the grid."""
    from cuffwright.evidence.book import load_book
    from tests.course.tear_grid import trials, tried

    case, sheet, pattern = trials()[number]
    try:
        result, reason = tried(sheet, load_book(), pattern, draws)
    except Exception as wrong:
        return "broken", pattern, f"{pattern} on {case}: {type(wrong).__name__}: {wrong}"
    if result is not None:
        return "held", pattern, pattern
    if "is not laid on this tear" in reason:
        return "refused", pattern, reason
    return "withheld", pattern, f"{pattern}: {reason}"


def run(draws: int, every: int) -> dict[str, Any]:
    """Try every ``every``-th trial with ``draws`` draws; the counts, the reasons and what broke."""
    sys.path.insert(0, str(ROOT))
    from tests.course.tear_grid import trials

    chosen = range(0, len(trials()), every)
    counts: dict[str, Counter[str]] = {how: Counter() for how in ("held", "refused", "withheld", "broken")}
    with ProcessPoolExecutor() as pool:
        for done, (how, _, words) in enumerate(pool.map(partial(one, draws=draws), chosen, chunksize=8), 1):
            counts[how][words] += 1
            if done % 200 == 0:
                print(f"{done} of {len(chosen)}", file=sys.stderr, flush=True)
    told: dict[str, Any] = {how: dict(found) for how, found in counts.items()}
    return {"draws": draws, "trials": len(chosen), **told, "broken": sorted(counts["broken"])}


def main() -> int:
    """Read the options, run, write, and say how it went."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--draws", type=int, default=8)
    options.add_argument("--every", type=int, default=1, help="take only every n-th trial")
    given = options.parse_args()
    found = run(given.draws, given.every)
    print(json.dumps(found, indent=1, sort_keys=True))
    if given.every == 1:
        write_record("patterns", COVERS, found)
    return 1 if found["broken"] else 0


if __name__ == "__main__":
    sys.exit(main())
