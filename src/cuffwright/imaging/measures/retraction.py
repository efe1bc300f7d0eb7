"""Retraction on an oblique coronal slice: from the lateral edge of the footprint to the stump of the tendon."""

import math

from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.beside import step_unknown
from cuffwright.imaging.measures.guide import Doubt, Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene

SLOPE_KEY = "imaging.retraction.slope"


def _work(scene: Scene) -> float:
    return distance(scene.point("edge"), scene.point("stump"))


def _between(scene: Scene, book: FactBook) -> tuple[Doubt, ...]:
    """The deepest place of the tear may lie between two slices."""
    if scene.step_mm is None:
        return ()
    sd = book.fact(SLOPE_KEY).value * scene.step_mm / math.sqrt(12)
    return (Doubt("the deepest place may lie between two slices", sd),)


RETRACTION = Guide(
    name="retraction",
    title="Retraction",
    unit="mm",
    view="coronal",
    modalities=("MR",),
    marks=(
        Mark("edge", "the lateral edge of the footprint, at the top of the tuberosity", (0.72, 0.36)),
        Mark("stump", "the end of the tendon, in the middle of its thickness", (0.50, 0.24)),
    ),
    formula="straight distance between the two marks",
    work=_work,
    field="tear.retraction_mm",
    needs_mm=True,
    doubts=_between,
    warn=step_unknown,
    method="imaging.method.retraction",
    cannot_know=(
        "whether a slice beside this one shows more retraction: look through the neighbours",
        "the way around the head: the straight distance is shorter where the tendon bends",
    ),
)
