"""The pressure map of a repair: ropes on the tendon, tendon on the bone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.mechanics.pressure.field import Field, Grid
from cuffwright.mechanics.pressure.footprint import Footprint
from cuffwright.mechanics.pressure.liftoff import settle
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.parameters import ContactParameters
from cuffwright.mechanics.pressure.rope import line_load
from cuffwright.mechanics.pressure.shelf import PressureShelf
from cuffwright.mechanics.pressure.span import Span

SPACING = 0.5
"""Numerical choice: distance of rope nodes, mm."""
THRESHOLDS = 61
"""Numerical choice: points of the curve of area over threshold, from 0 to the peak."""

Floats = NDArray[np.float64]
Point = tuple[float, float]


@dataclass(frozen=True)
class AreaCurve:
    """Pressed area of the window over the threshold: MPa, share of the window's area (-), and mm2."""

    threshold: Floats
    share: Floats
    area: Floats


@dataclass(frozen=True)
class ContactMap:
    """Pressure of the tendon on the bone, and what is read from it in the footprint window.

    Attributes
    ----------
    u, v
        Cell centres in sheet mm.
    pressure, lift
        Per cell, ``len(u)`` x ``len(v)``: base pressure in MPa and lift of the tendon off the bone in mm.
    inside
        Area of each cell that lies in the window, mm2.
    window
        The footprint window; where the tendon does not cover it, there is no pressure.
    total_force, force
        Normal force in N on the whole strip and in the window.
    mean, peak
        Mean over the whole window and largest pressure in it, MPa.
    threshold
        Pressure in MPa from which the sensor counts contact; print it beside every area.
    curve
        Pressed area over the threshold.
    clamp
        Mean pressure (MPa) in a disc round each point of the medial row.
    pull_share
        Pull of a base glued to the tendon over the total force: how much lift-off was needed.
    clipped_share
        Pull that remained after lift-off and was cut off, over the total force; near 0 when solved.
    lifted_share, rope_lifted_share
        Share of the window's area where the tendon leaves the bone, and of rope nodes that leave the tendon.
    deepest
        Deepest indentation under a rope, mm.
    """

    u: Floats
    v: Floats
    pressure: Floats
    lift: Floats
    inside: Floats
    window: Footprint
    total_force: float
    force: float
    mean: float
    peak: float
    threshold: float
    curve: AreaCurve
    clamp: dict[str, float]
    pull_share: float
    clipped_share: float
    lifted_share: float
    rope_lifted_share: float
    deepest: float

    def area_above(self, threshold: float | None = None) -> float:
        """Area of the window (mm2) pressed with ``threshold`` MPa or more; by default the sensor's."""
        cut_off = self.threshold if threshold is None else threshold
        return float(self.inside[self.pressure >= cut_off].sum())

    def share_above(self, threshold: float | None = None) -> float:
        """The same over the window's area."""
        return self.area_above(threshold) / self.window.area

    def mean_above(self, threshold: float | None = None) -> float | None:
        """Mean pressure (MPa) over the pressed area, as a film reports it; None where nothing is pressed."""
        cut_off = self.threshold if threshold is None else threshold
        pressed = np.where(self.pressure >= cut_off, self.inside, 0)
        area = float(pressed.sum())
        return float((pressed * self.pressure).sum()) / area if area else None


def contact_map(
    spans: Sequence[Span],
    grid: Grid,
    layer: LayerProperties,
    window: Footprint,
    parameters: ContactParameters,
    shelf: PressureShelf,
    medial: Mapping[str, Point] | None = None,
    spacing: float = SPACING,
    compiled: bool = True,
    wrap: Floats | None = None,
) -> ContactMap:
    """Pressure of the tendon on the bone under these ``spans``.

    Parameters
    ----------
    spans
        Ropes on top of the tendon with their tensions (N) already scaled; unloaded ones are left out.
    grid
        The tendon strip in cells.
    layer, window, parameters
        The tendon as a layer, the window results are read in, and the numbers from facts.
    shelf
        Keeps what can be reused; give the same one for every map.
    medial
        Points of the medial row (sheet mm) by name, for the clamp pressure.
    spacing
        Distance of rope nodes, mm.
    compiled
        False runs without the compiled kernel, to the same result.
    wrap
        Pressure (MPa, ``len(u)`` x ``len(v)``) of the tendon's own pull round the bone's curve, from
        :func:`cuffwright.mechanics.pressure.wrap.wrap_pressure`; none when the tendon is not pulled.

    Raises
    ------
    CaseError
        When a rope leaves the strip.
    OutsideValidity
        When a rope sinks deeper than the allowed share of the thickness, or finds no balance.
    """
    field = shelf.field_of(grid, layer)
    loaded = [s for s in spans if s.tension > 0]
    for span in loaded:
        _check_inside(span, grid)
    if not loaded:
        bare = np.zeros((grid.count_u, grid.count_v)) if wrap is None else wrap
        return _read(field, bare, window, parameters, medial or {}, 0.0, 0.0)
    bed = shelf.bed_of(loaded, grid, layer, spacing, compiled)
    load = line_load(loaded, bed.nodes, bed.soft)
    deepest = float(load.indentation.max())
    if deepest > parameters.deepest * layer.thickness:
        raise OutsideValidity(
            f"the ropes sink {deepest:.1f} mm into a tendon {layer.thickness:g} mm thick, beyond the contact "
            f"model's limit of {parameters.deepest:.0%}; lower the tensions"
        )
    bonded = field.pressed(bed.places, load.force, bed.spread)
    if wrap is not None:
        bonded = bonded + wrap
    return _read(field, bonded, window, parameters, medial or {}, deepest, float(np.mean(~load.touching)))


def _check_inside(span: Span, grid: Grid) -> None:
    for u, v in (span.start, span.end):
        if not (0 <= u <= grid.width and grid.medial <= v <= grid.edge):
            raise CaseError(
                f"limb {span.name} reaches u {u:.1f}, v {v:.1f} mm, which is not on the tendon strip; "
                "move its hole or its anchor"
            )


def _read(
    field: Field,
    bonded: Floats,
    window: Footprint,
    parameters: ContactParameters,
    medial: Mapping[str, Point],
    deepest: float,
    rope_lifted: float,
) -> ContactMap:
    """Let the base lift off and read the window."""
    grid = field.grid
    settled = settle(field, bonded)
    pressure = settled.pressure
    inside = window.share(grid)
    force = float((pressure * inside).sum())
    total = float(pressure.sum()) * grid.cell_area
    pull = float(np.maximum(-bonded, 0).sum()) * grid.cell_area
    peak = float(pressure[inside > 0].max(initial=0.0))
    return ContactMap(
        u=grid.u,
        v=grid.v,
        pressure=pressure,
        lift=settled.lift,
        inside=inside,
        window=window,
        total_force=total,
        force=force,
        mean=force / window.area,
        peak=peak,
        threshold=parameters.threshold,
        curve=_curve(pressure[inside > 0], inside[inside > 0], window.area, peak),
        clamp={name: _disc_mean(grid, pressure, point, parameters.disc) for name, point in medial.items()},
        pull_share=pull / total if total else 0.0,
        clipped_share=settled.clipped,
        lifted_share=float(inside[settled.lift > 0].sum()) / window.area,
        rope_lifted_share=rope_lifted,
        deepest=deepest,
    )


def _curve(pressure: Floats, inside: Floats, area: float, peak: float) -> AreaCurve:
    order = np.argsort(pressure)
    below = np.concatenate([[0.0], np.cumsum(inside[order])])
    threshold = np.linspace(0, peak, THRESHOLDS)
    pressed = below[-1] - below[np.searchsorted(pressure[order], threshold, side="left")]
    return AreaCurve(threshold, pressed / area, pressed)


def _disc_mean(grid: Grid, pressure: Floats, point: Point, diameter: float) -> float:
    """Mean pressure (MPa) over the cells whose centre lies within the disc round ``point``."""
    reach = max(diameter / 2, grid.cell_area**0.5)
    near = np.hypot(grid.u[:, None] - point[0], grid.v - point[1]) <= reach
    if not near.any():
        raise CaseError(f"the medial point at u {point[0]:.1f}, v {point[1]:.1f} mm is not on the tendon strip")
    return float(pressure[near].mean())
