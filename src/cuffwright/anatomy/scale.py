"""Fit the default humerus to measures of one patient, keeping what each was measured on."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.chord import arc_from_chord
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.measurement import Measurement

Along = Literal["chord", "arc"]
"""How a length was taken: straight, as on an image, or along the bone."""


@dataclass(frozen=True)
class Fit:
    """One measure that replaced a default: its name, what was measured, the value used (mm of arc), and how."""

    name: str
    measured: Measurement
    used: Measurement


@dataclass(frozen=True)
class FittedHumerus:
    """A humerus with the measures that shaped it; what no fit names is the published mean, scaled with the head."""

    shape: HumerusShape
    fits: tuple[Fit, ...] = ()

    @cached_property
    def chart(self) -> FootprintChart:
        """The chart on this humerus."""
        return FootprintChart(self.shape)

    @property
    def trace(self) -> tuple[str, ...]:
        """One sentence per fit: what was used, from what, and where it was measured."""
        return tuple(f"{fit.name} {fit.used.value:.1f} mm ({fit.used.origin}): {fit.used.trace}" for fit in self.fits)

    def with_length(self, measured: Measurement, along: Along = "chord") -> "FittedHumerus":
        """Fit the AP length of the whole footprint; a chord is bent onto the radius of head plus tuberosity.

        Raises
        ------
        CaseError
            When the length is 0 or the chord does not fit the bone.
        """
        used = _on_bone(measured, along, self.shape.insertion_radius)
        size = self.shape.footprint
        fitted = self.shape.with_footprint(size.stretched(along=used.value / size.length))
        return FittedHumerus(fitted, (*self.fits, Fit("footprint length", measured, used)))

    def with_breadth(self, measured: Measurement, along: Along = "chord") -> "FittedHumerus":
        """Fit the ML breadth of the footprint in the head plane; a chord is bent onto the footprint's own curve.

        Raises
        ------
        CaseError
            When the breadth is 0 or the chord does not fit the bone.
        """
        head_plane = -self.chart.strip.front * self.shape.margin_radius
        bend = float(self.chart.curvature(head_plane, 0.0))
        used = _on_bone(measured, along if bend > 0 else "arc", 1 / bend if bend > 0 else 1.0)
        now = self.chart.edge(head_plane)
        size = self.shape.footprint.stretched(across=used.value / now)
        return FittedHumerus(self.shape.with_footprint(size), (*self.fits, Fit("footprint breadth", measured, used)))


def fit_head(book: Citing, measured: Measurement, what: Literal["radius", "diameter"]) -> FittedHumerus:
    """The mean humerus brought to a measured head radius or diameter (mm); lengths scale, angles stay.

    Raises
    ------
    CaseError
        When the measure is 0.
    """
    used = _times(measured, 0.5, "half the head diameter") if what == "diameter" else measured
    shape = HumerusShape.from_facts(book, used.value)
    return FittedHumerus(shape, (Fit("head radius", measured, used),))


def _times(measured: Measurement, factor: float, how: str) -> Measurement:
    trace = f"{measured.trace}; {how}" if measured.trace else how
    return replace(measured, value=measured.value * factor, sd=measured.sd * factor, trace=trace)


def _on_bone(measured: Measurement, along: Along, radius: float) -> Measurement:
    """The measure as an arc on the bone, its SD grown in proportion."""
    if not measured.value > 0:
        raise CaseError("a measured footprint must be above 0 mm; measure it again")
    if along == "arc":
        return measured
    factor = arc_from_chord(measured.value, radius) / measured.value
    return _times(measured, factor, f"arc over a chord of {measured.value:.1f} mm on radius {radius:.1f} mm")
