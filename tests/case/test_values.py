"""Case values refuse what cannot be, at birth and in one sentence."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch
from cuffwright.case.measurement import Measurement
from cuffwright.case.tear import Tear

WIDTH = Measurement(14.0, 1.0, "typed")


@pytest.mark.req("REQ-014")
@given(st.floats(max_value=-1e-9) | st.just(math.nan) | st.just(math.inf))
def test_impossible_value_is_refused(value: float) -> None:
    """A negative, infinite or missing number is never a measurement, neither as value nor as spread."""
    with pytest.raises(CaseError, match="measured value must be a number"):
        Measurement(value, 0.0, "typed")
    with pytest.raises(CaseError, match="spread of a measurement"):
        Measurement(1.0, value, "typed")


def test_case_without_patient_key_is_refused() -> None:
    """A case that nobody can be matched to is not opened."""
    with pytest.raises(CaseError, match="no patient key"):
        Identity(" ", "right")


@pytest.mark.req("REQ-014")
@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tendons": ()}, "names no tendon"),
        ({"width_mm": Measurement(0.0, 0.0, "typed")}, "0 mm"),
        ({"partial_depth_mm": Measurement(2.0, 0.0, "typed")}, "full-thickness"),
        ({"limb_side": "anterior", "shape": "crescent"}, "only L and reverse L"),
        (
            {
                "full_thickness": False,
                "partial_depth_mm": Measurement(6.0, 0.0, "typed"),
                "thickness_mm": Measurement(5.0, 0.0, "typed"),
            },
            "exceeds the tendon thickness",
        ),
    ],
)
def test_contradictory_tear_is_refused(change: dict, words: str) -> None:
    """A tear that contradicts itself is refused with the reason."""
    with pytest.raises(CaseError, match=words):
        Tear(**{"width_mm": WIDTH, **change})


def test_layout_names_only_what_it_has() -> None:
    """A stitch to an anchor that is not there, and a doubled name, are refused by name."""
    anchor, hole = Anchor("1", "medial", 5.0, 1.0, 0.0, "all-suture-2.5"), Hole("1aF", 4.0, 1.0)
    with pytest.raises(CaseError, match="1aF>L1 runs to L1"):
        Layout("x", (anchor,), (hole,), (Stitch("bridge", "1", ("1aF",), 1, to="L1"),))
    with pytest.raises(CaseError, match="anchor 1 stands twice"):
        Layout("x", (anchor, anchor), (hole,), ())
    with pytest.raises(CaseError, match="no limb 2aB"):
        Layout("x", (anchor,), (hole,), ()).hole("2aB")
