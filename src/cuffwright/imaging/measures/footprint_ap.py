"""AP length of the footprint on an oblique sagittal slice: front of the tuberosity to back of the insertion."""

from cuffwright.imaging.measures.guide import Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return distance(scene.point("front"), scene.point("back"))


FOOTPRINT_AP = Guide(
    name="footprint_ap",
    title="AP length of the footprint",
    unit="mm",
    view="sagittal",
    modalities=("MR", "CT"),
    marks=(
        Mark("front", "the front edge of the greater tuberosity, beside the groove of the biceps", (0.30, 0.36)),
        Mark("back", "the back end of the insertion of infraspinatus", (0.70, 0.33)),
    ),
    formula="straight distance between the two marks",
    work=_work,
    field="footprint.ap_mm",
    needs_mm=True,
    cannot_know=(
        "the way along the bone: this is a chord, and the chart bends it onto the bone",
        "where the insertion ends behind, which bone alone does not show",
    ),
)
