"""Theatre and Record through the door: opened, entered once, signed, locked, written, rebuilt."""

import json
import re
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cuffwright.evidence.book import load_book
from cuffwright.start.main import program
from cuffwright.web.limbs_case import case_desk
from tests.web.door import Door, opened
from tests.web.near_settling import NearSettling
from tests.web.quick_course import QUICK

LABEL = "(01)51022222233336(17){date}(10)LOT7(21){serial}"
STOCK = Path(__file__).parents[2] / "examples" / "theatre" / "stock.toml"


class Theatre:
    """A door into the theatre of one demo case."""

    def __init__(self, door: Door) -> None:
        self.door, self.key, self.count = door, door.open(), 0
        self.path = f"/api/cases/{self.key}"
        self.patient = door.board(self.key)["identity"]["patient"]
        self.side = door.board(self.key)["identity"]["side"]

    def post(self, where: str, ident: str | None = None, **more):
        """Send one order with an id and a moment of its own."""
        self.count += 1
        order = {"id": ident or f"{self.key}-{self.count}", "happened": datetime.now(UTC).isoformat(), **more}
        return self.door.post(f"{self.path}/{where}", json=order)

    def open(self, **change):
        """Confirm identity and side."""
        return self.post(
            "theatre/open", **{"patient": self.patient, "side": self.side, "person": "operator A", **change}
        )

    def enter(self, kind: str, ident: str | None = None, /, **entry):
        """Make an entry."""
        return self.post("theatre/entries", ident, kind=kind, entry=entry)

    def implant(self, place: str, serial: str, date: str = "601231", **more):
        """Enter an implant by its label."""
        text = LABEL.format(date=date, serial=serial)
        return self.post("theatre/implants", implant=f"implant-{serial}", place=place, text=text, **more)

    def standing(self):
        """What the page is given."""
        return self.door.get(f"{self.path}/theatre").json()

    def holds(self):
        """What would hold, once it is worked out."""
        for _ in range(600):
            told = self.door.get(f"{self.path}/theatre/hold").json()
            if not told["working"]:
                return told["words"]
            time.sleep(0.02)
        raise AssertionError("never worked out")

    def lines(self):
        """Standing of every line."""
        return {line["key"]: line["standing"] for line in self.standing()["lines"]}

    def document(self):
        """The record as JSON."""
        return self.door.get(f"{self.path}/record/record.json").json()


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    """One app for the tests of this file, with the invented stock."""
    data = tmp_path_factory.mktemp("theatre") / "cases"
    data.mkdir(mode=0o700)
    (data / "stock.toml").write_text(STOCK.read_text("utf-8"), "utf-8")
    with opened(data, QUICK, limbs=case_desk(load_book())) as one:
        one.app.state.bench.settling = NearSettling(QUICK, 300, 1)
        yield one


@pytest.mark.req("REQ-227")
def test_theatre_opens_on_confirmed_identity_and_side_only(shared):
    """Wrong key, wrong side: refused and nothing kept; right ones: open, and the plan is frozen in the log."""
    one = Theatre(shared)
    other = "left" if one.side == "right" else "right"
    for change, said in (({"patient": "someone"}, "wristband"), ({"side": other}, "marked side")):
        refused = one.open(**change)
        assert refused.status_code == 422
        assert said in refused.json()["error"]
    assert one.standing()["opened"] is False
    assert one.enter("theatre.step-left", step="position").status_code == 422
    assert one.open().json()["opened"] is True
    steps = one.standing()["steps"]
    shared.give(one.key, "choose-pattern", {"name": "single-row-mattress"})
    assert one.standing()["steps"] == steps
    assert one.standing()["plan_differs"] is True
    told = one.post("theatre/replan", reason="tear longer").json()
    assert told["plan_differs"] is False
    assert told["steps"] != steps


@pytest.mark.req("REQ-229")
def test_an_order_sent_twice_is_kept_once(shared):
    """The same id again adds nothing; another kind or payload under it changes nothing."""
    one = Theatre(shared)
    one.open()
    first = one.enter("theatre.finding", f"{one.key}-own", about="biceps", text="frayed").json()
    again = one.enter("theatre.finding", f"{one.key}-own", about="biceps", text="frayed").json()
    assert (again["seq"], len(again["log"])) == (first["seq"], 2)
    shared.give(one.key, "move-anchor", {"name": "1", "u": 5.0, "v": 1.5})
    assert one.enter("theatre.step-left", step="position").status_code == 200


@pytest.mark.req("REQ-226")
def test_an_expired_label_stops_before_it_is_kept(shared):
    """Read back as expired; refused without a reason, kept with one; the stock's item is found by the label."""
    one = Theatre(shared)
    one.open()
    read = shared.post(f"{one.path}/theatre/label", json={"text": LABEL.format(date="200101", serial="X")}).json()
    assert read["label"]["shelf"] == "expired"
    assert read["label"]["item"]["key"] == "all-suture 2.5, two sutures"
    refused = one.implant("1", "S1", "200101")
    assert refused.status_code == 422
    assert "expired" in refused.json()["error"]
    assert one.standing()["implants"] == []
    assert one.implant("1", "S1", "200101", expired_reason="no other").json()["implants"][0]["where"] == "inside"
    assert one.post("theatre/implants", implant="i-9", place="", text="(01)51022222233337").status_code == 422


def test_a_photograph_without_a_code_gives_none(shared):
    """A body that is no picture is refused in a sentence; far too large a one as well."""
    one = Theatre(shared)
    found = shared.post(f"{one.path}/theatre/photograph", content=b"no picture")
    assert found.status_code == 422
    assert "photograph" in found.json()["error"]
    assert shared.post(f"{one.path}/theatre/photograph", content=b"x" * 8_000_001).status_code == 413
    assert shared.post(f"{one.path}/theatre/entries", content=b"x" * 300_000).status_code == 413


def test_what_holds_as_it_stands_is_told_beside_the_plan(shared):
    """Asked for before theatre opens; after an anchor came out both; with nothing left, that; never waited for."""
    one = Theatre(shared)
    first = shared.get(f"{one.path}/theatre/hold").json()
    assert (first["words"], first["working"], first["total"]) == ("By the plan: being worked out.", True, 300)
    places = one.open().json()["places"]
    assert one.holds().startswith("By the plan: ")
    one.enter("theatre.mishap", kind="anchor out", name=places[0])
    told = one.holds()
    assert told.startswith("As it stands, if the rest goes as planned: ")
    assert "By the plan: " in told
    for place in places[1:]:
        one.enter("theatre.mishap", kind="anchor out", name=place)
    assert "nothing would hold" in one.holds()
    assert one.post("theatre/hold/stop").status_code == 200


@pytest.mark.req("REQ-240")
def test_limbs_are_planned_anew_kept_once_told_in_the_record_and_undone(shared):
    """From six moves on, an anchor out: new steps and places, the same order again adds nothing, undone they go."""
    one = Theatre(shared)
    steps = [step["key"] for step in one.open().json()["steps"]]
    behind = steps[: steps.index("limb move 1") + 6]
    for key in behind:
        one.enter("theatre.step-left", step=key)
    waits = one.enter("theatre.mishap", kind="anchor out", name="2", at=14.5).json()
    assert waits["anew"]["waits"]
    told = one.post("theatre/limbs", f"{one.key}-anew").json()
    assert (told["anew"]["waits"], told["limbs_refused"], told["plan_differs"]) == (False, "", False)
    assert told["anew"]["changes"] == ["remove suture 2a; insert anchor 3"]
    assert told["left"] == behind
    assert [s["key"] for s in told["steps"]][: len(behind) + 1] == [*behind, told["anew"]["first"]]
    assert set(told["places"]) == {"1", "3", "L1", "L2"}
    assert (told["limbs"]["2aF"], told["limbs"]["3aF"]) == ("removed", "3aF>L1")
    assert one.post("theatre/limbs", f"{one.key}-anew").json()["seq"] == told["seq"]
    assert one.post("theatre/limbs").json()["seq"] == told["seq"]
    told_lines = [line["text"] for part in one.document()["words"] for line in part["lines"]]
    assert any("remove suture 2a; insert anchor 3" in text for text in told_lines)
    doubt = one.enter("theatre.step-left", step="limb move 7").json()["anew"]
    assert (doubt["waits"], "cannot have been made so" in doubt["refused"][0]["why"]) == (False, True)
    for seq in (told["anew"]["seq"], *told["anew"]["because"]):
        undone = one.enter("theatre.withdrawn", seq=seq, reason="undone").json()
    assert [step["key"] for step in undone["steps"]] == steps
    refused = one.enter("theatre.mishap", kind="knot failed", name="1a").json()["anew"]["refused"]
    assert "is not tied" in refused[0]["why"]


@pytest.mark.req("REQ-250")
def test_codes_are_chosen_of_this_side_and_depth_only(shared):
    """Offered are those of side and depth; the other side, the other depth, or a code of nothing is refused."""
    one = Theatre(shared)
    digit, other = ("1", "2") if one.side == "right" else ("2", "1")
    one.open()
    page = shared.get(f"/cases/{one.key}/record").text
    assert f"M75.12{digit}: complete tear" in page
    assert f"S46.01{digit}A" in page
    assert f"M75.12{other}" not in page
    for code, said in ((f"M75.12{other}", "shoulder"), (f"M75.11{digit}", "complete"), ("A00.0", "no code")):
        refused = one.enter("record.coded", about="diagnosis", system="ICD-10-CM", code=code)
        assert (refused.status_code, said in refused.json()["error"]) == (422, True)
    one.enter("record.coded", about="diagnosis", system="ICD-10-CM", code=f"S46.01{digit}A")
    one.enter("record.coded", about="diagnosis", system="ICD-10-CM", code=f"M75.12{digit}")
    one.enter("record.coded", about="procedure", system="own list 2026", code="C-7")
    one.enter("record.stated", field="diagnosis before", text="tear")
    bundle = shared.get(f"{one.path}/record/record.fhir.json").json()
    found = {e["resource"]["resourceType"]: e["resource"]["code"] for e in bundle["entry"] if "code" in e["resource"]}
    assert found["Condition"]["coding"] == [{"system": "http://hl7.org/fhir/sid/icd-10-cm", "code": f"M75.12{digit}"}]
    assert found["Procedure"]["coding"] == [{"display": "own list 2026 C-7", "code": "C-7"}]
    told = [line["text"] for part in one.document()["words"] for line in part["lines"]]
    assert any(f"ICD-10-CM M75.12{digit} (complete tear" in text for text in told)


@pytest.mark.req("REQ-228")
def test_a_whole_operation_is_signed_locked_and_written_again_bit_for_bit(shared, tmp_path):
    """Steps left affirm nothing; affirmed and signed the record locks; a bundle gives the same documents and checks."""
    one = Theatre(shared)
    steps = one.open().json()["steps"]
    for step in steps[::5]:
        one.enter("theatre.step-left", step=step["key"])
    assert set(one.lines().values()) == {"planned, unconfirmed"}
    for number, place in enumerate(one.standing()["places"]):
        one.implant(place, f"S{number}")
    one.enter("theatre.mishap", kind="soft bone", name=one.standing()["places"][0], answer="deeper", words="soft")
    one.enter("record.stated", field="counts", text="complete")
    refused = one.post("record/sign", person="operator A")
    assert "Every anchor affirmed" in refused.json()["error"]
    one.enter("theatre.affirmed", lines=list(one.lines()), person="operator A")
    assert one.post("record/strength").status_code == 200
    told = [line["text"] for part in one.document()["words"] for line in part["lines"] if "Strength by" in line["text"]]
    assert len(told) == 2
    assert all("not computed" not in text for text in told)
    assert one.post("record/sign", person="operator A").status_code == 200
    assert one.enter("theatre.step-left", step=steps[0]["key"]).status_code == 422
    assert one.enter("record.addendum", person="operator A", text="pictures stored").status_code == 200
    document = one.document()
    assert document["signature"]["record_sha256"] == document["record_sha256"]
    assert "Signed and locked" in shared.get(f"/cases/{one.key}/record").text
    bundle = tmp_path / "case.bundle"
    bundle.write_bytes(shared.get(f"{one.path}/bundle").content)
    assert _record(bundle, tmp_path / "out")[0] == 0
    for name in ("record.json", "record.pdf", "record.fhir.json"):
        assert (tmp_path / "out" / name).read_bytes() == shared.get(f"{one.path}/record/{name}").content
    assert _record(bundle, tmp_path / "out", "--check")[0] == 0
    _spoil(tmp_path / "out" / "record.pdf", 5000)
    assert "record.pdf" in _record(bundle, tmp_path / "out", "--check")[1]
    _spoil(bundle, bundle.stat().st_size // 2)
    code, said = _record(bundle, tmp_path / "again")
    assert code != 0
    assert "altered" in said or "bundle" in said
    assert not (tmp_path / "again").exists()


@pytest.mark.req("REQ-228")
def test_a_case_file_gives_a_record_of_its_plan(tmp_path):
    """From a TOML case every line of the construct is planned, unconfirmed; twice the same bytes."""
    case = Path(__file__).parents[2] / "examples" / "cases" / "small_crescent.toml"
    for name in ("one", "two"):
        assert _record(case, tmp_path / name, "--language", "de")[0] == 0
    for file in ("record.json", "record.pdf", "record.fhir.json", "seal.json"):
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "two" / file).read_bytes()
    found = json.loads((tmp_path / "one" / "record.json").read_text("utf-8"))
    standings = {line["standing"] for part in found["words"] for line in part["lines"]}
    assert "geplant, unbestätigt" in standings
    assert "bestätigt" not in standings
    assert _record(tmp_path / "none.toml", tmp_path / "x")[0] != 0


def test_pages_render_in_both_languages(shared):
    """Record before theatre says that every line is a plan; German words stand on the German page; Theatre renders."""
    one = Theatre(shared)
    assert "every line is a plan" in shared.get(f"/cases/{one.key}/record").text
    assert "Es fehlt" in shared.get(f"/cases/{one.key}/record?language=de").text
    assert "Confirm identity and side" in shared.get(f"/cases/{one.key}/theatre").text
    assert shared.get(f"{one.path}/theatre/sheet.pdf").content.startswith(b"%PDF")
    assert shared.get(f"/cases/{one.key}/record/construct.svg").text.startswith("<svg")
    assert shared.get(f"/cases/{one.key}/record?language=xx").status_code == 422
    assert shared.get(f"{one.path}/record/record.txt").status_code == 404


def _record(source: Path, out: Path, *more: str) -> tuple[int, str]:
    """Run the verb in process; its exit code and what it said."""
    done = CliRunner().invoke(program(["record"]), ["record", str(source), "-o", str(out), *more])
    return done.exit_code, f"{done.output} {done.exception or ''}"


def _spoil(path: Path, place: int) -> None:
    content = bytearray(path.read_bytes())
    content[place] ^= 1
    path.write_bytes(content)


def on_the_thread(theatre, place):
    """How many things the thread of the page Repair says that a place lacks; 0 for a solid stitch."""
    page = theatre.door.get(f"/cases/{theatre.key}/repair").text
    (link,) = re.findall(rf'<span class="name">{place}</span>(.*?)</a>', page)
    found = re.search(r'<span class="lacks">(\d+) missing</span>', link)
    return int(found.group(1)) if found else 0


@pytest.mark.req("REQ-223")
def test_the_thread_counts_what_theatre_and_record_lack(shared):
    """The thread says as many contents missing as Record itself, and for Theatre the confirmation it waits for, then
    each anchor without an implant; what is entered is counted off."""
    theatre = Theatre(shared)

    def by_the_record():
        page = theatre.door.get(f"/cases/{theatre.key}/record").text
        return int(re.search(r"(\d+) contents missing", page).group(1))

    assert on_the_thread(theatre, "Record") == by_the_record() > 0
    assert on_the_thread(theatre, "Theatre") == 1
    theatre.open()
    anchors = [key for key in theatre.lines() if key.startswith("anchor ")]
    assert on_the_thread(theatre, "Theatre") == len(anchors)
    before = by_the_record()
    theatre.enter("record.stated", field="surgeon", text="operator A")
    assert on_the_thread(theatre, "Record") == by_the_record() == before - 1
    theatre.implant(anchors[0].removeprefix("anchor "), "T1")
    assert on_the_thread(theatre, "Theatre") == len(anchors) - 1
