"""AP width of the tear on an oblique sagittal slice: from its front to its back edge at the footprint."""

import math

from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.beside import step_unknown
from cuffwright.imaging.measures.guide import Doubt, Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene

RADIUS_KEY = "humerus.head.radius"
WEDGE_KEY = "imaging.width.slope"
TUBEROSITY_KEY = "tuberosity.beyond_sphere"


def _work(scene: Scene) -> float:
    return distance(scene.point("front"), scene.point("back"))


def _beside(scene: Scene, book: FactBook) -> tuple[Doubt, ...]:
    """A slice lies up to a step medial of the footprint's edge, where the tear is narrower.

    Its two edges part like the ribs of a fan, and those of a wedge run together.
    """
    if scene.step_mm is None:
        return ()
    radius = book.fact(RADIUS_KEY).value + book.fact(TUBEROSITY_KEY).value
    away = scene.step_mm / math.sqrt(3)
    sd = away * (_work(scene) / radius + book.fact(WEDGE_KEY).value)
    return (Doubt("the slice may lie medial of the footprint's edge", sd),)


TEAR_WIDTH = Guide(
    name="tear_width",
    title="AP width of the tear",
    unit="mm",
    view="sagittal",
    modalities=("MR",),
    marks=(
        Mark("front", "the front edge of the tear, where tendon still reaches bone", (0.36, 0.30)),
        Mark("back", "the back edge of the tear, where tendon reaches bone again", (0.62, 0.27)),
    ),
    formula="straight distance between the two marks",
    work=_work,
    field="tear.width_mm",
    needs_mm=True,
    doubts=_beside,
    warn=step_unknown,
    method="imaging.method.tear_width",
    cannot_know=(
        "whether a slice beside this one shows the tear wider: look through the neighbours",
        "how far a tear that runs to a point reaches at the footprint: between slices it is lost; outline it instead",
        "whether the slices stand along the torn edge: turned against it by 20 degrees they show 6 percent too little",
        "the way along the bone: this is a chord, and the chart bends it onto the bone",
    ),
)
