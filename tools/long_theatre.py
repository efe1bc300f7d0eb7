"""Random operations, limbs planned anew among them, entered by a process killed at random moments; nothing is lost.

Run as ``python tools/long_theatre.py``; keeps its outcome in docs/long/theatre.json.
"""

import argparse
import sys
import tempfile
from dataclasses import asdict
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parent.parent)]
from long_record import write_record  # noqa: E402
from tests.theatre.killed_operation import run  # noqa: E402

COVERS = [
    "src/cuffwright/archive",
    "src/cuffwright/course/limbs_in_theatre.py",
    "src/cuffwright/course/record",
    "src/cuffwright/course/relaid.py",
    "src/cuffwright/exchange/theatre",
    "src/cuffwright/limbs",
    "src/cuffwright/theatre",
    "tests/theatre",
    "tools/long_theatre.py",
]


def main() -> int:
    """Run them; returns 1 when anything did not hold."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--operations", type=int, default=250)
    asked.add_argument("--kills", type=int, default=2)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = asdict(run(Path(folder) / "archive", given.operations, given.kills, given.seed))
    found["wrong"] = found["wrong"][:5]
    print(found, write_record("theatre", COVERS, found, given.seed))
    return 1 if found["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main())
