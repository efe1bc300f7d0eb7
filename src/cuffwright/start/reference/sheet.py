"""The tendon sheet by quadratic quadrilaterals: an independent judge of the sheet's flexibility."""

import numpy as np
from numpy.typing import NDArray
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, LinearForm, MeshQuad, condense, solve

from cuffwright.mechanics.sheet import CLAMP, PATCH, Elastic

Floats = NDArray[np.float64]


def site_motions(
    elastic: Elastic, width: float, edge: float, thickness: float, sites: Floats, forces: Floats, cell: float = 1.0
) -> Floats:
    """Motion (2n) in mm, u and v by turns, of bell-shaped patches at ``sites`` (n, 2) under ``forces`` (2n) N.

    The strip is ``width`` mm wide and ``thickness`` mm thick, clamped medially, its free edge at v = ``edge`` mm;
    ``cell`` is the mesh size in mm.
    """
    across_cells = max(2, round(width / cell))
    along_cells = max(2, round((edge - CLAMP) / cell))
    mesh = MeshQuad.init_tensor(np.linspace(0.0, width, across_cells + 1), np.linspace(CLAMP, edge, along_cells + 1))
    basis = Basis(mesh, ElementVector(ElementQuad2()), intorder=6)
    stress = elastic.matrix() * thickness

    @BilinearForm
    def stretch(p, q, _):
        left = (p.grad[0, 0], p.grad[1, 1], p.grad[0, 1] + p.grad[1, 0])
        right = (q.grad[0, 0], q.grad[1, 1], q.grad[0, 1] + q.grad[1, 0])
        return sum(stress[i, j] * left[i] * right[j] for i in range(3) for j in range(3))

    def bell(axis, at):
        @LinearForm
        def form(q, w):
            r2 = (w.x[0] - at[0]) ** 2 + (w.x[1] - at[1]) ** 2
            return np.exp(-0.5 * r2 / PATCH**2) * (r2 < 9.0) * q[axis]

        vector = form.assemble(basis)
        return vector / vector.sum()

    bells = np.array([bell(axis, at) for at in sites for axis in range(2)])
    held = basis.get_dofs(lambda x: np.isclose(x[1], CLAMP))
    moved = solve(*condense(stretch.assemble(basis), bells.T @ forces, D=held))
    return np.asarray(bells @ moved)
