"""The footprint map: to scale, the right way round, readable without colour."""

import itertools
import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.contact import PressureMap
from cuffwright.case.errors import CaseError, FormatError
from cuffwright.exchange.report import draw_map, map_svg
from cuffwright.exchange.report.colours import BONE, CARTILAGE, HUES, PATTERNS, WALL, limb_look, pressure_tint
from cuffwright.exchange.report.label_places import Box
from cuffwright.exchange.report.map_frame import map_frame
from cuffwright.exchange.report.pressure_drawing import iso_lines, pressure_levels
from tests.exchange.report import invented_results as invented

SVG = "{http://www.w3.org/2000/svg}"
PAPER = (182.0, 140.0)
PLANS = {
    "single row, 4 sites": invented.layout("single", 2),
    "bridging, 4 limbs": invented.layout("bridging", 2),
    "bridging, 12 limbs": invented.layout("bridging", 3, 2),
}


def words(svg):
    """Every text of the drawing with its place, in drawing order."""
    found = ElementTree.fromstring(svg).iter(f"{SVG}text")
    return [(t.text, float(t.get("x")), float(t.get("y"))) for t in found]


def place(svg, name):
    """The place of the first text that reads ``name``."""
    return next((x, y) for text, x, y in words(svg) if text == name)


@pytest.mark.req("REQ-003")
@pytest.mark.parametrize("side, front", [("right", 1), ("left", -1)])
def test_the_front_lies_at_the_edge_of_its_own_side(side, front):
    """Right shoulder: anterior at the right edge, anchor 1 right of anchor 2; left: mirrored; medial up."""
    svg = map_svg(invented.result(side), invented.TERRAIN)
    assert (place(svg, "anterior")[0] - place(svg, "posterior")[0]) * front > 0
    assert (place(svg, "1")[0] - place(svg, "2")[0]) * front > 0
    assert place(svg, "medial")[1] < place(svg, "1")[1] < place(svg, "L1")[1] < place(svg, "lateral")[1]


@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
@pytest.mark.parametrize("side", ["right", "left"])
def test_the_map_is_to_scale(plan, side):
    """A distance between two anchors on paper is their chart distance times the printed scale."""
    drawn = draw_map(invented.result(side, plan), invented.TERRAIN, paper=PAPER)
    one, other = plan.anchors[0], plan.anchors[-1]
    paper = math.dist(place(drawn.svg, one.name), place(drawn.svg, other.name))
    assert paper == pytest.approx(math.dist((one.u, one.v), (other.u, other.v)) * drawn.scale, abs=0.03)


def test_one_unit_of_the_drawing_is_one_millimetre_of_paper():
    """Width and height are given in mm and equal the view box, so that the stated scale holds in print."""
    root = ElementTree.fromstring(map_svg(invented.result(), invented.TERRAIN))
    width, height = root.get("width"), root.get("height")
    assert root.get("viewBox") == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"
    assert width.endswith("mm")
    assert height.endswith("mm")


def test_the_scale_bar_is_ten_millimetres_of_bone():
    """The bar from 0 to 10 mm is ten times the scale long on paper."""
    drawn = draw_map(invented.result(), invented.TERRAIN, paper=PAPER)
    assert place(drawn.svg, "10 mm")[0] - place(drawn.svg, "0")[0] == pytest.approx(10 * drawn.scale)


@given(height=st.floats(60, 200), width=st.floats(150, 182))
@settings(max_examples=20)
def test_the_map_never_exceeds_its_paper(height, width):
    """Whatever room is given, the drawing is no larger, and the repair lies inside the map."""
    result = invented.result("left", PLANS["bridging, 12 limbs"])
    frame = map_frame(result, invented.TERRAIN, (width, height))
    assert frame.width <= width + 1e-9
    assert frame.height <= height
    left, top, right, bottom = frame.box
    for spot in (*result.layout.anchors, *result.layout.holes):
        x, y = frame.point(spot.u, spot.v)
        assert left < x < right
        assert top < y < bottom


@pytest.mark.req("REQ-041")
@pytest.mark.parametrize("plan", PLANS.values(), ids=PLANS)
def test_each_limb_is_named_at_both_ends_without_overlap(plan):
    """Every limb's name stands twice, and no two names cover each other."""
    shown = words(map_svg(invented.result("right", plan), invented.TERRAIN, paper=PAPER))
    names = [h.name for h in plan.holes]
    assert sorted(t for t, _, _ in shown if t in names) == sorted(names * 2)
    boxes = [Box(x, y, len(t) * 0.602 * 2.7, 2.7) for t, x, y in shown if t in names]
    assert all(a.overlap(b) < 0.5 for i, a in enumerate(boxes) for b in boxes[:i])


@pytest.mark.req("REQ-041")
def test_up_to_32_limbs_differ_in_hue_or_pattern_and_neighbours_in_both():
    """No two of 32 limbs look alike; neighbours differ in line pattern, so that black-and-white print tells them."""
    looks = [limb_look(i) for i in range(len(HUES) * len(PATTERNS))]
    assert len(set(looks)) == len(looks)
    pairs = list(itertools.pairwise(looks))
    assert all(a.pattern != b.pattern and a.hue != b.hue for a, b in pairs)


def luminance(colour):
    """Relative luminance by the WCAG 2.2 definition."""
    linear = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in linear]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_more_pressure_is_darker_and_zones_stay_apart_in_grey():
    """The pressure scale falls in luminance all along; bone, cartilage and wall keep apart without colour."""
    scale = [luminance(pressure_tint(k / 50)) for k in range(51)]
    assert all(a > b for a, b in itertools.pairwise(scale))
    zones = sorted(luminance(c) for c in (BONE, CARTILAGE, WALL))
    assert min(b - a for a, b in itertools.pairwise(zones)) > 0.08


@given(peak=st.floats(0.001, 50))
def test_pressure_levels_are_round_and_cover_the_peak(peak):
    """At most seven even levels, a round step of 1, 2 or 5, the last at or above the peak."""
    levels = pressure_levels(PressureMap((0.0, 1.0), (0.0, 1.0), ((0.0, 0.0), (0.0, peak))))
    step = levels[0]
    assert 1 <= len(levels) <= 7
    assert levels[-1] >= peak * (1 - 1e-5)
    assert re.fullmatch(r"[125]e[+-]\d+", f"{step:.0e}")
    assert all(level == pytest.approx(step * k) for k, level in enumerate(levels, 1))


def test_the_threshold_line_lies_where_the_pressure_equals_it():
    """In a field rising by 0.02 MPa per mm of u the 0.18 MPa line stands at u = 9 mm, straight."""
    us = tuple(float(u) for u in range(31))
    field = PressureMap(us, (-5.0, 10.0), tuple(tuple(0.02 * u for u in us) for _ in range(2)))
    result = invented.result(pressure=field)
    frame = map_frame(result, invented.TERRAIN, PAPER)
    line = next(iso for iso in iso_lines(frame, result) if iso.threshold)
    assert [x for x, _ in line.points] == pytest.approx([frame.point(9.0, 0.0)[0]] * len(line.points))


def test_no_pressure_is_said():
    """A field of zeros draws no tint and says so in the legend."""
    field = PressureMap((0.0, 30.0), (-5.0, 10.0), ((0.0, 0.0), (0.0, 0.0)))
    assert "no contact pressure to draw" in map_svg(invented.result(pressure=field), invented.TERRAIN)


def test_names_are_escaped():
    """A terrain name with markup stays text and the drawing stays readable XML."""
    terrain = {**invented.TERRAIN, "<b>&\"'": [(20.0, 14.5), (26.0, 14.5)]}
    assert "<b>&\"'" in [t for t, _, _ in words(map_svg(invented.result(), terrain))]


def test_the_words_for_a_reader_hold_every_position():
    """The alternative text names side, edge of the front, and each anchor and hole with its place."""
    result = invented.result("left")
    alt = draw_map(result, invented.TERRAIN).alt
    assert "left shoulder" in alt
    assert "anterior at the left edge" in alt
    assert all(f"{spot.name} at u " in alt for spot in (*result.layout.anchors, *result.layout.holes))


def test_a_wrong_side_or_a_giant_map_is_refused():
    """No map without a side, none that would not fit at half its size."""
    with pytest.raises(CaseError, match="right or left"):
        map_svg(replace(invented.result(), side="both"), invented.TERRAIN)
    far = replace(invented.layout(), anchors=tuple(replace(a, u=a.u * 60) for a in invented.layout().anchors))
    with pytest.raises(FormatError, match="does not fit the page"):
        map_svg(invented.result(plan=far, pressure=PressureMap((), (), ())), invented.TERRAIN)
