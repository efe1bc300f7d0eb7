"""Rounds of clicks to a value with its spread: pixel grid and hand by propagation, readers from published rows.

Each round marks everything once. The value is the mean of the rounds. The spread has three parts: the grid (a place
is even over its pixel, so it does not shrink with more rounds), the hand (from the rounds' own scatter, held by the
row on clicking while they are few; shrinks with more rounds), and doubts a measure adds itself. A published error of
readers that is larger than all of these takes their place.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.measurement import Measurement
from cuffwright.imaging.calibration import Calibration, Point
from cuffwright.imaging.measures.guide import Doubt, Guide
from cuffwright.imaging.measures.scene import Scene
from cuffwright.imaging.picture import Picture, read_stored
from cuffwright.imaging.ruler import CLICK_KEY, EVEN_VARIANCE, spacing_at, trusted_scale
from cuffwright.imaging.scale import Plane
from cuffwright.imaging.window import modality_values

ROUNDS_KEY = "imaging.click.rounds"

STEP_PX = 0.5
"""Numerical choice: by how much a mark is moved to either side to see how the value follows, pixels."""

PLACES = 3
"""Numerical choice: decimals kept of a value read off an image; finer than any spread."""

Round = Mapping[str, Sequence[Point]]
"""One round of marks: for each name its point, or the corners of its outline, in pixels."""


@dataclass(frozen=True)
class Reading:
    """A value read off one picture, and everything needed to show it again and to doubt it.

    ``value`` may be negative where the measure is signed; ``measurement`` is then there only when it is not.
    ``field`` is the path of the case it fills, empty when it fills none. ``rounds`` are the marks as clicked.
    ``assumed`` names the evidence rows it rests on that nobody has verified.
    """

    guide: str
    title: str
    unit: str
    value: float
    sd: float
    measurement: Measurement | None
    field: str
    sop_instance_uid: str
    frame: int
    plane: Plane
    rounds: tuple[dict[str, tuple[Point, ...]], ...]
    grid_sd: float
    click_sd: float
    doubts: tuple[Doubt, ...]
    reader_sd: float | None
    method: str
    assumed: tuple[str, ...]
    warnings: tuple[str, ...]
    cannot_know: tuple[str, ...]

    @property
    def propagated_sd(self) -> float:
        """The spread from grid, hand and doubts, without the published error of readers."""
        return math.sqrt(self.grid_sd**2 + self.click_sd**2 + sum(doubt.sd**2 for doubt in self.doubts))


def read_off(
    guide: Guide,
    picture: Picture,
    rounds: Sequence[Round],
    book: FactBook,
    *,
    calibration: Calibration | None = None,
    confirmed: bool = False,
    values: NDArray[np.float32] | None = None,
    step_mm: float | None = None,
) -> Reading:
    """Work out a guided measure.

    Parameters
    ----------
    guide
        Which measure.
    picture
        The picture the marks lie on.
    rounds
        One or more rounds, each with every mark.
    book
        Evidence with the errors of clicking and of readers.
    calibration, confirmed
        As for the ruler.
    values
        Modality values of the picture when they are at hand; else they are read when needed.
    step_mm
        Distance to the neighbouring slices, from their places (never from a tag): how far the slice may lie beside
        the right place. Without it that part of the spread is left out, and a warning says so.

    Raises
    ------
    ImageError
        When the picture is of the wrong kind, carries no scale although one is needed, or a mark is missing or out.
    """
    _check(guide, picture, rounds)
    cited = Citing(book)
    unit, plane, notes = _unit(guide, picture, rounds, calibration, confirmed)
    load = (lambda: values) if values is not None else _loader(picture)
    scenes = [
        Scene({n: np.array(p, np.float64).reshape(-1, 2) for n, p in r.items()}, unit, load, step_mm) for r in rounds
    ]
    each = np.array([guide.work(scene) for scene in scenes])
    value = float(each.mean())
    follow = _follow(guide, scenes[0])
    hand_px = cited.number(CLICK_KEY)
    grid = follow * math.sqrt(EVEN_VARIANCE)
    click = _hand(each, follow * hand_px, cited.number(ROUNDS_KEY))
    doubts = guide.doubts(scenes[0], cited) if guide.doubts else ()
    if calibration is not None and guide.unit == "mm":
        doubts = (*doubts, Doubt("the scale itself", abs(value) * calibration.relative_error(hand_px)))
    sd, reader = _spread(guide, cited, math.hypot(grid, click), doubts)
    warned = guide.warn(scenes[0], cited) if guide.warn else ()
    first = {name: tuple(map(tuple, np.atleast_2d(points).tolist())) for name, points in scenes[0].pixels.items()}
    trace = trace_of(guide, picture, first, len(rounds))
    kept = round(value, PLACES)
    if kept < 0 and not guide.signed:
        raise ImageError(f"{_within(guide.title)} comes out below 0, which is impossible; mark it again")
    return Reading(
        guide=guide.name,
        title=guide.title,
        unit=guide.unit,
        value=kept,
        sd=round(sd, PLACES),
        measurement=Measurement(kept, round(sd, PLACES), "image", trace) if kept >= 0 else None,
        field=guide.field,
        sop_instance_uid=picture.sop_instance_uid,
        frame=picture.frame,
        plane=plane,
        rounds=tuple({n: tuple((float(x), float(y)) for x, y in p) for n, p in r.items()} for r in rounds),
        grid_sd=grid,
        click_sd=click,
        doubts=doubts,
        reader_sd=reader,
        method=_method(guide, book),
        assumed=tuple(key for key, row in cited.used.items() if not row.verified),
        warnings=(*notes, *warned),
        cannot_know=guide.cannot_know,
    )


def trace_of(guide: Guide, picture: Picture, marks: Mapping[str, Sequence[Point]], rounds: int) -> str:
    """The words that let a second reader repeat it: image, frame, measure, the first round's marks."""
    frame = f" frame {picture.frame + 1}" if picture.frames > 1 else ""

    def spelled(name: str) -> str:
        points = marks[name]
        shown = points if len(points) == 1 else points[:1]
        more = f" and {len(points) - 1} corners" if len(points) > 1 else ""
        return f"{name} " + ",".join(f"({x:g},{y:g})" for x, y in shown) + more

    placed = "; ".join(spelled(mark.name) for mark in guide.marks if mark.name in marks)
    repeated = f", {rounds} rounds" if rounds > 1 else ""
    return f"image {picture.short_uid}{frame} {_within(guide.title)}: {placed}{repeated}"


def _check(guide: Guide, picture: Picture, rounds: Sequence[Round]) -> None:
    if picture.modality not in guide.modalities:
        kinds = " or ".join(guide.modalities)
        raise ImageError(
            f"{_within(guide.title)} is read on {kinds}, not on {picture.modality or 'this kind of image'}"
        )
    if not rounds:
        raise ImageError(f"{_within(guide.title)} has no marks yet; mark {guide.marks[0].words}")
    known = {mark.name for mark in guide.marks}
    for one in rounds:
        for mark in guide.marks:
            held = len(one.get(mark.name, ()))
            if held == 0 and mark.optional:
                continue
            if held < mark.corners or (mark.corners == 1 and held > 1):
                wanted = "one point" if mark.corners == 1 else f"an outline of {mark.corners} corners or more"
                raise ImageError(f"{mark.name} needs {wanted}: {mark.words}")
        if set(one) - known:
            raise ImageError(f"{_within(guide.title)} has no mark called {sorted(set(one) - known)[0]}; take it out")
        picture.check_inside(*(point for points in one.values() for point in points))


def _unit(
    guide: Guide, picture: Picture, rounds: Sequence[Round], calibration: Calibration | None, confirmed: bool
) -> tuple[tuple[float, float], Plane, tuple[str, ...]]:
    """Size of a pixel across and down: mm where a length needs them, else only their shape."""
    scale = trusted_scale(picture, calibration)
    if guide.needs_mm:
        points = [(x, y) for one in rounds for marks in one.values() for x, y in marks]
        row, column = spacing_at(scale, points, confirmed)
        return (column, row), scale.plane, scale.warnings
    if not guide.allows(picture.modality, scale.plane):
        raise ImageError(f"{_within(guide.title)} cannot be read off this picture: {scale.source}; use another one")
    if scale.row_mm and scale.col_mm:
        return (scale.col_mm, scale.row_mm), scale.plane, ()
    return (1.0, picture.pixel_aspect), scale.plane, ()


def _loader(picture: Picture) -> Callable[[], NDArray[np.float32]]:
    @cache
    def load() -> NDArray[np.float32]:
        stored, header = read_stored(picture)
        if stored.ndim != 2:
            raise ImageError("the picture is in colour and has no grey values to measure; choose another")
        return modality_values(stored, header).astype(np.float32)

    return load


def _follow(guide: Guide, scene: Scene) -> float:
    """By how much the value moves (root of squares) when each coordinate of each mark moves by one pixel."""
    total = 0.0
    for name, points in scene.pixels.items():
        for corner in range(len(points)):
            for axis in (0, 1):
                ahead = guide.work(scene.moved(name, corner, axis, STEP_PX))
                behind = guide.work(scene.moved(name, corner, axis, -STEP_PX))
                total += ((ahead - behind) / (2 * STEP_PX)) ** 2
    return math.sqrt(total)


def _hand(each: NDArray[np.float64], one_round: float, held_by: float) -> float:
    """SD of the rounds' mean from the hand: their own scatter, weighed with ``one_round`` as ``held_by`` rounds."""
    more = len(each) - 1
    scatter = float(each.var(ddof=1)) if more else 0.0
    single = (held_by * one_round**2 + more * scatter) / (held_by + more)
    return math.sqrt(single / len(each))


def _spread(guide: Guide, book: FactBook, marked: float, doubts: Sequence[Doubt]) -> tuple[float, float | None]:
    own = math.sqrt(marked**2 + sum(doubt.sd**2 for doubt in doubts))
    if not guide.reader:
        return own, None
    reader = book.fact(guide.reader).value
    return max(own, reader), reader


def _method(guide: Guide, book: FactBook) -> str:
    """In words: how far this way of measuring is off a better one, by a published series."""
    if not guide.method:
        return "no published difference from a better method was found"
    row = book.fact(guide.method)
    spread = f", SD {row.sd:g}" if row.sd is not None else ""
    return f"published: {row.value:+g} {row.unit}{spread} against {row.note} ({row.source.citation}, {row.source.year})"


def _within(title: str) -> str:
    """A title as it stands within a sentence: small first letter, but for an abbreviation."""
    return title if title[1:2].isupper() else title[0].lower() + title[1:]
