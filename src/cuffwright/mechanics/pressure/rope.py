"""Line load of all ropes together: strings of constant tension pressed into the elastic layer.

A rope node passes to the tendon what the rope's bending round it leaves over,
f = T (sin in - sin out) + T kappa ds, and the tendon there sinks by w = M f, where M couples all nodes of all
ropes. The energy f.M.f / 2 + sum T length(w) - d.w is convex in f, so Newton steps with a line search always
arrive at the one solution. Nodes between the ends only push: where the rope would have to pull the tendon up it
lifts off and spans straight to its neighbours; it comes back where the tendon rises into it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dgesv

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.pressure.span import Span, SpanNodes

CLOSE = 1e-6
"""Numerical choice: largest force left over at a node, over the largest tension, at which Newton stops."""
ROUGH = 1e-2
"""Numerical choice: the same while the set of touching nodes is still sought."""
CLEAR = 1e-2
"""Numerical choice: depth, mm, by which a lifted rope may cut into the tendon before it touches again."""
STEPS = 60
"""Numerical choice: most Newton steps for one set of touching nodes."""
ROUNDS = 200
"""Numerical choice: most changes of the set of touching nodes."""
RETURNS = 3
"""Numerical choice: how often a node may come back before it stays lifted; steep curved ropes could swap for ever."""
ENOUGH = 1e-4
"""Numerical choice: share of the predicted energy drop that a Newton step must keep."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class LineLoad:
    """Result along the ropes.

    ``nodes`` says where; ``force`` N per node (down on the tendon); ``indentation`` mm of the tendon under it;
    ``touching`` false where the rope has lifted; ``gap`` mm between lifted rope and tendon.
    """

    nodes: SpanNodes
    force: Floats
    indentation: Floats
    touching: NDArray[np.bool_]
    gap: Floats


@dataclass(frozen=True)
class _Chain:
    """The touching nodes: segments between neighbours of one span, and the loads that do not depend on w."""

    index: NDArray[np.int64]
    left: NDArray[np.int64]
    right: NDArray[np.int64]
    length: Floats
    tension: Floats
    fixed: Floats


def _chain(spans: Sequence[Span], nodes: SpanNodes, touching: NDArray[np.bool_]) -> _Chain:
    index = np.flatnonzero(touching)
    number, along = nodes.span[index], nodes.along[index]
    left = np.flatnonzero(number[1:] == number[:-1])
    right = left + 1
    length = along[right] - along[left]
    tension = np.array([s.tension for s in spans])
    bend = np.array([s.tension * s.curvature for s in spans])[number[left]] * length / 2
    fixed = np.zeros(index.size)
    fixed[left] += bend
    fixed[right] += bend
    first = np.flatnonzero(along == 0)
    last = np.append(first[1:], index.size) - 1
    fixed[first] += tension * [s.start_factor for s in spans]
    fixed[last] += tension * [s.end_factor for s in spans]
    return _Chain(index, left, right, length, tension[number[left]], fixed)


def _push(chain: _Chain, w: Floats) -> tuple[Floats, Floats]:
    """Node forces of the strings at indentation ``w`` (N), and the stiffness of each segment (N/mm)."""
    rise = w[chain.right] - w[chain.left]
    path = np.hypot(rise, chain.length)
    pull = chain.tension * rise / path
    force = chain.fixed.copy()
    force[chain.left] += pull
    force[chain.right] -= pull
    return force, chain.tension * chain.length**2 / path**3


def _energy(chain: _Chain, f: Floats, w: Floats) -> float:
    rise = w[chain.right] - w[chain.left]
    return float(f @ w / 2 + chain.tension @ np.hypot(rise, chain.length) - chain.fixed @ w)


def _settle(chain: _Chain, soft: Floats, f: Floats, limit: float) -> tuple[Floats, Floats]:
    """Forces (to ``limit`` N) and indentations of the touching nodes; ``f`` is the first guess."""
    w = soft @ f
    for _ in range(STEPS):
        force, stiff = _push(chain, w)
        left_over = force - f
        if np.abs(left_over).max() <= limit:
            return f, w
        step = _newton(chain, soft, stiff, left_over)
        sink = soft @ step
        energy, drop = _energy(chain, f, w), float(left_over @ sink)
        size = 1.0
        while size > ENOUGH:
            if _energy(chain, f + size * step, w + size * sink) <= energy - ENOUGH * size * drop + limit:
                break
            size /= 2
        f, w = f + size * step, w + size * sink
    raise OutsideValidity("the ropes press too deep into the tendon for the contact model; lower the tensions")


def _newton(chain: _Chain, soft: Floats, stiff: Floats, left_over: Floats) -> Floats:
    """Solve (I - D M) step = left over, D the strings' tangent; the transpose is built, M being symmetric."""
    slope = stiff * (soft[:, chain.right] - soft[:, chain.left])
    matrix = np.zeros_like(soft)
    matrix[:, chain.left] -= slope
    matrix[:, chain.right] += slope
    matrix.flat[:: soft.shape[0] + 1] += 1
    _, _, step, failed = dgesv(matrix.T, left_over, overwrite_a=True)
    if failed:
        raise OutsideValidity("the ropes find no balance on the tendon; move limbs that run over one another")
    return np.asarray(step)


def _gap(spans: Sequence[Span], nodes: SpanNodes, chain: _Chain, w: Floats, under: Floats) -> Floats:
    """Distance (mm) by which the rope clears the tendon at every node; negative where it would cut in."""
    gap = np.zeros(under.size)
    if chain.index.size == under.size:
        return gap
    apart = nodes.along.max() + 1
    place = nodes.along + apart * nodes.span
    held = place[chain.index]
    lifted = np.ones(under.size, bool)
    lifted[chain.index] = False
    after = np.searchsorted(held, place[lifted])
    bend = np.array([s.curvature for s in spans])[nodes.span[lifted]]
    sag = bend * (place[lifted] - held[after - 1]) * (held[after] - place[lifted]) / 2
    gap[lifted] = under[lifted] - np.interp(place[lifted], held, w) - sag
    return gap


def line_load(spans: Sequence[Span], nodes: SpanNodes, soft: Floats) -> LineLoad:
    """Solve all ropes together.

    ``soft`` is the indentation matrix between the nodes, mm/N, symmetric.

    Raises
    ------
    OutsideValidity
        When the ropes sink so deep that no balance is found.
    """
    touching = np.ones(nodes.u.size, bool)
    force = np.zeros(nodes.u.size)
    back = np.zeros(nodes.u.size, int)
    largest = max(s.tension for s in spans)
    limit = ROUGH * largest
    for _ in range(ROUNDS):
        chain = _chain(spans, nodes, touching)
        some = chain.index
        force[some], w = _settle(chain, soft[np.ix_(some, some)], force[some], limit)
        force[~touching] = 0
        under = soft @ force
        gap = _gap(spans, nodes, chain, w, under)
        pulling = touching & ~nodes.attached & (force < -2 * limit)
        cutting = ~touching & (gap < -CLEAR) & (back < RETURNS)
        if pulling.any() or cutting.any():
            back += cutting
            touching = (touching & ~pulling) | cutting
        elif limit > CLOSE * largest:
            limit = CLOSE * largest
        else:
            return LineLoad(nodes, force, under, touching, gap)
    raise OutsideValidity("the ropes neither settle on the tendon nor clear it; move limbs that cross or touch")
