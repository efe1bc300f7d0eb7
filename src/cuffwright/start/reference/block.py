"""A three-dimensional finite element block as an independent judge of the pressure model.

Quadratic hexahedra on a regular mesh; the element matrices come from scikit-fem, one element serves all.
"""

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, ElementQuad2, ElementVector, MeshHex, MeshQuad


def _element_stiffness(stiffness, sizes):
    """81 x 81 stiffness of one brick."""
    brick = MeshHex.init_tensor(*(np.array([0.0, s]) for s in sizes))
    basis = Basis(brick, ElementVector(ElementHex2()), intorder=4)

    def strain(w):
        g = w.grad
        return [g[0, 0], g[1, 1], g[2, 2], g[1, 2] + g[2, 1], g[0, 2] + g[2, 0], g[0, 1] + g[1, 0]]

    @BilinearForm
    def energy(a, b, _):
        left, right = strain(a), strain(b)
        return sum(stiffness[i, j] * left[i] * right[j] for i in range(6) for j in range(6) if stiffness[i, j])

    return basis, energy.assemble(basis).toarray()


def base_pressure(stiffness, lengths, cells, top_pressure):
    """Base pressure (MPa) at the base nodes of a block on a rigid base without friction.

    The face y = 0 rests on a smooth wall; all other sides are free.

    ``stiffness`` 6 x 6 MPa (order xx, yy, zz, yz, xz, xy); ``lengths`` mm and ``cells`` per axis;
    ``top_pressure(x, y)`` MPa. Returns base pressure and indentation of the top on the 2 n + 1 nodes per axis.
    """
    sizes = [length / n for length, n in zip(lengths, cells, strict=True)]
    basis, one = _element_stiffness(stiffness, sizes)
    counts = [2 * n + 1 for n in cells]
    local = np.rint(2 * basis.doflocs[:, basis.element_dofs[:, 0]] / np.array(sizes)[:, None]).astype(int)
    one_local = one[np.ix_(basis.element_dofs[:, 0], basis.element_dofs[:, 0])]
    component = _components(basis)
    origin = np.stack(np.meshgrid(*(2 * np.arange(n) for n in cells), indexing="ij"), -1).reshape(-1, 3)
    node = np.ravel_multi_index(tuple(origin[:, None, a] + local[a] for a in range(3)), counts)
    dof = 3 * node + component
    rows, columns = np.repeat(dof, 81, 1).ravel(), np.tile(dof, (1, 81)).ravel()
    size = 3 * int(np.prod(counts))
    whole = coo_matrix((np.tile(one_local.ravel(), len(dof)), (rows, columns)), (size, size)).tocsr()
    plane = np.arange(counts[0] * counts[1]).reshape(counts[0], counts[1])
    bottom = 3 * (plane * counts[2]).ravel() + 2
    top = 3 * (plane * counts[2] + counts[2] - 1).ravel() + 2
    mass, x, y = _plane_mass(lengths[:2], cells[:2])
    load = np.zeros(size)
    load[top] = -(mass @ top_pressure(x, y))
    medial = 3 * (plane[:, 0, None] * counts[2] + np.arange(counts[2])).ravel() + 1
    held = np.concatenate([bottom, medial, [0]])
    free = np.setdiff1d(np.arange(size), held)
    moved = np.zeros(size)
    moved[free] = splu(csc_matrix(whole[free][:, free]), permc_spec="MMD_AT_PLUS_A").solve(load[free])
    reaction = (whole @ moved)[bottom]
    return splu(csc_matrix(mass)).solve(reaction).reshape(counts[:2]), -moved[top].reshape(counts[:2])


def rope_load(u, v, force, spread, lengths):
    """Top pressure (MPa) as a function of x, y (mm) under rope nodes at ``u``, ``v`` (mm) with ``force`` N.

    Each node presses as a bell of standard deviation ``spread`` mm, folded back at the sides of ``lengths`` mm.
    """

    def top(x, y):
        total = np.zeros_like(x)
        for across, along, push in zip(u, v, force, strict=True):
            for mirror_u in (across, -across, 2 * lengths[0] - across):
                for mirror_v in (along, -along, 2 * lengths[1] - along):
                    square = (x - mirror_u) ** 2 + (y - mirror_v) ** 2
                    total += push * np.exp(-square / 2 / spread**2) / (2 * np.pi * spread**2)
        return total

    return top


def _components(basis):
    """Which direction each local unknown of the brick acts in, found by projecting constant fields."""
    out = np.full(81, -1)
    for c in range(3):
        unit = basis.project(lambda x, c=c: np.stack([np.full_like(x[0], float(a == c)) for a in range(3)]))
        out[np.abs(unit[basis.element_dofs[:, 0]]) > 0.5] = c
    assert (out >= 0).all()
    return out


def _plane_mass(lengths, cells):
    """Mass matrix of the quadratic quads of the top or base, numbered like the bricks' planes, with x and y."""
    sizes = [length / n for length, n in zip(lengths, cells, strict=True)]
    quad = MeshQuad.init_tensor(*(np.array([0.0, s]) for s in sizes))
    basis = Basis(quad, ElementQuad2(), intorder=4)
    one = BilinearForm(lambda a, b, _: a * b).assemble(basis).toarray()
    counts = [2 * n + 1 for n in cells]
    local = np.rint(2 * basis.doflocs / np.array(sizes)[:, None]).astype(int)
    origin = np.stack(np.meshgrid(*(2 * np.arange(n) for n in cells), indexing="ij"), -1).reshape(-1, 2)
    node = np.ravel_multi_index(tuple(origin[:, None, a] + local[a] for a in range(2)), counts)
    rows, columns = np.repeat(node, 9, 1).ravel(), np.tile(node, (1, 9)).ravel()
    size = counts[0] * counts[1]
    axes = (np.linspace(0, length, c) for length, c in zip(lengths, counts, strict=True))
    x, y = (a.ravel() for a in np.meshgrid(*axes, indexing="ij"))
    return coo_matrix((np.tile(one.ravel(), len(node)), (rows, columns)), (size, size)).tocsr(), x, y
