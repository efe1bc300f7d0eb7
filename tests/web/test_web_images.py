"""Images through the door: taken in only when patient and side fit, stripped, measured into the case, reported."""

import io
import shutil
import time
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pydicom
import pytest

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.phantom.truth import truth
from cuffwright.imaging.phantom.writing import BIRTH, INVENTED, PATIENT_ID
from cuffwright.imaging.picture import read_picture
from cuffwright.web.images_given import Given, give
from cuffwright.web.images_index import pictures_in
from tests.web.door import Door, opened
from tests.web.invented_exam import Exam, nearest, pixel_of, write_exam
from tests.web.quick_course import QUICK

pytestmark = pytest.mark.door


@pytest.fixture(scope="module")
def exam(tmp_path_factory: pytest.TempPathFactory) -> Exam:
    """The invented examination of a right shoulder."""
    return write_exam(tmp_path_factory.mktemp("exam"))


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the cases."""
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module")
def one(data: Path) -> Iterator[Door]:
    """One app for the file; every test opens a case of its own."""
    with opened(data, QUICK) as door:
        yield door


def lay(door: Door, key: str, files: dict[str, bytes]) -> str:
    """Begin an import, lay files down and have them read; returns its address."""
    base = f"/api/cases/{key}/images/imports"
    path = f"{base}/{door.post(base).json()['name']}"
    for name, body in files.items():
        assert door.post(f"{path}/files", content=body, headers={"X-Name": name}).status_code == 201
    assert door.post(f"{path}/read").status_code == 200
    return path


def waited(door: Door, path: str) -> dict[str, Any]:
    """The import once it asks or has ended."""
    while (said := door.get(path).json())["state"] in {"reading", "stripping"}:
        time.sleep(0.01)
    return dict(said)


def take(door: Door, key: str, files: dict[str, bytes], **answers: Any) -> dict[str, Any]:
    """Take files into a case, every question answered with yes."""
    path = lay(door, key, files)
    said = waited(door, path)
    if said["state"] != "asking":
        return said
    assert door.post(f"{path}/answer", json={"confirmed": said["asks"], **answers}).status_code == 200
    return waited(door, path)


def read(*files: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in files}


def held(data: Path, key: str) -> list[Path]:
    return sorted((data / "images" / key).rglob("*.dcm"))


@pytest.fixture(scope="module")
def measured(one: Door, exam: Exam) -> str:
    """A case with the whole examination."""
    key = one.open()
    files = read(*exam.mr, exam.film, exam.secondary, *exam.ct)
    assert take(one, key, files)["state"] == "done"
    return key


def series(door: Door, key: str, modality: str, count: int) -> dict[str, Any]:
    found = door.get(f"/api/cases/{key}/images").json()["series"]
    return next(one for one in found if one["modality"] == modality and len(one["pictures"]) == count)


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


def test_an_edge_is_followed_between_clicks(one: Door, exam: Exam, measured: str) -> None:
    """Four clicks around the head give a closed outline through each of them, with a corner for every pixel."""
    stack = series(one, measured, "MR", 6)
    centre = exam.body.to_patient(np.zeros(3))
    index = nearest(stack, centre)
    x, y = pixel_of(stack, index, centre)
    clicks = [[float(round(x + dx)), float(round(y + dy))] for dx, dy in ((20, 0), (0, 20), (-20, 0), (0, -20))]
    order = {"image": stack["pictures"][index]["image"], "clicks": clicks}
    outline = one.post(f"/api/cases/{measured}/images/edge", json=order).json()["outline"]
    assert len(outline) > 60
    assert all(click in outline for click in clicks)


def test_a_file_without_a_length_and_a_foreign_import_are_refused(one: Door, measured: str) -> None:
    """A body without a stated length is refused before it is read; an import belongs to its case."""
    base = f"/api/cases/{measured}/images/imports"
    name = one.post(base).json()["name"]
    endless = one.post(f"{base}/{name}/files", headers={"Content-Length": "99999999999"}, content=b"x")
    assert endless.status_code == 413
    assert one.get(f"/api/cases/{one.open()}/images/imports/{name}").status_code == 404


def test_values_come_with_their_window(one: Door, exam: Exam, measured: str) -> None:
    """The bytes of a slice are the stored values of its file; its window is that of the file."""
    shown = series(one, measured, "MR", 6)
    answer = one.get(f"/api/cases/{measured}/images/series/{shown['number']}/0")
    values = np.frombuffer(answer.content, "<f4").reshape(80, 80)
    assert any(np.array_equal(values, pydicom.dcmread(file).pixel_array) for file in exam.mr[:6])
    assert answer.headers["X-Window"] == "500,1000,LINEAR"
    assert one.get(f"/api/cases/{measured}/images/series/{shown['number']}/77").status_code == 404


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


def test_the_head_is_read_by_a_fitted_circle_on_mr(one: Door, exam: Exam, measured: str) -> None:
    """Rough marks on the round edge of a slice through the centre: fitted, within 3 SD of the true radius."""
    stack = series(one, measured, "MR", 6)
    index = nearest(stack, exam.body.to_patient(np.zeros(3)))
    plane = stack["pictures"][index]["place"]
    inward = -np.array(plane["row"]) * np.sign(plane["row"][0])
    turns = np.radians([-20.0, 15.0, 45.0, 75.0, 100.0])
    ring = exam.body.to_patient(np.zeros(3)) + 24 * (
        -np.cos(turns)[:, None] * inward + np.sin(turns)[:, None] * np.array([0, 0, 1.0])
    )
    order = {
        "guide": "head_radius",
        "image": stack["pictures"][index]["image"],
        "rounds": [{"edge": [pixel_of(stack, index, point) for point in ring]}],
        "fitted": True,
    }
    said = one.post(f"/api/cases/{measured}/images/measure", json=order).json()
    assert abs(said["value"] - 24.0) < 3 * said["sd"]
    assert said["parts"][2]["words"] == "fit of the circle to the bone's edge"
    wrong = one.post(f"/api/cases/{measured}/images/measure", json={**marks(one, measured, exam), "fitted": True})
    assert "no circle to fit" in wrong.json()["error"]


def marks(door: Door, key: str, exam: Exam) -> dict[str, Any]:
    """The width of the tear marked at its true ends."""
    chart, tear = FootprintChart(exam.body.humerus), exam.body.tear
    ends = [exam.body.to_patient(chart.to_humerus(u, chart.edge(u), 2.5)) for u in (tear.front, tear.back)]
    stack = series(door, key, "MR", 32)
    index = nearest(stack, np.mean(ends, axis=0))
    rounds = [{name: [pixel_of(stack, index, end)] for name, end in zip(("front", "back"), ends, strict=True)}]
    return {"guide": "tear_width", "image": stack["pictures"][index]["image"], "rounds": rounds}


@pytest.mark.req("REQ-192")
def test_a_reading_lands_in_the_case_and_undo_takes_it_out(one: Door, exam: Exam, measured: str) -> None:
    """The true width within two SD, which is made of named parts; kept it stands in the tear sheet with its image."""
    order = marks(one, measured, exam)
    said = one.post(f"/api/cases/{measured}/images/measure", json=order).json()
    assert abs(said["value"] - truth(exam.body).tear_width) < 2 * said["sd"]
    assert [part["words"] for part in said["parts"][:2]] == ["pixel grid", "hand that marks"]
    assert said["own_sd"] == pytest.approx(np.sqrt(sum(part["sd"] ** 2 for part in said["parts"])))
    before = one.board(measured)
    kept = one.post(
        f"/api/cases/{measured}/images/readings", json={**order, "id": "take-width-1", "expected": before["seq"]}
    )
    assert kept.json() == {"seq": before["seq"] + 1, "older_layout": True}
    sheet = one.get(f"/cases/{measured}/tear").text
    assert f"{said['value']:g} mm" in sheet
    assert f'/cases/{measured}/images?reading=tear.width_mm"' in sheet
    (reading,) = one.get(f"/api/cases/{measured}/images").json()["readings"]
    assert (reading["standing"], reading["rounds"]) == (True, order["rounds"])
    stale = one.post(
        f"/api/cases/{measured}/images/readings", json={**order, "id": "take-width-2", "expected": before["seq"]}
    )
    assert stale.status_code == 409
    assert one.give(measured, "undo").json()["undo"] == before["undo"]
    assert "images?reading" not in one.get(f"/cases/{measured}/tear").text
    assert one.give(measured, "redo").status_code == 200


def test_the_program_gives_an_examination_once(one: Door, exam: Exam) -> None:
    """As the demonstration does: files taken in, a reading on its stripped picture; a second time nothing changes."""
    key, state = one.open(), one.app.state
    picture = read_picture(exam.mr[20])
    rounds = [{"front": ((30.0, 30.0),), "back": ((42.0, 30.0),)}]
    reading = read_off(guide("tear_width"), picture, rounds, state.images.book, step_mm=3.0)
    given = Given(exam.mr, (reading,))
    give(key, given, state.cases, state.images)
    said = one.get(f"/api/cases/{key}/images").json()
    assert [(r["name"], r["standing"], r["value"]) for r in said["readings"]] == [("tear_width", True, reading.value)]
    shown = said["series"][said["readings"][0]["spot"]["series"]]["pictures"][said["readings"][0]["spot"]["index"]]
    assert shown["image"] != picture.sop_instance_uid
    assert shown["name"] in one.get(f"/cases/{key}/tear").text
    give(key, given, state.cases, state.images)
    assert one.get(f"/api/cases/{key}/images").json() == said


def test_the_report_names_the_reading_and_its_image(one: Door, exam: Exam, measured: str) -> None:
    """Read by pydicom alone: a comprehensive report whose number is the reading and whose image is the stripped one."""
    reading = one.get(f"/api/cases/{measured}/images").json()["readings"][0]
    dataset = pydicom.dcmread(io.BytesIO(one.get(f"/api/cases/{measured}/images/report").content))
    text = str(dataset)
    assert dataset.Modality == "SR"
    assert f"{reading['value']}" in text
    assert marks(one, measured, exam)["image"] in text
    assert INVENTED not in text


@pytest.mark.req("REQ-193")
def test_what_cannot_be_measured_says_so(one: Door, exam: Exam, measured: str) -> None:
    """A secondary capture gives nothing; a radiograph gives no length until its magnification is stated."""
    capture = series(one, measured, "MR", 1)
    assert (capture["can_measure"], capture["guides"]) == ("cannot be measured", [])
    film = series(one, measured, "DX", 1)
    assert "acromiohumeral_interval" not in film["guides"]
    order = {
        "guide": "acromiohumeral_interval",
        "image": film["pictures"][0]["image"],
        "rounds": [{"acromion": [[50.0, 20.0]], "head": [[50.0, 26.0]]}],
    }
    path = f"/api/cases/{measured}/images/measure"
    refused = one.post(path, json=order)
    assert refused.status_code == 422
    assert "magnification" in refused.json()["error"]
    stated = {"kind": "magnification", "known": "room", "factor": 1.1, "sd": 0.02}
    said = one.post(path, json={**order, "scale": stated}).json()
    assert said["value"] == pytest.approx(6 * 1.5 / 1.1, abs=1e-3)
    assert said["parts"][2] == {"words": "the scale itself", "sd": pytest.approx(said["value"] * 0.02 / 1.1, rel=1e-3)}
    ball = {"kind": "object", "known": "ball", "start": [10.0, 10.0], "end": [30.0, 10.0], "known_mm": 25.0}
    assert one.post(path, json={**order, "scale": ball}).json()["value"] == pytest.approx(6 * 25 / 20, abs=1e-3)
    assert one.post(path, json={**order, "scale": {"kind": "object", "known": "ball"}}).status_code == 422


def test_an_outline_from_slices_gives_width_front_and_retraction(one: Door, exam: Exam, measured: str) -> None:
    """Ends marked where they truly are: width and front on the chart within 3 SD of the truth; it stands on the map."""
    body, chart = exam.body, FootprintChart(exam.body.humerus)
    stack = series(one, measured, "MR", 32)

    def placed(point: np.ndarray) -> dict[str, Any]:
        patient = body.to_patient(point)
        index = nearest(stack, patient)
        return {"image": stack["pictures"][index]["image"], "at": pixel_of(stack, index, patient)}

    ways = np.array([[1.0, 0.2, 0], [-1, 0.2, 0], [0, 1, 0], [0.6, 0.6, 0.5], [-0.6, 0.6, 0.5], [0.5, 0.5, -0.6]])
    rim = [24.0 * way / np.linalg.norm(way) for way in ways]
    slices = []
    for picture in stack["pictures"]:
        plane = picture["place"]
        spots = []
        for u in (body.tear.front, body.tear.back):
            v = np.linspace(float(chart.edge(u)) - 11, float(chart.edge(u)), 60)
            way = body.to_patient(chart.to_humerus(np.full(60, u), v, 2.5)) - np.array(plane["position"])
            off = way @ plane["normal"]
            cut = np.flatnonzero(np.diff(np.sign(off)))
            at = way[cut[0]] if len(cut) else None
            spots.append(
                None
                if at is None
                else [float(at @ plane["row"] / plane["col_mm"]), float(at @ plane["column"] / plane["row_mm"])]
            )
        if any(spot is not None for spot in spots):
            slices.append({"image": picture["image"], "front": spots[0], "back": spots[1]})
    order = {
        "head": [placed(point) for point in rim],
        "shaft": placed(body.humerus.shaft_point + np.array([0.0, -45.0, 0.0])),
        "front": placed(chart.to_humerus(0.0, chart.edge(0.0))),
        "slices": slices,
    }
    answer = one.post(f"/api/cases/{measured}/images/outline", json=order)
    assert answer.status_code == 200, answer.text
    fills = {fill["field"]: fill for fill in answer.json()["fills"]}
    for field, true in (("tear.width_mm", 14.0), ("tear.front_mm", 6.0)):
        assert abs(fills[field]["value"] - true) < 3 * fills[field]["sd"], fills
    seq = one.board(measured)["seq"]
    kept = one.post(f"/api/cases/{measured}/images/outlines", json={**order, "id": "take-outline", "expected": seq})
    assert kept.status_code == 200, kept.text
    assert one.board(measured)["outline"]["outline"] == answer.json()["outline"]
    again = one.get(f"/api/cases/{measured}/images").json()["readings"]
    assert [reading["standing"] for reading in again if reading["name"] == "tear_width"] == [False]


def test_bone_from_ct_gives_the_radius_of_the_head(one: Door, exam: Exam, measured: str) -> None:
    """A mark in the head: radius within two SD of the truth, taken into the case; on MR it is refused."""
    stack = series(one, measured, "CT", len(exam.ct))
    centre = exam.body.to_patient(np.array([2.0, -2.0, 1.0]))
    index = nearest(stack, centre)
    head = {"image": stack["pictures"][index]["image"], "at": pixel_of(stack, index, centre)}
    said = one.post(f"/api/cases/{measured}/images/bone", json={"head": head}).json()
    assert abs(said["radius"] - exam.body.humerus.head_radius) < 2 * said["sd"]
    assert "mark the front" in said["no_chart"]
    seq = one.board(measured)["seq"]
    kept = one.post(f"/api/cases/{measured}/images/bones", json={"head": head, "id": "take-bone-1", "expected": seq})
    assert kept.status_code == 200, kept.text
    assert f"{said['radius']:g} mm" in one.get(f"/cases/{measured}/tear").text
    mr = series(one, measured, "MR", 6)["pictures"][0]["image"]
    wrong = one.post(f"/api/cases/{measured}/images/bone", json={"head": {"image": mr, "at": [40.0, 40.0]}})
    assert "from a CT" in wrong.json()["error"]


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
