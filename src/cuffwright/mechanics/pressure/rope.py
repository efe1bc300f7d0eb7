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

from cuffwright.case.errors import OutsideValidity
from cuffwright.mechanics.pressure.span import Span, SpanNodes

CLOSE = 1e-7
"""Numerical choice: largest force left over at a node, over the largest tension, at which Newton stops."""
STEPS = 60
"""Numerical choice: most Newton steps for one set of touching nodes."""
ROUNDS = 60
"""Numerical choice: most changes of the set of touching nodes."""
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


def _settle(chain: _Chain, soft: Floats, f: Floats) -> tuple[Floats, Floats]:
    """Forces and indentations of the touching nodes; ``f`` is the first guess."""
    limit = CLOSE * max(1e-300, float(np.max(chain.tension)))
    w = soft @ f
    for _ in range(STEPS):
        force, stiff = _push(chain, w)
        left_over = force - f
        if np.max(np.abs(left_over)) <= limit:
            return f, w
        slope = stiff[:, None] * (soft[chain.right] - soft[chain.left])
        matrix = np.eye(f.size)
        matrix[chain.left] -= slope
        matrix[chain.right] += slope
        step = np.linalg.solve(matrix, left_over)
        sink = soft @ step
        energy, drop = _energy(chain, f, w), float(left_over @ sink)
        size = 1.0
        while size > ENOUGH and _energy(chain, f + size * step, w + size * sink) > energy - ENOUGH * size * drop + limit:
            size /= 2
        f, w = f + size * step, w + size * sink
    raise OutsideValidity("the ropes press too deep into the tendon for the contact model; lower the tensions")


def _gap(spans: Sequence[Span], nodes: SpanNodes, chain: _Chain, w: Floats, under: Floats) -> Floats:
    """Distance (mm) by which the rope clears the tendon at every node; negative where it would cut in."""
    gap = np.zeros(under.size)
    for a, b, i in zip(chain.index[chain.left], chain.index[chain.right], range(chain.left.size), strict=True):
        if b - a > 1:
            inner = slice(a + 1, b)
            share = (nodes.along[inner] - nodes.along[a]) / chain.length[i]
            rope = w[chain.left[i]] * (1 - share) + w[chain.right[i]] * share
            bow = spans[nodes.span[a]].curvature * share * (1 - share) * chain.length[i] ** 2 / 2
            gap[inner] = under[inner] - rope + bow
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
    least = CLOSE * max((s.tension for s in spans), default=0.0)
    for _ in range(ROUNDS):
        chain = _chain(spans, nodes, touching)
        some = chain.index
        force[some], w = _settle(chain, soft[np.ix_(some, some)], force[some])
        force[~touching] = 0
        under = soft @ force
        gap = _gap(spans, nodes, chain, w, under)
        pulling = touching & ~nodes.attached & (force < -2 * least)
        cutting = ~touching & (gap < -CLOSE)
        if not (pulling.any() or cutting.any()):
            return LineLoad(nodes, force, under, touching, gap)
        touching = (touching & ~pulling) | cutting
    raise OutsideValidity("the ropes neither settle on the tendon nor clear it; move limbs that cross or touch")


