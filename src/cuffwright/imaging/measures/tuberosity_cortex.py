"""Thickness of the cortex of the greater tuberosity on CT: square across the lateral wall."""

from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.guide import Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return distance(scene.point("outer"), scene.point("inner"))


BLUR_PX = 3.0
"""Numerical choice: a layer thinner than this many pixels is drawn wider than it is by any reconstruction."""


def _thin(scene: Scene, _: FactBook) -> tuple[str, ...]:
    across = distance(scene.pixels["outer"][0], scene.pixels["inner"][0])
    if across >= BLUR_PX:
        return ()
    return (f"the cortex is only {across:.1f} pixels thick: blur makes it read too thick",)


TUBEROSITY_CORTEX = Guide(
    name="tuberosity_cortex",
    title="Cortex of the tuberosity",
    unit="mm",
    view="bed",
    modalities=("CT",),
    marks=(
        Mark("outer", "the outer face of the lateral wall, at the height of the lateral row", (0.74, 0.45)),
        Mark("inner", "the inner face of the cortex, square across it", (0.68, 0.45)),
    ),
    formula="straight distance between the two marks",
    work=_work,
    field="bone.cortex_mm",
    needs_mm=True,
    warn=_thin,
    cannot_know=("how thick a cortex is that is thinner than the blur of the scan: it reads too thick",),
)
