"""De-identification by the basic profile (PS3.15, Table E.1-1, edition 2026c) on every image of the packages."""

import hashlib
from pathlib import Path

import nibabel
import pydicom
import pynetdicom
import pytest
from pydicom.dataset import Dataset
from pydicom.tag import Tag

from cuffwright.case.errors import ImageError
from cuffwright.imaging.header import PIXEL_KEYWORDS, open_header, quiet
from cuffwright.imaging.intake.right import admit
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.privacy.files import strip_file
from cuffwright.imaging.privacy.profile import deed_for, profile_rows
from cuffwright.imaging.privacy.stripping import DUMMIES, OWN_ROOT, Stripper, identifying_words
from cuffwright.imaging.privacy.whole import strip_import
from tests.imaging.conftest import FOLDERS, real

KEY = b"key of an invented import"
MORE = (
    Path(pynetdicom.__file__).parent / "tests" / "dicom_files",
    Path(nibabel.__file__).parent / "nicom" / "tests" / "data",
)
PIXELS = {Tag(keyword) for keyword in PIXEL_KEYWORDS}
GEOMETRY = ("ImagePositionPatient", "ImageOrientationPatient", "PixelSpacing", "ImagerPixelSpacing", "Laterality")


def images() -> list[Path]:
    """Every file of the installed packages that opens as an image, each content once."""
    found: dict[str, Path] = {}
    for folder in (*FOLDERS, *MORE):
        for place in sorted(p for p in folder.rglob("*") if p.is_file() and p.suffix not in {".py", ".pyc", ".gz"}):
            try:
                open_header(place)
            except ImageError:
                continue
            found.setdefault(hashlib.sha256(place.read_bytes()).hexdigest(), place)
    return list(found.values())


def walk(dataset: Dataset):
    """Every element at every depth, with the data set that holds it."""
    for element in dataset:
        yield element
        if element.VR == "SQ":
            for item in element.value:
                yield from walk(item)


def left_over(dataset: Dataset, before: dict[int, set[str]]) -> list[str]:
    """What the profile names and is still there with a value it had before."""
    found = []
    for element in walk(dataset):
        deed = deed_for(element.tag)
        if deed is None or element.VR == "SQ" or element.value in (None, ""):
            continue
        words = str(element.value)
        if words.startswith(OWN_ROOT) or words == DUMMIES.get(element.VR):
            continue
        if words in before.get(element.tag, set()):
            found.append(f"{element.keyword} = {words[:20]}")
    return found


def values_of(dataset: Dataset) -> dict[int, set[str]]:
    """Every value by tag, at every depth."""
    found: dict[int, set[str]] = {}
    for element in walk(dataset):
        found.setdefault(element.tag, set()).add(str(element.value))
    return found


@pytest.mark.req("REQ-161")
def test_no_identifier_of_the_profile_survives_on_any_sample(tmp_path):
    """Every image of pydicom, pydicom-data, pynetdicom and nibabel: no value of a listed attribute, no identifying
    word and no private element is left, and pixels and geometry are as they were.
    """
    stripper, target, leaks, done = Stripper(KEY), tmp_path / "out.dcm", {}, 0
    for place in images():
        with quiet():
            before = open_header(place).dataset
            values, words = values_of(before), identifying_words(before)
            kept = {k: str(before.get(k)) for k in GEOMETRY}
            pixels = [before[t].value for t in PIXELS if t in before]
        strip_file(place, target, stripper)
        with quiet():
            after = pydicom.dcmread(target)
            wrong = left_over(after, values)
            wrong += [f"private {e.tag}" for e in walk(after) if e.tag.is_private]
            wrong += [k for k in GEOMETRY if str(after.get(k)) != kept[k]]
            wrong += ["pixels"] if [after[t].value for t in PIXELS if t in after] != pixels else []
            for tag in PIXELS & set(after.keys()):
                del after[tag]
            after.save_as(target)
        text = target.read_bytes().lower()
        # four digits occur by chance within made-up UIDs and lengths, so those are looked for as whole values
        wrong += [f"word {w!r}" for w in words if not w.isdigit() and w.encode("utf-8", "ignore") in text]
        wrong += [f"number {e.value}" for e in walk(after) if str(e.value).strip().lower() in words]
        done += 1
        if wrong:
            leaks[place.name] = wrong
    assert done > 100
    assert leaks == {}


def test_the_table_is_the_standards():
    """Rows read in the standard's table (its edition 2026c): name, identifier, dates, staff, UDI, and the number of
    rows.
    """
    assert len(profile_rows()) == 655
    deeds = {
        "PatientName": "empty",
        "PatientBirthDate": "empty",
        "PatientID": "dummy",
        "PatientAge": "remove",
        "StudyDescription": "remove",
        "InstitutionName": "dummy",
        "UDISequence": "remove",
        "SOPInstanceUID": "new uid",
        "FrameOfReferenceUID": "new uid",
        "TimezoneOffsetFromUTC": "remove",
        "PersonName": "dummy",
        "ContentSequence": "dummy",
        "ContentDate": "dummy",
        "AcquisitionDate": "remove",
        "SeriesDate": "dummy",
    }
    assert {k: deed_for(Tag(k)) for k in deeds} == deeds
    assert deed_for(Tag("PixelSpacing")) is None
    assert deed_for(Tag(0x60023000)) == "remove"


@pytest.mark.req("REQ-161")
def test_references_still_resolve_and_the_same_key_gives_the_same_uids(tmp_path):
    """D-30: two files of one study keep one study and space; another key gives other UIDs."""
    names = ("MR2_UNCR.dcm", "MR2_J2KR.dcm")
    first, again, other = Stripper(KEY), Stripper(KEY), Stripper(b"another key")
    found = []
    for stripper in (first, again, other):
        places = [strip_file(real(n), tmp_path / n, stripper).place for n in names]
        found.append([pydicom.dcmread(p) for p in places])
    assert found[0][0].StudyInstanceUID == found[0][1].StudyInstanceUID
    assert found[0][0].FrameOfReferenceUID == found[0][1].FrameOfReferenceUID
    assert found[0][0].SOPInstanceUID == found[1][0].SOPInstanceUID
    assert found[0][0].SOPInstanceUID != found[2][0].SOPInstanceUID
    assert found[0][0].file_meta.MediaStorageSOPInstanceUID == found[0][0].SOPInstanceUID


def test_a_stripped_file_says_so_and_measures_the_same(tmp_path):
    """Codes, method and date handling are written; scale and plane are those of the original."""
    done = strip_file(real("MR2_UNCR.dcm"), tmp_path / "out.dcm", Stripper(KEY))
    after = pydicom.dcmread(done.place)
    assert after.PatientIdentityRemoved == "YES"
    assert [c.CodeValue for c in after.DeidentificationMethodCodeSequence] == ["113100"]
    assert after.LongitudinalTemporalInformationModified == "REMOVED"
    before, now = read_picture(real("MR2_UNCR.dcm")), read_picture(done.place)
    assert (before.scale, before.slice_plane) == (now.scale, now.slice_plane)
    assert now.patient.name is None


def test_patient_characteristics_stay_only_when_asked(tmp_path, altered):
    """Option 113108: sex, age, size and weight; the name goes all the same."""
    place = altered("MR2_UNCR.dcm", PatientSex="F", PatientAge="061Y", PatientWeight="70")
    plain = pydicom.dcmread(strip_file(place, tmp_path / "a", Stripper(KEY)).place)
    kept = pydicom.dcmread(strip_file(place, tmp_path / "b", Stripper(KEY, keep_characteristics=True)).place)
    assert "PatientAge" not in plain
    assert (kept.PatientSex, kept.PatientAge, kept.PatientWeight) == ("F", "061Y", 70)
    assert [c.CodeValue for c in kept.DeidentificationMethodCodeSequence] == ["113100", "113108"]
    assert not str(kept.PatientName)


def test_a_link_back_is_kept_only_when_asked(tmp_path):
    """Without asking there is no way from the new UID to the old one."""
    old = str(pydicom.dcmread(real("MR2_UNCR.dcm")).SOPInstanceUID)
    silent, asked = Stripper(KEY), Stripper(KEY, keep_link=True)
    strip_file(real("MR2_UNCR.dcm"), tmp_path / "a", silent)
    new = strip_file(real("MR2_UNCR.dcm"), tmp_path / "b", asked).sop_instance_uid
    assert silent.link == {}
    assert asked.link[new] == old


def test_a_name_repeated_in_other_text_goes_with_it(tmp_path, altered):
    """An identifier written into attributes the table leaves alone, also in upper case, is removed there too."""
    place = altered("MR2_UNCR.dcm", ScanOptions="5MR2", SequenceName="X 5mr2")
    after = pydicom.dcmread(strip_file(place, tmp_path / "out", Stripper(KEY)).place)
    assert "ScanOptions" not in after
    assert "SequenceName" not in after


def test_free_text_on_calibration_goes_wherever_it_stands(tmp_path, altered):
    """The table leaves it alone (PS3.15, E.1-1); at the top and within a sequence it is removed."""
    inner = Dataset()
    inner.PixelSpacingCalibrationDescription = "ball held by someone"
    outer = Dataset()
    outer.PixelMeasuresSequence = [inner]
    place = altered(
        "MR2_UNCR.dcm",
        PixelSpacingCalibrationDescription="ball held by someone",
        SharedFunctionalGroupsSequence=[outer],
    )
    done = strip_file(place, tmp_path / "out", Stripper(KEY))
    assert b"ball held" not in done.place.read_bytes()


@pytest.mark.req("REQ-162")
@pytest.mark.parametrize(
    ("name", "said", "warned"),
    [
        ("MR2_UNCR.dcm", "YES", True),
        ("MR2_UNCR.dcm", None, False),
        ("RG3_UNCR.dcm", None, True),
        ("RG3_UNCR.dcm", "NO", False),
    ],
)
def test_burned_in_text_is_warned_of(tmp_path, altered, name, said, warned):
    """Said to be there, or not said on anything but a slice (F2 has its marker in the pixels): warned; not cleaned."""
    place = altered(name, BurnedInAnnotation=said)
    done = strip_file(place, tmp_path / "out", Stripper(KEY))
    assert bool(done.warnings) is warned


@pytest.mark.req("REQ-005", "REQ-161")
def test_nothing_is_stripped_before_the_patient_is_settled(tmp_path):
    """A question left open: refused, and no file is written. Answered: every file under a number of its own."""
    picture = read_picture(real("MR2_UNCR.dcm"))
    waiting = admit([picture], "right")
    with pytest.raises(ImageError, match="waits for an answer"):
        strip_import([picture], waiting, tmp_path / "out", Stripper(KEY))
    assert not (tmp_path / "out").exists()
    settled = admit([picture], "right", confirmed=waiting.asks)
    (done,) = strip_import([picture, picture], settled, tmp_path / "out", Stripper(KEY))
    assert [place.name for place in (tmp_path / "out").iterdir()] == ["00001.dcm"]
    assert str(pydicom.dcmread(done.place).PatientName) == ""
