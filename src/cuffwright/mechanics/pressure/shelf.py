"""What can be kept between maps: per material, per grid and layer, and per course of the ropes.

In memory only, the oldest dropped first; nothing kept changes a result.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.pressure.field import Field, Grid
from cuffwright.mechanics.pressure.indentation import Indentation
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.span import Span, SpanNodes, cut
from cuffwright.mechanics.pressure.table import LayerShelf

KEPT = 32
"""Numerical choice: grids with their layer, and courses of ropes, whose arrays stay in memory."""

Floats = NDArray[np.float64]
Kept = TypeVar("Kept")


@dataclass(frozen=True)
class Bed:
    """The tendon under one course of ropes, whatever their tensions.

    ``nodes`` of all ropes, their ``spread`` (mm), the indentation matrix ``soft`` between them (mm/N), and the
    cosines of the grid at them.
    """

    nodes: SpanNodes
    spread: Floats
    soft: Floats
    places: tuple[Floats, Floats]


@dataclass
class PressureShelf:
    """Layer tables, fields and beds made so far."""

    layers: LayerShelf = field(default_factory=LayerShelf)
    _fields: dict[tuple[object, ...], Field] = field(default_factory=dict, repr=False)
    _soft: dict[tuple[object, ...], Indentation] = field(default_factory=dict, repr=False)
    _beds: dict[tuple[object, ...], Bed] = field(default_factory=dict, repr=False)

    def field_of(self, grid: Grid, layer: LayerProperties) -> Field:
        """The field of ``layer`` on ``grid``, made on first use."""
        key = (grid, layer)
        found = self._fields.get(key)
        return found or _keep(self._fields, key, Field.of(grid, layer, self.layers))

    def indentation_of(self, grid: Grid, layer: LayerProperties, compiled: bool) -> Indentation:
        """The indentation of ``layer`` on ``grid``, made on first use."""
        key = (grid, layer, compiled)
        found = self._soft.get(key)
        return found or _keep(self._soft, key, Indentation(grid, layer, self.layers, compiled))

    def bed_of(self, spans: Sequence[Span], grid: Grid, layer: LayerProperties, spacing: float, compiled: bool) -> Bed:
        """The tendon under the courses of ``spans`` cut about every ``spacing`` mm, made on first use."""
        key = (*((s.start, s.end, s.spread) for s in spans), grid, layer, spacing, compiled)
        found = self._beds.get(key)
        if found is None:
            nodes = cut(spans, spacing)
            spread = np.array([s.spread for s in spans])[nodes.span]
            soft = self.indentation_of(grid, layer, compiled).between(nodes.u, nodes.v, spread)
            found = Bed(nodes, spread, soft, self.field_of(grid, layer).places(nodes.u, nodes.v))
            _keep(self._beds, key, found)
        return found


def _keep(kept: dict[tuple[object, ...], Kept], key: tuple[object, ...], value: Kept) -> Kept:
    while len(kept) >= KEPT:
        kept.pop(next(iter(kept)), None)
    kept[key] = value
    return value
