"""The tear outlined on consecutive slices, lofted onto the chart of the case."""

import json
from dataclasses import dataclass
from typing import Any

import numpy as np

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import ImageError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.image_reading import ImageReading
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.imaging.measures.reading import PLACES
from cuffwright.imaging.outline.head_sphere import Sphere, sphere_of
from cuffwright.imaging.outline.loft import Ends, TearOnChart, loft
from cuffwright.imaging.outline.pose import Marked
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.ruler import CLICK_KEY, EVEN_VARIANCE
from cuffwright.imaging.slice_plane import Vector
from cuffwright.web.images_desk import Shelf
from cuffwright.web.images_orders import EndsOrder, OutlineOrder, PlacedOrder, point

NAME = "tear_outline"
RADIUS = "footprint.head_radius_mm"


@dataclass(frozen=True)
class Outlined:
    """An outline, the sphere of the head it stands on, the fields it fills, and the picture it is shown with."""

    tear: TearOnChart
    head: Sphere
    fills: tuple[tuple[str, Measurement], ...]
    shown_on: Picture
    radius: float


def outlined(shelf: Shelf, order: OutlineOrder, sheet: CaseSheet, book: FactBook, seed: int) -> Outlined:
    """Carry the marked ends onto the chart.

    Raises
    ------
    ImageError
        When a mark lies on a picture without a place in the patient, the slices are not of one series with a known
        step, or the outline cannot be made.
    """
    facts = Citing(book)
    at = shelf.find(order.slices[0].image, order.slices[0].frame)
    series, first = shelf.series[at.series], shelf.picture(at)
    step = series.stack.step_mm if series.stack else None
    if step is None:
        raise ImageError("the distance between these slices is not known, so they cannot be joined; use a stack")
    if any(shelf.find(one.image, one.frame).series != at.series for one in order.slices):
        raise ImageError("the ends stand on slices of several series; mark them on one")
    hand = _hand_mm(first, facts)
    head = sphere_of(np.array([_place(shelf, one, first) for one in order.head]), hand)
    radius = sheet.footprint.head_radius_mm
    used = radius.value if radius else round(head.radius, PLACES)
    shape = HumerusShape.from_facts(facts, used)
    marked = Marked(
        head.centre, _place(shelf, order.shaft, first), _place(shelf, order.front, first), head.centre_sd_mm, hand
    )
    ends = [_ends(shelf, one, first) for one in order.slices]
    trace = f"{len(order.slices)} of series {series.number}, from image {first.short_uid}"
    tear = loft(shape, sheet.identity.side, marked, ends, step, np.random.default_rng(seed), trace)
    fills = [("tear.width_mm", tear.width), ("tear.front_mm", tear.front), ("tear.retraction_mm", tear.retraction)]
    if radius is None:
        text = f"sphere through {len(order.head)} marks on the head, image {first.short_uid}"
        sd = round(head.radius_sd_mm, PLACES)
        fills.append((RADIUS, Measurement(round(head.radius, PLACES), sd, "image", text)))
    return Outlined(tear, head, tuple(fills), first, used)


def _hand_mm(picture: Picture, facts: Citing) -> float:
    """SD of one mark in mm: the hand and the grid."""
    row, column = picture.scale.spacing_at((0.0, 0.0))
    per_pixel = float(np.sqrt(row * column))
    return per_pixel * float(np.sqrt(facts.number(CLICK_KEY) ** 2 + EVEN_VARIANCE))


def _place(shelf: Shelf, one: PlacedOrder, same_space: Picture) -> Vector:
    return _patient(shelf, one.image, one.frame, point(one.at), same_space)


def _patient(shelf: Shelf, image: str, frame: int, at: tuple[float, float], same_space: Picture) -> Vector:
    picture = shelf.picture(shelf.find(image, frame))
    if picture.frame_of_reference_uid != same_space.frame_of_reference_uid:
        raise ImageError("the marks stand on series of different spaces, which cannot be joined; mark them on one")
    return picture.patient_point(*at)


def _ends(shelf: Shelf, one: EndsOrder, same_space: Picture) -> Ends:
    front, back = (
        _patient(shelf, one.image, one.frame, point(at), same_space) if at is not None else None
        for at in (one.front, one.back)
    )
    return Ends(front, back)


def outline_view(found: Outlined) -> dict[str, Any]:
    """The outline with its band, in chart mm, and what it gives."""
    tear = found.tear
    return {
        "outline": np.round(tear.outline, 2).tolist(),
        "sd_u": np.round(tear.sd_u, 2).tolist(),
        "sd_v": np.round(tear.sd_v, 2).tolist(),
        "fills": [{"field": path, "value": m.value, "sd": m.sd} for path, m in found.fills],
        "head": {"radius": found.head.radius, "sd": found.head.radius_sd_mm, "miss": found.head.miss_mm},
        "radius": found.radius,
        "cannot_know": list(tear.cannot_know),
    }


def accepted_outline(found: Outlined, order: OutlineOrder) -> ImageReading:
    """The outline as the case keeps it."""
    width = found.tear.width
    whole = {"outline": outline_view(found), "marks": order.model_dump(exclude={"id", "expected"})}
    return ImageReading(
        name=NAME,
        title="Outline of the tear",
        value=width.value,
        sd=width.sd,
        unit="mm",
        image=found.shown_on.sop_instance_uid,
        frame=found.shown_on.frame,
        fills=tuple(found.fills),
        whole=json.dumps(whole),
    )


def still_there(sheet: CaseSheet, readings: tuple[ImageReading, ...]) -> dict[str, Any] | None:
    """The outline that stands in a case, its corners and band: as long as width and head radius are those it has."""
    held = next((one for one in readings if one.name == NAME), None)
    if held is None or dict(held.fills).get("tear.width_mm") != sheet.tear.width_mm:
        return None
    told: dict[str, Any] = json.loads(held.whole)["outline"]
    radius = sheet.footprint.head_radius_mm
    return told if radius is not None and radius.value == told.get("radius") else None
