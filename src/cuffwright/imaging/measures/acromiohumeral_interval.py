"""Acromiohumeral interval on a radiograph from in front or an oblique coronal slice."""

from cuffwright.imaging.measures.guide import RADIOGRAPHS, Guide, Mark
from cuffwright.imaging.measures.planar import distance
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    return distance(scene.point("acromion"), scene.point("head"))


ACROMIOHUMERAL_INTERVAL = Guide(
    name="acromiohumeral_interval",
    title="Acromiohumeral interval",
    unit="mm",
    view="front",
    modalities=(*RADIOGRAPHS, "MR", "CT"),
    marks=(
        Mark("acromion", "the underside of the acromion, where it comes nearest to the head", (0.56, 0.20)),
        Mark("head", "the top of the humeral head below it", (0.56, 0.30)),
    ),
    formula="straight distance between the two marks, the shortest there is",
    work=_work,
    field="acromion.acromiohumeral_interval_mm",
    needs_mm=True,
    reader="imaging.reader.acromiohumeral_interval",
    cannot_know=(
        "how the patient stood and the beam fell: lying down, and each small change of both, gives another distance",
    ),
)
