"""Share of fat in a muscle from its signal between that of fat and of sound muscle: a percentage, never a grade."""

import math

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.imaging.measures.guide import Doubt, Guide, Mark
from cuffwright.imaging.measures.scene import Scene

SIGNAL_KEY = "imaging.fat.signal_doubt"

PERCENT = 100.0
"""Numerical choice: definition of the percentage."""


def _work(scene: Scene) -> float:
    fat, sound, muscle = (scene.mean_in(name)[0] for name in ("fat", "sound", "muscle"))
    if fat <= sound:
        raise ImageError(
            "fat is not brighter than muscle here; use a picture on which fat is bright, or mark them again"
        )
    return PERCENT * (muscle - sound) / (fat - sound)


def _doubts(scene: Scene, book: FactBook) -> tuple[Doubt, ...]:
    """Noise of the three means, and what the signal cannot say of fat."""
    (fat, fat_sd), (sound, sound_sd), (_, muscle_sd) = (scene.mean_in(name) for name in ("fat", "sound", "muscle"))
    share = _work(scene) / PERCENT
    noise = math.hypot(muscle_sd, (1 - share) * sound_sd, share * fat_sd) / (fat - sound)
    return (
        Doubt("noise in the three outlines", PERCENT * noise),
        Doubt("signal is not fat: coil, fluid and fibre change it", book.fact(SIGNAL_KEY).value),
    )


FAT_FRACTION = Guide(
    name="fat_fraction",
    title="Fat in the muscle",
    unit="percent",
    view="y-view",
    modalities=("MR",),
    marks=(
        Mark("muscle", "the muscle, fat around it left out", (0.50, 0.36), 3),
        Mark("fat", "fat beside it, as near and as deep as can be", (0.20, 0.55), 3),
        Mark("sound", "a muscle without streaks, as near and as deep as can be", (0.80, 0.60), 3),
    ),
    formula="(muscle - sound muscle) / (fat - sound muscle), means of the signal inside the outlines, in percent",
    work=_work,
    signed=True,
    cannot_know=(
        "the grade of fatty infiltration: no agreed scale leads from a percentage to a grade, which is set by eye",
        "fat as a spectrum would measure it: only the signal is compared",
    ),
    doubts=_doubts,
)
