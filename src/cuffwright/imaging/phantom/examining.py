"""Draw an invented shoulder at random, read it as a reader would, and set every value beside the truth."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.imaging.fingerprint import Fingerprint
from cuffwright.imaging.measures.edge import follow_edge
from cuffwright.imaging.measures.reading import Reading
from cuffwright.imaging.phantom.body import CARTILAGE_MM, FOSSA_MM, Floats, InventedBody, InventedTear, random_shoulder
from cuffwright.imaging.phantom.looking import ROUNDS, Looking
from cuffwright.imaging.phantom.reader import Reader
from cuffwright.imaging.phantom.sections import Protocol, draw, planes
from cuffwright.imaging.phantom.truth import edge_and_stump, tear_ends, truth
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.scale import Scale
from cuffwright.imaging.slice_plane import SlicePlane

NINETY = 1.6449
"""Numerical choice: SDs to either side that hold 90 percent of a normal spread."""

CLEAR_MM = 1.5
"""Numerical choice: least room between tendon and acromion of the shoulders drawn, mm."""

FOSSA_PLACE = -38.0
"""Numerical choice: where along the glenoid's normal the invented Y view lies, mm."""

RIM_CLICKS = 10
"""Numerical choice: clicks on an outline before its edge is followed."""


@dataclass(frozen=True)
class Read:
    """One measure of one invented shoulder: what was read, with its spread, and what is true."""

    measure: str
    shape: str
    value: float
    sd: float
    true: float

    @property
    def covered(self) -> bool:
        """Whether the nominal 90 percent interval holds the truth."""
        return abs(self.value - self.true) <= NINETY * self.sd


def random_body(book: FactBook, rng: np.random.Generator, blunt: float = 0.5) -> InventedBody:
    """A shoulder of the published series with a tear of random place, size and shape, on a random side."""
    thick = rng.uniform(4, 6)
    shoulder = random_shoulder(book, rng)
    # where the acromion lies on the tendon the two are one dark band, and nobody can tell how thick the tendon is
    while shoulder.measures.acromion_distance < CARTILAGE_MM + thick + CLEAR_MM:
        shoulder = random_shoulder(book, rng)
    front, width = rng.uniform(3, 7), rng.uniform(8, 20)
    shape = ("crescent", "U", "L")[int(rng.integers(3))]
    retraction = rng.uniform(6, 16)
    tear = InventedTear(front, front + width, retraction, shape, thick, blunt)  # type: ignore[arg-type]
    side = ("right", "left")[int(rng.integers(2))]
    return InventedBody(shoulder, tear, side, rng.uniform(0.35, 0.75), rng.uniform(0, 0.5))  # type: ignore[arg-type]


def random_protocol(rng: np.random.Generator) -> Protocol:
    """An examination as departments take them: pixel, step, noise, obliquity and shift at random."""
    return Protocol(
        pixels=224,
        pixel_mm=rng.uniform(0.4, 0.7),
        step_mm=rng.uniform(3.0, 3.5),
        count=40,
        noise=rng.uniform(10, 50),
        turned_degrees=rng.uniform(-8, 8),
        shifted=rng.uniform(-0.5, 0.5),
    )


class Examination:
    """Slices of one body, drawn when asked, and read by one reader."""

    def __init__(self, body: InventedBody, protocol: Protocol, book: FactBook, rng: np.random.Generator) -> None:
        self.body, self.protocol, self.book, self.rng = body, protocol, book, rng
        along = replace(protocol, turned_degrees=protocol.turned_degrees + along_the_tear_degrees(body))
        self.coronal = self._series(planes(body, "coronal", protocol))
        self.sagittal = self._series(planes(body, "sagittal", along))

    def _series(self, places: Sequence[SlicePlane]) -> Looking:
        @cache
        def drawn(index: int) -> NDArray[np.uint16]:
            return draw(self.body, places[index], self.protocol, self.rng)

        def picture(index: int) -> Picture:
            return unwritten_picture(places[index], self.protocol.pixels)

        return Looking(self.body, places, picture, drawn, self.protocol.step_mm, self.book, self.rng)

    def read_fossa(self) -> Reading:
        """The occupation ratio on the slice nearest to the Y view, edges followed between rough clicks."""
        body = self.body
        index = self.sagittal.nearest(body.of_scapula(np.array([0.0, 0.0, FOSSA_PLACE])))
        reader = self.sagittal.reader(index)
        rims = {"fossa": 1.0, "muscle": float(np.sqrt(body.muscle_ratio))}
        rounds = []
        for _ in range(ROUNDS):
            one = {}
            for name, size in rims.items():
                clicks = np.array([reader.click(p) for p in reader.pixel(self._fossa_rim(reader, size))])
                one[name] = [(x, y) for x, y in follow_edge(reader.values, clicks).tolist()]
            rounds.append(one)
        return self.sagittal.read("occupation_ratio", index, rounds)

    def _fossa_rim(self, reader: Reader, size: float) -> Floats:
        """Places (n, 3) in the body's axes on the fossa's ellipse, ``size`` of its edge, where the slice cuts it."""
        body = self.body
        turns = np.linspace(0, 2 * np.pi, RIM_CLICKS, endpoint=False)
        x0, y0 = body.fossa(np.array([[0.0, 0.0, FOSSA_PLACE], [0.0, 0.0, FOSSA_PLACE - 1]]))
        along = np.array([-(x0[1] - x0[0]) * -FOSSA_MM[0], -(y0[1] - y0[0]) * -FOSSA_MM[1], 1.0])
        centre = np.array([-x0[0] * FOSSA_MM[0], -y0[0] * FOSSA_MM[1], FOSSA_PLACE])
        ring = np.stack([size * FOSSA_MM[0] * np.cos(turns), size * FOSSA_MM[1] * np.sin(turns), 0 * turns], axis=-1)
        start = body.of_scapula(centre + ring)
        way = body.of_scapula(along) - body.of_scapula(np.zeros(3))
        off = reader.off_plane(start)
        run = reader.off_plane(start + way) - off
        return np.asarray(start - (off / run)[:, None] * way)


def examine(book: FactBook, seed: int, blunt: float = 0.5) -> Iterator[Read]:
    """Every measure of one random shoulder beside the truth; a measure that no slice shows is left out.

    ``blunt`` is that of the tear: 0 for one that runs to points.
    """
    rng = np.random.default_rng(seed)
    body = random_body(book, rng, blunt)
    seen = Examination(body, random_protocol(rng), book, rng)
    true, shape = truth(body), body.tear.shape
    edge, stump = edge_and_stump(body)
    jobs: list[tuple[str, float, Callable[[], Reading]]] = [
        (
            "tear_width",
            true.tear_width,
            lambda: seen.sagittal.largest("tear_width", np.mean(tear_ends(body), axis=0), Reader.width_marks),
        ),
        (
            "retraction",
            true.retraction,
            lambda: seen.coronal.largest("retraction", (edge + stump) / 2, Reader.retraction_marks),
        ),
        (
            "tendon_thickness",
            true.tendon_thickness,
            lambda: seen.coronal.largest("tendon_thickness", np.zeros(3), Reader.thickness_marks, 0),
        ),
        ("occupation_ratio", true.occupation_ratio, seen.read_fossa),
    ]
    for name, right, job in jobs:
        try:
            reading = job()
        except ImageError:
            continue
        yield Read(
            name, shape if name in {"retraction", "tear_width"} else "", reading.value, reading.propagated_sd, right
        )


def along_the_tear_degrees(body: InventedBody) -> float:
    """By how much the oblique sagittal planes are turned about the upright axis to stand along the torn edge."""
    front, back = tear_ends(body)
    edge = (back - front) * (1, 0, 1)
    lateral, behind = body.humerus.lateral, body.humerus.axes[2]
    return float(np.degrees(np.arctan2(edge @ lateral, edge @ behind)))


def unwritten_picture(plane: SlicePlane, pixels: int) -> Picture:
    """A slice of the invented body as a picture that was never written to a file."""
    return Picture(
        path=Path("invented"),
        sop_instance_uid="invented",
        series_uid="",
        frame_of_reference_uid="",
        modality="MR",
        rows=pixels,
        columns=pixels,
        frame=0,
        frames=1,
        scale=Scale(plane.row_mm, plane.col_mm, "patient", "invented"),
        slice_plane=plane,
        side_tag=None,
        side_by_position=None,
        patient=Fingerprint(None, None, None),
        image_date=None,
        slice_step_mm=None,
        patient_orientation=(),
        warnings=(),
    )
