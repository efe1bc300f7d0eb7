"""Left is right in the mirror, to the last bit."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.anatomy.side import from_canonical, map_axes, side_of, to_canonical
from cuffwright.case.errors import CaseError

points = st.lists(st.tuples(*[st.floats(-200, 200)] * 3), min_size=1, max_size=20)


@given(points, st.sampled_from(["right", "left"]), st.sampled_from(["humerus", "scapula", "patient"]))
@settings(max_examples=40)
def test_in_and_out_again_is_exact(spots, side, frame):
    """Reflected on the way in and on the way out, a point keeps every bit; the input is left alone."""
    given_points = np.array(spots)
    kept = given_points.copy()
    back = from_canonical(to_canonical(given_points, side, frame), side, frame)
    assert back.tobytes() == given_points.tobytes() == kept.tobytes()


@pytest.mark.req("REQ-003")
@given(st.floats(-4, 40), st.floats(0.01, 35), st.floats(0, 8))
@settings(max_examples=30)
def test_a_left_shoulder_is_the_mirror_image_bit_for_bit(chart, u, v, z):
    """The same map place on a left shoulder has the same X and Y, the opposite Z, and reads back the same map place."""
    right = chart.to_humerus(u, v, z)
    left = from_canonical(right, "left")
    assert left[:2].tobytes() == right[:2].tobytes()
    assert left[2] == -right[2]
    assert (
        chart.to_chart(to_canonical(left, "left")).tobytes() == chart.to_chart(to_canonical(right, "right")).tobytes()
    )


def test_patient_frame_mirrors_left_and_right_only():
    """In the patient's frame (left, back, head) only the first coordinate changes sign."""
    assert from_canonical([1.0, 2.0, 3.0], "left", "patient").tolist() == [-1.0, 2.0, 3.0]
    assert from_canonical([1.0, 2.0, 3.0], "right", "patient").tolist() == [1.0, 2.0, 3.0]


def test_map_orientation():
    """Right shoulder: anterior at the right edge; left shoulder: at the left; medial up, lateral down."""
    right, left = map_axes("right"), map_axes("left")
    assert (right.anterior, right.posterior, right.medial, right.lateral) == ("right", "left", "top", "bottom")
    assert (left.anterior, left.posterior, left.medial, left.lateral) == ("left", "right", "top", "bottom")
    assert (right.rightwards, left.rightwards) == (-1, 1), "u runs backwards"


@pytest.mark.req("REQ-001")
@pytest.mark.parametrize("word", ["", "Right", "both", "l"])
def test_no_side_is_refused(word):
    """A case without a clear side is refused, not guessed."""
    with pytest.raises(CaseError, match="right or left"):
        side_of(word)
