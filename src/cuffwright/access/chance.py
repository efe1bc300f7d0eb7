"""How sure a reach is: shoulders drawn from the fitted population, hands that place and stab a little off."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.margins import Asked, floor, margin, summed
from cuffwright.access.portals import skin_point, strayed
from cuffwright.access.posing import distance_degrees
from cuffwright.access.sites import place_sites, strayed_sites
from cuffwright.access.table import Chosen, Scene
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import Population
from cuffwright.anatomy.shoulder import Shoulder, ShoulderForms, build_shoulder
from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.reach import NerveMargin, PortalPlace, Pose

Floats = NDArray[np.float64]

PATIENCE = 20
"""Numerical choice: draws that contradict themselves in a row before the fit is called impossible."""

PICKING, TELLING = 0, 1
"""Numerical choice: streams of draws for choosing arm positions and for the probabilities told, kept apart."""

FEW = 42
"""Numerical choice: arm positions, spread over the table, among which the steadiest is sought."""

FAR = 500.0
"""Numerical choice: swinging the arm this many degrees weighs as much as the whole probability."""


@dataclass(frozen=True)
class Draw:
    """What is drawn from: the fitted population, the shared forms, and the humerus behind."""

    population: Population
    forms: ShoulderForms
    base: HumerusShape


@dataclass(frozen=True, eq=False)
class Chances:
    """Share of draws in which each portal reaches each site (k, t), and the nerve margins."""

    share: Floats
    margins: tuple[NerveMargin, ...]


def one_shoulder(draw: Draw, rng: np.random.Generator) -> Shoulder:
    """A shoulder at random; one whose measures contradict each other is drawn again.

    Raises
    ------
    OutsideValidity
        When the fitted population holds hardly any possible shoulder.
    """
    for _ in range(PATIENCE):
        try:
            shoulder = build_shoulder(draw.population.draw(rng), draw.forms, draw.base)
            _ = (shoulder.solids, shoulder.chart.strip.seams)
        except CaseError:
            continue
        return shoulder
    raise OutsideValidity("hardly any shoulder agrees with these measures and landmarks; check them")


def pick_steadier(
    draw: Draw,
    mean: Scene,
    chosen: Chosen,
    poses: tuple[Pose, ...],
    placement: float,
    draws: int,
    seed: int,
) -> Chosen:
    """Where the arm must move: of the positions free on the mean shoulder the one that most shoulders share.

    Every second position of the table is tried; the distance the arm moves decides between equals. Answers "yes" and
    "no" stay. The probability told later comes from other draws, so that choosing the best does not flatter it.
    """
    few = np.arange(len(poses))[:: len(poses) // FEW or 1]
    free = mean.paths(tuple(poses[place] for place in few)).free
    hits = np.zeros(free.shape)
    for n in range(draws):
        rng = np.random.default_rng([seed, PICKING, n])
        scene = _strayed_scene(one_shoulder(draw, rng), mean, placement, rng)
        held = tuple(_strayed_pose(poses[place], mean.posing.error_degrees, rng) for place in few)
        hits += scene.paths(held).free
    away = np.array([distance_degrees(poses[0], poses[place]) for place in few])
    merit = np.where(free, hits / max(1, draws) - away[:, None, None] / FAR, -1)
    best = few[np.argmax(merit, axis=0)]
    return Chosen(np.where((chosen.at > 0) & free.any(axis=0), best, chosen.at))


def draw_chances(
    draw: Draw,
    mean: Scene,
    chosen: Chosen,
    poses: tuple[Pose, ...],
    placement: float,
    draws: int,
    seed: int,
) -> Chances:
    """Try the chosen arm positions on ``draws`` shoulders, sites off by ``placement`` mm (SD), stabs by their error.

    A pair for which no position will do is tried in the first position.
    """
    at = np.maximum(chosen.at, 0)
    asked = np.unique(at)
    column = np.searchsorted(asked, at)
    k, t = np.indices(at.shape)
    hits = np.zeros(at.shape)
    usual, worst = np.zeros((draws, len(mean.places))), np.zeros((draws, len(mean.places)))
    rhythm = mean.posing.rhythm
    for n in range(draws):
        rng = np.random.default_rng([seed, TELLING, n])
        shoulder = one_shoulder(draw, rng)
        off = float(rng.normal(0.0, 1.0))
        scene = _strayed_scene(shoulder, mean, placement, rng)
        held = tuple(_strayed_pose(poses[place], mean.posing.error_degrees, rng) for place in asked)
        hits += scene.paths(held).free[column, k, t]
        for j, (place, skin) in enumerate(zip(scene.places, scene.skins, strict=True)):
            usual[n, j] = margin(shoulder, place, skin, Asked(poses[0], rhythm, off))
            worst[n, j] = margin(shoulder, place, skin, Asked(poses[0], rhythm, off, most=True))
    lowest = [
        floor(mean.shoulder, place, skin, Asked(poses[0], rhythm))
        for place, skin in zip(mean.places, mean.skins, strict=True)
    ]
    margins = tuple(summed(place, usual[:, j], worst[:, j], lowest[j]) for j, place in enumerate(mean.places))
    return Chances(hits / draws, margins)


def _strayed_pose(pose: Pose, error: float, rng: np.random.Generator) -> Pose:
    off = rng.normal(0.0, 1.0, 3) * error
    return replace(
        pose,
        abduction_degrees=pose.abduction_degrees + float(off[0]),
        flexion_degrees=pose.flexion_degrees + float(off[1]),
        rotation_degrees=pose.rotation_degrees + float(off[2]),
    )


def _strayed_scene(shoulder: Shoulder, mean: Scene, placement: float, rng: np.random.Generator) -> Scene:
    """Sites and portals of the mean scene on another shoulder, as hands would place them."""
    places = mean.places
    off = rng.normal(0.0, 1.0, len(places))
    moved = tuple(
        replace(place, down=place.down + float(step) * place.error) if place.along is not None and place.down else place
        for place, step in zip(places, off, strict=True)
    )
    skins = [skin_point(place, shoulder, mean.gear.deep) for place in moved]
    level = [
        strayed(place, skin, shoulder, rng) if place.down == meant.down else _beside(place, skin, shoulder, rng)
        for place, meant, skin in zip(moved, places, skins, strict=True)
    ]
    sites = strayed_sites(mean.sites, placement, rng)
    return Scene(shoulder, sites, moved, place_sites(sites, shoulder.chart), np.array(level), mean.gear)


def _beside(place: PortalPlace, skin: Floats, shoulder: Shoulder, rng: np.random.Generator) -> Floats:
    """A stab already off in height, now also off along the body's front-to-back line."""
    return np.asarray(skin + float(rng.normal(0.0, 1.0)) * place.error * shoulder.body[:, 0])
