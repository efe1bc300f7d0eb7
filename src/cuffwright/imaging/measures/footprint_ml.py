"""ML breadth of the footprint on an oblique coronal slice: from the cartilage to its lateral edge."""

from cuffwright.imaging.measures.guide import Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return distance(scene.point("margin"), scene.point("edge"))


FOOTPRINT_ML = Guide(
    name="footprint_ml",
    title="ML breadth of the footprint",
    unit="mm",
    view="coronal",
    modalities=("MR", "CT"),
    marks=(
        Mark("margin", "the edge of the cartilage of the head", (0.60, 0.29)),
        Mark("edge", "the lateral edge of the footprint, at the top of the tuberosity", (0.72, 0.36)),
    ),
    formula="straight distance between the two marks",
    work=_work,
    field="footprint.ml_mm",
    needs_mm=True,
    cannot_know=(
        "the way along the bone: this is a chord, and the chart bends it onto the bone",
        "whether the slice runs square across the footprint: beside it, the breadth reads too long",
    ),
)
