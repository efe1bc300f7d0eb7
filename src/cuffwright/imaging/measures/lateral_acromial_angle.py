"""Lateral acromial angle on a true radiograph from in front."""

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
    return angle_between_degrees(upwards(scene), scene.point("outer") - scene.point("inner"))


LATERAL_ACROMIAL_ANGLE = Guide(
    name="lateral_acromial_angle",
    title="Lateral acromial angle",
    unit="degrees",
    view="front",
    modalities=RADIOGRAPHS,
    marks=(
        TOP,
        BOTTOM,
        Mark("inner", "the underside of the acromion at its inner end", (0.46, 0.19)),
        Mark("outer", "the underside of the acromion at its outer end", (0.66, 0.20)),
        FRONT,
        BACK,
    ),
    formula="angle between the glenoid's line upwards and the underside of the acromion outwards",
    work=_work,
    cannot_know=(
        NOT_SEEN,
        "the angle itself very well: two observers of one series (78 shoulders) did not agree on it",
    ),
    warn=malrotation,
)
