"""Images through the door: taken in only when patient and side fit, stripped, opened at once, removed for good."""

import io
import shutil
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pydicom
import pytest

from cuffwright.imaging.phantom.writing import BIRTH, INVENTED, PATIENT_ID
from cuffwright.web.images_index import pictures_in
from tests.web.door import Door, opened
from tests.web.invented_exam import Exam
from tests.web.quick_course import QUICK
from tests.web.taking_images import held, lay, read, take, waited

pytestmark = pytest.mark.door


@pytest.mark.req("REQ-190")
def test_nothing_is_kept_before_a_person_has_answered(one: Door, data: Path, exam: Exam) -> None:
    """The first import asks for each identifier; without the answers nothing lies in the case, with them all does."""
    key = one.open()
    path = lay(one, key, {**read(exam.mr[0]), "DOE^JANE.txt": b"no image"})
    said = waited(one, path)
    assert one.get(f"/api/cases/{key}/images").json()["asking"] == said
    assert [words.split(" to compare")[0] for words in said["asks"]] == [
        f"the case has no {what}" for what in ("name", "identifier", "birth date")
    ]
    assert said["aside"][0]["name"] == "DOE^JANE.txt"
    refused = one.post(f"{path}/answer", json={"confirmed": said["asks"][:2]})
    assert refused.status_code == 422
    assert "birth date" in refused.json()["error"]
    assert held(data, key) == []
    one.post(f"{path}/answer", json={"confirmed": said["asks"]})
    assert waited(one, path)["state"] == "done"
    assert len(held(data, key)) == 1
    assert one.get(f"/api/cases/{key}/images").json()["imports"][0]["aside"] == [
        "file 1 is not a readable DICOM file; export it again from the archive"
    ]


@pytest.mark.req("REQ-190")
def test_another_patient_and_the_other_side_are_refused(one: Door, data: Path, exam: Exam, tmp_path: Path) -> None:
    """A second import must be of the same patient; a left image is refused in a right case; neither leaves a file."""
    key = one.open()
    assert take(one, key, read(exam.mr[0]))["state"] == "done"
    before = held(data, key)
    for keyword, value, words in (
        ("PatientID", "OTHER-7", "identifier of the image"),
        ("Laterality", "L", "says left"),
    ):
        dataset = pydicom.dcmread(exam.mr[1])
        setattr(dataset, keyword, value)
        dataset.save_as(tmp_path / "other.dcm")
        said = take(one, key, read(tmp_path / "other.dcm"))
        assert said["state"] == "refused"
        assert words in said["words"]
    assert held(data, key) == before
    assert list((data / "images" / "incoming").iterdir()) == []
    assert take(one, key, read(exam.mr[1]))["state"] == "done"
    assert len(held(data, key)) == 2


@pytest.mark.req("REQ-191")
def test_no_identifier_is_left_in_the_store(one: Door, data: Path, exam: Exam, measured: str) -> None:
    """Of name, identifier, birth date, study and picture names none stands in any byte beside or in the archive."""
    source = pydicom.dcmread(exam.mr[0])
    words = [INVENTED, "SHOULDER^", PATIENT_ID, BIRTH, source.StudyInstanceUID, source.SOPInstanceUID, exam.mr[0].name]
    files = [file for file in data.rglob("*") if file.is_file() and "keys" not in file.parts]
    assert len(files) > len(exam.mr)
    for file in files:
        body = file.read_bytes()
        assert [word for word in words if word.encode() in body] == [], file
    assert all(file.stat().st_mode & 0o077 == 0 for file in (data / "images").iterdir())


def test_a_zip_is_unpacked_and_a_stopped_import_leaves_nothing(one: Door, data: Path, exam: Exam) -> None:
    """A zip gives its pictures; one stopped while it asks leaves no file and takes no answer."""
    key = one.open()
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for file in exam.mr[:3]:
            archive.write(file, f"../{file.name}")
    older = lay(one, key, {"exam.zip": packed.getvalue()})
    assert waited(one, older)["state"] == "asking"
    path = lay(one, key, {"exam.zip": packed.getvalue()})
    assert one.get(older).json()["state"] == "stopped"
    assert waited(one, path)["count"] == 3
    assert one.post(f"{path}/stop").json()["state"] == "stopped"
    assert one.post(f"{path}/answer", json={}).status_code == 422
    assert held(data, key) == []
    assert take(one, key, {"exam.zip": packed.getvalue()})["words"] == "3 pictures taken in"


def test_removed_pictures_are_gone_and_their_patient_is_not(one: Door, data: Path, exam: Exam, tmp_path: Path) -> None:
    """Removed, no file is left and undo brings none back; another patient's images are still refused afterwards."""
    key = one.open()
    name = take(one, key, read(exam.mr[0]))["name"]
    before = one.board(key)["undo"]
    assert one.post(f"/api/cases/{key}/images/imports/{name}/remove").status_code == 200
    assert held(data, key) == []
    said = one.get(f"/api/cases/{key}/images").json()
    assert (said["imports"], said["series"], said["undo"]) == ([], [], before)
    assert one.post(f"/api/cases/{key}/images/imports/{name}/remove").status_code == 422
    dataset = pydicom.dcmread(exam.mr[1])
    dataset.PatientID = "OTHER-7"
    dataset.save_as(tmp_path / "other.dcm")
    assert take(one, key, read(tmp_path / "other.dcm"))["state"] == "refused"


def test_a_file_without_a_length_and_a_foreign_import_are_refused(one: Door, measured: str) -> None:
    """A body without a stated length is refused before it is read; an import belongs to its case."""
    base = f"/api/cases/{measured}/images/imports"
    name = one.post(base).json()["name"]
    endless = one.post(f"{base}/{name}/files", headers={"Content-Length": "99999999999"}, content=b"x")
    assert endless.status_code == 413
    assert one.get(f"/api/cases/{one.open()}/images/imports/{name}").status_code == 404


def test_a_case_opens_by_its_index_and_without_it(data: Path, measured: str, exam: Exam, one: Door) -> None:
    """The index beside the pictures says what their files say; damaged, gone or in a moved folder it is made good."""
    (folder,) = (data / "images" / measured).iterdir()
    said = pictures_in(folder)
    index = (folder / "index.json").read_bytes()
    assert len(said) == len(exam.mr) + len(exam.ct) + 2
    for body in (b"{", b"[]"):
        (folder / "index.json").write_bytes(body)
        assert [(p.sop_instance_uid, p.slice_plane, p.scale) for p in pictures_in(folder)] == [
            (p.sop_instance_uid, p.slice_plane, p.scale) for p in said
        ]
    (folder / "index.json").write_bytes(index.replace(str(folder).encode(), b"/elsewhere"))
    assert pictures_in(folder) == said


@pytest.mark.req("REQ-191")
def test_pictures_go_with_the_patients_key(data: Path, exam: Exam, tmp_path: Path) -> None:
    """After the key of a patient is destroyed, the next start removes the pictures, and what a crash left behind."""
    with opened(tmp_path / "cases", QUICK) as door:
        key = door.open()
        patient = door.board(key)["identity"]["patient"]
        assert take(door, key, read(exam.mr[0]))["state"] == "done"
        door.app.state.cases._archive.destroy_key(patient, at=datetime.now(UTC))
    left = tmp_path / "cases" / "images" / "incoming" / "import-0000000000"
    left.mkdir(parents=True)
    shutil.copy(exam.mr[0], left / "000000")
    assert len(held(tmp_path / "cases", key)) == 1
    with opened(tmp_path / "cases", QUICK):
        assert not left.exists()
        assert held(tmp_path / "cases", key) == []
