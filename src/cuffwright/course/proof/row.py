"""One row of the proof, and the table with the sums at its foot."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from cuffwright.course.proof.bench import Role


@dataclass(frozen=True)
class ProofRow:
    """A published value beside ours.

    ``published``, ``low``, ``high``, ``computed``, ``contested`` and ``null_model`` share ``unit``; ``low`` to
    ``high`` is the accepted band. ``computed`` is without, ``contested`` with the contested bridging factor.
    ``null_model`` counts holes for strength, ``null_limbs`` the limbs on the tendon.
    ``setup_low`` to ``setup_high`` is ours over what the source leaves open. ``passed`` is None where ours is not
    computed; ``needs`` then says what is missing. ``sd`` is published.
    """

    id: str
    source: str
    quantity: str
    unit: str
    published: float
    low: float
    high: float
    computed: float | None
    null_model: float | None
    role: Role
    passed: bool | None
    sd: float | None
    contested: float | None
    setup_low: float | None
    setup_high: float | None
    null_limbs: float | None
    prototype: float | None
    held: bool
    measure: str
    ratio: bool
    needs: str
    apart: str
    note: str

    def misfit(self, value: float | None) -> float | None:
        """How far ``value`` lies from the published one, in published SDs."""
        return None if value is None or not self.sd else (value - self.published) / self.sd

    @property
    def plain(self) -> dict[str, object]:
        """The row for an interface; ``passed`` is called ``pass`` there."""
        first = ("id", "source", "quantity", "unit", "published", "low", "high", "computed", "null_model", "role")
        told: dict[str, object] = {name: getattr(self, name) for name in first}
        told["pass"] = self.passed
        rest = (
            "sd",
            "contested",
            "setup_low",
            "setup_high",
            "null_limbs",
            "prototype",
            "held",
            "needs",
            "apart",
            "note",
        )
        return told | {name: getattr(self, name) for name in rest}


Value = Callable[[ProofRow], float | None]


@dataclass(frozen=True)
class Skill:
    """Mean squared misfit over ``count`` rows, in published SDs squared: ours and another model's, None without one."""

    name: str
    other: str
    count: int
    ours: float
    theirs: float | None


@dataclass(frozen=True)
class Proof:
    """The whole table with the seed, draws, version and evidence edition it was made with."""

    rows: tuple[ProofRow, ...]
    draws: int
    seed: int
    version: str
    edition: str

    @property
    def skills(self) -> tuple[Skill, ...]:
        """The sums at the foot, ours against the null models and the prototype, with and without rows kept apart."""
        blind = [r for r in self.rows if r.role == "blind"]
        agreed = [r for r in blind if not r.apart]
        unfitted = [r for r in self.rows if r.role != "calibrated" and not r.apart]
        kept = "blind rows not kept apart"
        found = (
            _skill("blind rows with a published SD", "", blind, None),
            _skill("blind rows", "null model", blind, lambda r: r.null_model),
            _skill(kept, "null model", agreed, lambda r: r.null_model),
            _skill(kept, "null model by limbs", agreed, lambda r: r.null_limbs),
            _skill(f"{kept}, contested factor on", "factor off", agreed, lambda r: r.computed, lambda r: r.contested),
            _skill("rows not fitted, blind and seen", "null model", unfitted, lambda r: r.null_model),
            _skill("rows not fitted, blind and seen", "null model by limbs", unfitted, lambda r: r.null_limbs),
            _skill("rows blind in the design", "prototype", (r for r in self.rows if r.held), lambda r: r.prototype),
            _skill("rows of the design's table", "prototype", self.rows, lambda r: r.prototype),
        )
        return tuple(skill for skill in found if skill is not None)

    @property
    def counts(self) -> dict[str, tuple[int, int, int]]:
        """By role: rows within the band, outside it, not computed."""
        counted = {}
        for role in ("calibrated", "seen", "blind"):
            marks = [r.passed for r in self.rows if r.role == role]
            counted[role] = (marks.count(True), marks.count(False), marks.count(None))
        return counted


def _skill(
    name: str,
    other: str,
    rows: Iterable[ProofRow],
    value: Value | None,
    our: Value = lambda row: row.computed,
) -> Skill | None:
    """Sums over the rows where ours, and theirs when there is one, can be told in published SDs; None without any."""
    pairs = [(r.misfit(our(r)), r.misfit(value(r)) if value else 0.0) for r in rows]
    both = [(a, b) for a, b in pairs if a is not None and b is not None]
    if not both:
        return None
    ours, theirs = (sum(x * x for x in side) / len(both) for side in zip(*both, strict=True))
    return Skill(name, other, len(both), ours, theirs if value else None)
