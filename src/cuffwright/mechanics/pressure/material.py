"""The tendon as an orthotropic elastic layer: fibre along v, across along u, depth along z."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.fact import Citing


@dataclass(frozen=True)
class LayerProperties:
    """Moduli of the layer (MPa), Poisson's ratios (-) and thickness (mm).

    ``fibre`` acts along v, ``across`` along u, ``compressive`` through the thickness; ``shear_plane`` is the
    shear modulus in the plane and ``shear_depth`` the one between plane and depth. ``poisson_plane`` is the
    shortening across per stretch along the fibre; ``poisson_depth`` the thinning per stretch in the plane.

    Raises
    ------
    OutsideValidity
        At birth, when a modulus or the thickness is not positive, or when the moduli together would let the
        tissue give out energy.
    """

    fibre: float
    across: float
    compressive: float
    shear_plane: float
    shear_depth: float
    poisson_plane: float
    poisson_depth: float
    thickness: float

    def __post_init__(self) -> None:
        positive = (
            self.fibre, self.across, self.compressive, self.shear_plane, self.shear_depth, self.thickness
        )  # fmt: skip
        if not (np.all(np.isfinite(positive)) and min(positive) > 0):
            raise OutsideValidity("a modulus or the thickness of the tendon layer is not above 0; correct its row")
        if np.linalg.eigvalsh(self._normal_compliance()).min() <= 0:
            raise OutsideValidity(
                "these moduli and Poisson's ratios together describe no stable tissue; correct the layer rows"
            )

    @classmethod
    def from_facts(cls, book: Citing, thickness: float) -> "LayerProperties":
        """The layer from the rows ``tendon.*`` (plane) and ``layer.*`` (depth), ``thickness`` in mm.

        Raises EvidenceError for a missing row.
        """
        return cls(
            fibre=book.number("tendon.modulus.along"),
            across=book.number("tendon.modulus.across"),
            compressive=book.number("layer.modulus.compressive"),
            shear_plane=book.number("tendon.modulus.shear"),
            shear_depth=book.number("layer.shear.depth"),
            poisson_plane=book.number("tendon.poisson"),
            poisson_depth=book.number("layer.poisson.depth"),
            thickness=thickness,
        )

    @classmethod
    def isotropic(cls, modulus: float, poisson: float, thickness: float) -> "LayerProperties":
        """A layer alike in all directions, ``modulus`` in MPa; for comparison with closed forms."""
        shear = modulus / (2 * (1 + poisson))
        return cls(modulus, modulus, modulus, shear, shear, poisson, poisson, thickness)

    def _normal_compliance(self) -> NDArray[np.float64]:
        """Strain (u, v, z) per normal stress (u, v, z), 1/MPa."""
        plane = -self.poisson_plane / self.fibre
        across, along = -self.poisson_depth / self.across, -self.poisson_depth / self.fibre
        return np.array(
            [
                [1 / self.across, plane, across],
                [plane, 1 / self.fibre, along],
                [across, along, 1 / self.compressive],
            ]
        )

    def stiffness(self) -> NDArray[np.float64]:
        """Stress per strain, MPa, 6 x 6, in the order uu, vv, zz, vz, uz, uv (shears as angles)."""
        whole = np.zeros((3 + 3, 3 + 3))
        whole[:3, :3] = np.linalg.inv(self._normal_compliance())
        whole[3:, 3:] = np.diag([self.shear_depth, self.shear_depth, self.shear_plane])
        return whole

    @property
    def ratios(self) -> tuple[float, ...]:
        """What the shape of the transfer functions depends on: moduli over the compressive one, and ratios."""
        moduli = (self.fibre, self.across, self.shear_plane, self.shear_depth)
        return (*(m / self.compressive for m in moduli), self.poisson_plane, self.poisson_depth)
