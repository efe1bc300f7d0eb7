"""The demonstration's invented examination: written, taken in, and read as a reader would read it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.case.identity import Side
from cuffwright.imaging.calibration import Point
from cuffwright.imaging.intake.series import Series
from cuffwright.imaging.intake.slices import Slices
from cuffwright.imaging.intake.taking_in import Intake, take_in
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import Reading, read_off
from cuffwright.imaging.phantom.body import Floats, InventedBody, InventedTear, mean_shoulder
from cuffwright.imaging.phantom.reader import Reader
from cuffwright.imaging.phantom.sections import Protocol, Way
from cuffwright.imaging.phantom.truth import Truth, edge_and_stump, tear_ends, truth
from cuffwright.imaging.phantom.writing import Study, write_series
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.ruler import CLICK_KEY
from cuffwright.imaging.slice_plane import SlicePlane

TEAR = InventedTear(front=6.0, back=17.5, retraction=9.5, shape="crescent", thickness=5.0)
"""The tear of the demonstration, mm of arc on the chart."""

PROTOCOL: dict[Way, Protocol] = {
    "coronal": Protocol(pixels=192, pixel_mm=0.6, count=8),
    "sagittal": Protocol(pixels=192, pixel_mm=0.6, step_mm=3.0, count=30),
}
"""A short examination, so that the demonstration does not wait."""

Marks = Callable[[Reader], Mapping[str, list[Point]]]
"""How a reader marks one measure on a slice."""

ROUNDS = 3
"""Numerical choice: rounds of clicks of the invented reader."""


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
    for way, protocol in PROTOCOL.items():
        write_series(Study(folder, seed), body, way, protocol)
    intake = take_in(folder)
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
        near = 0 if name == "tendon_thickness" else 2
        readings.append(_Looking(series, body, book, rng).best(name, point, marks, near))
    pictures = {picture.sop_instance_uid: picture for picture in intake.pictures}
    return Measured(tuple(readings), truth(body), intake, pictures)


def _series_of(intake: Intake, way: Way) -> Series:
    """The series taken in one way; told by its count, since a name in a file is not to be trusted."""
    return next(one for one in intake.series if len(one) == PROTOCOL[way].count)


@dataclass(frozen=True, eq=False)
class _Looking:
    """A reader before one written series."""

    series: Series
    body: InventedBody
    book: FactBook
    rng: np.random.Generator

    def best(self, name: str, point: Floats, marks: Marks, near: int) -> Reading:
        """Look through the slices around a point, mark the one that shows the measure largest."""
        slices, off = Slices(self.series), []
        for picture in self.series.pictures:
            plane = _plane(picture)
            off.append(abs((self.body.to_patient(point) - np.array(plane.position)) @ np.array(plane.normal)))
        middle, found = int(np.argmin(off)), []
        for index in range(max(middle - near, 0), min(middle + near + 1, len(slices))):
            reader = Reader(self.body, _plane(self.series[index]), slices.values(index), self.rng, 0.0)
            try:
                found.append((self._read(name, index, [marks(reader)]).value, index, reader))
            except ImageError:
                continue
        if not found:
            raise ImageError(f"no slice of the invented examination shows {name.replace('_', ' ')}; draw more slices")
        _, index, reader = max(found, key=lambda one: one[0])
        hand = replace(reader, hand_px=self.book.fact(CLICK_KEY).value)
        return self._read(name, index, [marks(hand) for _ in range(ROUNDS)])

    def _read(self, name: str, index: int, rounds: Sequence[Mapping[str, Sequence[Point]]]) -> Reading:
        step = self.series.stack.step_mm if self.series.stack else None
        return read_off(guide(name), self.series[index], rounds, self.book, step_mm=step)


def _plane(picture: Picture) -> SlicePlane:
    if picture.slice_plane is None:
        raise ImageError("the invented slice has lost its place in the patient; write it again")
    return picture.slice_plane
