"""Chord and arc are two numbers, and the difference is known."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.anatomy.chord import arc_from_chord, chord_from_arc
from cuffwright.case.errors import CaseError


@pytest.mark.req("REQ-057")
def test_an_arc_of_36_on_a_radius_of_28_is_7_percent_longer_than_its_chord():
    """Closed form: the chord of 36 mm of arc is 33.6 mm, so the arc is 7 percent longer."""
    chord = chord_from_arc(36, 28)
    assert chord == pytest.approx(2 * 28 * np.sin(36 / 56))
    assert 36 / chord == pytest.approx(1.07, abs=0.005)
    assert arc_from_chord(chord, 28) == pytest.approx(36)


@given(st.floats(0, 55), st.floats(28, 60))
@settings(max_examples=50)
def test_chord_and_arc_are_inverse(arc, radius):
    """There and back; the arc is never the shorter."""
    chord = chord_from_arc(arc, radius)
    assert chord <= arc + 1e-12
    assert arc_from_chord(chord, radius) == pytest.approx(arc, abs=1e-6)


def test_impossible_chords_are_refused():
    """A chord longer than the diameter, an arc of more than half the circle, or a negative one is refused."""
    for wrong in (57.0, -1.0):
        with pytest.raises(CaseError, match="straight"):
            arc_from_chord(wrong, 28.0)
    for wrong in (90.0, -1.0):
        with pytest.raises(CaseError, match="half a circle"):
            chord_from_arc(wrong, 28.0)


@pytest.mark.req("REQ-057")
@given(st.floats(0, 20), st.floats(1, 30), st.floats(0, 12))
@settings(max_examples=25)
def test_span_from_a_chord_on_the_bone_itself(chart, front, span, v):
    """The straight distance seen on an image gives back the span of the map, at any depth of the footprint."""
    chord = chart.chord(front, front + span, v)
    assert chart.span_from_chord(chord, front, v) == pytest.approx(span, abs=1e-6)


def test_on_the_margin_the_span_is_the_circle_arc(chart, shape):
    """At v = 0 the bone's own conversion is the circle formula with the radius of the margin."""
    assert chart.span_from_chord(20.0, 3.0, 0.0) == pytest.approx(arc_from_chord(20.0, shape.margin_radius))
    with pytest.raises(CaseError, match="no two places"):
        chart.span_from_chord(80.0, 0.0, 0.0)
