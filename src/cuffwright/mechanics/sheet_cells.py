"""Cells and nodes of the sheet: how much tissue each holds, how stiff it is, and where the tendon's edge runs."""

import numpy as np
from numpy.typing import NDArray

from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.outline import covered
from cuffwright.mechanics.surroundings import Surroundings

VOID = 1e-5
"""Numerical choice: share of its stiffness left to a cell without tissue, so that nothing floats."""

TISSUE = 0.5
"""Numerical choice: a grid point belongs to the tendon when at least this share round it is tissue."""


def cell_shares(around: Surroundings, u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Share of tissue and share of stiffness (rows, columns) of every cell."""
    tissue = np.ones((v.size - 1, u.size - 1))
    if around.missing:
        tissue = 1.0 - covered(around.missing, u, v)
    regions = [around.region_at(middle) for middle in 0.5 * (u[1:] + u[:-1])]
    bands = np.array([region.modulus * region.thickness for region in regions])
    return tissue, np.maximum(tissue, VOID) * bands


def node_shares(tissue: Floats) -> Floats:
    """Share of tissue round every node (rows + 1, columns + 1), from that of the cells; below a half it is none."""
    around = np.pad(tissue, 1, mode="edge")
    mean = (around[:-1, :-1] + around[1:, :-1] + around[:-1, 1:] + around[1:, 1:]) / 4
    solid: Floats = np.where(mean >= TISSUE, mean, 0.0)
    return solid


def edge_nodes(solid: Floats) -> NDArray[np.int64]:
    """Number of the most lateral node with tissue in every column; the last one where a column has none."""
    rows, columns = solid.shape
    last = rows - 1 - np.argmax(solid[::-1] > 0.0, axis=0)
    numbers: NDArray[np.int64] = last * columns + np.arange(columns)
    return numbers
