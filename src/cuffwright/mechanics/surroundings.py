"""What the torn tendon is joined to and made of across its width: neighbours, regions, missing tissue, muscle end."""

import math
from dataclasses import dataclass

from cuffwright.case.fact import Citing

Point = tuple[float, float]

REGIONS = ("anterior", "middle", "posterior")


@dataclass(frozen=True)
class Region:
    """A band of the tendon up to ``until`` (mm from the strip's front).

    ``modulus`` and ``thickness`` are shares of the strip's own.
    """

    until: float
    modulus: float = 1.0
    thickness: float = 1.0


@dataclass(frozen=True)
class Surroundings:
    """Everything about the sheet that is not its size.

    ``front`` and ``back`` are the stiffness, N/mm per mm of side, with which intact neighbouring tendon holds the two
    sides along the fibres (0: free). ``regions`` divide the width, from the front; none means even tissue.
    ``missing`` is a closed polygon (u, v) in mm of the strip where there is no tissue. ``pull_degrees`` is the
    direction of the muscle's pull, backwards from straight medial. ``free`` lets the muscle end shift sideways and
    turn, as in the body; else it is guided, as in a clamp.
    """

    front: float = 0.0
    back: float = 0.0
    regions: tuple[Region, ...] = ()
    missing: tuple[Point, ...] = ()
    pull_degrees: float = 0.0
    free: bool = False

    def region_at(self, u: float) -> Region:
        """The region at ``u`` mm from the front; beyond the last one the last one goes on."""
        for region in self.regions:
            if u <= region.until:
                return region
        return self.regions[-1] if self.regions else Region(u)


ALONE = Surroundings()
"""A detached strip of even tissue in a guided clamp: the laboratory's."""


def side_hold(modulus: float, shear: float, thickness: float, length: float) -> float:
    """Stiffness (N/mm per mm) with which a wide intact neighbour of ``length`` mm holds the side of the strip.

    Shear lag: a sheet fixed at its bone, its first mode along the fibres decaying sideways, resists its side's motion
    by t pi / (2 length) sqrt(E G); ``modulus`` along the fibres and ``shear`` in MPa, ``thickness`` mm.
    """
    return thickness * math.pi / (2.0 * length) * math.sqrt(modulus * shear)


def tendon_regions(book: Citing, front: float, width: float) -> tuple[Region, ...]:
    """Thirds of an intact supraspinatus with their published moduli as shares of the mean, cut to a strip.

    The strip of ``width`` mm starts ``front`` mm behind the tendon's front edge.

    Raises
    ------
    EvidenceError
        When a row is missing.
    """
    moduli = [book.number(f"tendon.region.modulus.{name}") for name in REGIONS]
    mean = sum(moduli) / len(moduli)
    third = book.number("tendon.region.width") / len(moduli)
    ends = [third * (n + 1) - front for n in range(len(moduli))]
    inside = [Region(end, modulus / mean) for end, modulus in zip(ends, moduli, strict=True) if end > 0.0]
    return tuple(region for n, region in enumerate(inside) if n == 0 or inside[n - 1].until < width)
