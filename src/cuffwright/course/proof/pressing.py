"""Contact of a rig on its window."""

from cuffwright.course.proof.bench import Target
from cuffwright.course.proof.rig import Rig


def area(rig: Rig, target: Target) -> float | None:
    """Pressed area of the window above the sensor's threshold, mm2."""
    found = rig.pressed(target.load)
    return found.area_above() if found else None


def pressure(rig: Rig, target: Target) -> float | None:
    """Mean pressure over the pressed area, MPa, as a film reports it."""
    found = rig.pressed(target.load)
    return found.mean_above() if found else None


def window_mean(rig: Rig, target: Target) -> float | None:
    """Mean pressure over the whole window, pressed or not, MPa."""
    found = rig.pressed(target.load)
    return found.mean if found else None


def force(rig: Rig, target: Target) -> float | None:
    """Force over the pressed area, N: what area times mean pressure gives."""
    found = rig.pressed(target.load)
    over = found.mean_above() if found else None
    return found.area_above() * over if found and over else None
