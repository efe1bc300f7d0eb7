"""Every row of every bench: the study set up again, ours with the contested factor off and on, the null model."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from cuffwright import __version__
from cuffwright.case.errors import EvidenceError, OutsideValidity
from cuffwright.case.fact import Citing, FactBook
from cuffwright.course.proof.bench import Bench, Construct, Target
from cuffwright.course.proof.direction import slope
from cuffwright.course.proof.null import Null, by_holes, by_limbs
from cuffwright.course.proof.quantities import READINGS
from cuffwright.course.proof.rig import Ground, Rig
from cuffwright.course.proof.row import Proof, ProofRow
from cuffwright.course.proof.trends import PER_LIMB, TRENDS

DRAWS = 400
"""Numerical choice: laboratory draws of each construct as set up."""

SETUPS = 12
"""Numerical choice: set-ups tried over the ranges that a source leaves open, beside the one written down."""

FEW = 40
"""Numerical choice: draws of each tried set-up, with the deviates of the first draws of the one written down."""

THREADS = 2
"""Numerical choice: benches worked on at once; the result does not depend on it."""

SHARE = "first-in-tendon"

Progress = Callable[[int, int], None]
Rigs = dict[tuple[Construct, tuple[tuple[str, float], ...], bool, bool], Rig]


def prove(
    benches: Sequence[Bench],
    book: FactBook,
    *,
    draws: int = DRAWS,
    setups: int = SETUPS,
    seed: int = 1,
    threads: int = THREADS,
    progress: Progress | None = None,
) -> Proof:
    """Work out every target of ``benches``.

    Raises
    ------
    EvidenceError
        When a bench names a row, construct or reading that does not exist.
    """
    facts = Citing(book)
    nulls = _nulls(benches, facts)
    full = Ground(facts, draws, seed)
    few = Ground(facts, min(draws, FEW), seed, full.shelf, full.turn)
    rigs: Rigs = {}

    def one(bench: Bench) -> list[ProofRow]:
        return list(_Table(bench, facts, nulls, (full, few), list(_setups(bench, setups, seed)), rigs).rows())

    rows: list[ProofRow] = []
    with ThreadPoolExecutor(threads) as pool:
        for done, part in enumerate(pool.map(one, benches), 1):
            rows += part
            if progress is not None:
                progress(done, len(benches))
    doubled = {r.id for r in rows if sum(other.id == r.id for other in rows) > 1}
    if doubled:
        raise EvidenceError(f"target {min(doubled)} stands twice in the bench files; give each its own id")
    return Proof(tuple(rows), draws, seed, __version__, book.edition)


def _nulls(benches: Sequence[Bench], facts: Citing) -> tuple[Null, Null]:
    """The null model by holes and the one by limbs, fitted on the two constructs that ours was fitted on."""

    def find(row: str) -> Construct:
        for bench in benches:
            for target in bench.targets:
                if target.row == row:
                    return bench.construct(target.construct)
        raise EvidenceError(f"no bench uses {row}, which the null model is fitted to; add a target for it")

    double, bridge = find("published.ultimate.double.2007"), find("published.area.bridge4.2007")
    return Null.from_facts(facts, by_holes, double, bridge), Null.from_facts(facts, by_limbs, double, bridge)


@dataclass(eq=False)
class _Table:
    """The rows of one bench."""

    bench: Bench
    facts: Citing
    nulls: tuple[Null, Null]
    grounds: tuple[Ground, Ground]
    tried: list[Mapping[str, float]]
    rigs: Rigs

    def rows(self) -> Iterator[ProofRow]:
        """Row by row."""
        for target in self.bench.targets:
            yield self._row(target)

    def _row(self, target: Target) -> ProofRow:
        fact = self.facts.fact(target.row)
        low, high = (float(f"{end:.4g}") for end in _band(target, fact.value, fact.sd))
        computed = self._read(target, 0, False)
        contested = self._read(target, 0, True) if computed is not None else None
        spread = self._spread(target, computed)
        return ProofRow(
            id=target.id,
            source=fact.source.source,
            quantity=target.words,
            unit=fact.unit,
            published=fact.value,
            low=low,
            high=high,
            computed=_digits(computed),
            null_model=_digits(self._null(target, self.nulls[0])),
            role=target.role,
            passed=None if computed is None else bool(low <= computed <= high),
            sd=fact.sd,
            contested=_digits(contested),
            setup_low=_digits(spread[0]),
            setup_high=_digits(spread[1]),
            null_limbs=_digits(self._null(target, self.nulls[1])),
            prototype=target.prototype,
            held=target.held,
            measure=target.quantity,
            ratio=bool(target.over),
            needs=target.needs or ("" if computed is not None else "the repair to reach the load of this test"),
            apart=target.apart,
            note=target.note,
        )

    def _spread(self, target: Target, computed: float | None) -> tuple[float | None, float | None]:
        """Lowest and highest of ours over the tried set-ups that can be read, on the scale of the one written down."""
        if computed is None or len(self.tried) < 2:
            return None, None
        plain = self._read(target, -1, False)
        tried = [self._read(target, n, False) for n in range(1, len(self.tried))]
        found = [value for value in tried if value is not None]
        if found and _bounded(target):
            return min(computed, *found), max(computed, *found)
        if not found or not plain:
            return None, None
        scaled = [computed, *(computed * value / plain for value in found)]
        return min(scaled), max(scaled)

    def _read(self, target: Target, setup: int, contested: bool) -> float | None:
        """Ours for a target in tried set-up number ``setup``: 0 as written down, -1 the same with few draws."""
        if target.needs:
            return None
        try:
            if target.quantity in TRENDS:
                return TRENDS[target.quantity](lambda name: self._rig(name, setup, contested), self.bench, target)
            reading = READINGS[target.quantity]
            value = reading(self._rig(target.construct, setup, contested), target)
            if not target.over:
                return value
            under = reading(self._rig(target.over, setup, contested), target)
        except KeyError as wrong:
            raise EvidenceError(f"target {target.id} of {self.bench.study} names {wrong}, which is not there") from None
        except OutsideValidity:
            return None
        return value / under if value is not None and under else None

    def _null(self, target: Target, null: Null) -> float | None:
        if target.needs:
            return None
        if target.quantity.endswith(PER_LIMB):
            return self._null_slope(target, null)
        if not target.construct or target.quantity in TRENDS:
            return None
        value = null.value(self.bench.construct(target.construct), target)
        if not target.over or value is None:
            return value
        under = null.value(self.bench.construct(target.over), target)
        return value / under if under else None

    def _null_slope(self, target: Target, null: Null) -> float | None:
        reading = replace(target, quantity=target.quantity.removesuffix(PER_LIMB))
        pairs = [(float(c.holes), null.value(c, reading)) for c in self.bench.constructs]
        return slope([(n, v) for n, v in pairs if v is not None])

    def _rig(self, name: str, setup: int, contested: bool) -> Rig:
        construct = self.bench.construct(name)
        numbers = self.tried[max(setup, 0)]
        contested = contested and construct.lateral_stitch == "bridge"
        plain = replace(construct, name="", title="")
        key = plain, tuple(numbers.items()), contested, setup != 0
        if key not in self.rigs:
            self.rigs[key] = Rig(self.grounds[setup != 0], construct, numbers, contested)
        return self.rigs[key]


def _setups(bench: Bench, count: int, seed: int) -> Iterator[Mapping[str, float]]:
    """The set-up as written down, then ``count`` with every open number anywhere in its range."""
    yield {name: given.value for name, given in bench.setup.items()}
    rng = np.random.default_rng(seed)
    for _ in range(count):
        share = rng.random(len(bench.setup)).tolist()
        yield {
            name: given.value if given.low is None or given.high is None else given.low + s * (given.high - given.low)
            for (name, given), s in zip(bench.setup.items(), share, strict=True)
        }


def _bounded(target: Target) -> bool:
    """Whether ours is a direction or a share, which no scale may carry beyond its ends."""
    direction = target.quantity in TRENDS and not target.quantity.endswith(PER_LIMB)
    return direction or target.quantity == SHARE


def _band(target: Target, value: float, sd: float | None) -> tuple[float, float]:
    spread = sd or 0.0
    low = value - spread if target.low is None else target.low
    return low, value + spread if target.high is None else target.high


def _digits(value: float | None) -> float | None:
    """Four digits: finer than any spread here; None where there is no number."""
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.4g}")
