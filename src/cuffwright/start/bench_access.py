"""How fast access answers: making ready, one arm position, the whole table, and an answer with its draws."""

import time
from collections.abc import Callable
from statistics import median

from cuffwright.access.table import choose
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch
from cuffwright.case.measurement import Measurement
from cuffwright.case.reach import Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.course.access import answer, at_pose, ready
from cuffwright.course.hold import prepare
from cuffwright.course.reaching import reach_of
from cuffwright.evidence.book import load_book

POSE = Pose(15.0)
"""Numerical choice: the arm position timed."""

REPEATS = 7
"""Numerical choice: times each is done; the median counts."""


def three_and_three() -> Layout:
    """Three medial and three lateral anchors with eight holes."""
    medial = [Anchor(str(n), "medial", 8.0 * n, 1.0, 0.0, "all-suture-2.5") for n in (1, 2, 3)]
    lateral = [Anchor(f"L{n}", "lateral", 8.0 * n, 22.0, 0.0, "push-in-4.5") for n in (1, 2, 3)]
    names = ("1aF", "1aB", "1bF", "2aF", "2aB", "3aF", "3aB", "3bB")
    holes = [Hole(name, 6.0 + 3.0 * n, 2.0) for n, name in enumerate(names)]
    stitches = [Stitch("bridge", name[0], (name,), 1, knotted=False, to=f"L{name[0]}") for name in names]
    return Layout("bridging-knotless", (*medial, *lateral), tuple(holes), tuple(stitches))


def bench_sheet() -> CaseSheet:
    """A tear wide enough for that layout."""
    thick, front = Measurement(5.0, 0.5, "typed"), Measurement(5.0, 1.0, "typed")
    width = Measurement(26.0, 1.0, "typed")
    tear = Tear(width, ("supraspinatus", "infraspinatus"), thickness_mm=thick, front_mm=front)
    return CaseSheet(Identity("bench", "right", invented=True), tear)


def access_times() -> dict[str, float]:
    """Milliseconds, each the median of a few runs: ready, pose, table of 169 positions, reach for a hold, answer."""
    sheet, layout, book = bench_sheet(), three_and_three(), load_book()
    asked = ready(sheet, book, layout=layout)
    prepared = prepare(sheet, book, plain=True)
    poses = asked.gear.posing.tried(POSE)
    works: dict[str, Callable[[], object]] = {
        "access_ready_ms": lambda: ready(sheet, book, layout=layout),
        "access_pose_ms": lambda: at_pose(asked, POSE),
        "access_table_ms": lambda: choose(asked.scene.paths(poses), poses),
        "access_in_hold_ms": lambda: reach_of(prepared, layout),
    }
    found = {name: round(median(_milliseconds(work) for _ in range(REPEATS)), 1) for name, work in works.items()}
    return {**found, "access_answer_ms": round(_milliseconds(lambda: answer(asked, POSE)), 0)}


def _milliseconds(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return (time.perf_counter() - started) * 1000.0
