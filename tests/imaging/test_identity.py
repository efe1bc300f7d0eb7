"""Right patient, right side, compared before anything is stripped."""

import pytest

from cuffwright.imaging.fingerprint import fingerprint
from cuffwright.imaging.identity import check, mixtures
from cuffwright.imaging.picture import read_picture

SALT = b"salt of an invented case"
SHOULDER_PATIENT = fingerprint("compressedsamples mr2", "5mr2", "1950-01-12", SALT)


def test_the_shoulder_names_no_side_so_it_is_asked(real):
    """F1 has no laterality tag; D-17: its place (x below 0) suggests the right, which only supports, never settles."""
    found = check(read_picture(real("MR2_UNCR.dcm"), salt=SALT), "right", SHOULDER_PATIENT)
    assert [(clue.source, clue.side) for clue in found.clues] == [("position in the patient", "right")]
    assert found.contradictions == ()
    assert found.asks == ("the image names no side; confirm which shoulder it shows",)
    assert not found.settled


@pytest.mark.req("REQ-004")
def test_the_wrong_side_is_blocked(real):
    """F1 against a left shoulder: its place contradicts."""
    found = check(read_picture(real("MR2_UNCR.dcm"), salt=SALT), "left", SHOULDER_PATIENT)
    assert found.blocked
    assert "position in the patient says right" in found.contradictions[0]


@pytest.mark.req("REQ-004")
def test_a_tag_and_a_marker_that_agree_settle_the_side(real, altered):
    """F2 carries Laterality R; a marker read as left blocks even when the case agrees with one of them."""
    leg = read_picture(real("RG3_UNCR.dcm"), salt=SALT)
    patient = fingerprint("CompressedSamples^RG3", "11RG3", "19790408", SALT)
    assert check(leg, "right", patient, marker="right").settled
    assert any("disagree" in word for word in check(leg, "right", patient, marker="left").contradictions)
    assert check(leg, "left", patient).blocked


def test_two_tags_that_disagree_are_no_clue(altered):
    """Image Laterality L beside Laterality R: neither is believed, and it is told."""
    picture = read_picture(altered("RG3_UNCR.dcm", ImageLaterality="L", Laterality="R"))
    assert picture.side_tag is None
    assert any("laterality tags disagree" in note for note in picture.warnings)


@pytest.mark.parametrize(
    ("change", "label"),
    [
        ({"PatientName": "Someone^Else"}, "name"),
        ({"PatientID": "5MR3"}, "identifier"),
        ({"PatientBirthDate": "19500113"}, "birth date"),
    ],
)
def test_another_patient_is_blocked(altered, change, label):
    """One differing identifier is enough."""
    found = check(read_picture(altered("MR2_UNCR.dcm", **change), salt=SALT), "right", SHOULDER_PATIENT)
    assert found.contradictions == (f"the {label} of the image is not that of the case",)


def test_silence_is_asked(altered):
    """An image or a case without an identifier is asked about, never passed."""
    silent = read_picture(altered("MR2_UNCR.dcm", PatientName="", PatientID=None, PatientBirthDate=None), salt=SALT)
    assert len(check(silent, "right", SHOULDER_PATIENT, marker="right").asks) == 3
    known = read_picture(altered("MR2_UNCR.dcm"), salt=SALT)
    assert len(check(known, "right", None, marker="right").asks) == 3
    assert check(known, "right", SHOULDER_PATIENT, marker="right").settled


def test_another_salt_gives_another_fingerprint(real):
    """Hashes of two cases cannot be matched with one another."""
    one, other = (read_picture(real("MR2_UNCR.dcm"), salt=salt).patient for salt in (b"a", b"b"))
    assert one.name != other.name
    assert read_picture(real("MR2_UNCR.dcm")).patient == read_picture(real("MR2_J2KR.dcm")).patient


@pytest.mark.req("REQ-005")
def test_a_mixture_is_named(real):
    """Two patients imported together: name, identifier and birth date differ."""
    pictures = [read_picture(real(name)) for name in ("MR2_UNCR.dcm", "RG3_UNCR.dcm")]
    assert len(mixtures(pictures)) == 3
    assert mixtures(pictures[:1] * 2) == ()


@pytest.mark.parametrize("side", ["R", "L"])
def test_place_tells_the_side_by_the_sign_of_x(altered, side):
    """D-17: x grows to the left; the shoulder moved across the midline is a left one, in the middle neither."""
    x = {"R": -180.058222, "L": 70.0}[side]
    picture = read_picture(altered("MR2_UNCR.dcm", ImagePositionPatient=[x, -97.147766, 112.82799]))
    assert picture.side_by_position == {"R": "right", "L": "left"}[side]
    middle = read_picture(altered("MR2_UNCR.dcm", ImagePositionPatient=[-60, -97.147766, 112.82799]))
    assert middle.side_by_position is None
