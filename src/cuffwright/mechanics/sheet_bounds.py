"""Bounds of the sheet: neighbours along its sides, and a muscle end that is guided or free."""

import numpy as np
from scipy import sparse
from scipy.sparse import csc_matrix

from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.surroundings import Surroundings

SINGULAR = 1e-5
"""Numerical choice: share of the largest stiffness of a free muscle end below which a motion counts as free."""


def side_springs(around: Surroundings, u: Floats, v: Floats) -> csc_matrix:
    """Stiffness of the neighbours' hold along the fibres on the two sides, spread over their nodes."""
    length = np.full(v.size, v[1] - v[0])
    length[0] = length[-1] = 0.5 * length[0]
    along = np.zeros((v.size, u.size, 2))
    along[:, 0, 1] = around.front * length
    along[:, -1, 1] = around.back * length
    return sparse.diags(along.ravel(), format="csc")


def muscle_modes(around: Surroundings, u: Floats) -> Floats:
    """Motion (2 nodes, 3) of the muscle end's nodes: 1 mm against the pull, 1 mm across it, a turn of one radian."""
    modes = np.zeros((2 * u.size, 3))
    angle = np.deg2rad(around.pull_degrees)
    modes[0::2, 0], modes[1::2, 0] = -np.sin(angle), np.cos(angle)
    modes[0::2, 1], modes[1::2, 1] = np.cos(angle), np.sin(angle)
    modes[1::2, 2] = u - u.mean()
    return modes


def at_rest(ride: Floats, bulk: Floats) -> tuple[Floats, Floats]:
    """Let the muscle end find its own sideways place and turn while it is pulled: new ``ride`` and ``bulk``."""
    back = -np.linalg.pinv(bulk[1:, 1:], rcond=SINGULAR) @ bulk[1:, :1]
    ride = np.column_stack((ride[:, :1] + ride[:, 1:] @ back, ride[:, 1:]))
    whole = np.array(bulk)
    whole[0, 0] = (bulk[:1, :1] + bulk[:1, 1:] @ back)[0, 0]
    whole[0, 1:] = whole[1:, 0] = 0.0
    return ride, whole


def yielding(stiff: Floats, ride: Floats, bulk: Floats, lead: Floats, free: bool) -> tuple[Floats, Floats]:
    """Stiffness (2n, 2n) N/mm and the edge's ``swing`` (2n) once a ``free`` muscle end has come to rest.

    The muscle end shifts sideways and turns until it meets no force across and no moment.
    """
    swing = np.zeros(stiff.shape[0])
    if not free:
        return stiff, swing
    modes = ride[:, 1:]
    push = stiff @ modes
    rest = np.linalg.inv(modes.T @ push + bulk[1:, 1:])
    return stiff - push @ rest @ push.T, push @ (rest @ lead[1:])
