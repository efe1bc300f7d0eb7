"""What measures on slices share: the slice may lie beside the right place, by a part of a step."""

from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.scene import Scene


def step_unknown(scene: Scene, _: FactBook) -> tuple[str, ...]:
    """A warning when the distance between slices is not known, since the spread is then too small."""
    if scene.step_mm is not None:
        return ()
    return (
        "the distance between slices is not known: the spread leaves out how far this one may lie beside the place",
    )
