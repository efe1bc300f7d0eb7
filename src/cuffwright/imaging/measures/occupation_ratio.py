"""Occupation ratio on the Y view: share of its fossa that the supraspinatus muscle fills."""

import math

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.guide import Doubt, Guide, Mark
from cuffwright.imaging.measures.planar import area, length_around
from cuffwright.imaging.measures.scene import Scene

OFFSET_KEY = "imaging.outline.offset"


def _work(scene: Scene) -> float:
    fossa = area(scene.outline("fossa"))
    if fossa == 0:
        raise ImageError("the outline of the fossa encloses nothing; draw it again")
    return area(scene.outline("muscle")) / fossa


def _offset(scene: Scene, book: FactBook) -> tuple[Doubt, ...]:
    """A whole outline may lie inside or outside the true edge; its corners do not err one by one."""
    shift = book.fact(OFFSET_KEY).value * math.sqrt(scene.unit[0] * scene.unit[1])
    muscle, fossa = scene.outline("muscle"), scene.outline("fossa")
    sd = shift * math.hypot(length_around(muscle), _work(scene) * length_around(fossa)) / area(fossa)
    return (Doubt("an outline may lie inside or outside the edge", sd),)


OCCUPATION_RATIO = Guide(
    name="occupation_ratio",
    title="Occupation ratio",
    unit="ratio",
    view="y-view",
    modalities=("MR", "CT"),
    marks=(
        Mark("fossa", "the fossa: along the bone from spine to coracoid, and across its top", (0.50, 0.30), 4),
        Mark("muscle", "the muscle belly of supraspinatus, fat around it left out", (0.50, 0.36), 4),
    ),
    formula="area of the muscle over area of the fossa",
    work=_work,
    field="muscle.occupation_ratio",
    doubts=_offset,
    cannot_know=(
        "whether the muscle is small or only drawn back: with a retracted tendon the Y view shows less of it",
        "where the fossa's open top is: readers close it differently",
    ),
)
