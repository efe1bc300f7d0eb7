"""A million random strings near to labels: no crash, and no wrong check digit let through.

Run as ``python tools/long_barcodes.py``; keeps its outcome in docs/long/barcodes.json.
"""

import argparse
import sys
from datetime import date
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parent.parent)]
from cuffwright.case.errors import FormatError  # noqa: E402
from cuffwright.exchange.implants import read_label  # noqa: E402
from long_record import write_record  # noqa: E402
from tests.exchange.implants.random_labels import modulo_says, random_label, weights_say  # noqa: E402

TODAY = date(2026, 8, 1)
COVERS = ["src/cuffwright/exchange/implants", "src/cuffwright/case/implant.py", "tools/long_barcodes.py"]


def main() -> int:
    """Try them all; returns 1 when one slipped through."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--count", type=int, default=1_000_000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    chance = np.random.default_rng(given.seed)
    read, wrong = {"gs1": 0, "hibcc": 0}, []
    for _ in range(given.count):
        text = random_label(chance)
        try:
            label = read_label(text, TODAY)
        except FormatError:
            continue
        read[label.system] += 1
        code = label.raw.replace("*", "").strip().split("\n")[0].strip()
        if not (weights_say(label.identifier) if label.system == "gs1" else modulo_says(code)):
            wrong.append(text)
    found = {"strings": given.count, "read": read, "wrong_check_let_through": len(wrong), "first": wrong[:3]}
    print(found, write_record("barcodes", COVERS, found, given.seed))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
