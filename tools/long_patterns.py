"""Hold every pattern on every tear of the grid: computed or refused by name, never broken, never without a number.

``python tools/long_patterns.py --out build/long_patterns.json`` runs all trials of ``tests/course/tear_grid.py`` and
writes counts, reasons and failures; it exits 1 on any failure.
"""

import argparse
import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent


def run(draws: int, every: int) -> dict[str, Any]:
    """Try every ``every``-th trial with ``draws`` draws; the counts, the reasons and what broke."""
    sys.path.insert(0, str(ROOT))
    from cuffwright.evidence.book import load_book
    from tests.course.tear_grid import trials, tried

    book = load_book()
    chosen = trials()[::every]
    held: Counter[str] = Counter()
    refused: Counter[str] = Counter()
    withheld: Counter[str] = Counter()
    broken: list[str] = []
    for case, sheet, pattern in chosen:
        try:
            result, reason = tried(sheet, book, pattern, draws)
        except Exception as wrong:
            broken.append(f"{pattern} on {case}: {type(wrong).__name__}: {wrong}")
            continue
        if result is not None:
            held[pattern] += 1
        elif "is not laid on this tear" in reason:
            refused[reason] += 1
        else:
            withheld[f"{pattern}: {reason}"] += 1
    return {
        "draws": draws,
        "trials": len(chosen),
        "held": dict(held),
        "refused": dict(refused),
        "withheld": dict(withheld),
        "broken": broken,
    }


def main() -> int:
    """Read the options, run, write, and say how it went."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--draws", type=int, default=8)
    options.add_argument("--every", type=int, default=1, help="take only every n-th trial")
    options.add_argument("--out", type=Path)
    given = options.parse_args()
    found = run(given.draws, given.every)
    told = json.dumps(found, indent=1, sort_keys=True)
    if given.out:
        given.out.parent.mkdir(parents=True, exist_ok=True)
        given.out.write_text(told + "\n", encoding="utf-8")
    print(told)
    return 1 if found["broken"] else 0


if __name__ == "__main__":
    sys.exit(main())
