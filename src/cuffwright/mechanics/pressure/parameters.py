"""What the contact calculation takes from facts besides the layer: threshold, scales, rope and ends."""

import math
from dataclasses import dataclass

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing


@dataclass(frozen=True)
class ContactParameters:
    """Numbers of the contact calculation.

    ``threshold`` MPa, from which a sensor counts contact; ``scale_knot`` and ``scale_limb`` multiply the
    tensions of tied stitches and of bridging limbs before the map (they lump tension lost after fixation with
    the film reading low); ``start_knotted`` and ``start_sliding`` are the share of a limb's tension that pulls
    its hole down; ``width`` of the rope, mm; ``disc`` mm, diameter of the disc that clamp pressure is read in;
    ``deepest``, indentation over thickness above which the model must not answer.

    Raises
    ------
    OutsideValidity
        At birth, when a number is not positive.
    """

    threshold: float
    scale_knot: float
    scale_limb: float
    start_knotted: float
    start_sliding: float
    width: float
    disc: float
    deepest: float

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            if not (math.isfinite(value) and value > 0):
                raise OutsideValidity(f"contact parameter {name} is {value}, not above 0; correct its row")

    @classmethod
    def from_facts(cls, book: Citing) -> "ContactParameters":
        """The parameters from the rows ``contact.*``, ``suture.width``, ``limit.indentation``.

        Raises EvidenceError for a missing row.
        """
        return cls(
            threshold=book.number("contact.threshold"),
            scale_knot=book.number("contact.scale.knot"),
            scale_limb=book.number("contact.scale.limb"),
            start_knotted=book.number("contact.start.knotted"),
            start_sliding=book.number("contact.start.sliding"),
            width=book.number("suture.width"),
            disc=book.number("contact.clamp.disc"),
            deepest=book.number("limit.indentation"),
        )

    @property
    def spread(self) -> float:
        """Standard deviation, mm, of the rope's pressure across its course: half its width."""
        return self.width / 2
