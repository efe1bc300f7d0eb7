"""Fit the shoulder to what the case has: weighted least squares against the population, its spread carried on.

Few landmarks leave the answer wide, since the population alone then speaks; many make it narrow.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from cuffwright.access.landmarks import fitted
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import NAMES, Population, ShoulderMeasures
from cuffwright.anatomy.shoulder import Shoulder, ShoulderForms
from cuffwright.case.shoulder import Landmark

Floats = NDArray[np.float64]

FREE_TURN = 10.0
"""Numerical choice: SD (radians) of how the scapula is turned in the image; so wide that it says nothing."""

FREE_SHIFT = 1000.0
"""Numerical choice: SD (mm) of where the scapula lies in the image."""

STEP_TURN = 0.2
"""Numerical choice: first step (radians) of the fit in how the scapula is turned."""

STEP_SHIFT = 5.0
"""Numerical choice: first step (mm) of the fit in where the scapula lies."""


def fit_population(
    population: Population,
    forms: ShoulderForms,
    base: HumerusShape,
    landmarks: tuple[Landmark, ...],
    measured: Mapping[str, tuple[float, float]],
) -> Population:
    """The population narrowed to shoulders that agree with landmarks and with measures (value and SD by name).

    The landmarks (canonical, any frame) may lie and turn as they like; only their shape counts. The spread is that of
    the linearised fit about its best shoulder.

    Raises
    ------
    CaseError
        When the measures contradict each other.
    """
    if not landmarks:
        return population.given(measured)
    root = np.linalg.inv(np.linalg.cholesky(population.covariance))
    points = np.array([mark.place_mm for mark in landmarks]).reshape(-1, 3)
    names = [mark.name for mark in landmarks]
    sds = np.array([mark.sd_mm for mark in landmarks])
    places = [NAMES.index(name) for name in measured]
    values = np.array([value for value, _ in measured.values()])
    widths = np.array([sd for _, sd in measured.values()])
    count = len(NAMES)

    def model(vector: Floats) -> Floats:
        found = Shoulder(ShoulderMeasures.from_vector(vector), forms, base).landmarks
        return np.array([found[name] for name in names]).reshape(-1, 3)

    start, middle, centre = _start(model(population.mean), points)

    def misses(unknown: Floats) -> Floats:
        vector, spin, shift = unknown[:count], unknown[count : count + 3], unknown[count + 3 :]
        parts = [root @ (vector - population.mean), spin / FREE_TURN, shift / FREE_SHIFT]
        if places:
            parts.append((vector[places] - values) / widths)
        if names:
            laid = (model(vector) - middle) @ (_spun(spin) @ start).T + centre + shift
            parts.append(((laid - points) / sds[:, None]).ravel())
        return np.concatenate(parts)

    first = np.concatenate([population.mean, np.zeros(3 + 3)])
    scale = np.concatenate([population.spread, np.full(3, STEP_TURN), np.full(3, STEP_SHIFT)])
    found = least_squares(misses, first, x_scale=scale)
    slopes = np.asarray(found.jac)
    covariance = np.linalg.inv(slopes.T @ slopes)[:count, :count]
    return Population(found.x[:count], (covariance + covariance.T) / 2)


def _start(model: Floats, points: Floats) -> tuple[Floats, Floats, Floats]:
    """First turn, and the two middles about which it turns."""
    if len(points) == 0:
        return np.eye(3), np.zeros(3), np.zeros(3)
    turn = fitted(model, points)[0] if len(points) > 1 else np.eye(3)
    return turn, model.mean(axis=0), points.mean(axis=0)


def _spun(spin: Floats) -> Floats:
    """The turn about the vector ``spin`` (3,) by its length in radians."""
    angle = float(np.linalg.norm(spin))
    cross = np.array([[0, -spin[2], spin[1]], [spin[2], 0, -spin[0]], [-spin[1], spin[0], 0]])
    half = np.sinc(angle / 2 / np.pi) / 2
    return np.asarray(np.eye(3) + np.sinc(angle / np.pi) * cross + 2 * half**2 * cross @ cross)
