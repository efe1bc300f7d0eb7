"""The record: every compulsory content, planned never as done, missing listed; signed, sealed, rebuilt."""

import json
import re
import string
import tomllib
from dataclasses import replace
from datetime import timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from cuffwright.case.entry import Addendum, Finding, Stated
from cuffwright.case.errors import CaseError, FormatError
from cuffwright.course.record import done_layout
from cuffwright.exchange.record import check_folder, papers, record_sha256, signature_faults, signed, write_folder
from cuffwright.exchange.record.wording import wording
from cuffwright.theatre import fold, lines
from tests.exchange.record.whole_operation import affirmed, plan_only, record_of, signed_log, worked
from tests.test_architecture import ROOT
from tests.theatre.invented_operation import START, label

WORDS = ROOT / "src" / "cuffwright" / "exchange" / "record" / "words"


@pytest.fixture(scope="module")
def drafted():
    """Everything entered, nothing affirmed, with its papers."""
    operation = worked().operation
    return operation, papers(record_of(operation), operation)


@pytest.fixture(scope="module")
def closed():
    """Signed, with its papers."""
    operation = signed_log().operation
    return operation, papers(record_of(operation), operation)


@pytest.mark.req("REQ-228")
def test_a_plan_alone_reads_planned_everywhere():
    """Without theatre every line of the construct is planned, unconfirmed, and everything nobody said is missing."""
    record = record_of(plan_only())
    standings = {line.standing for line in record.section("construct").lines}
    assert standings == {"planned, unconfirmed", "missing"}
    assert set(record.blocking) == {"identity", "tear", "anchors", "stitches", "implants", "counts"}
    assert "surgeon" in record.missing
    assert record.head == ""


@pytest.mark.req("REQ-228")
def test_nothing_reads_done_before_it_is_affirmed(drafted):
    """With every step left and every implant entered no line of the construct reads affirmed, on page nor in JSON."""
    operation, made = drafted
    record = record_of(operation)
    assert "affirmed" not in {line.standing for section in record.sections for line in section.lines}
    assert done_layout(operation) is None
    found = json.loads(made.json)
    assert all(line["standing"] != "affirmed" for section in found["words"] for line in section["lines"])
    assert "not computed, needs every anchor" in text_of(made.pdf)


@pytest.mark.req("REQ-231")
def test_missing_contents_are_listed_and_never_invented(drafted):
    """What nobody stated stands in the missing list and as missing in its section; a statement takes it away."""
    operation, made = drafted
    record = record_of(operation)
    assert "specimens" in record.missing
    assert "Specimens: not given." in text_of(made.pdf)
    log = worked()
    log.enter(Stated("specimens", "none"))
    assert "specimens" not in record_of(log.operation).missing
    assert "blood loss" not in record.missing
    log.enter(Stated("releases", "coracohumeral ligament"))
    told = [wording("en").line(line) for line in record_of(log.operation).section("course").lines]
    assert "releases: coracohumeral ligament" in told


@pytest.mark.req("REQ-231")
def test_every_line_names_its_entries():
    """Each fact entered or affirmed cites entries that are in the log; each entry of a finding is cited."""
    operation = affirmed().operation
    record = record_of(operation)
    numbers = {kept.seq for kept in operation.entries}
    for section in record.sections:
        for line in section.lines:
            assert set(line.events) <= numbers
            assert line.events or line.standing in {"missing", "planned, unconfirmed", "computed"}, line
    cited = {mark.seq for mark in record.events}
    assert {k.seq for k in operation.entries if isinstance(k.entry, Finding)} <= cited


@pytest.mark.req("REQ-232")
def test_implants_inside_wasted_and_removed_are_told_apart():
    """Each implant stands once, with place and serial; the place of the removed one holds the rescue anchor."""
    record = record_of(worked().operation)
    by_words: dict[str, list[str]] = {}
    for line in record.section("implants").lines:
        by_words.setdefault(line.words, []).append(dict(line.fill)["serial"])
    assert by_words["implant removed"] == ["S0"]
    assert by_words["implant wasted"] == ["S8"]
    assert "S9" in by_words["implant inside"]
    anchor = dict(next(line for line in record.section("construct").lines if line.words == "anchor").fill)
    assert anchor["implant"] == "threaded 6.5, rescue, three sutures"
    places = [dict(line.fill)["place"] for line in record.section("implants").lines if line.words == "implant inside"]
    assert len(places) == len(set(places))


@pytest.mark.req("REQ-233")
def test_planned_against_done_in_numbers():
    """The anchor put elsewhere stands with its distance, the measured width beside the planned one."""
    operation = affirmed().operation
    planned, done = operation.opening.layout.anchors[0], done_layout(operation).anchors[0]
    apart = ((planned.u - 9.0) ** 2 + (planned.v - 1.0) ** 2) ** 0.5
    assert (done.u, done.v) == (9.0, 1.0)
    told = {line.words: dict(line.fill) for line in record_of(operation).section("against").lines}
    assert told["against anchor"] == {"place": planned.name, "distance": f"{apart:.1f}"}
    assert (told["against count"]["planned"], told["against count"]["done"]) == ("14 mm", "16 mm")
    assert told["against implant"] == {"place": "1", "before": planned.implant, "after": "threaded-6.5"}
    assert told["strength missing"] == {"which": "@done"}


@pytest.mark.req("REQ-230")
def test_signing_waits_for_what_must_not_lack():
    """A record with anything blocking is not signed, and the sentence names it; nor is one by nobody."""
    operation = worked().operation
    with pytest.raises(CaseError, match="Every anchor affirmed"):
        signed(record_of(operation), operation, "operator A", START)
    whole = affirmed().operation
    assert record_of(whole).blocking == ()
    with pytest.raises(CaseError, match="nobody"):
        signed(record_of(whole), whole, " ", START)


@pytest.mark.req("REQ-230")
def test_a_signed_record_stays_what_was_signed(closed):
    """The signature does not change the record; an addendum stands beside it and breaks nothing."""
    operation, made = closed
    assert json.loads(made.json)["signature"]["record_sha256"] == record_sha256(record_of(operation))
    assert signature_faults(record_of, operation) == []
    log = signed_log()
    log.enter(Addendum("operator A", "pictures 1 to 12 stored"))
    assert signature_faults(record_of, log.operation) == []
    assert "pictures 1 to 12 stored" in text_of(papers(record_of(log.operation), log.operation).pdf)


@pytest.mark.req("REQ-234")
def test_a_changed_entry_breaks_the_signature(closed):
    """A serial changed by one character under the signature is found and said."""
    operation, _ = closed
    changed = tuple(
        replace(k, entry=replace(k.entry, label=label("S1x"))) if getattr(k.entry, "implant", "") == "i1" else k
        for k in operation.entries
    )
    faults = signature_faults(record_of, fold(changed))
    assert any("record that the log gives" in fault for fault in faults)
    assert len(faults) == 3


@pytest.mark.req("REQ-234")
def test_one_changed_byte_in_the_folder_is_found(closed, tmp_path):
    """A byte changed anywhere in any file of a written record is said, with the file's name; untouched, nothing is."""
    files = write_folder(closed[1])
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    assert check_folder(tmp_path, files) == []
    for name, content in files.items():
        for place in (0, len(content) // 3, len(content) // 2, len(content) - 2):
            spoilt = bytearray(content)
            spoilt[place] ^= 1
            (tmp_path / name).write_bytes(spoilt)
            assert any(name in fault for fault in check_folder(tmp_path)), (name, place)
        (tmp_path / name).write_bytes(content)
    (tmp_path / "record.pdf").unlink()
    assert check_folder(tmp_path) == ["record.pdf is not there or cannot be read"]
    with pytest.raises(FormatError, match="no seal"):
        check_folder(tmp_path / "elsewhere")


@pytest.mark.req("REQ-235")
def test_the_same_log_gives_the_same_bytes(closed):
    """Made again from the same entries every document is equal byte for byte."""
    operation, made = closed
    again = signed_log().operation
    assert papers(record_of(again), again) == made
    assert operation == again


def test_the_page_is_tagged_and_says_where_and_when(closed):
    """The PDF claims PDF/UA-1 and PDF/A-2b, has tags, title and language, and shows side, standing and late entries."""
    operation, made = closed
    reader = PdfReader(BytesIO(made.pdf))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    xmp = reader.xmp_metadata.stream.get_data().decode()
    assert "pdfuaid" in xmp
    assert "pdfaid" in xmp
    text = text_of(made.pdf)
    for words in ("RIGHT shoulder", "Signed and locked", "affirmed, by operator A", "AP width: 16 mm", "serial S9"):
        assert words in text
    seen = next(k for k in operation.entries if isinstance(k.entry, Finding))
    late = tuple(replace(k, at=k.at + timedelta(hours=6)) if k == seen else k for k in operation.entries)
    assert f"(kept 2026-08-01 {14}:{seen.at.minute:02d})" in text_of(papers(record_of(fold(late)), fold(late)).pdf)


def test_german_as_proof_that_texts_are_data(drafted):
    """The page in German has German words in every frame part and no English sentence of ours."""
    operation, _ = drafted
    text = text_of(papers(record_of(operation), operation, "de").pdf)
    assert "Operationsbericht" in text
    assert "geplant, unbestätigt" in text
    assert "planned, unconfirmed" not in text
    with pytest.raises(FormatError, match="choose one of"):
        wording("xx")


def test_the_languages_have_the_same_texts():
    """Every text of one language stands in the other, with the same things to fill in."""
    english, german = (tomllib.loads((WORDS / f"{name}.toml").read_text("utf-8")) for name in ("en", "de"))
    for table in ("frame", "standing", "section", "line", "word", "missing"):
        assert english[table].keys() == german[table].keys()
    for key, text in english["line"].items():
        assert _fields(text) == _fields(german["line"][key]), key


def test_free_text_is_never_read_as_words_or_markup():
    """Text that begins with an at sign, or holds braces and markup, is printed as it was typed."""
    log = worked()
    log.enter(Stated("specimens", "@planned {0} #strong[x] $y$"))
    made = papers(record_of(log.operation), log.operation)
    assert "@planned {0} #strong[x] $y$" in text_of(made.pdf)


@pytest.mark.req("REQ-228")
def test_every_line_of_the_log_stands_in_the_record():
    """Each line that can be affirmed and is no look has its own line in the record."""
    operation = affirmed().operation
    record = record_of(operation)
    wanted = [line for line in lines(operation) if not line.key.startswith("look")]
    kinds = ("anchor", "stitch", "portal", "step")
    shown = [line for part in record.sections for line in part.lines if line.words.startswith(kinds)]
    assert len(shown) == len(wanted)
    assert {line.standing for line in shown} == {"affirmed"}


def text_of(pdf: bytes) -> str:
    """The text of all pages on one line."""
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages))


def _fields(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}
