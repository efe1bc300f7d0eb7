"""Critical shoulder angle on a true radiograph from in front."""

from cuffwright.imaging.measures.glenoid_line import (
    BACK,
    BOTTOM,
    FRONT,
    NOT_SEEN,
    TOP,
    malrotation,
    upwards,
)
from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide, Mark
from cuffwright.imaging.measures.planar import angle_between_degrees
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return angle_between_degrees(upwards(scene), scene.point("acromion") - scene.point("bottom"))


CRITICAL_SHOULDER_ANGLE = Guide(
    name="critical_shoulder_angle",
    title="Critical shoulder angle",
    unit="degrees",
    view="front",
    modalities=RADIOGRAPHS,
    marks=(TOP, BOTTOM, Mark("acromion", "the lowest and outermost point of the acromion", (0.66, 0.20)), FRONT, BACK),
    formula="angle at the bottom of the glenoid between its top and the acromion",
    work=_work,
    field="acromion.critical_shoulder_angle_degrees",
    method="imaging.method.shoulder_angle",
    cannot_know=(NOT_SEEN, "whether a large angle caused anything: it goes together with tears in some series only"),
    warn=malrotation,
)
