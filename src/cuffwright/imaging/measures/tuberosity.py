"""How far the greater tuberosity stands beyond the circle of the head."""

import numpy as np

from cuffwright.case.errors import ImageError
from cuffwright.imaging.circle import through
from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    head = through(scene.outline("head"))
    beyond = distance(np.array([head.x, head.y]), scene.point("edge")) - head.radius
    if beyond < 0:
        raise ImageError("the tuberosity's edge lies inside the circle of the head; mark both again")
    return beyond


TUBEROSITY = Guide(
    name="tuberosity",
    title="Tuberosity beyond the head",
    unit="mm",
    view="coronal",
    modalities=("MR", "CT", *RADIOGRAPHS),
    marks=(
        Mark("head", "five places on the round edge of the head, spread as far apart as it is seen", (0.42, 0.42), 3),
        Mark("edge", "the outermost edge of the greater tuberosity", (0.74, 0.38)),
    ),
    formula="distance of the tuberosity's edge from the centre of the head's circle, less its radius",
    work=_work,
    needs_mm=True,
    cannot_know=("whether the slice shows the tuberosity's outermost place",),
)
