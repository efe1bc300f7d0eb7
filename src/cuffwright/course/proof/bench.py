"""A published study as data: its set-up with ranges where the source is silent, its constructs, its values."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from cuffwright.case.errors import EvidenceError

Role = Literal["calibrated", "seen", "blind"]
"""Calibrated: a number of the model was fitted to it. Seen: known while choices were made. Blind: neither."""

Lateral = Literal["none", "simple", "mason-allen", "bridge"]

PUBLISHED = "published."
"""Every value of a study is a row whose key begins so."""


@dataclass(frozen=True)
class Given:
    """A number of the set-up; where the source does not give it, ``low`` and ``high`` bound what it may have been."""

    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Construct:
    """A repair on the bench.

    ``medial`` anchors carry a mattress stitch each when ``mattress``; ``lateral`` anchors carry ``each`` simple
    stitches, or one mattress with a simple stitch across it each, or take the bridging limbs; ``knotted`` tells
    whether the bridging limbs start at a medial knot.
    """

    name: str
    title: str
    medial: int
    lateral: int
    lateral_stitch: Lateral
    mattress: bool = True
    each: int = 1
    knotted: bool = True

    @property
    def holes(self) -> int:
        """Passages through the tendon."""
        each = {"simple": self.each, "mason-allen": 3}.get(self.lateral_stitch, 0)
        return 2 * self.medial + each * self.lateral

    @property
    def limbs(self) -> int:
        """Stretches of suture that lie on the tendon."""
        each = {"simple": self.each, "mason-allen": 2}.get(self.lateral_stitch, 0)
        bridging = min(2, self.lateral) * self.medial if self.lateral_stitch == "bridge" else 0
        return each * self.lateral + bridging + (self.medial if self.mattress else 0)


@dataclass(frozen=True)
class Target:
    """A published value and how ours is read for it.

    ``row`` is the evidence row; ``quantity`` names the reading; ``over`` makes it the ratio of two constructs;
    ``among`` names, in order, the constructs that are ranked where not all of the bench are.
    ``load`` (N), ``count`` (cycles) and ``gap`` (mm) belong to the reading. ``low`` and ``high`` are the accepted
    band; None stands for one published SD to either side. ``needs`` says why it is not computed. ``prototype`` is
    what the design's prototype gave, ``held`` whether it was blind there. ``apart`` says why the row is kept out of
    the sums: like studies contradict each other, or it repeats other rows.
    """

    id: str
    row: str
    words: str
    quantity: str
    role: Role
    construct: str = ""
    over: str = ""
    among: tuple[str, ...] = ()
    load: float = 0.0
    count: int = 1
    gap: float = 0.0
    low: float | None = None
    high: float | None = None
    needs: str = ""
    prototype: float | None = None
    held: bool = False
    apart: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.row.startswith(PUBLISHED):
            raise EvidenceError(f"target {self.id} cites {self.row}, which is no published row; correct the bench file")


@dataclass(frozen=True)
class Bench:
    """One study: ``study`` is its file's name, ``setup`` its numbers by name (mm, N), ``protocol`` its words."""

    study: str
    title: str
    protocol: str
    setup: Mapping[str, Given]
    constructs: tuple[Construct, ...]
    targets: tuple[Target, ...]

    def ranked(self, target: Target) -> tuple[Construct, ...]:
        """The constructs ``target`` puts in an order: those it names, or all."""
        return tuple(self.construct(name) for name in target.among) or self.constructs

    def construct(self, name: str) -> Construct:
        """The construct called ``name``; raises EvidenceError when there is none."""
        for one in self.constructs:
            if one.name == name:
                return one
        raise EvidenceError(f"bench {self.study} has no construct {name!r}; add it to its file")
