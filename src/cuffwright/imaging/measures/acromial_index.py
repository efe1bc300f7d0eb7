"""Acromial index on a true radiograph from in front: reach of the acromion over reach of the humerus."""

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures.glenoid_line import (
    BACK,
    BOTTOM,
    FRONT,
    NOT_SEEN,
    TOP,
    malrotation,
)
from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide, Mark
from cuffwright.imaging.measures.planar import off_line
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    top, bottom = scene.point("top"), scene.point("bottom")
    humerus = off_line(scene.point("humerus"), bottom, top)
    ratio = off_line(scene.point("acromion"), bottom, top) / humerus if humerus else -1.0
    if ratio < 0:
        raise ImageError("acromion and humerus lie on different sides of the glenoid's line; mark them again")
    return ratio


ACROMIAL_INDEX = Guide(
    name="acromial_index",
    title="Acromial index",
    unit="ratio",
    view="front",
    modalities=RADIOGRAPHS,
    marks=(
        TOP,
        BOTTOM,
        Mark("acromion", "the outermost point of the acromion", (0.66, 0.18)),
        Mark("humerus", "the outermost point of the proximal humerus", (0.78, 0.44)),
        FRONT,
        BACK,
    ),
    formula="distance of the acromion from the glenoid's line over that of the humerus",
    work=_work,
    cannot_know=(NOT_SEEN, "how the arm was turned: turning it changes the reach of the humerus"),
    warn=malrotation,
)
