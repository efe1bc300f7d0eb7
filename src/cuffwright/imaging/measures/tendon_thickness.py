"""Thickness of the tendon on an oblique coronal slice: square across it, near its end."""

from cuffwright.imaging.measures.guide import Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return distance(scene.point("joint"), scene.point("bursa"))


TENDON_THICKNESS = Guide(
    name="tendon_thickness",
    title="Thickness of the tendon",
    unit="mm",
    view="coronal",
    modalities=("MR",),
    marks=(
        Mark("joint", "the joint side of the tendon, about 10 mm from its end", (0.46, 0.27)),
        Mark("bursa", "the bursal side, square across the tendon", (0.45, 0.21)),
    ),
    formula="straight distance between the two marks",
    work=_work,
    field="tear.thickness_mm",
    needs_mm=True,
    cannot_know=(
        "whether the two marks lie square across the tendon",
        "where bursa ends and tendon begins when both are dark",
    ),
)
