"""Radius of the humeral head: a circle through marks on its round edge; on MR the marks only say where to look."""

from cuffwright.imaging.circle import through
from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide, Mark
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return through(scene.outline("edge")).radius


HEAD_RADIUS = Guide(
    name="head_radius",
    title="Radius of the humeral head",
    unit="mm",
    view="coronal",
    modalities=("MR", "CT", *RADIOGRAPHS),
    marks=(
        Mark("edge", "five places on the round edge of the head, spread as far apart as it is seen", (0.42, 0.42), 3),
    ),
    formula="radius of the circle of least squares through the marks; on MR the fitted circle is better",
    work=_work,
    field="footprint.head_radius_mm",
    needs_mm=True,
    cannot_know=(
        "where the cartilage ends: the edge is that of bone",
        "whether a slice passes through the centre: beside it, the radius reads too small",
    ),
)
