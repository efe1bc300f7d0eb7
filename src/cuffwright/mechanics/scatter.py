"""Monte Carlo: the same repair many times with scattered tendon, anchors, tensions and places.

Every chunk of draws has its own random stream spawned from the seed, so the result does not depend on the
number of threads or on the order of chunks.
"""

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Interval
from cuffwright.mechanics.curve import STIFFNESS_FROM, STIFFNESS_TO
from cuffwright.mechanics.limits import UNTIED
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.parameters import Setting
from cuffwright.mechanics.pull import FARTHEST, MEMBERS, Member
from cuffwright.mechanics.sheet import patch_weights
from cuffwright.mechanics.weave import RIDGE, Woven, bearable, places

CHUNK = 100
"""Numerical choice: draws that share one random stream and run between two looks at the cancel hook."""

STEP = 0.5
"""Numerical choice: clamp step of a draw, mm; the ultimate lies within 2.2 % of that at 0.05 mm."""

LEAST = 0.05
"""Numerical choice: a scattered factor never falls below this share of its mean."""

SHARE = 0.9
"""Numerical choice: share of draws between low and high of a reported interval."""


@dataclass(frozen=True)
class Spread:
    """Coefficients of variation (``placement`` is a standard deviation in mm) of one setting."""

    hole: float
    tissue: float
    anchor: float
    tension: float
    strength: float
    placement: float

    @classmethod
    def from_facts(cls, book: Citing, setting: Setting) -> "Spread":
        """Read the spread of ``laboratory`` or ``surgery``; raises EvidenceError when a row is missing."""
        names = ("hole", "tissue", "anchor", "tension", "strength", "placement")
        return cls(**{name: book.number(f"scatter.{setting}.{name}") for name in names})

    def scaled(self, factor: float) -> "Spread":
        """The same spread, every entry multiplied by ``factor``."""
        return Spread(*(factor * value for value in vars(self).values()))


@dataclass(frozen=True, eq=False)
class Draws:
    """Results of ``d`` draws in order.

    ``ultimate`` N (uncapped), ``kind`` and ``member`` of the first to fail (kind 0 hole, 1 limb, 2 anchor; -1
    none), ``gap`` mm at ``load`` newtons (nan: not reached), ``stiffness`` N/mm (nan: too weak), ``doubt`` the
    standard normal deviate that carries the model's own error, ``loads`` (d, r + h + k) what each limb, hole and
    anchor carries at ``load`` (N; nan: not reached).
    """

    woven: Woven = field(repr=False)
    load: float
    ultimate: Floats
    kind: NDArray[np.int64]
    member: NDArray[np.int64]
    gap: Floats
    stiffness: Floats
    doubt: Floats
    loads: Floats

    @classmethod
    def join(cls, parts: Iterable["Draws"]) -> "Draws":
        """Put chunks together, in the order given."""
        whole = tuple(parts)
        names = ("ultimate", "kind", "member", "gap", "stiffness", "doubt", "loads")
        columns = (np.concatenate([getattr(part, name) for part in whole]) for name in names)
        return cls(whole[0].woven, whole[0].load, *columns)


@dataclass(frozen=True)
class Scattered:
    """What the draws say, in ranges that hold ``share`` of them.

    ``ultimate`` has the mean of the draws as its middle and includes the model's own error in its range; ``gap``
    (over the draws that reach the load; None when most do not) and ``stiffness`` do not. ``reached`` is the share
    of draws that reach the gap's load; ``first`` the share in which each member, as (kind, name), is the first to
    fail.
    """

    ultimate: Interval
    gap: Interval | None
    stiffness: Interval | None
    reached: float
    first: dict[tuple[Member, str], float]
    draws: int


def draw(
    woven: Woven,
    spread: Spread,
    *,
    seed: int,
    chunk: int,
    load: float,
    size: int = CHUNK,
    cancelled: Callable[[], bool] | None = None,
) -> Draws | None:
    """Run chunk number ``chunk`` of ``size`` draws; None when ``cancelled`` says so before it starts.

    ``load`` (N) is where the gap is read.

    Raises
    ------
    OutsideValidity
        When the sutures of a draw cannot be tied.
    """
    if cancelled is not None and cancelled():
        return None
    from cuffwright.mechanics.kernels.draws import run
    from cuffwright.mechanics.plate import plate

    rng = np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(chunk,)))
    moved, scattered = scatter_members(woven, spread, rng, size)
    doubt = rng.standard_normal(size)
    numbers = np.array([STEP, FARTHEST, load, STIFFNESS_FROM, STIFFNESS_TO])
    out = np.empty((size, numbers.size))
    loads = np.empty((size, len(woven.limbs) + len(woven.holes) + len(woven.anchors)))
    run(woven.net, plate(woven), RIDGE, moved, scattered, numbers, out, loads)
    if not np.isfinite(out[:, 0]).all():
        raise OutsideValidity(UNTIED)
    first = out[:, 1:3].astype(np.int64)
    return Draws(woven, load, out[:, 0], first[:, 0], first[:, 1], out[:, 3], out[:, 4], doubt, loads)


def scatter_members(
    woven: Woven, spread: Spread, rng: np.random.Generator, size: int
) -> tuple[tuple[Floats, Floats, Floats, Floats], tuple[Floats, Floats, Floats, Floats]]:
    """Random places and strengths of ``size`` draws, as the compiled ``run`` takes them."""
    net, sheet = woven.net, woven.sheet
    holes, posts, ropes = len(woven.holes), len(woven.anchors), len(woven.limbs)

    def factor(cv: float, *shape: int) -> Floats:
        return np.maximum(LEAST, 1.0 + cv * rng.standard_normal(shape))

    full = woven.full * factor(spread.tissue, size, 1) * factor(spread.hole, size, holes)
    hold = net.hold * factor(spread.anchor, size, posts)
    given = woven.planned_tension * factor(spread.tension, size, ropes)
    strength = net.strength * factor(spread.strength, size, ropes)
    points = woven.points + spread.placement * rng.standard_normal((size, holes, 2))
    ends = np.repeat(woven.posts[None], size, axis=0)
    ends[..., :2] += spread.placement * rng.standard_normal((size, posts, 2))
    at, tear, anchor = places(woven.route, points, ends, full, woven.strip, woven.parameters)
    tension = firm(woven, bearable(woven.route, given, tear, hold, woven.parameters.tension_limit))
    across = patch_weights(at[..., 0].ravel(), sheet.u).reshape(*at.shape[:2], -1)
    along = patch_weights(at[..., 1].ravel(), sheet.v).reshape(*at.shape[:2], -1)
    return (across, along, at, anchor), (tear, tension, strength, hold)


def firm(woven: Woven, tension: Floats) -> Floats:
    """Tensions (d, r) N raised where the first sutures tied could not together hold the muscle's preload."""
    first = woven.net.stage == woven.net.stage.min()
    total = tension[:, first].sum(axis=1, keepdims=True)
    lift = np.maximum(1.0, woven.net.preload / total)
    raised: Floats = np.where(first, tension * lift, tension)
    return raised


def scatter(
    woven: Woven,
    spread: Spread,
    *,
    seed: int,
    draws: int,
    load: float,
    threads: int = 1,
    cancelled: Callable[[], bool] | None = None,
) -> Draws | None:
    """Run ``draws`` draws, in chunks over ``threads`` threads; None when cancelled on the way.

    ``draws`` is rounded up to whole chunks; ``load`` (N) is where the gap is read.
    """
    chunks = range(-(-draws // CHUNK))

    def one(chunk: int) -> Draws | None:
        return draw(woven, spread, seed=seed, chunk=chunk, load=load, cancelled=cancelled)

    if threads == 1:
        parts = [one(chunk) for chunk in chunks]
    else:
        with ThreadPoolExecutor(threads) as pool:
            parts = list(pool.map(one, chunks))
    done = [part for part in parts if part is not None]
    return Draws.join(done) if len(done) == len(parts) else None


def summarise(draws: Draws) -> Scattered:
    """Turn draws into ranges and shares of first failure."""
    woven = draws.woven
    sure = np.minimum(draws.ultimate, woven.cap)
    doubted = np.minimum(draws.ultimate * np.exp(woven.parameters.model_error * draws.doubt), woven.cap)
    low, high = _ends(doubted)
    ultimate = Interval(float(sure.mean()), low, high, "N", SHARE)
    reached = float(np.isfinite(draws.gap).mean())
    names = (woven.holes, woven.limbs, woven.anchors)
    first: dict[tuple[Member, str], float] = {}
    for kind, what in enumerate(MEMBERS):
        for index, name in enumerate(names[kind]):
            share = float(((draws.kind == kind) & (draws.member == index)).mean())
            if share > 0.0:
                first[what, name] = share
    gap = _middling(draws.gap, "mm")
    stiffness = _middling(draws.stiffness, "N/mm")
    return Scattered(ultimate, gap, stiffness, reached, first, draws.ultimate.size)


def member_intervals(draws: Draws) -> dict[Member, tuple[Interval | None, ...]]:
    """What each limb, hole and anchor carries at the draws' load (N), in the order of the names in ``Woven``.

    Over the draws that reach the load (``Scattered.reached`` says how many); None where most do not.
    """
    woven = draws.woven
    sizes: dict[Member, int] = {"limb": len(woven.limbs), "hole": len(woven.holes), "anchor": len(woven.anchors)}
    columns = iter(draws.loads.T)
    return {kind: tuple(_middling(next(columns), "N") for _ in range(size)) for kind, size in sizes.items()}


def _ends(values: Floats) -> tuple[float, float]:
    """Low and high between which the middle ``SHARE`` of ``values`` lies; single draws, not blends of two."""
    tail = 0.5 * (1.0 - SHARE)
    low, high = np.quantile(values, (tail, 1.0 - tail), method="nearest")
    return float(low), float(high)


def _middling(values: Floats, unit: str) -> Interval | None:
    """Median, low and high of the finite ``values``; None when fewer than half are finite."""
    found = values[np.isfinite(values)]
    if found.size == 0 or 2 * found.size < values.size:
        return None
    middle = float(np.quantile(found, 0.5, method="nearest"))
    return Interval(middle, *_ends(found), unit, SHARE)
