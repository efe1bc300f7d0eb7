"""The grid of tears, sides, footprints and patterns through access: a whole reach table each, or a sentence."""

from dataclasses import dataclass

import numpy as np

from cuffwright.access.portals import NAMES
from cuffwright.access.table import choose
from cuffwright.case.errors import EvidenceError, OutsideValidity
from cuffwright.case.fact import FactBook
from cuffwright.case.reach import Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.access import ready
from tests.course.tear_grid import cases, trials

CASES = dict(cases())
FITTING = {
    "margin-convergence-u": "U",
    "margin-convergence-l": "L",
    "partial-repair": "massive",
    "completed-partial": "high-grade partial",
}
"""Shapes of tear for patterns that are not meant for a crescent."""


def grid() -> list[tuple[str, CaseSheet, str]]:
    """The trials of the grid with good bone and tissue only, which reach does not ask for."""
    return [trial for trial in trials() if trial[0].endswith("good")]


@dataclass(frozen=True)
class Found:
    """One table: how many sites, how many reached from somewhere in some arm position, how many with the arm still."""

    sites: int
    somewhere: int
    still: int


def reached(sheet: CaseSheet, book: FactBook, pattern: str) -> tuple[Found | None, str]:
    """The table over all arm positions, or None with the sentence that withholds it; raises whatever else happens."""
    try:
        asked = ready(sheet, book, pattern=pattern)
    except (OutsideValidity, EvidenceError) as refused:
        return None, str(refused)
    poses = asked.gear.posing.tried(Pose(15.0))
    paths = asked.scene.paths(poses)
    chosen = choose(paths, poses)
    assert chosen.at.shape == (len(NAMES), len(asked.scene.sites))
    assert np.isfinite(paths.angle).all()
    assert np.isfinite(paths.length).all()
    somewhere, still = (int(known.any(axis=0).sum()) for known in (chosen.at >= 0, chosen.at == 0))
    return Found(len(asked.scene.sites), somewhere, still), ""
