"""Right patient and side over a whole import: mixtures refused, silence asked, answers kept."""

import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.fingerprint import fingerprint
from cuffwright.imaging.intake.right import admit, require_admitted
from cuffwright.imaging.picture import read_picture
from tests.imaging.conftest import real

SALT = b"salt of an invented case"
PATIENT = fingerprint("compressedsamples mr2", "5mr2", "1950-01-12", SALT)


@pytest.fixture
def shoulder():
    """F1, read with the salt of the case."""
    return read_picture(real("MR2_UNCR.dcm"), salt=SALT)


@pytest.mark.req("REQ-005")
def test_two_patients_are_refused_and_cannot_be_confirmed_away(shoulder):
    """The shoulder with a leg of someone else: three identifiers differ; a yes to every word does not help."""
    leg = read_picture(real("RG3_UNCR.dcm"), salt=SALT)
    found = admit([shoulder, leg], "right", PATIENT)
    again = admit([shoulder, leg], "right", PATIENT, confirmed=(*found.refusals, *found.asks))
    assert len(found.refusals) >= 3
    assert again.refusals == found.refusals
    with pytest.raises(ImageError, match="refused"):
        require_admitted(again)


@pytest.mark.req("REQ-004")
def test_silence_on_the_side_waits_for_an_answer_and_keeps_it(shoulder):
    """F1 names no side: asked once, admitted after the yes, and the yes is kept with the import."""
    found = admit([shoulder], "right", PATIENT)
    with pytest.raises(ImageError, match="waits for an answer"):
        require_admitted(found)
    answered = admit([shoulder], "right", PATIENT, confirmed=found.asks)
    assert answered.admitted
    assert answered.confirmed == found.asks
    require_admitted(answered)


@pytest.mark.req("REQ-004")
def test_the_other_side_is_refused(shoulder):
    """F1 lies right of the midline (D-17): refused for a left shoulder, whatever is confirmed."""
    assert admit([shoulder], "left", PATIENT, confirmed=["everything"]).refusals


def test_both_sides_of_the_body_are_a_mixture(shoulder, altered):
    """F1 beside itself moved across the midline: refused."""
    moved = altered("MR2_UNCR.dcm", ImagePositionPatient=[70.0, -97.147766, 112.82799])
    found = admit([shoulder, read_picture(moved, salt=SALT)], "right", PATIENT)
    assert any("both sides of the body" in word for word in found.refusals)


def test_an_empty_import_is_refused():
    """No picture, no admission."""
    with pytest.raises(ImageError, match="no picture"):
        admit([], "right")
