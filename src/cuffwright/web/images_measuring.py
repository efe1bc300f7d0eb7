"""Guided measures on the page: marks to a value with the parts of its spread, and a value into the case."""

import json
from dataclasses import asdict, replace
from datetime import UTC, datetime
from typing import Any

import numpy as np

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.image_reading import ImageReading
from cuffwright.imaging.calibration import Calibration
from cuffwright.imaging.head_circle import fit_head_circle
from cuffwright.imaging.measures.all_guides import GUIDES, guide
from cuffwright.imaging.measures.drawings import DRAWINGS
from cuffwright.imaging.measures.edge import follow_edge
from cuffwright.imaging.measures.guide import Doubt, Guide
from cuffwright.imaging.measures.landing import landed
from cuffwright.imaging.measures.reading import Reading, read_off
from cuffwright.imaging.picture import Picture
from cuffwright.web.cases import WHO
from cuffwright.web.images_desk import Shelf
from cuffwright.web.images_orders import EdgeOrder, MeasureOrder, point
from cuffwright.web.measure_words import WORDS

UNITS = {"mm": "mm", "degrees": "°", "ratio": "", "percent": "%", "HU": "HU"}


def guides_view() -> list[dict[str, Any]]:
    """Every guided measure: what to mark, where on the drawing, the formula, and what it cannot know."""
    return [_guide(one) for one in GUIDES.values()]


def _guide(one: Guide) -> dict[str, Any]:
    return {
        "name": one.name,
        "title": one.title,
        "unit": UNITS[one.unit],
        "view": one.view,
        "modalities": list(one.modalities),
        "marks": [asdict(mark) for mark in one.marks],
        "formula": one.formula,
        "field": one.field,
        "field_words": WORDS[one.field][0] if one.field in WORDS else "",
        "needs_mm": one.needs_mm,
        "cannot_know": list(one.cannot_know),
    }


def drawings_view() -> dict[str, dict[str, Any]]:
    """The small drawings on which the marks are shown."""
    return {view: {name: list(line) for name, line in lines.items()} for view, lines in DRAWINGS.items()}


def read_marks(shelf: Shelf, order: MeasureOrder, book: FactBook) -> tuple[Reading, Calibration | None]:
    """Work out a measure from marks; raises ImageError as :func:`read_off` does."""
    spot = shelf.find(order.image, order.frame)
    series, picture = shelf.series[spot.series], shelf.picture(spot)
    scale = order.scale.made(picture, WHO, datetime.now(UTC).isoformat(timespec="seconds")) if order.scale else None
    wanted = guide(order.guide)
    values = None
    if wanted.doubts is not None or order.guide in {"fat_fraction", "bone_density"}:
        values = shelf.values(spot)
    step = series.stack.step_mm if series.stack else None
    rounds = [{name: tuple(map(point, marks)) for name, marks in one.items() if marks} for one in order.rounds]
    found = read_off(
        wanted, picture, rounds, book, calibration=scale, confirmed=order.confirmed, values=values, step_mm=step
    )
    return (_fitted(found, picture, book) if order.fitted else found), scale


def _fitted(found: Reading, picture: Picture, book: FactBook) -> Reading:
    """The head's radius by the circle fitted to the bone's edge, which the marks only point at."""
    if found.guide != "head_radius":
        raise ImageError(f"{found.title.lower()} has no circle to fit; mark it")
    head = fit_head_circle(picture, found.rounds[0]["edge"], Citing(book))
    return replace(
        found,
        value=head.radius.value,
        sd=head.radius.sd,
        measurement=head.radius,
        grid_sd=0.0,
        click_sd=0.0,
        doubts=(Doubt("fit of the circle to the bone's edge", head.radius.sd),),
        warnings=(*found.warnings, *head.warnings),
        cannot_know=head.cannot_know,
    )


def followed(shelf: Shelf, order: EdgeOrder) -> list[list[float]]:
    """The outline along the strongest edge between clicks."""
    spot = shelf.find(order.image, order.frame)
    values = shelf.values(spot)
    clicks = np.array(order.clicks, np.float64).reshape(-1, 2)
    found: list[list[float]] = follow_edge(values, clicks, closed=order.closed).tolist()
    return found


def reading_view(found: Reading) -> dict[str, Any]:
    """A reading with the parts of its spread, in words."""
    lands = landed(found)
    return {
        "title": found.title,
        "value": found.value,
        "sd": found.sd,
        "unit": UNITS[found.unit],
        "parts": [
            {"words": "pixel grid", "sd": found.grid_sd},
            {"words": "hand that marks", "sd": found.click_sd},
            *({"words": doubt.words, "sd": doubt.sd} for doubt in found.doubts),
        ],
        "own_sd": found.propagated_sd,
        "reader_sd": found.reader_sd,
        "method": found.method,
        "rounds": len(found.rounds),
        "plane": found.plane,
        "warnings": list(found.warnings),
        "cannot_know": list(found.cannot_know),
        "assumed": list(found.assumed),
        "field": found.field,
        "fills": WORDS[found.field][0] if found.field in WORDS and lands is not None else "",
        "open": bool(found.field) and lands is None,
        "answer": ("positive" if lands else "negative") if isinstance(lands, bool) else "",
    }


def accepted(found: Reading, scale: Calibration | None) -> ImageReading:
    """A reading as the case keeps it; raises ImageError when its answer is open."""
    value = landed(found)
    if found.field and value is None:
        raise ImageError("the sign is too close to call; mark it again or look at it with a colleague")
    whole = {"reading": asdict(found), "scale": asdict(scale) if scale else None}
    return ImageReading(
        name=found.guide,
        title=found.title,
        value=found.value,
        sd=found.sd,
        unit=found.unit,
        image=found.sop_instance_uid,
        frame=found.frame,
        fills=((found.field, value),) if value is not None else (),
        whole=json.dumps(whole),
    )


def kept_reading(one: ImageReading) -> Reading:
    """The reading as it was taken; nothing is worked out again."""
    told = json.loads(one.whole)["reading"]
    measurement = dict(one.fills).get(told["field"])
    rounds = tuple({n: tuple((x, y) for x, y in marks) for n, marks in r.items()} for r in told["rounds"])
    doubts = tuple(Doubt(**doubt) for doubt in told["doubts"])
    texts = {name: tuple(told[name]) for name in ("assumed", "warnings", "cannot_know")}
    held = measurement if not isinstance(measurement, bool) else None
    return Reading(**{**told, **texts, "rounds": rounds, "doubts": doubts, "measurement": held})
