"""Time the access table: ``python -m tests.access.bench`` prints it; nothing gates on it."""

from time import perf_counter

from cuffwright.access.table import choose
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch
from cuffwright.case.measurement import Measurement
from cuffwright.case.reach import Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.course.access import DRAWS, answer, at_pose, ready
from cuffwright.evidence.book import load_book


def three_and_three() -> Layout:
    """Three medial and three lateral anchors with eight holes, 10 mm apart."""
    medial = [Anchor(str(n), "medial", 8.0 * n, 1.0, 0.0, "all-suture-2.5") for n in (1, 2, 3)]
    lateral = [Anchor(f"L{n}", "lateral", 8.0 * n, 22.0, 0.0, "push-in-4.5") for n in (1, 2, 3)]
    names = ("1aF", "1aB", "1bF", "2aF", "2aB", "3aF", "3aB", "3bB")
    holes = [Hole(name, 6.0 + 3.0 * n, 2.0) for n, name in enumerate(names)]
    stitches = [Stitch("bridge", name[0], (name,), 1, knotted=False, to=f"L{name[0]}") for name in names]
    return Layout("bridging-knotless", (*medial, *lateral), tuple(holes), tuple(stitches))


def timed() -> dict[str, float]:
    """Seconds for making ready, one arm position, the whole table, and the answer with its draws."""
    thick, front = Measurement(5.0, 0.5, "typed"), Measurement(5.0, 1.0, "typed")
    tear = Tear(Measurement(26.0, 1.0, "typed"), ("supraspinatus", "infraspinatus"), thickness_mm=thick, front_mm=front)
    sheet = CaseSheet(Identity("bench", "right"), tear)
    marks = [perf_counter()]
    asked = ready(sheet, load_book(), layout=three_and_three())
    marks.append(perf_counter())
    at_pose(asked, Pose(15.0))
    marks.append(perf_counter())
    poses = asked.gear.posing.tried(Pose(15.0))
    choose(asked.scene.paths(poses), poses)
    marks.append(perf_counter())
    answer(asked, Pose(15.0))
    marks.append(perf_counter())
    words = ("make ready", "one arm position", "table of 169 arm positions", f"whole answer, {DRAWS} draws")
    return {word: after - before for word, before, after in zip(words, marks, marks[1:], strict=False)}


if __name__ == "__main__":
    timed()
    for word, seconds in timed().items():
        print(f"{word}: {1000 * seconds:.1f} ms")
