"""The torn tendon as one orthotropic elastic sheet: plane stress, held at the muscle, free at its edge.

Cells may differ in stiffness (regions, missing tissue); the sides may be held along the fibres by neighbours.
"""

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from scipy.special import ndtr

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.sheet_bounds import at_rest, muscle_modes, side_springs
from cuffwright.mechanics.sheet_cells import TISSUE, cell_shares, edge_nodes, node_shares
from cuffwright.mechanics.surroundings import ALONE, Surroundings

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
    two components each; ``edge`` (2N) is the mean v motion of the lateral edge per newton. ``solid`` (N) is the
    share of tissue round each node, ``rim`` the edge node of every column. ``ride`` (2N, 3) is how far each node
    follows, with no suture, 1 mm of the muscle end against its pull, 1 mm across it and its turn by one radian; the
    muscle end moves by minus these, so that what the first counts is medial; ``bulk`` (3, 3) is the muscle end's
    stiffness against the three. Where the muscle end is free the first already has the other two at rest.
    ``lead`` (3) is the edge's medial part of ``ride``.
    """

    u: Floats
    v: Floats
    flex: Floats = field(repr=False)
    edge: Floats = field(repr=False)
    solid: Floats = field(repr=False)
    rim: NDArray[np.int64] = field(repr=False)
    ride: Floats = field(repr=False)
    bulk: Floats = field(repr=False)
    lead: Floats = field(repr=False)

    def shares(self, at: Floats) -> Floats:
        """Share (n, N) of each site's grip on each node; what falls where there is no tissue is left out."""
        share = patch_weights(at[:, 1], self.v)[:, :, None] * patch_weights(at[:, 0], self.u)[:, None, :]
        flat: Floats = share.reshape(at.shape[0], -1) * self.solid
        return flat

    def grip(self, at: Floats) -> Floats:
        """Patch matrix (2n, 2N) of sites at ``at`` (n, 2) mm: averages motion, spreads force.

        Raises
        ------
        OutsideValidity
            When a site lies off the sheet, in missing tissue or too close to the clamped end.
        """
        outside = (at[:, 0] < self.u[0]) | (at[:, 0] > self.u[-1]) | (at[:, 1] < REACH) | (at[:, 1] > self.v[-1])
        if outside.any():
            u, v = at[int(np.argmax(outside))]
            raise OutsideValidity(
                f"a limb at u {u:.1f}, v {v:.1f} mm lies off the tendon strip or too far medially to be computed; "
                f"keep it within u {self.u[0]:.0f} to {self.u[-1]:.0f} and v {REACH:.0f} to {self.v[-1]:.0f}"
            )
        flat = self.shares(at)
        whole = flat.sum(axis=1, keepdims=True)
        lost = whole[:, 0] < TISSUE
        if lost.any():
            u, v = at[int(np.argmax(lost))]
            raise OutsideValidity(
                f"a limb at u {u:.1f}, v {v:.1f} mm of the tendon strip passes where the drawn outline leaves no "
                "tissue; move it or draw the outline again"
            )
        grip = np.zeros((2 * at.shape[0], 2 * flat.shape[1]))
        grip[0::2, 0::2] = flat / whole
        grip[1::2, 1::2] = flat / whole
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
        """The v motion (mm) of each edge node under site forces ``pull`` (2n) N, muscle end held."""
        motion = self.flex @ (self.grip(at).T @ pull)
        profile: Floats = motion[2 * self.rim + 1]
        return profile


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


def stiffness(elastic: Elastic, thickness: float, u: Floats, v: Floats, share: Floats | None = None) -> csc_matrix:
    """Stiffness of the whole sheet on the grid ``u`` x ``v`` (mm), u fastest, nothing held.

    ``share`` (rows, columns) scales every cell; all are whole when it is not given.
    """
    columns, rows = u.size - 1, v.size - 1
    low = (np.arange(rows)[:, None] * u.size + np.arange(columns)[None, :]).ravel()
    nodes = low[:, None] + np.array([0, 1, u.size + 1, u.size])
    dof = np.stack((2 * nodes, 2 * nodes + 1), axis=2).reshape(low.size, -1)
    cell = element(elastic, thickness, u[1] - u[0], v[1] - v[0]).ravel()
    size = dof.shape[1]
    i = np.repeat(dof, size, axis=1).ravel()
    j = np.tile(dof, (1, size)).ravel()
    total = 2 * u.size * v.size
    each = np.ones(low.size) if share is None else share.ravel()
    return sparse.csc_matrix(((each[:, None] * cell).ravel(), (i, j)), shape=(total, total))


@lru_cache(maxsize=KEPT)
def solve_sheet(
    width: float,
    edge: float,
    thickness: float,
    elastic: Elastic,
    cell: float = CELL,
    around: Surroundings = ALONE,
) -> Sheet:
    """Mesh, factorise and solve the sheet from the muscle end to ``edge`` (v, mm); kept for the next call.

    ``width`` and ``thickness`` in mm; ``cell`` is the mesh size aimed at.
    """
    u = np.linspace(0.0, width, max(2, round(width / cell)) + 1)
    v = np.linspace(CLAMP, edge, max(2, round((edge - CLAMP) / cell)) + 1)
    tissue, share = cell_shares(around, u, v)
    k = stiffness(elastic, thickness, u, v, share) + side_springs(around, u, v)
    held = 2 * u.size
    kept = int(np.searchsorted(v, REACH - MARGIN))
    first = 2 * u.size * kept
    inside = k[held:, held:].tocsc()
    wanted = k.shape[0] - first
    modes = muscle_modes(around, u)
    right = np.zeros((inside.shape[0], wanted + modes.shape[1]))
    right[first - held + np.arange(wanted), np.arange(wanted)] = 1.0
    right[:, wanted:] = -k[held:, :held] @ modes
    answer = splu(inside).solve(right)
    bulk = modes.T @ (k[:held, :held] @ modes + k[:held, held:] @ answer[:, wanted:])
    flex = answer[first - held :, :wanted]
    flex = 0.5 * (flex + flex.T)
    ride, bulk = answer[first - held :, wanted:], 0.5 * (bulk + bulk.T)
    if around.free:
        ride, bulk = at_rest(ride, bulk)
    solid = node_shares(tissue)[kept:]
    rim = edge_nodes(solid)
    line = np.full(u.size, 1.0)
    line[0] = line[-1] = 0.5
    line /= line.sum()
    return Sheet(u, v[kept:], flex, line @ flex[2 * rim + 1], solid.ravel(), rim, ride, bulk, line @ ride[2 * rim + 1])
