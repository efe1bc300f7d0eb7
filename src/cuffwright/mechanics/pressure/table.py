"""The layer's transfer functions tabulated once per material and looked up on any grid.

With lengths in thicknesses and pressures in units of the compressive modulus, G, C and K depend only on
|k| t, on the angle between the wave and the fibres, and on the ratios of the moduli; so one table serves
every thickness. C times sqrt(1 + (|k| t)^2) and K over |k| t are smooth and bounded, which is what is kept.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import RectBivariateSpline

from cuffwright.case.errors import FormatError
from cuffwright.mechanics.pressure.layer import Transfer, transfer
from cuffwright.mechanics.pressure.material import LayerProperties

WAVES = 41
"""Numerical choice: tabulated values of |k| t, denser where it is small."""
ANGLES = 9
"""Numerical choice: tabulated angles between 0 and a quarter turn."""
SHORTEST = 16.0
"""Numerical choice: largest |k| t tabulated; beyond it C |k| and K / |k| have reached their limits."""

Floats = NDArray[np.float64]


def _waves() -> Floats:
    return np.asarray(SHORTEST * (np.arange(1, WAVES + 1) / WAVES) ** 2)


def _angles() -> Floats:
    return np.linspace(0, np.pi / 2, ANGLES)


@dataclass(frozen=True)
class LayerTable:
    """G, scaled C and scaled K on WAVES x ANGLES, and the moduli ratios they belong to."""

    ratios: tuple[float, ...]
    base: Floats
    indentation: Floats
    lift: Floats

    @classmethod
    def of(cls, layer: LayerProperties) -> "LayerTable":
        """Tabulate the material of ``layer``; its thickness does not matter. About 0.05 s."""
        kt, angle = (a.ravel() for a in np.meshgrid(_waves(), _angles(), indexing="ij"))
        k = kt / layer.thickness
        raw = transfer(layer, k * np.cos(angle), k * np.sin(angle))
        unit = layer.compressive / layer.thickness
        shape = (WAVES, ANGLES)
        return cls(
            layer.ratios,
            raw.base.reshape(shape),
            (raw.indentation * unit * np.sqrt(1 + kt * kt)).reshape(shape),
            (raw.lift / unit / kt).reshape(shape),
        )

    def to_array(self) -> Floats:
        """The table as one array, 3 x WAVES x ANGLES, for a shell to store."""
        return np.stack([self.base, self.indentation, self.lift])

    @classmethod
    def from_array(cls, layer: LayerProperties, stored: Floats) -> "LayerTable":
        """The table of ``layer`` from :meth:`to_array`; raises FormatError for another shape or no numbers."""
        if stored.shape != (3, WAVES, ANGLES) or not np.all(np.isfinite(stored)):
            raise FormatError(f"a stored layer table has shape {stored.shape}; delete it and let it be made anew")
        return cls(layer.ratios, *(np.array(part, float) for part in stored))

    def at(self, layer: LayerProperties, k_u: Floats, k_v: Floats) -> Transfer:
        """Transfer functions of ``layer`` at wave vectors (1/mm, any one shape); the zero wave gives G 1, K 0.

        Raises
        ------
        FormatError
            When the table belongs to another material.
        """
        if layer.ratios != self.ratios:
            raise FormatError("this layer table belongs to another material; make the table of this one")
        kt = np.hypot(k_u, k_v) * layer.thickness
        angle = np.arctan2(np.abs(k_v), np.abs(k_u))
        inside = np.sqrt(np.clip(kt, _waves()[0], SHORTEST))
        base, indentation, lift = (
            RectBivariateSpline(np.sqrt(_waves()), _angles(), part).ev(inside, angle)
            for part in (self.base, self.indentation, self.lift)
        )
        unit = layer.compressive / layer.thickness
        return Transfer(
            np.where(kt > 0, base, 1.0),
            np.asarray(indentation / np.sqrt(1 + kt * kt) / unit),
            np.asarray(lift * kt * unit),
        )


@dataclass
class LayerShelf:
    """Tables made so far, by material, in memory only; a shell may store and bring back their arrays."""

    tables: dict[tuple[float, ...], LayerTable] = field(default_factory=dict)

    def of(self, layer: LayerProperties) -> LayerTable:
        """The table of the material of ``layer``, made on first use."""
        if layer.ratios not in self.tables:
            self.tables[layer.ratios] = LayerTable.of(layer)
        return self.tables[layer.ratios]

    def put(self, layer: LayerProperties, stored: Floats) -> None:
        """Bring back a stored table of ``layer``; raises FormatError when it is malformed."""
        self.tables[layer.ratios] = LayerTable.from_array(layer, stored)
