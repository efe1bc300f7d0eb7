"""Laws that every repair pattern obeys, tried on each the day its file appears."""

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import TendonStrip
from cuffwright.evidence.book import load_book
from cuffwright.repair.patterns import pattern, patterns
from tests.strategies import strips

EVERY = pytest.mark.parametrize("name", sorted(patterns()))


@dataclass(frozen=True)
class FlatBed:
    """A footprint of constant width."""

    width: float

    def edge(self, u: float) -> float:
        """The same lateral edge everywhere."""
        return self.width


def lay(name: str, strip: TendonStrip):
    """Lay a pattern on a flat footprint as wide as the strip's edge."""
    return pattern(name).lay(strip, FlatBed(strip.edge), Citing(load_book()))


@EVERY
@settings(max_examples=40, deadline=None)
@given(strip=strips)
def test_every_point_lies_on_tear_and_bone(name: str, strip: TendonStrip) -> None:
    """Anchors and holes lie between the tear's edges, holes medial to its tendon edge, anchors on bone."""
    layout = lay(name, strip)
    for place in (*layout.anchors, *layout.holes):
        assert strip.front < place.u < strip.front + strip.width
    assert all(0 < hole.v < strip.edge for hole in layout.holes)
    assert all(anchor.v > 0 for anchor in layout.anchors)


@EVERY
@settings(max_examples=40, deadline=None)
@given(strip=strips)
def test_pattern_is_its_own_mirror(name: str, strip: TendonStrip) -> None:
    """Reflecting a pattern front to back about the middle of the tear gives the same places."""
    layout = lay(name, strip)
    middle = 2 * strip.front + strip.width
    for places in (layout.anchors, layout.holes):
        there = sorted((round(p.u, 9), round(p.v, 9)) for p in places)
        back = sorted((round(middle - p.u, 9), round(p.v, 9)) for p in places)
        assert np.allclose(there, back, atol=1e-6)


@EVERY
def test_each_hole_is_used_and_named_after_its_anchor(name: str) -> None:
    """Every hole carries a stitch, and its limb's name begins with the anchor it comes from."""
    layout = lay(name, TendonStrip(5.0, 20.0, 12.0, 5.0))
    used = {hole: stitch.anchor for stitch in layout.stitches for hole in stitch.holes}
    assert set(used) == {hole.name for hole in layout.holes}
    assert all(hole.startswith(anchor) for hole, anchor in used.items())


def test_limb_counts_are_those_of_the_trade() -> None:
    """Four simple stitches, two mattress, two and four, four bridging limbs (common practice, no source)."""
    counts = {n: [s.kind for s in lay(n, TendonStrip(5.0, 20.0, 12.0, 5.0)).stitches] for n in patterns()}
    assert counts["single-row-simple"].count("simple") == 4
    assert counts["single-row-mattress"].count("mattress") == 2
    assert (counts["double-row"].count("mattress"), counts["double-row"].count("simple")) == (2, 4)
    assert (counts["bridging-knotted"].count("mattress"), counts["bridging-knotted"].count("bridge")) == (2, 4)
    assert (counts["bridging-knotless"].count("mattress"), counts["bridging-knotless"].count("bridge")) == (0, 4)


def test_unknown_pattern_is_refused_by_name() -> None:
    """A pattern that does not exist is refused with the list of those that do."""
    with pytest.raises(CaseError, match="no repair pattern triple-row; choose one of single-row-simple"):
        pattern("triple-row")
