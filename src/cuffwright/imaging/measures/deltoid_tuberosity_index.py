"""Deltoid tuberosity index on a radiograph from in front: outer over inner width of the shaft above the tuberosity."""

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene

SHAFT_MARKS = (
    Mark("outer_lateral", "the outer face of the lateral cortex, where both cortices run parallel", (0.66, 0.50)),
    Mark("inner_lateral", "the inner face of the lateral cortex at that height", (0.60, 0.50)),
    Mark("inner_medial", "the inner face of the medial cortex at that height", (0.44, 0.50)),
    Mark("outer_medial", "the outer face of the medial cortex at that height", (0.38, 0.50)),
)


def widths(scene: Scene) -> tuple[float, float]:
    """Outer and inner width of the shaft.

    Raises
    ------
    ImageError
        When the inner width is not the smaller one.
    """
    outer = distance(scene.point("outer_lateral"), scene.point("outer_medial"))
    inner = distance(scene.point("inner_lateral"), scene.point("inner_medial"))
    if not 0 < inner < outer:
        raise ImageError(
            "the inner width of the shaft must be above 0 and below the outer one; mark the cortices again"
        )
    return outer, inner


def _work(scene: Scene) -> float:
    outer, inner = widths(scene)
    return outer / inner


DELTOID_TUBEROSITY_INDEX = Guide(
    name="deltoid_tuberosity_index",
    title="Deltoid tuberosity index",
    unit="ratio",
    view="shaft",
    modalities=RADIOGRAPHS,
    marks=SHAFT_MARKS,
    formula="outer width over inner width of the shaft, just above the deltoid tuberosity",
    work=_work,
    field="bone.deltoid_tuberosity_index",
    cannot_know=("the bone of the greater tuberosity itself: the index is that of the shaft",),
)
