"""Readings through the door: marks to values with their parts, into the case and out again, outline, bone, report."""

import io
from typing import Any

import numpy as np
import pydicom
import pytest

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.phantom.truth import truth
from cuffwright.imaging.phantom.writing import INVENTED
from cuffwright.imaging.picture import read_picture
from cuffwright.web.images_given import Given, give
from tests.web.door import Door
from tests.web.invented_exam import Exam, nearest, pixel_of
from tests.web.taking_images import read, take

pytestmark = pytest.mark.door


def series(door: Door, key: str, modality: str, count: int) -> dict[str, Any]:
    found = door.get(f"/api/cases/{key}/images").json()["series"]
    return next(one for one in found if one["modality"] == modality and len(one["pictures"]) == count)


def marks(door: Door, key: str, exam: Exam) -> dict[str, Any]:
    """The width of the tear marked at its true ends."""
    chart, tear = FootprintChart(exam.body.humerus), exam.body.tear
    ends = [exam.body.to_patient(chart.to_humerus(u, chart.edge(u), 2.5)) for u in (tear.front, tear.back)]
    stack = series(door, key, "MR", 32)
    index = nearest(stack, np.mean(ends, axis=0))
    rounds = [{name: [pixel_of(stack, index, end)] for name, end in zip(("front", "back"), ends, strict=True)}]
    return {"guide": "tear_width", "image": stack["pictures"][index]["image"], "rounds": rounds}


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


def test_values_come_with_their_window(one: Door, exam: Exam, measured: str) -> None:
    """The bytes of a slice are the stored values of its file; its window is that of the file."""
    shown = series(one, measured, "MR", 6)
    answer = one.get(f"/api/cases/{measured}/images/series/{shown['number']}/0")
    values = np.frombuffer(answer.content, "<f4").reshape(80, 80)
    assert any(np.array_equal(values, pydicom.dcmread(file).pixel_array) for file in exam.mr[:6])
    assert answer.headers["X-Window"] == "500,1000,LINEAR"
    assert one.get(f"/api/cases/{measured}/images/series/{shown['number']}/77").status_code == 404


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


def readings(door: Door, key: str) -> dict[str, Any]:
    """The accepted readings by name."""
    return {one["name"]: one for one in door.get(f"/api/cases/{key}/images").json()["readings"]}


def taken(door: Door, key: str, exam: Exam, name: str) -> None:
    """Accept the width of the tear under a command id of its own."""
    order = {**marks(door, key, exam), "id": name, "expected": door.board(key)["seq"]}
    assert door.post(f"/api/cases/{key}/images/readings", json=order).status_code == 200


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
    assert kept.json() == {"seq": before["seq"] + 1, "laid_anew": True}
    assert one.board(measured)["undo"] == "reading: AP width of the tear, repair laid anew"
    sheet = one.get(f"/cases/{measured}/tear").text
    assert f"{said['value']:.1f} mm" in sheet
    assert f'/cases/{measured}/images?reading=tear.width_mm"' in sheet
    reading = readings(one, measured)["tear_width"]
    assert (reading["standing"], reading["rounds"]) == (True, order["rounds"])
    stale = one.post(
        f"/api/cases/{measured}/images/readings", json={**order, "id": "take-width-2", "expected": before["seq"]}
    )
    assert stale.status_code == 409
    back = one.give(measured, "undo").json()
    assert (back["undo"], back["layout"], back["older"]) == (before["undo"], before["layout"], None)
    assert "images?reading" not in one.get(f"/cases/{measured}/tear").text
    assert one.give(measured, "redo").status_code == 200


@pytest.mark.req("REQ-211")
def test_a_repair_follows_a_reading_and_one_changed_by_hand_stays_and_says_so(one: Door, exam: Exam) -> None:
    """Untouched it is laid as if chosen on the new tear; moved by hand it stays, says so, and can be laid anew."""
    key = one.open()
    assert take(one, key, read(*exam.mr))["state"] == "done"
    before = one.board(key)["layout"]
    taken(one, key, exam, "take-untouched")
    followed = one.board(key)
    assert followed["layout"] != before
    assert one.give(key, "choose-pattern", {"name": "bridging-knotted"}).json()["layout"] == followed["layout"]
    assert one.give(key, "undo").json()["older"] is None
    one.give(key, "undo")
    spot = before["anchors"][0]
    moved = one.give(key, "move-anchor", {"name": "1", "u": spot["u"] + 1, "v": spot["v"]}).json()
    assert moved["older"] is None
    taken(one, key, exam, "take-by-hand")
    stayed = one.board(key)
    assert stayed["layout"] == moved["layout"]
    assert "changed by hand, so it stays where you put it" in stayed["older"]["words"]
    assert "width of the tear 14 mm then" in stayed["older"]["words"]
    assert one.get(f"/api/cases/{key}/images").json()["older"] == stayed["older"]
    assert stayed["older"]["words"] in one.get(f"/cases/{key}/theatre").text
    anew = one.give(key, "choose-pattern", {"name": stayed["older"]["pattern"]}).json()
    assert (anew["layout"], anew["older"]) == (followed["layout"], None)
    back = one.give(key, "undo").json()
    assert (back["layout"], back["older"]) == (moved["layout"], stayed["older"])
    copy = one.post("/api/cases", json={"copy_of": key}).json()["key"]
    assert one.board(copy)["older"] == stayed["older"]


def test_the_program_gives_an_examination_once(one: Door, exam: Exam) -> None:
    """As the demonstration does: files taken in, a reading on its stripped picture; a second time nothing changes."""
    key, state = one.open(), one.app.state
    picture = read_picture(exam.mr[20])
    rounds = [{"front": ((30.0, 30.0),), "back": ((42.0, 30.0),)}]
    reading = read_off(guide("tear_width"), picture, rounds, state.images.book, step_mm=3.0)
    given = Given(exam.mr, (reading,))
    give(key, given, state.cases, state.images, state.bench)
    said = one.get(f"/api/cases/{key}/images").json()
    assert [(r["name"], r["standing"], r["value"]) for r in said["readings"]] == [("tear_width", True, reading.value)]
    shown = said["series"][said["readings"][0]["spot"]["series"]]["pictures"][said["readings"][0]["spot"]["index"]]
    assert shown["image"] != picture.sop_instance_uid
    assert shown["name"] in one.get(f"/cases/{key}/tear").text
    give(key, given, state.cases, state.images, state.bench)
    assert one.get(f"/api/cases/{key}/images").json() == said


def test_what_fills_no_field_stands_in_the_tear_sheet_too(one: Door, exam: Exam) -> None:
    """The acromial index has no field: kept, it is listed in Tear with its value and a link; so is a tangent sign."""
    key = one.open()
    assert take(one, key, read(exam.film, *exam.mr[:6]))["state"] == "done"
    film, slices = series(one, key, "DX", 1), series(one, key, "MR", 6)
    index = {"top": [[60, 40]], "bottom": [[60, 60]], "acromion": [[40, 30]], "humerus": [[30, 45]]}
    sign = {"coracoid": [[20, 30]], "spine": [[60, 30]], "muscle": [[40, 45]], "fossa": [[40, 50]]}
    for name, shown, marked in (("acromial_index", film, index), ("tangent_sign", slices, sign)):
        order = {"guide": name, "image": shown["pictures"][0]["image"], "rounds": [marked]}
        order |= {"id": f"take-{len(name)}-beside", "expected": one.board(key)["seq"]}
        kept = one.post(f"/api/cases/{key}/images/readings", json=order)
        assert kept.status_code == 200, kept.text
    sheet = one.get(f"/cases/{key}/tear").text
    assert f"{20 / 30:.3f}" in sheet
    assert f'/cases/{key}/images?reading=acromial_index"' in sheet
    assert f'/cases/{key}/images?reading=muscle.tangent_positive"' in sheet
    assert "Tangent sign" in sheet


def test_the_report_names_the_reading_and_its_image(one: Door, exam: Exam, measured: str) -> None:
    """Read by pydicom alone: a comprehensive report whose number is the reading and whose image is the stripped one."""
    taken(one, measured, exam, "take-to-report")
    reading = readings(one, measured)["tear_width"]
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
    taken(one, measured, exam, "take-before-outline")
    seq = one.board(measured)["seq"]
    kept = one.post(f"/api/cases/{measured}/images/outlines", json={**order, "id": "take-outline", "expected": seq})
    assert kept.status_code == 200, kept.text
    assert one.board(measured)["outline"]["outline"] == answer.json()["outline"]
    assert kept.json()["laid_anew"]
    assert one.board(measured)["older"] is None
    assert not readings(one, measured)["tear_width"]["standing"]
    assert {"tear.width_mm", "tear.front_mm"} <= set(one.get(f"/api/cases/{measured}/images").json()["read"])


def test_bone_from_ct_gives_the_radius_of_the_head(one: Door, exam: Exam, measured: str) -> None:
    """A mark in the head: radius within two SD of the truth, taken into the case; on MR it is refused."""
    stack = series(one, measured, "CT", len(exam.ct))
    centre = exam.body.to_patient(np.array([2.0, -2.0, 1.0]))
    index = nearest(stack, centre)
    head = {"image": stack["pictures"][index]["image"], "at": pixel_of(stack, index, centre)}
    said = one.post(f"/api/cases/{measured}/images/bone", json={"head": head}).json()
    assert abs(said["radius"] - exam.body.humerus.head_radius) < 2 * said["sd"]
    assert "mark the front" in said["no_chart"]
    assert said["partial"] is False
    chart = FootprintChart(exam.body.humerus)
    edge = exam.body.to_patient(chart.to_humerus(0.0, chart.edge(0.0)))
    at = nearest(stack, edge)
    front = {"image": stack["pictures"][at]["image"], "at": pixel_of(stack, at, edge)}
    scene = one.post(f"/api/cases/{measured}/images/bone/scene", json={"head": head, "front": front}).json()
    foot = np.reshape(scene["footprint"]["points"], (25, 9, 3)) + said["centre"]
    true = exam.body.to_patient(chart.to_humerus(chart.length, chart.edge(chart.length)))
    assert np.linalg.norm(foot[-1, -1] - true) < 2.5
    low, high = np.reshape(scene["axis"], (2, 3)) + said["centre"]
    assert np.degrees(np.arccos((high - low)[2] / np.linalg.norm(high - low))) < 2
    off = np.linalg.norm(np.reshape(scene["seen"], (-1, 3)), axis=1) - said["radius"]
    assert np.sqrt(np.mean(off**2)) == pytest.approx(said["miss"], abs=0.05)
    assert max(scene["bone"]["triangles"]) < len(scene["bone"]["points"]) // 3
    seq = one.board(measured)["seq"]
    kept = one.post(f"/api/cases/{measured}/images/bones", json={"head": head, "id": "take-bone-1", "expected": seq})
    assert kept.status_code == 200, kept.text
    assert f"{said['radius']:.2f} mm" in one.get(f"/cases/{measured}/tear").text
    mr = series(one, measured, "MR", 6)["pictures"][0]["image"]
    wrong = one.post(f"/api/cases/{measured}/images/bone", json={"head": {"image": mr, "at": [40.0, 40.0]}})
    assert "from a CT" in wrong.json()["error"]
