"""What is read off a rig, by name: one reading gives one number, or None where the repair never got there."""

from collections.abc import Callable

from cuffwright.course.proof import cycling, pressing, strength
from cuffwright.course.proof.bench import Target
from cuffwright.course.proof.rig import Rig

Reading = Callable[[Rig, Target], float | None]

READINGS: dict[str, Reading] = {
    "ultimate": strength.ultimate,
    "gap": strength.gap_first,
    "gap-cycled": cycling.gap_cycled,
    "stiffness": strength.stiffness,
    "yield": strength.yields,
    "elongation": cycling.elongation,
    "cycles-to-gap": cycling.cycles_to_gap,
    "strain": strength.footprint_strain,
    "first-in-tendon": strength.first_in_tendon,
    "gap-front-over-back": strength.gap_front_over_back,
    "junction-risk": strength.junction,
    "area": pressing.area,
    "pressure": pressing.pressure,
    "window-mean": pressing.window_mean,
    "force": pressing.force,
}
"""Readings by the name a bench file uses."""
