"""The finite tendon as a cosine series: even mirrors at the lateral edge, the sides and the medial end.

A mirrored edge carries no shear, which makes the vertical field at a free edge nearly right.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.pressure.layer import Transfer
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.table import LayerShelf

CELL = 0.5
"""Numerical choice: side of a pressure cell, mm; halving it moves the footprint mean by less than 0.1 %."""
MARGIN = 8.0
"""Numerical choice: tendon kept medial to the articular margin, mm, beyond which pressure has died out."""

Floats = NDArray[np.float64]


def cosines(modes: int, positions: Floats, length: float) -> Floats:
    """cos(m pi x / length), ``modes`` x positions."""
    return np.asarray(np.cos(np.pi / length * np.outer(np.arange(modes), positions)))


def weights(modes: int, length: float) -> Floats:
    """Normalisation of each cosine: 1/length for the mean, 2/length for the others."""
    norm = np.full(modes, 2 / length)
    norm[0] = 1 / length
    return norm


@dataclass(frozen=True)
class Grid:
    """The strip in sheet mm: u from 0 to ``width``, v from ``medial`` to ``edge``, in ``count_u`` x ``count_v`` cells.

    Raises
    ------
    CaseError
        At birth, when the strip has no extent.
    """

    width: float
    medial: float
    edge: float
    count_u: int
    count_v: int

    def __post_init__(self) -> None:
        if not (0 < self.width < math.inf and 0 < self.depth < math.inf and min(self.count_u, self.count_v) > 1):
            raise CaseError(f"a tendon strip {self.width} mm wide and {self.depth} mm deep carries no pressure map")

    @classmethod
    def over(cls, width: float, edge: float, margin: float = MARGIN, cell: float = CELL) -> "Grid":
        """The grid over a strip ``width`` mm wide whose lateral edge lies at v = ``edge`` mm."""
        if not (0 < width < math.inf and 0 < edge + margin < math.inf):
            raise CaseError(f"a tendon strip {width} mm wide with its edge at {edge} mm carries no pressure map")
        return cls(width, -margin, edge, max(2, round(width / cell)), max(2, round((edge + margin) / cell)))

    @property
    def depth(self) -> float:
        """Extent along v, mm."""
        return self.edge - self.medial

    @property
    def u(self) -> Floats:
        """Cell centres along u, mm."""
        return np.asarray((np.arange(self.count_u) + 0.5) * (self.width / self.count_u), np.float64)

    @property
    def v(self) -> Floats:
        """Cell centres along v, mm."""
        return np.asarray(self.medial + (np.arange(self.count_v) + 0.5) * (self.depth / self.count_v), np.float64)

    @property
    def cell_area(self) -> float:
        """Area of one cell, mm2."""
        return self.width / self.count_u * self.depth / self.count_v

    def waves(self, modes_u: int, modes_v: int) -> tuple[Floats, Floats]:
        """Wave numbers of the cosines along u and v, 1/mm, as a modes_u x 1 and a 1 x modes_v array."""
        k_u = np.arange(modes_u, dtype=np.float64) * (np.pi / self.width)
        k_v = np.arange(modes_v, dtype=np.float64) * (np.pi / self.depth)
        return k_u[:, None], k_v[None, :]


@dataclass(frozen=True)
class Field:
    """A grid and a layer with everything that does not depend on the ropes.

    ``base`` and ``lift`` are G and K per cosine; ``basis_u``, ``basis_v`` the cosines at the cell centres.
    """

    grid: Grid
    layer: LayerProperties
    base: Floats
    lift: Floats
    basis_u: Floats
    basis_v: Floats
    _filters: dict[float, Floats] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, grid: Grid, layer: LayerProperties, shelf: LayerShelf) -> "Field":
        """Look the layer up on the waves of ``grid``."""
        modes = at_modes(grid, layer, shelf, grid.count_u, grid.count_v)
        return cls(
            grid,
            layer,
            modes.base,
            modes.lift,
            cosines(grid.count_u, grid.u, grid.width),
            cosines(grid.count_v, grid.v - grid.medial, grid.depth),
        )

    def coefficients(self, values: Floats) -> Floats:
        """Cosine coefficients of ``values`` at the cell centres, the inverse of :meth:`values`."""
        grid = self.grid
        scaled = self.basis_u @ values @ self.basis_v.T
        scaled *= weights(grid.count_u, grid.count_u)[:, None]
        scaled *= weights(grid.count_v, grid.count_v)
        return scaled

    def values(self, coefficients: Floats) -> Floats:
        """Values at the cell centres of the field with these cosine ``coefficients``."""
        return np.asarray(self.basis_u.T @ coefficients @ self.basis_v)

    def lifted(self, lift: Floats) -> Floats:
        """Base pressure (MPa at the cell centres) of a base ``lift`` (mm at the cell centres)."""
        return self.values(self.lift * self.coefficients(lift))

    def places(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Cosines of the grid at sheet points ``u``, ``v`` mm, modes x points each."""
        grid = self.grid
        return cosines(grid.count_u, u, grid.width), cosines(grid.count_v, v - grid.medial, grid.depth)

    def pressed(self, places: tuple[Floats, Floats], force: Floats, spread: Floats) -> Floats:
        """Base pressure (MPa at the cell centres) of forces (N) at ``places``, each spread as a Gaussian.

        The Gaussians enter by their exact cosine coefficients, so their mirror images at the edges are counted
        and the mean of the map times its area is the sum of the forces.
        """
        grid = self.grid
        total = np.zeros((grid.count_u, grid.count_v))
        for width in np.unique(spread):
            some = np.where(spread == width, force, 0.0)
            total += (places[0] * some) @ places[1].T * self._filter(float(width))
        total *= weights(grid.count_u, grid.width)[:, None]
        total *= weights(grid.count_v, grid.depth)
        return self.values(total * self.base)

    def _filter(self, spread: float) -> Floats:
        if spread not in self._filters:
            self._filters[spread] = gaussian(self.grid, self.grid.count_u, self.grid.count_v, spread)
        return self._filters[spread]


def gaussian(grid: Grid, modes_u: int, modes_v: int, spread: float) -> Floats:
    """Cosine coefficients of a Gaussian of standard deviation ``spread`` mm, relative to a point."""
    k_u, k_v = grid.waves(modes_u, modes_v)
    return np.asarray(np.exp(-(k_u**2 + k_v**2) * (spread**2 / 2)))


def at_modes(grid: Grid, layer: LayerProperties, shelf: LayerShelf, modes_u: int, modes_v: int) -> Transfer:
    """Transfer functions of ``layer`` on the first ``modes_u`` x ``modes_v`` cosines of ``grid``."""
    k_u, k_v = np.broadcast_arrays(*grid.waves(modes_u, modes_v))
    return shelf.of(layer).at(layer, k_u, k_v)
