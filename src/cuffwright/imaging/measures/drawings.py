"""Small drawings of the views on which the marks of a guide are shown: lines in a unit square, from top left.

They are sketches to show a place, drawn by hand for this project, and no anatomy is measured on them.
"""

import math

from cuffwright.imaging.measures.guide import View

Line = tuple[tuple[float, float], ...]


def _arc(x: float, y: float, radius: float, start: float, end: float, steps: int = 24) -> Line:
    """An arc about (x, y) from ``start`` to ``end`` degrees, 0 to the right and 90 down."""
    angles = [math.radians(start + (end - start) * i / steps) for i in range(steps + 1)]
    return tuple((round(x + radius * math.cos(a), 3), round(y + radius * math.sin(a), 3)) for a in angles)


DRAWINGS: dict[View, dict[str, Line]] = {
    "coronal": {
        "head": _arc(0.42, 0.46, 0.22, 120, 318),
        "tuberosity": ((0.59, 0.31), (0.66, 0.33), (0.74, 0.38), (0.75, 0.55), (0.68, 0.75), (0.66, 0.98)),
        "shaft": ((0.31, 0.65), (0.42, 0.78), (0.44, 0.98)),
        "acromion": ((0.46, 0.10), (0.72, 0.10), (0.74, 0.15), (0.46, 0.16), (0.46, 0.10)),
        "tendon": ((0.02, 0.20), (0.30, 0.20), (0.50, 0.22), (0.50, 0.27), (0.30, 0.27), (0.02, 0.32)),
        "glenoid": ((0.16, 0.30), (0.21, 0.46), (0.18, 0.64)),
    },
    "sagittal": {
        "head": _arc(0.50, 0.56, 0.30, 180, 360),
        "tuberosity": ((0.20, 0.56), (0.24, 0.80), (0.34, 0.98)),
        "back": ((0.80, 0.56), (0.76, 0.80), (0.66, 0.98)),
        "tendon in front": _arc(0.50, 0.56, 0.34, 200, 248),
        "tendon behind": _arc(0.50, 0.56, 0.34, 292, 340),
        "acromion": ((0.40, 0.08), (0.78, 0.10), (0.78, 0.15), (0.40, 0.13), (0.40, 0.08)),
    },
    "y-view": {
        "coracoid": ((0.48, 0.50), (0.34, 0.40), (0.22, 0.24), (0.16, 0.28), (0.30, 0.48), (0.47, 0.60)),
        "spine": ((0.52, 0.50), (0.66, 0.40), (0.78, 0.20), (0.84, 0.24), (0.70, 0.48), (0.53, 0.60)),
        "body": ((0.47, 0.60), (0.49, 0.98), (0.51, 0.98), (0.53, 0.60)),
        "muscle": _arc(0.50, 0.36, 0.10, 0, 360),
    },
    "front": {
        "head": _arc(0.54, 0.48, 0.18, 100, 330),
        "tuberosity": ((0.70, 0.39), (0.76, 0.40), (0.78, 0.50), (0.72, 0.66), (0.70, 0.98)),
        "shaft": ((0.49, 0.66), (0.54, 0.76), (0.54, 0.98)),
        "glenoid": ((0.36, 0.34), (0.33, 0.48), (0.34, 0.62)),
        "glenoid back": ((0.36, 0.34), (0.38, 0.48), (0.34, 0.62)),
        "acromion": ((0.44, 0.12), (0.66, 0.14), (0.67, 0.20), (0.46, 0.19)),
    },
    "shaft": {
        "outer lateral": ((0.68, 0.02), (0.66, 0.50), (0.68, 0.98)),
        "inner lateral": ((0.64, 0.02), (0.60, 0.50), (0.60, 0.98)),
        "inner medial": ((0.40, 0.02), (0.44, 0.50), (0.44, 0.98)),
        "outer medial": ((0.34, 0.02), (0.38, 0.50), (0.36, 0.98)),
    },
    "bed": {
        "head": _arc(0.42, 0.46, 0.26, 120, 318),
        "tuberosity": ((0.61, 0.29), (0.70, 0.33), (0.74, 0.45), (0.72, 0.70), (0.66, 0.98)),
        "inner face": ((0.62, 0.35), (0.67, 0.38), (0.68, 0.45), (0.66, 0.70), (0.61, 0.98)),
        "bed": _arc(0.62, 0.48, 0.05, 0, 360),
    },
}
"""For each view its lines by name."""
