"""What the measures of the acromion on a radiograph share: the glenoid's line, and when the view is too turned."""

from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.guide import Mark
from cuffwright.imaging.measures.planar import Floats, distance
from cuffwright.imaging.measures.scene import Scene

TURNED_KEY = "imaging.glenoid.projected_ratio"

TOP = Mark("top", "the highest point of the bony glenoid rim", (0.36, 0.34))
BOTTOM = Mark("bottom", "the lowest point of the bony glenoid rim", (0.34, 0.62))
FRONT = Mark("rim_front", "the front rim at half height, where two rims are seen", (0.33, 0.48), optional=True)
BACK = Mark("rim_back", "the back rim at half height, where two rims are seen", (0.38, 0.48), optional=True)

NOT_SEEN = "whether the view is true: mark both rims at half height, so that a turned view can be told"


def upwards(scene: Scene) -> Floats:
    """The direction from the bottom to the top of the glenoid."""
    return scene.point("top") - scene.point("bottom")


def malrotation(scene: Scene, book: FactBook) -> tuple[str, ...]:
    """A warning when the two rims stand apart: the beam was not in the plane of the glenoid."""
    if not (scene.has("rim_front") and scene.has("rim_back")):
        return ("the rims are not marked, so a turned view cannot be told from a true one",)
    ratio = distance(scene.point("rim_front"), scene.point("rim_back")) / distance(
        scene.point("top"), scene.point("bottom")
    )
    limit = book.fact(TURNED_KEY).value
    if ratio <= limit:
        return ()
    return (
        f"the view is turned: the glenoid's rims stand {ratio:.2f} of its height apart (more than {limit:g}), "
        "so what is read off it may be far off (an angle by several degrees); take a true view from in front",
    )
