"""Laws that every repair pattern obeys, tried on each the day its file appears."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.sheet import REACH
from cuffwright.repair.patterns import pattern, patterns
from tests.repair.torn_strips import FlatBed, any_width, torn, usual

EVERY = pytest.mark.parametrize("name", sorted(patterns()))
USUAL = TendonStrip(5.0, 24.0, 12.0, 5.0)
MOST_LIMBS = 24


def lay(name: str, strip: TendonStrip, *, behind: bool = False) -> Layout:
    """Lay a pattern on a tear it is meant for, on a flat footprint as wide as the strip's edge."""
    return pattern(name).lay(torn(name, strip, behind=behind), FlatBed(strip.edge), Citing(load_book()))


@EVERY
@settings(max_examples=40, deadline=None)
@given(strip=any_width)
def test_every_point_lies_on_tear_and_bone(name: str, strip: TendonStrip) -> None:
    """Anchors and holes lie between the edges of the part repaired, holes in tendon the model has, anchors on bone."""
    layout = lay(name, strip)
    held = layout.on(strip)
    for place in (*layout.anchors, *layout.holes):
        assert held.front < place.u < held.front + held.width
    assert strip.front <= held.front
    assert held.front + held.width <= strip.front + strip.width + 1e-9
    assert all(REACH < hole.v < held.edge <= strip.edge for hole in layout.holes)
    assert all(anchor.v > 0 for anchor in layout.anchors)


@EVERY
@settings(max_examples=40, deadline=None)
@given(strip=any_width)
def test_pattern_is_its_own_mirror(name: str, strip: TendonStrip) -> None:
    """The pattern on the tear seen from the other side is the same pattern seen from the other side."""
    layout, other = lay(name, strip), lay(name, strip, behind=True)
    held = layout.on(strip)
    middle = 2 * held.front + held.width
    for here, mirrored in ((layout.anchors, other.anchors), (layout.holes, other.holes)):
        there = sorted((round(p.u, 9), round(p.v, 9)) for p in here)
        back = sorted((round(middle - p.u, 9), round(p.v, 9)) for p in mirrored)
        assert np.allclose(there, back, atol=1e-6)


@EVERY
def test_stitches_mirror_with_their_points(name: str) -> None:
    """Each stitch has a partner: the mirror images of its holes, joined by the same stitch to the mirrored anchors."""

    def runs(layout: Layout, turn: float) -> list[tuple]:
        def at(u: float) -> float:
            return round(u if not turn else turn - u, 6)

        return sorted(
            (
                s.kind,
                s.stage,
                s.knotted,
                sorted((at(layout.hole(h).u), round(layout.hole(h).v, 6)) for h in s.holes),
                [at(layout.anchor(end).u) for end in (s.anchor, s.to) if end],
            )
            for s in layout.stitches
        )

    layout, other = lay(name, USUAL), lay(name, USUAL, behind=True)
    held = layout.on(USUAL)
    assert runs(layout, 0.0) == runs(other, 2 * held.front + held.width)


@EVERY
def test_each_hole_is_used_and_named_after_its_anchor(name: str) -> None:
    """Every hole carries a stitch; its name is the anchor it comes from, or S and a number, then suture and side."""
    layout = lay(name, USUAL)
    used = {hole: stitch for stitch in layout.stitches for hole in stitch.holes}
    assert set(used) == {hole.name for hole in layout.holes}
    for hole, stitch in used.items():
        assert re.fullmatch(rf"{stitch.anchor or 'S[1-9]'}[a-d][FB]", hole)
    assert all(re.fullmatch(r"L?[1-9]", anchor.name) for anchor in layout.anchors)


@EVERY
def test_anchors_are_numbered_from_the_front_and_all_are_used(name: str) -> None:
    """In each row the numbers rise backwards, and no anchor stands without a suture."""
    layout = lay(name, USUAL)
    for row in (layout.row("medial"), layout.row("lateral")):
        assert [anchor.name for anchor in row] == sorted(anchor.name for anchor in row)
    ends = {end for stitch in layout.stitches for end in (stitch.anchor, stitch.to) if end}
    assert ends == {anchor.name for anchor in layout.anchors}


@EVERY
@settings(max_examples=20, deadline=None)
@given(strip=usual)
def test_every_pattern_fits_a_wide_tear_it_is_meant_for(name: str, strip: TendonStrip) -> None:
    """On a tear of its kind, 24 mm wide or more, no pattern finds a reason, and no one has more than 24 limbs."""
    wide = replace(strip, width=2 * strip.width) if name == "partial-repair" else strip
    assert pattern(name).fits(torn(name, wide), FlatBed(wide.edge), Citing(load_book())) is None
    limbs = {hole for stitch in lay(name, wide).stitches for hole in stitch.holes}
    assert len(limbs) <= MOST_LIMBS


COUNTS = {
    "single-row-simple": (0, 2, {"simple": 4}),
    "single-row-mattress": (0, 2, {"mattress": 2}),
    "single-row-mason-allen": (0, 2, {"mattress": 2, "simple": 2}),
    "single-row-triple": (0, 2, {"simple": 6}),
    "single-row-3": (0, 3, {"simple": 6}),
    "double-row": (2, 2, {"mattress": 2, "simple": 4}),
    "double-row-3": (3, 3, {"mattress": 3, "simple": 6}),
    "bridging-2-1-knotted": (2, 1, {"mattress": 2, "bridge": 4}),
    "bridging-2-1-knotless": (2, 1, {"bridge": 4}),
    "bridging-knotted": (2, 2, {"mattress": 2, "bridge": 4}),
    "bridging-knotless": (2, 2, {"bridge": 4}),
    "bridging-3-2-knotted": (3, 2, {"mattress": 3, "bridge": 6}),
    "bridging-3-2-knotless": (3, 2, {"bridge": 6}),
    "bridging-3-3-knotted": (3, 3, {"mattress": 3, "bridge": 6}),
    "bridging-3-3-knotless": (3, 3, {"bridge": 6}),
    "overlapping-mattress": (2, 2, {"mattress": 4, "bridge": 8}),
    "transosseous": (2, 2, {"transosseous": 4}),
    "transosseous-crossed": (2, 2, {"transosseous": 4}),
    "margin-convergence-u": (0, 2, {"simple": 4, "side-to-side": 2}),
    "margin-convergence-l": (0, 2, {"simple": 4, "side-to-side": 2}),
    "medialised": (0, 2, {"simple": 4}),
    "partial-repair": (0, 2, {"simple": 4}),
    "completed-partial": (0, 2, {"simple": 4}),
}


@EVERY
def test_limb_counts_are_those_of_the_trade(name: str) -> None:
    """Medial and lateral anchors and stitches by kind, pattern by pattern (common practice, no source)."""
    layout = lay(name, USUAL)
    kinds = [stitch.kind for stitch in layout.stitches]
    found = (len(layout.row("medial")), len(layout.row("lateral")), {k: kinds.count(k) for k in kinds})
    assert found == COUNTS[name]


@pytest.mark.parametrize("name", ["bridging-3-3-knotted", "bridging-3-3-knotless", "bridging-knotted"])
def test_lateral_anchors_share_the_limbs_evenly(name: str) -> None:
    """With as many lateral as medial anchors, each lateral one takes two limbs."""
    ends = [stitch.to for stitch in lay(name, USUAL).stitches if stitch.to]
    assert {ends.count(end) for end in set(ends)} == {2}


def test_overlapping_mattresses_overlap() -> None:
    """From the front: a begins, b begins, a ends, b ends."""
    layout = lay("overlapping-mattress", USUAL)
    for anchor in layout.row("medial"):
        own = [h for h in layout.holes if h.name.startswith(anchor.name)]
        assert [h.name[1:] for h in sorted(own, key=lambda h: h.u)] == ["aF", "bF", "aB", "bB"]


def test_unknown_pattern_is_refused_by_name() -> None:
    """A pattern that does not exist is refused with the names closest to it and how many there are."""
    with pytest.raises(CaseError, match=r"no repair pattern triple-row; choose one of single-row-3.*23"):
        pattern("triple-row")
