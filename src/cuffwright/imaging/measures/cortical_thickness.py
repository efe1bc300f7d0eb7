"""Cortical thickness of the proximal shaft on a radiograph from in front: mean of both cortices at one height."""

from cuffwright.imaging.measures.deltoid_tuberosity_index import SHAFT_MARKS, widths
from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    outer, inner = widths(scene)
    return (outer - inner) / 2


CORTICAL_THICKNESS = Guide(
    name="cortical_thickness",
    title="Cortical thickness of the shaft",
    unit="mm",
    view="shaft",
    modalities=RADIOGRAPHS,
    marks=SHAFT_MARKS,
    formula="half of outer less inner width of the shaft",
    work=_work,
    needs_mm=True,
    cannot_know=("the cortex of the greater tuberosity, which holds the anchors: this is the shaft's",),
)
