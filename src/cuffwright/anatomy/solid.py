"""Bones as a few convex blocks, rods and balls, asked whether a straight instrument strikes them.

Everything is in closed form and works on arrays of paths at once, so that a whole table of poses is one call. A
block grown by the instrument's radius has mitred corners, a little larger than rounded ones: the answer errs
towards "in the way".
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

TINY = 1e-12
"""Numerical choice: below this a direction or a length counts as none."""


class Solid(Protocol):
    """A piece of bone with a name."""

    @property
    def name(self) -> str:
        """What the surgeon calls it."""
        ...

    def struck(self, start: Floats, end: Floats, radius: ArrayLike) -> Bools:
        """Whether a straight instrument of ``radius`` (mm) from ``start`` to ``end`` (..., 3) strikes it."""
        ...


@dataclass(frozen=True)
class Block:
    """A convex block: the points p with ``normals @ p <= offsets``; unit normals (n, 3), offsets (n,) in mm."""

    name: str
    normals: Floats
    offsets: Floats

    def struck(self, start: Floats, end: Floats, radius: ArrayLike) -> Bools:
        """Whether a straight instrument strikes the block (the segment clipped by every grown face)."""
        grown = np.asarray(radius, dtype=np.float64)
        shape = np.broadcast_shapes(start.shape[:-1], end.shape[:-1], grown.shape)
        enter, leave = np.zeros(shape), np.ones(shape)
        for normal, offset in zip(self.normals, self.offsets, strict=True):
            first = start @ normal
            run = end @ normal - first
            room = offset + grown - first
            level = np.abs(run) < TINY
            cut = room / np.where(level, 1, run)
            enter = np.where(run < -TINY, np.maximum(enter, cut), enter)
            leave = np.where(run > TINY, np.minimum(leave, cut), leave)
            leave = np.where(level & (room < 0), -1, leave)
        return np.asarray(enter <= leave)


@dataclass(frozen=True)
class Rod:
    """A rod with round ends from ``start`` to ``end`` (3,), ``radius`` mm."""

    name: str
    start: Floats
    end: Floats
    radius: float

    def struck(self, start: Floats, end: Floats, radius: ArrayLike) -> Bools:
        """Whether a straight instrument strikes the rod."""
        return np.asarray(segment_distance(start, end, self.start, self.end) < self.radius + np.asarray(radius))


@dataclass(frozen=True)
class Ball:
    """A ball about ``centre`` (..., 3), ``radius`` mm; the centre may be one per path."""

    name: str
    centre: Floats
    radius: float

    def struck(self, start: Floats, end: Floats, radius: ArrayLike) -> Bools:
        """Whether a straight instrument strikes the ball."""
        run, gap = end - start, self.centre - start
        square = _dot(run, run)
        along = np.clip(_dot(run, gap) / np.where(square > TINY, square, 1), 0, 1)
        near = _dot(gap, gap) - 2 * along * _dot(run, gap) + along**2 * square
        return np.asarray(near < (self.radius + np.asarray(radius)) ** 2)


def prism(name: str, outline: Floats, normal: Floats, thickness: float) -> Block:
    """A plate over a convex ``outline`` (n, 3), laid flat across ``normal``, half its thickness to either side."""
    middle = outline.mean(axis=0)
    flat = outline - np.outer((outline - middle) @ normal, normal)
    sides = np.cross(np.roll(flat, -1, axis=0) - flat, normal)
    sides /= np.linalg.norm(sides, axis=1)[:, None]
    sides *= np.sign(np.sum((flat - middle) * sides, axis=1))[:, None]
    level = middle @ normal
    normals = np.vstack([sides, normal, -normal])
    offsets = np.concatenate([np.sum(flat * sides, axis=1), [level + thickness / 2, thickness / 2 - level]])
    return Block(name, normals, offsets)


def segment_distance(a: Floats, b: Floats, c: Floats, d: Floats) -> Floats:
    """Shortest distance (mm) between the segments a-b and c-d, arrays (..., 3) that broadcast."""
    first, second, gap = b - a, d - c, a - c
    aa, cc, ac = _dot(first, first), _dot(second, second), _dot(first, second)
    ag, cg = _dot(first, gap), _dot(second, gap)
    spread = aa * cc - ac**2
    s = np.clip(np.where(spread > TINY, (ac * cg - ag * cc) / np.where(spread > TINY, spread, 1), 0), 0, 1)
    t = np.clip((ac * s + cg) / np.where(cc > TINY, cc, 1), 0, 1)
    t = np.where(cc > TINY, t, 0)
    s = np.clip(np.where(aa > TINY, (ac * t - ag) / np.where(aa > TINY, aa, 1), 0), 0, 1)
    return np.asarray(np.linalg.norm(gap + s[..., None] * first - t[..., None] * second, axis=-1))


def _dot(one: Floats, other: Floats) -> Floats:
    return np.asarray(np.einsum("...i,...i->...", one, other))
