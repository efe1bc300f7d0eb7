"""The structured report, written with highdicom, read back by a walk over plain elements."""

import pydicom
import pytest
from pydicom.sr.codedict import codes

from cuffwright.case.errors import FormatError
from cuffwright.imaging.measures.all_guides import GUIDES, guide
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.report.codes import SCHEME, SHOULDER, SIDES, SITES, UNITS, name_code, site_code
from cuffwright.imaging.report.structured import write_report
from tests.imaging.conftest import real

UIDS = {"series_uid": "2.25.11", "sop_instance_uid": "2.25.12", "device_uid": "2.25.13"}
MARKS = {"edge": [(330.0, 440.0)], "stump": [(300.0, 400.0)]}
RATIO = {
    "fossa": [(300.0, 300.0), (500.0, 300.0), (500.0, 500.0), (300.0, 500.0)],
    "muscle": [(350.0, 350.0), (450.0, 350.0), (450.0, 450.0), (350.0, 450.0)],
}


@pytest.fixture(scope="module")
def shoulder():
    """F1."""
    return read_picture(real("MR2_UNCR.dcm"))


@pytest.fixture(scope="module")
def written(shoulder, book, tmp_path_factory):
    """Two readings on F1 as a report, and the readings."""
    readings = [
        read_off(guide("retraction"), shoulder, [MARKS], book),
        read_off(guide("occupation_ratio"), shoulder, [RATIO], book),
    ]
    place = tmp_path_factory.mktemp("report") / "report.dcm"
    write_report(place, readings, {shoulder.sop_instance_uid: shoulder}, "right", **UIDS)
    return pydicom.dcmread(place), readings


def below(item, path=()):
    """Every content item with the code values of the items above it."""
    name = item.ConceptNameCodeSequence[0].CodeValue if "ConceptNameCodeSequence" in item else ""
    yield (*path, name), item
    for child in item.get("ContentSequence", []):
        yield from below(child, (*path, name))


def of_kind(report, kind):
    """The content items of one value type, with their paths."""
    return [(path, item) for path, item in below(report) if item.ValueType == kind]


def test_the_report_is_template_1500_and_unverified(written, shoulder):
    """Title, template, flags, and the study of its images."""
    report, _ = written
    assert report.SOPClassUID == "1.2.840.10008.5.1.4.1.1.88.34"
    assert report.ConceptNameCodeSequence[0].CodeValue == "126000"
    assert report.ContentTemplateSequence[0].TemplateIdentifier == "1500"
    assert (report.CompletionFlag, report.VerificationFlag, report.PreliminaryFlag) == (
        "COMPLETE",
        "UNVERIFIED",
        "PRELIMINARY",
    )
    assert report.StudyInstanceUID == shoulder.study_uid
    assert report.SOPInstanceUID == UIDS["sop_instance_uid"]


def test_values_units_and_uncertainty_come_back(written):
    """Each NUM carries the reading's value, its UCUM unit and one SD to either side, under 126010 and 125007."""
    report, readings = written
    numbers = [(p, i) for p, i in of_kind(report, "NUM") if p[-1] in {r.guide.replace("_", "-") for r in readings}]
    assert len(numbers) == 2
    for (path, item), reading in zip(numbers, readings, strict=True):
        assert path[:4] == ("126000", "126010", "125007", reading.guide.replace("_", "-"))
        value = item.MeasuredValueSequence[0]
        assert float(value.NumericValue) == pytest.approx(reading.value)
        assert value.MeasurementUnitsCodeSequence[0].CodeValue == UNITS[reading.unit].value
        inner = [float(i.MeasuredValueSequence[0].NumericValue) for i in item.ContentSequence if i.ValueType == "NUM"]
        assert inner == pytest.approx([reading.sd, reading.sd])


def test_marks_come_back_on_their_image_half_a_pixel_over(written, shoulder):
    """Points in the standard's convention (corner of the first pixel at 0), outlines closed, the image referenced."""
    report, _ = written
    drawn = of_kind(report, "SCOORD")
    assert [i.GraphicType for _, i in drawn] == ["POINT", "POINT", "POLYLINE", "POLYLINE"]
    assert [float(v) for v in drawn[0][1].GraphicData] == [330.5, 440.5]
    outline = [float(v) for v in drawn[2][1].GraphicData]
    assert outline[:2] == outline[-2:] == [300.5, 300.5]
    for _, item in drawn:
        reference = item.ContentSequence[0].ReferencedSOPSequence[0]
        assert reference.ReferencedSOPInstanceUID == shoulder.sop_instance_uid
    evidence = report.CurrentRequestedProcedureEvidenceSequence[0].ReferencedSeriesSequence[0]
    assert evidence.ReferencedSOPSequence[0].ReferencedSOPInstanceUID == shoulder.sop_instance_uid


def test_place_side_and_scale_class_are_coded(written):
    """Right, tendon of the rotator cuff, and the scale class as the method."""
    report, _ = written
    codes = {
        (p[-1], i.ConceptCodeSequence[0].CodeValue) for p, i in of_kind(report, "CODE") if "ConceptCodeSequence" in i
    }
    assert ("272741003", "24028007") in codes
    assert ("363698007", "245100002") in codes
    assert ("370129005", "scale-patient") in codes


@pytest.mark.parametrize("one", GUIDES.values(), ids=GUIDES)
def test_every_measure_has_a_code_of_legal_length(one):
    """Code value and scheme hold at most 16 letters, the meaning 64 (PS3.5, SH and LO), and no value stands twice."""
    code = name_code(one)
    assert code.scheme_designator == SCHEME == "99CUFFWRIGHT"
    assert len(code.scheme_designator) <= 16
    assert 0 < len(code.value) <= 16
    assert len({name_code(other).value for other in GUIDES.values()}) == len(GUIDES)
    assert len(code.meaning) <= 64
    assert site_code(one).scheme_designator == "SCT"


def test_codes_of_places_sides_and_units_are_the_standards():
    """Codes of the DICOM subset (PS3.16) as packaged with pydicom, by name; units as UCUM spells them."""
    named = {
        "TendonOfRotatorCuffOfShoulder": SITES["tear"],
        "SupraspinatusMuscle": SITES["muscle"],
        "ProximalHumerus": SITES["footprint"],
        "AcromionProcessOfScapula": SITES["acromion"],
        "Shoulder": SHOULDER,
        "Right": SIDES["right"],
        "Left": SIDES["left"],
    }
    assert {name: code.value for name, code in named.items()} == {
        name: getattr(codes.SCT, name).value for name in named
    }
    assert SITES["bone"] == SITES["footprint"]
    assert {unit: code.value for unit, code in UNITS.items()} == {
        "mm": "mm",
        "degrees": "deg",
        "ratio": "1",
        "percent": "%",
        "HU": "[hnsf'U]",
    }
    assert {code.scheme_designator for code in UNITS.values()} == {"UCUM"}


@pytest.mark.parametrize("missing", ["PatientSex", "PatientBirthDate", "StudyID", "AccessionNumber", "StudyTime"])
def test_an_image_that_lacks_an_element_is_still_reported(altered, book, tmp_path, missing):
    """Elements that may be empty and are absent do not stop a report."""
    picture = read_picture(altered("MR2_UNCR.dcm", **{missing: None}))
    reading = read_off(guide("retraction"), picture, [MARKS], book)
    write_report(tmp_path / "r.dcm", [reading], {picture.sop_instance_uid: picture}, "right", **UIDS)
    assert pydicom.dcmread(tmp_path / "r.dcm").Modality == "SR"


def test_a_reading_without_its_image_is_refused(written, tmp_path):
    """Nothing is written without a reading, or when the image is not handed over."""
    with pytest.raises(FormatError, match="image of retraction is not among"):
        write_report(tmp_path / "r.dcm", written[1], {}, "right", **UIDS)
    with pytest.raises(FormatError, match="no reading"):
        write_report(tmp_path / "r.dcm", [], {}, "right", **UIDS)
