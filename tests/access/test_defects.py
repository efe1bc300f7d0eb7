"""Cysts and earlier anchors against the beds of new anchors, and what an instrument passes through."""

from dataclasses import replace

import numpy as np
import pytest

from cuffwright.access.cannulas import BARE, Cannulas
from cuffwright.access.defects import defect_meetings, hollows
from cuffwright.access.portals import STAB
from cuffwright.access.sites import Site, place_sites
from cuffwright.anatomy.chart import FootprintChart
from cuffwright.case.errors import CaseError
from cuffwright.case.tissues import Bone, Cyst, EarlierAnchor
from cuffwright.course.access import access
from cuffwright.course.hold import lay, prepare
from cuffwright.evidence.book import load_book

from .conftest import sheet_of


def left_between(base, bone: Bone, site: Site) -> list[float]:
    """Bone (mm) between a bed drilled square to the surface at ``site`` and each place of ``bone``."""
    chart = FootprintChart(base)
    spots = place_sites((site,), chart)
    places, lacking = hollows(bone, chart)
    assert lacking == ()
    found = defect_meetings((site,), spots, {site.name: spots.normals[0]}, places, (1.0, 2.0))
    return [meeting.bridge for meeting in found]


def test_a_cyst_beside_a_bed_leaves_its_distance_less_both_radii(base):
    """On the straight down of the bed's middle, 6 mm to the side: 6 less 2 less 2.5; beyond the tip: from the tip."""
    site = Site("1", "medial anchor", 12.0, 4.0, 0.0, 7.0, bed=15.0)
    chart = FootprintChart(base)
    beyond = Cyst(12.0, 4.0, 4.0, depth_mm=20.0)
    assert left_between(base, Bone(cysts=(beyond,)), site) == pytest.approx([5.0 - 2.0 - 2.5])
    beside = Cyst(12.0, 10.0, 4.0, depth_mm=0.0)
    apart = float(np.linalg.norm(chart.to_humerus(12.0, 10.0) - chart.to_humerus(12.0, 4.0)))
    (found,) = left_between(base, Bone(cysts=(beside,)), site)
    assert found <= apart - 4.5 + 1e-9
    assert found > apart - 6.5


def test_an_earlier_anchor_that_leans_towards_a_bed_comes_nearer(base):
    """8 mm behind and square: about 8 less both radii; leaning forwards by 30 degrees it leaves less."""
    site = Site("1", "medial anchor", 12.0, 4.0, 0.0, 7.0, bed=15.0)
    leans = ((0.0, None), (30.0, "anterior"), (30.0, "posterior"))
    old = [EarlierAnchor(20.0, 4.0, "", 5.0, 15.0, lean, towards) for lean, towards in leans]
    square, forward, backward = left_between(base, Bone(earlier_anchors=tuple(old)), site)
    assert forward < square < backward + 3
    assert forward < backward
    assert square < 8.0 - 5.0 + 0.5


def test_an_earlier_anchor_leans_to_all_sides_and_takes_its_own_radius(base):
    """9 mm medial of the bed: leaning laterally it leaves less than leaning medially; 2 mm thicker, 1 mm less."""
    site = Site("1", "medial anchor", 12.0, 12.0, 0.0, 7.0, bed=15.0)
    kinds = ((5.0, 0.0, None), (7.0, 0.0, None), (5.0, 30.0, "lateral"), (5.0, 30.0, "medial"))
    old = [EarlierAnchor(12.0, 3.0, "", thick, 15.0, lean, towards) for thick, lean, towards in kinds]
    thin, thick, lateral, medial = left_between(base, Bone(earlier_anchors=tuple(old)), site)
    assert thin - thick == pytest.approx(1.0)
    assert lateral < medial - 1


def test_what_is_not_measured_is_not_assumed(base):
    """A cyst of unknown depth and an anchor of unknown size are not placed; a sentence says what is needed."""
    bone = Bone(cysts=(Cyst(10.0, 5.0, 3.0),), earlier_anchors=(EarlierAnchor(20.0, 5.0),))
    places, lacking = hollows(bone, FootprintChart(base))
    assert places == ()
    assert [words.split(", needs ")[1] for words in lacking] == [
        "its depth_mm.",
        "its diameter_mm, length_mm and lean_degrees.",
    ]


def test_a_cyst_in_the_way_is_named_at_its_anchor():
    """In a whole answer the caution stands at the anchor and the cyst; without it, it is not there."""
    plain = sheet_of()
    anchor = lay(prepare(plain, load_book()), "double-row").anchor("1")
    sick = replace(plain, bone=Bone(cysts=(Cyst(anchor.u, anchor.v, 6.0, depth_mm=8.0), Cyst(1.0, 1.0, 2.0))))
    results = [access(sheet, load_book(), pattern="double-row", draws=2) for sheet in (plain, sick)]
    met = [{c.where for c in result.cautions if c.code == "beds-meet"} for result in results]
    assert "1,cyst 1" not in met[0]
    assert "1,cyst 1" in met[1]
    assert [c.where for c in results[1].cautions if c.code == "bed-not-computed"] == ["bone"]
    assert {bed.second for bed in results[1].beds} >= {"cyst 1"}


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Cyst(1.0, 1.0, 0.0), "diameter above 0"),
        (lambda: Cyst(float("nan"), 1.0, 2.0), "no finite place"),
        (lambda: Cyst(1.0, 1.0, 2.0, depth_mm=-1.0), "deep"),
        (lambda: EarlierAnchor(1.0, 1.0, diameter_mm=-2.0), "sizes above 0"),
        (lambda: EarlierAnchor(1.0, 1.0, lean_degrees=95.0), "cannot lean 95"),
        (lambda: EarlierAnchor(1.0, 1.0, lean_degrees=10.0), "not towards any side"),
    ],
)
def test_impossible_places_in_the_bone_are_refused(make, words):
    """Sizes of 0, places that are no number, depths outside the bone, a lean towards nowhere: each by name."""
    with pytest.raises(CaseError, match=words):
        make()


def test_mouths_of_tunnels_may_meet():
    """The mouths of a tunnel are drilled to meet and are not held against each other."""
    result = access(sheet_of(), load_book(), pattern="transosseous", draws=2)
    assert result.beds == ()


@pytest.mark.parametrize(
    ("portal", "length", "bare", "through", "shaft"),
    [
        ("lateral", 60.0, False, "a 70 mm cannula", 85.0),
        ("lateral", 84.0, False, "a 70 mm cannula", 85.0),
        ("lateral", 90.0, False, "a 90 mm cannula", 105.0),
        ("lateral", 110.0, False, f"{BARE}: the longest, 90 mm, ends too far off", 110.0),
        ("posterior", 80.0, True, BARE, 80.0),
        (STAB, 80.0, False, BARE, 80.0),
    ],
)
def test_the_shortest_cannula_that_ends_near_enough(portal, length, bare, through, shaft):
    """70 and 90 mm cannulas whose tip may end 15 mm off: the shorter while it reaches, and the shaft past its hub."""
    passage = Cannulas((70.0, 90.0), 15.0).passage(portal, length, bare=bare)
    assert (passage.through, passage.shaft) == (through, shaft)


def test_rows_say_what_the_instrument_passes_and_what_the_lengths_rest_on():
    """Reached rows carry passage and shaft, unreached none; every length counted with has its row, memory marked."""
    book = load_book()
    result = access(sheet_of(), book, pattern="bridging-knotted", draws=2)
    for reach in result.reaches:
        assert (reach.answer == "no") == (reach.through == "") == (reach.shaft is None)
        assert reach.shaft is None or reach.shaft >= reach.length
        if reach.portal == STAB and reach.answer != "no":
            assert reach.through == BARE
    for one in result.instruments:
        assert (one.length, one.provenance) == (book.fact(one.fact).value, book.fact(one.fact).provenance)
        assert ("unverified" in one.words) == (one.provenance in {"memory", "assumed"})
    assert {one.provenance for one in result.instruments} >= {"read", "memory"}
