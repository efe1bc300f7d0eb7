"""Density of an anchor's bed on CT: mean Hounsfield value of cancellous bone, in doubt without a phantom."""

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.guide import Doubt, Guide, Mark
from cuffwright.imaging.measures.scene import Scene

CALIBRATION_KEY = "imaging.ct.calibration_doubt"


def _work(scene: Scene) -> float:
    mean, _ = scene.mean_in("bed")
    if mean < 0:
        raise ImageError("the outline holds more fat or air than bone (below 0 HU); draw it inside the bone")
    return mean


def _doubts(scene: Scene, book: FactBook) -> tuple[Doubt, ...]:
    return (
        Doubt("noise in the outline", scene.mean_in("bed")[1]),
        Doubt("no phantom was scanned beside the patient", book.fact(CALIBRATION_KEY).value),
    )


BONE_DENSITY = Guide(
    name="bone_density",
    title="Density of an anchor's bed",
    unit="HU",
    view="bed",
    modalities=("CT",),
    marks=(Mark("bed", "cancellous bone where an anchor is to sit, the cortex left out", (0.62, 0.48), 3),),
    formula="mean Hounsfield value inside the outline",
    work=_work,
    cannot_know=(
        "mineral per volume: without a phantom in the scan Hounsfield values are not calibrated to it",
        "whether an anchor will hold: the answer asks for the bone felt in theatre",
    ),
    doubts=_doubts,
)
