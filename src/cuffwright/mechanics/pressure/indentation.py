"""How deep the tendon sinks at one rope point per newton at another, mirrors at the edges included."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.kernels.pressure import gather
from cuffwright.mechanics.pressure.field import Grid, at_modes, cosines, gaussian, weights
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.table import LayerShelf

FINER = 4
"""Numerical choice: nodes of the indentation table per pressure cell; look-up then errs by under 1 % at its peak."""

Floats = NDArray[np.float64]


def gather_plain(u: Floats, v: Floats, to_u: Floats, to_v: Floats, table: Floats, width: float, depth: float) -> Floats:
    """The same as :func:`cuffwright.mechanics.kernels.pressure.gather` without compiling."""
    last_u, last_v = table.shape[0] - 1, table.shape[1] - 1
    total = np.zeros((u.size, to_u.size))
    for a in (np.abs(u[:, None] - to_u), u[:, None] + to_u):
        x = np.minimum(a, 2 * width - a) * (last_u / width)
        p = np.clip(x.astype(np.int64), 0, last_u - 1)
        x = x - p
        for b in (np.abs(v[:, None] - to_v), v[:, None] + to_v):
            y = np.minimum(b, 2 * depth - b) * (last_v / depth)
            q = np.clip(y.astype(np.int64), 0, last_v - 1)
            y = y - q
            low = table[p, q] + (table[p + 1, q] - table[p, q]) * x
            high = table[p, q + 1] + (table[p + 1, q + 1] - table[p, q + 1]) * x
            total += low + (high - low) * y
    return total / 4


@dataclass(frozen=True)
class Indentation:
    """Indentation per newton on one grid and layer; keeps a table per rope width."""

    grid: Grid
    layer: LayerProperties
    shelf: LayerShelf
    compiled: bool = True
    tables: dict[float, Floats] = field(default_factory=dict, repr=False)

    def table(self, variance: float) -> Floats:
        """Indentation per newton (mm/N) at offsets 0 to the strip's size, for ropes of this ``variance``, mm2."""
        if variance not in self.tables:
            grid = self.grid
            modes_u, modes_v = 2 * grid.count_u, 2 * grid.count_v
            soft = at_modes(grid, self.layer, self.shelf, modes_u, modes_v).indentation
            soft = soft * gaussian(grid, modes_u, modes_v, variance**0.5)
            soft *= weights(modes_u, grid.width)[:, None]
            soft *= weights(modes_v, grid.depth)
            along_u = np.linspace(0, grid.width, FINER * grid.count_u + 1)
            along_v = np.linspace(0, grid.depth, FINER * grid.count_v + 1)
            basis_u, basis_v = cosines(modes_u, along_u, grid.width), cosines(modes_v, along_v, grid.depth)
            self.tables[variance] = np.ascontiguousarray(basis_u.T @ soft @ basis_v)
        return self.tables[variance]

    def between(self, u: Floats, v: Floats, spread: Floats) -> Floats:
        """Matrix (mm/N) between rope points at sheet ``u``, ``v`` mm whose ropes have these ``spread`` mm.

        Two ropes of different width see each other with the mean of their variances, so the matrix is symmetric.
        """
        v = v - self.grid.medial
        look = gather if self.compiled else gather_plain
        out = np.empty((u.size, u.size))
        sizes = np.unique(spread)
        for one in sizes:
            rows = np.flatnonzero(spread == one)
            for other in sizes:
                columns = np.flatnonzero(spread == other)
                table = self.table(float(one**2 + other**2) / 2)
                block = look(u[rows], v[rows], u[columns], v[columns], table, self.grid.width, self.grid.depth)
                out[np.ix_(rows, columns)] = block
        return out
