"""Bone from a CT on the page: head, shaft and the chart on the bone, from a mark in the head and one on its front."""

import json
from dataclasses import dataclass
from typing import Any

import numpy as np

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.case.errors import ImageError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.identity import Side
from cuffwright.case.image_reading import ImageReading
from cuffwright.case.measurement import Measurement
from cuffwright.imaging.bone.head_rays import BoneRows
from cuffwright.imaging.bone.humerus import HumerusFromCt, humerus_of
from cuffwright.imaging.bone.registering import Registered, registered
from cuffwright.imaging.bone.volume import Floats, volume_of
from cuffwright.imaging.intake.slices import Slices
from cuffwright.imaging.measures.reading import PLACES
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.ruler import CLICK_KEY
from cuffwright.web.images_desk import Shelf
from cuffwright.web.images_orders import BoneOrder, PlacedOrder, point

NAME = "bone_ct"
RADIUS = "footprint.head_radius_mm"

VOLUME_BYTES = 1024 * 1024
"""Numerical choice: room for decoded slices while a volume is stacked; each is looked at once."""

CANNOT_KNOW = (
    "cartilage: the radius is that of bone",
    "the elbow: retroversion is not on a CT of the shoulder, the turn about the shaft comes from your mark",
)


@dataclass(frozen=True)
class BoneSeen:
    """A humerus from a CT, the chart on it when it could be set, why not when it could not, and the picture marked."""

    side: Side
    bone: HumerusFromCt
    chart: Registered | None
    no_chart: str
    picture: Picture


def bone_seen(shelf: Shelf, order: BoneOrder, side: Side, book: FactBook, seed: int) -> BoneSeen:
    """Find the humerus around the mark; the last one found on a shelf is kept there.

    Raises
    ------
    ImageError
        When the series is no even CT stack, or no head is found around the mark.
    """
    marks = order.model_dump_json(include={"head", "front"})
    return shelf.once(f"bone {side} {seed} {marks}", lambda: _found(shelf, order, side, book, seed))


def _found(shelf: Shelf, order: BoneOrder, side: Side, book: FactBook, seed: int) -> BoneSeen:
    facts = Citing(book)
    spot = shelf.find(order.head.image, order.head.frame)
    volume = volume_of(Slices(shelf.series[spot.series], VOLUME_BYTES))
    bone = humerus_of(volume, _place(shelf, order.head), side, BoneRows.from_facts(facts), seed)
    chart, why = None, "mark the front of the greater tuberosity to set the chart onto the bone"
    if order.front is not None:
        hand = float(volume.voxel_mm.max()) * facts.number(CLICK_KEY)
        shape = HumerusShape.from_facts(facts, bone.head.radius)
        try:
            chart, why = registered(bone, shape, side, _place(shelf, order.front), hand), ""
        except ImageError as wrong:
            why = str(wrong)
    return BoneSeen(side, bone, chart, why, shelf.picture(spot))


def _place(shelf: Shelf, one: PlacedOrder) -> Floats:
    return np.array(shelf.picture(shelf.find(one.image, one.frame)).patient_point(*point(one.at)))


def bone_view(found: BoneSeen) -> dict[str, Any]:
    """Head, shaft and chart in words and numbers, patient mm."""
    bone, head, chart = found.bone, found.bone.head, found.chart
    return {
        "centre": np.round(head.centre, 2).tolist(),
        "radius": round(head.radius, PLACES),
        "sd": round(head.radius_sd_mm, PLACES),
        "centre_sd": np.round(head.centre_sd, 2).tolist(),
        "partial": head.cut_mm > 0,
        "miss": round(head.miss_mm, 2),
        "rays": round(head.share, 2),
        "volume_cm3": round(bone.volume_cm3, 1),
        "triangles": len(bone.surface.triangles),
        "shaft": [np.round(part, 4).tolist() for part in bone.shaft] if bone.shaft else None,
        "incomplete": list(bone.incomplete),
        "chart": {"middle": round(chart.middle, 2), "spread": round(chart.spread, 2), "widest": round(chart.widest, 1)}
        if chart
        else None,
        "no_chart": found.no_chart,
        "cannot_know": list(CANNOT_KNOW),
    }


def accepted_bone(found: BoneSeen, order: BoneOrder) -> ImageReading:
    """The head's radius as the case keeps it; raises ImageError when the fit is incomplete."""
    head = found.bone.head
    if head.cut_mm > 0:
        raise ImageError(f"the scan ends {head.cut_mm:.1f} mm before the head does, so its radius is not taken over")
    trace = f"sphere from CT, image {found.picture.short_uid}, {len(head.ends)} rays, miss {head.miss_mm:.2f} mm"
    radius = Measurement(round(head.radius, PLACES), round(head.radius_sd_mm, PLACES), "image", trace)
    whole = {"bone": bone_view(found), "bone_marks": order.model_dump(include={"head", "front"})}
    return ImageReading(
        name=NAME,
        title="Humeral head from CT",
        value=radius.value,
        sd=radius.sd,
        unit="mm",
        image=found.picture.sop_instance_uid,
        frame=found.picture.frame,
        fills=((RADIUS, radius),),
        whole=json.dumps(whole),
    )
