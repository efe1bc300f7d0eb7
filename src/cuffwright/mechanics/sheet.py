"""The torn tendon as one orthotropic elastic sheet: plane stress, clamped at the muscle, free at its edge."""

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu
from scipy.special import ndtr

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.net import Floats

CELL = 2.0
"""Numerical choice: mesh size aimed at, mm; strength and gap change by under 1 % between 2 and 0.5 mm."""

CLAMP = -25.0
"""Numerical choice: chart v of the clamped medial end of the sheet, mm."""

REACH = -10.0
"""Numerical choice: chart v of the most medial site the sheet answers for, mm; well clear of the clamp."""

MARGIN = 3.0
"""Numerical choice: nodes kept medial of ``REACH``, mm, so that a whole patch finds its nodes."""

PATCH = 0.75
"""Numerical choice: standard deviation of the patch over which a limb grips the sheet, mm."""

TAIL = 4.0
"""Numerical choice: standard deviations after which a patch is cut off."""

KEPT = 16
"""Numerical choice: solved sheets kept for the next call."""

GAUSS = 1.0 / np.sqrt(3.0)
"""Numerical choice: places of the two-point Gauss rule."""


@dataclass(frozen=True)
class Elastic:
    """Sheet moduli in MPa along (v) and across (u) the fibres, Poisson's ratio along to across, and shear."""

    along: float
    across: float
    poisson: float
    shear: float

    def matrix(self) -> Floats:
        """Plane-stress stiffness (3, 3) in MPa, in the order strain uu, vv, shear."""
        back = self.poisson * self.across / self.along
        whole = 1.0 - self.poisson * back
        d = np.zeros((3, 3))
        d[0, 0], d[1, 1], d[2, 2] = self.across / whole, self.along / whole, self.shear
        d[0, 1] = d[1, 0] = self.poisson * self.across / whole
        return d


def patch_weights(at: Floats, knots: Floats) -> Floats:
    """Share (n, k) of each site's grip on each of the ``k`` evenly spaced grid lines ``knots`` (mm).

    The grip is a bell curve around ``at`` (n), cut at the sheet's ends, made whole again, and spread over
    the linear shape functions exactly, so that site flexibility does not depend on the mesh.
    """
    gap = knots[1] - knots[0]
    z = (knots[None, :] - at[:, None]) / PATCH
    z = np.clip(z, -TAIL, TAIL)
    bell = np.exp(-0.5 * z * z) / np.sqrt(2.0 * np.pi)
    mass = np.diff(ndtr(z), axis=1)
    first = at[:, None] * mass - PATCH * np.diff(bell, axis=1)
    right = (first - knots[None, :-1] * mass) / gap
    weights = np.zeros((at.size, knots.size))
    weights[:, :-1] += mass - right
    weights[:, 1:] += right
    whole: Floats = weights / weights.sum(axis=1, keepdims=True)
    return whole


@dataclass(frozen=True)
class Sheet:
    """A solved sheet: grid lines ``u``, ``v`` (mm) and how every node answers to every node.

    ``flex`` (2N, 2N) mm/N over the N nodes lateral of the reach, numbered row by row along v with u fastest,
    two components each; ``edge`` (2N) is the mean v motion of the lateral edge per newton.
    """

    u: Floats
    v: Floats
    flex: Floats = field(repr=False)
    edge: Floats = field(repr=False)

    def grip(self, at: Floats) -> Floats:
        """Patch matrix (2n, 2N) of sites at ``at`` (n, 2) mm: averages motion, spreads force.

        Raises
        ------
        OutsideValidity
            When a site lies off the sheet or too close to its clamped end.
        """
        outside = (at[:, 0] < self.u[0]) | (at[:, 0] > self.u[-1]) | (at[:, 1] < REACH) | (at[:, 1] > self.v[-1])
        if outside.any():
            u, v = at[int(np.argmax(outside))]
            raise OutsideValidity(
                f"a limb at u {u:.1f}, v {v:.1f} mm lies off the tendon strip or too far medially to be computed; "
                f"keep it within u {self.u[0]:.0f} to {self.u[-1]:.0f} and v {REACH:.0f} to {self.v[-1]:.0f}"
            )
        share = patch_weights(at[:, 1], self.v)[:, :, None] * patch_weights(at[:, 0], self.u)[:, None, :]
        flat = share.reshape(at.shape[0], -1)
        grip = np.zeros((2 * at.shape[0], 2 * flat.shape[1]))
        grip[0::2, 0::2] = flat
        grip[1::2, 1::2] = flat
        return grip

    def flexibility(self, at: Floats) -> tuple[Floats, Floats]:
        """Site flexibility (2n, 2n) and mean edge motion (2n), both mm/N, of sites at ``at`` (n, 2) mm.

        Raises
        ------
        OutsideValidity
            When a site lies off the sheet or too close to its clamped end.
        """
        grip = self.grip(at)
        return grip @ self.flex @ grip.T, grip @ self.edge

    def edge_profile(self, at: Floats, pull: Floats) -> Floats:
        """The v motion (mm) of each edge node under site forces ``pull`` (2n) N, clamp held."""
        motion = self.flex @ (self.grip(at).T @ pull)
        return motion[-2 * self.u.size + 1 :: 2]


def element(elastic: Elastic, thickness: float, du: float, dv: float) -> Floats:
    """Stiffness (8, 8) N/mm of a bilinear cell ``du`` by ``dv`` mm; nodes run around from its low corner."""
    corner = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    d = elastic.matrix()
    k = np.zeros((corner.size, corner.size))
    for a in (-GAUSS, GAUSS):
        for b in (-GAUSS, GAUSS):
            slope_u = corner[:, 0] * (1 + b * corner[:, 1]) / (2 * du)
            slope_v = corner[:, 1] * (1 + a * corner[:, 0]) / (2 * dv)
            strain = np.zeros((3, corner.size))
            strain[0, 0::2] = strain[2, 1::2] = slope_u
            strain[1, 1::2] = strain[2, 0::2] = slope_v
            k += strain.T @ d @ strain * thickness * du * dv / 4
    return k


def stiffness(elastic: Elastic, thickness: float, u: Floats, v: Floats) -> sparse.csc_matrix:
    """Stiffness of the whole sheet on the grid ``u`` x ``v`` (mm), u fastest, nothing held."""
    columns, rows = u.size - 1, v.size - 1
    low = (np.arange(rows)[:, None] * u.size + np.arange(columns)[None, :]).ravel()
    nodes = low[:, None] + np.array([0, 1, u.size + 1, u.size])
    dof = np.stack((2 * nodes, 2 * nodes + 1), axis=2).reshape(low.size, -1)
    cell = element(elastic, thickness, u[1] - u[0], v[1] - v[0])
    size = dof.shape[1]
    i = np.repeat(dof, size, axis=1).ravel()
    j = np.tile(dof, (1, size)).ravel()
    total = 2 * u.size * v.size
    return sparse.csc_matrix((np.tile(cell.ravel(), low.size), (i, j)), shape=(total, total))


@lru_cache(maxsize=KEPT)
def solve_sheet(width: float, edge: float, thickness: float, elastic: Elastic, cell: float = CELL) -> Sheet:
    """Mesh, factorise and solve the sheet from the clamp to ``edge`` (v, mm); kept for the next call.

    ``width`` and ``thickness`` in mm; ``cell`` is the mesh size aimed at.
    """
    u = np.linspace(0.0, width, max(2, round(width / cell)) + 1)
    v = np.linspace(CLAMP, edge, max(2, round((edge - CLAMP) / cell)) + 1)
    k = stiffness(elastic, thickness, u, v)
    held = 2 * u.size
    kept = int(np.searchsorted(v, REACH - MARGIN))
    first = 2 * u.size * kept
    inside = k[held:, held:].tocsc()
    right = np.zeros((inside.shape[0], k.shape[0] - first))
    right[first - held + np.arange(right.shape[1]), np.arange(right.shape[1])] = 1.0
    flex = splu(inside).solve(right)[first - held :]
    flex = 0.5 * (flex + flex.T)
    line = np.full(u.size, 1.0)
    line[0] = line[-1] = 0.5
    edge_rows = flex[-2 * u.size + 1 :: 2]
    return Sheet(u, v[kept:], flex, line @ edge_rows / line.sum())
