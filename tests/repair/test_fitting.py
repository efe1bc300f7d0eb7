"""A pattern that does not fit a tear says why."""

from dataclasses import dataclass, replace

import pytest

from cuffwright.case.fact import Citing
from cuffwright.case.layout import TendonStrip
from cuffwright.evidence.book import load_book
from cuffwright.repair.laying.convergence import stitch_places
from cuffwright.repair.patterns import pattern, patterns
from cuffwright.repair.torn import TornStrip
from tests.repair.torn_strips import FlatBed, mm, torn

USUAL = TendonStrip(5.0, 24.0, 12.0, 5.0)


def reason(name: str, strip: TendonStrip, bed=None) -> str | None:
    """Why the pattern does not fit."""
    return pattern(name).fits(strip, bed or FlatBed(strip.edge), Citing(load_book()))


def changed(strip: TornStrip, **what) -> TornStrip:
    """The strip with a changed tear."""
    return replace(strip, tear=replace(strip.tear, **what))


@dataclass(frozen=True)
class ShortBed(FlatBed):
    """Bone that ends ``back`` mm from the front."""

    back: float

    def contains(self, u: float, v: float) -> bool:
        """Bone up to its back end."""
        return v >= 0 and u <= self.back


@pytest.mark.parametrize("name", sorted(set(patterns()) - {"completed-partial"}))
def test_a_partial_tear_is_completed_before_any_other_pattern(name: str) -> None:
    """Every pattern but the completion sends a tear of partial thickness to the completion."""
    tear = changed(torn(name, USUAL), full_thickness=False)
    assert "complete it first with completed-partial" in (reason(name, tear) or "")


@pytest.mark.parametrize(
    ("depth", "thickness", "why"),
    [
        (3.0, 5.0, None),
        (2.0, 5.0, "40% of the thickness"),
        (None, 5.0, "partial_depth_mm"),
        (3.0, None, "thickness_mm"),
    ],
)
def test_completion_asks_for_the_depth_share(depth, thickness, why) -> None:
    """From half of the thickness on (a convention) it is completed; an unknown depth is asked for, not assumed."""
    known = {"partial_depth_mm": mm(depth) if depth else None, "thickness_mm": mm(thickness) if thickness else None}
    found = reason("completed-partial", changed(torn("completed-partial", USUAL), **known))
    assert (found is None) if why is None else (why in (found or ""))


@pytest.mark.parametrize(
    ("name", "what", "why"),
    [
        ("margin-convergence-u", {"shape": None}, "set tear.shape"),
        ("margin-convergence-u", {"shape": "crescent"}, "called crescent"),
        ("margin-convergence-u", {"retraction_mm": None}, "needs tear.retraction_mm"),
        ("margin-convergence-u", {"retraction_mm": mm(8)}, "too little"),
        ("margin-convergence-l", {"limb_side": None}, "needs tear.limb_side"),
        ("margin-convergence-l", {"shape": "U", "limb_side": None}, "called U"),
        ("partial-repair", {"shape": "U"}, "called U"),
        ("partial-repair", {"shape": None}, "set tear.shape"),
        ("completed-partial", {"full_thickness": True, "partial_depth_mm": None}, "only a tear of partial thickness"),
    ],
)
def test_a_pattern_for_one_kind_of_tear_refuses_another(name: str, what: dict, why: str) -> None:
    """The pattern names the shape it finds, or the measure it needs."""
    assert why in (reason(name, changed(torn(name, USUAL), **what)) or "")


@pytest.mark.parametrize(
    ("name", "width", "why"),
    [
        ("single-row-3", 11.0, "anchors 1 and 2 would stand 3.7 mm apart"),
        ("bridging-3-3-knotted", 11.0, "3.7 mm apart"),
        ("single-row-triple", 11.0, "limbs 1aF and 1bF would pass 1.8 mm apart"),
        ("overlapping-mattress", 15.0, "1.9 mm apart"),
    ],
)
def test_a_narrow_tear_refuses_what_has_no_room(name: str, width: float, why: str) -> None:
    """Anchors under 4 mm apart (weaker, Arthroscopy 2018) and holes under the model's 2 mm are refused by place."""
    assert why in (reason(name, replace(USUAL, width=width)) or "")
    assert reason(name, USUAL) is None


def test_an_anchor_off_the_bone_is_named() -> None:
    """A tear that runs past the bone refuses the pattern and names the anchor."""
    assert "anchor 2 would lie 23.0 mm from the front" in (
        reason("single-row-simple", USUAL, ShortBed(USUAL.edge, 20.0)) or ""
    )


@pytest.mark.parametrize(("retraction", "count"), [(13.0, 0), (14.0, 1), (19.9, 1), (20.0, 2), (60.0, 2)])
def test_side_to_side_stitches_fill_the_cleft(retraction: float, count: int) -> None:
    """One every 6 mm from 6 mm medial of the bite (v = 4) to the apex at 12 - retraction, no further than v = -9."""
    strip = torn("margin-convergence-u", USUAL, retraction=retraction)
    assert stitch_places(strip, Citing(load_book())) == pytest.approx([-2.0, -8.0][:count])
