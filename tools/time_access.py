"""Measure how fast Access follows a hand that turns the arm: ``PYTHONPATH=. python tools/time_access.py [moves]``.

Runs the program as ``cuffwright serve`` does, asks it for one arm position after another, and prints the round trip
over the wire (ms) for each demo case. Nothing is gated by it.
"""

import json
import statistics
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from cuffwright.exchange.demo_cases import demo_cases
from tests.browser.conftest import Server

MOVES = 40


def asked(address: str, body: dict[str, object]) -> float:
    """One round trip, ms."""
    sent = urllib.request.Request(address, json.dumps(body).encode(), {"Content-Type": "application/json"})
    start = time.perf_counter()
    with urllib.request.urlopen(sent) as answer:
        answer.read()
    return 1000 * (time.perf_counter() - start)


def main() -> None:
    """Print median and 95th percentile of each demo case."""
    moves = int(sys.argv[1]) if len(sys.argv) > 1 else MOVES
    server = Server(Path(tempfile.mkdtemp()))
    try:
        for demo in demo_cases():
            address = f"{server.address}/api/cases/{server.open(demo)}/access/try"
            poses = [{"abduction_degrees": 60.0 * n / moves, "rotation_degrees": n % 20 - 10.0} for n in range(moves)]
            times = sorted(asked(address, {"pose": pose}) for pose in poses)
            print(f"{demo}: median {statistics.median(times):.0f} ms, 95th {times[int(0.95 * moves)]:.0f} ms")
    finally:
        server.stop()


if __name__ == "__main__":
    main()
