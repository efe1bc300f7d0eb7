"""Tangent sign on the Y view: does the supraspinatus reach above the line over spine and coracoid?"""

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures.guide import Guide, Mark
from cuffwright.imaging.measures.planar import off_line
from cuffwright.imaging.measures.scene import Scene


def _work(scene: Scene) -> float:
    spine, coracoid = scene.point("spine"), scene.point("coracoid")
    deep = off_line(scene.point("fossa"), spine, coracoid)
    if deep == 0:
        raise ImageError("the deepest point of the fossa lies on the line over spine and coracoid; mark it again")
    return -off_line(scene.point("muscle"), spine, coracoid) / deep


TANGENT_SIGN = Guide(
    name="tangent_sign",
    title="Height of the muscle above the tangent",
    unit="ratio",
    view="y-view",
    modalities=("MR", "CT"),
    marks=(
        Mark("coracoid", "the highest point of the coracoid", (0.22, 0.24)),
        Mark("spine", "the highest point of the scapular spine", (0.78, 0.20)),
        Mark("muscle", "the highest point of the supraspinatus muscle", (0.50, 0.26)),
        Mark("fossa", "the deepest point of the fossa", (0.50, 0.48)),
    ),
    formula="height of the muscle's highest point over the line, as a part of the fossa's depth under it; "
    "when the muscle lies below, the sign is positive",
    work=_work,
    field="muscle.tangent_positive",
    signed=True,
    cannot_know=(
        "whether the muscle is small or only drawn back: with a retracted tendon the Y view shows less of it",
    ),
)
