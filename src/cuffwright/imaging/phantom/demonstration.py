"""The demonstration's invented examination: written, taken in, and read as a reader would read it."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.case.identity import Side
from cuffwright.imaging.intake.series import Series
from cuffwright.imaging.intake.slices import Slices
from cuffwright.imaging.intake.taking_in import Intake, take_in
from cuffwright.imaging.measures.reading import Reading
from cuffwright.imaging.phantom.body import Floats, InventedBody, InventedTear, mean_shoulder
from cuffwright.imaging.phantom.looking import NEAR, Looking, Marks
from cuffwright.imaging.phantom.reader import Reader
from cuffwright.imaging.phantom.sections import Protocol, Way
from cuffwright.imaging.phantom.tomography import Scan, write_ct
from cuffwright.imaging.phantom.truth import Truth, edge_and_stump, tear_ends, truth
from cuffwright.imaging.phantom.writing import Study, write_film, write_series
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.slice_plane import SlicePlane

TEAR = InventedTear(front=6.0, back=17.5, retraction=9.5, shape="crescent", thickness=5.0)
"""The tear of the demonstration, mm of arc on the chart."""

PROTOCOL: dict[Way, Protocol] = {
    "coronal": Protocol(pixels=192, pixel_mm=0.6, count=8),
    "sagittal": Protocol(pixels=192, pixel_mm=0.6, step_mm=3.0, count=30),
}
"""A short examination, so that the demonstration does not wait."""


SCAN = Scan(pixels=110, pixel_mm=1.1, step_mm=2.5)
"""A coarse CT, for the same reason."""


@dataclass(frozen=True)
class Measured:
    """What the demonstration read off the invented examination, beside the truth, and what the import held."""

    readings: tuple[Reading, ...]
    truth: Truth
    intake: Intake
    pictures: dict[str, Picture]


def measured_phantom(folder: Path, book: FactBook, side: Side = "right", seed: int = 1) -> Measured:
    """Write an invented examination into ``folder``, take it in and read width, retraction and thickness of its tear.

    Raises
    ------
    ImageError
        When a measure is not seen on any slice.
    """
    body = InventedBody(mean_shoulder(book), TEAR, side)
    # only what was just written is taken in, whatever else lies in the folder
    written = [file for way, plan in PROTOCOL.items() for file in write_series(Study(folder, seed), body, way, plan)]
    intake = take_in(written)
    rng = np.random.default_rng(seed)
    edge, stump = edge_and_stump(body)
    jobs: tuple[tuple[str, Floats, Marks], ...] = (
        ("tear_width", np.asarray(np.mean(tear_ends(body), axis=0)), Reader.width_marks),
        ("retraction", (edge + stump) / 2, Reader.retraction_marks),
        ("tendon_thickness", np.zeros(3), Reader.thickness_marks),
    )
    readings = []
    for name, point, marks in jobs:
        series = _series_of(intake, "sagittal" if name == "tear_width" else "coronal")
        near = 0 if name == "tendon_thickness" else NEAR
        readings.append(_looking(series, body, book, rng).largest(name, point, marks, near))
    pictures = {picture.sop_instance_uid: picture for picture in intake.pictures}
    return Measured(tuple(readings), truth(body), intake, pictures)


def more_pictures(folder: Path, book: FactBook, side: Side = "right", seed: int = 1) -> tuple[Path, ...]:
    """Write a radiograph and a CT of the same invented shoulder into ``folder``; nothing is read off them here."""
    body, study = InventedBody(mean_shoulder(book), TEAR, side), Study(folder, seed)
    return (write_film(study, body)[0], *write_ct(study, body, SCAN))


def _series_of(intake: Intake, way: Way) -> Series:
    """The series taken in one way; told by its count, since a name in a file is not to be trusted."""
    return next(one for one in intake.series if len(one) == PROTOCOL[way].count)


def _looking(series: Series, body: InventedBody, book: FactBook, rng: np.random.Generator) -> Looking:
    planes = [_plane(picture) for picture in series.pictures]
    step = series.stack.step_mm if series.stack else None
    return Looking(body, planes, series.__getitem__, Slices(series).values, step, book, rng)


def _plane(picture: Picture) -> SlicePlane:
    if picture.slice_plane is None:
        raise ImageError("the invented slice has lost its place in the patient; write it again")
    return picture.slice_plane
