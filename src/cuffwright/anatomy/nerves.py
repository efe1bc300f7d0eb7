"""Where the nerves run: from published distances, moved by the arm.

These are estimates for people in general. Nothing here sees a patient's own nerve.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.fact import Citing

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class NerveFacts:
    """Published distances (mm), indices of arm length, and the share lost for each degree the arm is lifted.

    ``front_index`` and ``back_index`` are distance over arm length at both ends of the acromion's lateral edge;
    ``loss`` is the best estimate, ``loss_most`` the largest of the series. Names ending in ``floor`` are the shortest
    distances seen, in ``sd`` spreads between shoulders.
    """

    front_index: float
    back_index: float
    loss: float
    loss_most: float
    axillary_floor: float
    notch: float
    notch_sd: float
    notch_floor: float
    spine_notch: float
    spine_notch_sd: float
    spine_notch_floor: float
    spine_notch_turned_in: float
    musculocutaneous: float
    musculocutaneous_sd: float
    musculocutaneous_floor: float

    @classmethod
    def from_facts(cls, book: Citing) -> "NerveFacts":
        """The published distances, of disagreeing series the lower."""
        return cls(
            front_index=book.number("nerve.axillary.index.front"),
            back_index=book.number("nerve.axillary.index.back"),
            loss=book.number("nerve.axillary.loss"),
            loss_most=book.number("nerve.axillary.loss.most"),
            axillary_floor=book.number("nerve.axillary.floor"),
            notch=book.number("nerve.suprascapular.notch"),
            notch_sd=book.fact("nerve.suprascapular.notch").sd or 0.0,
            notch_floor=book.number("nerve.suprascapular.notch.floor"),
            spine_notch=book.number("nerve.suprascapular.spine_notch"),
            spine_notch_sd=book.fact("nerve.suprascapular.spine_notch").sd or 0.0,
            spine_notch_floor=book.number("nerve.suprascapular.spine_notch.floor"),
            spine_notch_turned_in=book.number("nerve.suprascapular.spine_notch.turned_in"),
            musculocutaneous=book.number("nerve.musculocutaneous"),
            musculocutaneous_sd=book.fact("nerve.musculocutaneous").sd or 0.0,
            musculocutaneous_floor=book.number("nerve.musculocutaneous.floor"),
        )

    def axillary(self, arm: float, shift: float, share: float, abduction_degrees: float, *, most: bool) -> float:
        """Distance (mm) of the axillary nerve below the acromion's edge.

        ``arm`` is the arm's length (mm), ``shift`` this shoulder's deviation (mm), ``share`` 0 at the front and 1 at
        the back of the edge; ``most`` takes the largest published loss with abduction (arm to trunk).
        """
        index = self.front_index + (self.back_index - self.front_index) * share
        loss = self.loss_most if most else self.loss
        return float((arm * index + shift) * max(0.0, 1 - loss * abduction_degrees))

    def spinoglenoid(self, rotation_degrees: float) -> float:
        """Distance (mm) of the suprascapular nerve behind the glenoid's rim; less when the arm is turned inwards."""
        inwards = float(np.clip(-np.radians(rotation_degrees) / (np.pi / 2), 0, 1))
        return self.spine_notch + (self.spine_notch_turned_in - self.spine_notch) * inwards
