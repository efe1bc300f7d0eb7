"""Contact of the tendon on the bone: its numbers and its map."""

from dataclasses import dataclass

from cuffwright.case.quantity import Interval


@dataclass(frozen=True)
class Contact:
    """Contact on the torn footprint: force (N), mean and peak (MPa), area share over each threshold (MPa).

    ``lifted_share`` is the share of the window where the tendon lifts off, ``clipped_share`` the pressure left
    negative after lift-off as a share of the peak: a check that must stay near 0. ``area_interval`` is
    ``area_share`` with the error of the model, measured on films like the one it was fitted to, and with ``area_sd``,
    what the SD of the measured tear width makes of it.
    """

    force: float
    mean: float
    peak: float
    thresholds: tuple[float, ...]
    area_shares: tuple[float, ...]
    threshold: float
    area_share: float
    window_area: float
    lifted_share: float
    clipped_share: float
    area_interval: Interval | None = None
    area_sd: float = 0.0


@dataclass(frozen=True)
class PressureMap:
    """Base pressure (MPa) on a grid: ``u`` and ``v`` are chart mm, ``pressure`` is rows of v over u."""

    u: tuple[float, ...]
    v: tuple[float, ...]
    pressure: tuple[tuple[float, ...], ...]
