"""A case as one file: out and in bit for bit, never mixed, never taken when altered."""

import base64
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.archive import open_archive
from cuffwright.archive.canonical import canonical
from cuffwright.archive.chain import digest
from cuffwright.case.errors import ArchiveError, CuffError, FormatError
from tests.archive.invented_case import PATIENT, START, TITLE, add, opened, tampered

pytestmark = pytest.mark.round_trip


@pytest.fixture
def other(tmp_path):
    """A second, empty archive."""
    with open_archive(tmp_path / "other") as opened_archive:
        yield opened_archive


@pytest.mark.parametrize("with_key", [True, False])
def test_a_bundle_comes_back_bit_for_bit(archive, other, with_key):
    """Exported, imported elsewhere and exported again, the file is the same to the byte; twice adds nothing."""
    sent = opened(archive, moves=3)
    archive.undo("case-1", 4, "u1", "s", "surgeon", START)
    file = archive.export_bundle("case-1", with_key)
    line = other.import_bundle(file)
    assert other.export_bundle("case-1", with_key) == file == archive.export_bundle("case-1", with_key)
    assert other.import_bundle(file) == line
    assert archive.import_bundle(file) == archive.line("case-1")
    assert other.verify("case-1").intact
    assert line.state == ("open" if with_key else "locked")
    if with_key:
        assert other.events("case-1")[:4] == sent
        assert line == archive.line("case-1")


@pytest.mark.req("REQ-037")
def test_a_bundle_without_key_names_nobody(archive):
    """Without the key the file holds neither patient nor title; with it, it can be read."""
    opened(archive, moves=1)
    file = archive.export_bundle("case-1")
    assert PATIENT.encode() not in file
    assert TITLE.encode() not in file
    assert PATIENT.encode() in archive.export_bundle("case-1", with_key=True)


def test_a_bundle_brings_what_is_new_and_its_key_later(archive, other):
    """A later bundle adds only the unseen events, an earlier one nothing; the key may follow and opens the case."""
    opened(archive)
    early = archive.export_bundle("case-1")
    add(archive, 1, "case.changed", {"title": "Later"})
    late = archive.export_bundle("case-1", with_key=True)
    assert other.import_bundle(early).state == "locked"
    assert (other.import_bundle(late).title, other.line("case-1").last_seq) == ("Later", 2)
    assert other.import_bundle(early).last_seq == 2
    add(other, 2, "layout.laid", {"pattern": "single row"})
    assert archive.import_bundle(other.export_bundle("case-1")).last_seq == 3
    assert archive.events("case-1") == other.events("case-1")


def test_histories_that_part_are_not_mixed(archive, other):
    """Two archives that went on differently refuse each other's bundle at the event where they part."""
    opened(archive)
    other.import_bundle(archive.export_bundle("case-1", with_key=True))
    other.append("case-1", 1, "there", "hole.moved", {}, "s", "surgeon", START)
    archive.append("case-1", 1, "here", "hole.moved", {}, "s", "surgeon", START)
    with pytest.raises(ArchiveError, match="parts from the bundle at event 2; keep one of the two"):
        archive.import_bundle(other.export_bundle("case-1"))
    assert [event.id for event in archive.events("case-1")] == ["case-1/1", "here"]


def test_a_command_id_taken_by_another_case_is_refused_whole(archive, other):
    """A bundle whose id is in use here for another event leaves no trace: no event, no key."""
    opened(archive, moves=1)
    other.append("x", 0, "case-1/2", "case.opened", {}, "s", "surgeon", START, patient="LOCAL-9")
    with pytest.raises(ArchiveError, match="command id case-1/2 of the bundle belongs to another event here"):
        other.import_bundle(archive.export_bundle("case-1", with_key=True))
    assert [line.case for line in other.cases()] == ["x"]
    with pytest.raises(ArchiveError, match="no key of that patient"):
        other.destroy_key(PATIENT)


@pytest.mark.req("REQ-036")
def test_an_erased_person_does_not_come_back_with_a_bundle(archive):
    """The key in an old bundle is not taken back after erasure; the case still exports without it."""
    opened(archive)
    file = archive.export_bundle("case-1", with_key=True)
    archive.destroy_key(PATIENT)
    with pytest.raises(ArchiveError, match="was erased from this archive, so the key is not taken back"):
        archive.import_bundle(file)
    assert archive.line("case-1").state == "erased"
    with pytest.raises(ArchiveError, match="export it without the key"):
        archive.export_bundle("case-1", with_key=True)
    assert archive.import_bundle(archive.export_bundle("case-1")).state == "erased"


def test_a_key_others_know_locks_no_new_case(archive, other):
    """A new case of a patient who came by bundle gets a key of its own; erasing destroys both."""
    opened(archive)
    other.import_bundle(archive.export_bundle("case-1", with_key=True))
    opened(other, case="case-2")
    names = {json.loads(other.export_bundle(case).splitlines()[1])["key"] for case in ("case-1", "case-2")}
    assert len(names) == 2
    assert other.destroy_key(PATIENT) == ["case-1", "case-2"]


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    """A bundle with its key, and an empty archive to offer it to."""
    folder = tmp_path_factory.mktemp("bundle")
    with open_archive(folder / "a") as archive, open_archive(folder / "b") as empty:
        opened(archive, moves=2)
        yield archive.export_bundle("case-1", with_key=True), empty


@pytest.mark.req("REQ-032")
@settings(max_examples=150)
@given(place=st.integers(0, 400) | st.integers(0, 10**6), bit=st.integers(0, 7))
def test_an_altered_bundle_is_not_taken(file, place, bit):
    """One flipped bit anywhere, key and patient included, is refused in a sentence and leaves no event and no key."""
    content, empty = file
    at = place % len(content)
    wrong = content[:at] + bytes([content[at] ^ (1 << bit)]) + content[at + 1 :]
    with pytest.raises(CuffError, match=r"[a-z]"):
        empty.import_bundle(wrong)
    assert empty.cases() == []
    assert list((empty.folder / "keys").iterdir()) == []


@pytest.mark.parametrize(
    "content",
    [b"", b"\n\n", b"{}", b"[1]", b"\x00\xff", b"PK\x03\x04", b'{"format":"1","what":"case bundle"}', b"[" * 9999],
)
def test_other_files_are_no_bundles(archive, content):
    """Whatever is no bundle is refused in a sentence."""
    with pytest.raises(FormatError, match="no case bundle"):
        archive.import_bundle(content)


def _with_secret(content, change):
    heading, rest = content.split(b"\n", 1)
    plain = json.loads(heading)
    plain["keys"][0] |= change
    return canonical(plain) + b"\n" + rest


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"secret": "00" * 32}, "does not open with its key"),
        ({"secret": "00"}, "does not open with its key"),
        ({"secret": "no"}, "heading of the bundle is damaged"),
        ({"patient": "LOCAL-1"}, "names another patient than its events"),
    ],
)
def test_a_wrong_key_is_not_kept_and_the_right_one_may_follow(archive, other, change, words):
    """A bundle whose key opens nothing, or names another patient, leaves no key behind to block the right one."""
    opened(archive)
    content = archive.export_bundle("case-1", with_key=True)
    for known in (False, True):
        with pytest.raises(CuffError, match=words):
            other.import_bundle(_with_secret(content, change))
        assert list((other.folder / "keys").iterdir()) == []
        if not known:
            other.import_bundle(archive.export_bundle("case-1"))
    assert other.import_bundle(content).title == TITLE


def test_a_bundle_that_was_edited_without_changing_its_sense_is_refused(archive):
    """Added spaces or an unknown field are refused too: a bundle is taken byte for byte or not at all."""
    opened(archive)
    content = archive.export_bundle("case-1", with_key=True)
    for edited in (content.replace(b'"format":1', b'"format": 1', 1), _with_secret(content, {"note": "x"})):
        with pytest.raises(FormatError, match="not byte for byte as it was exported"):
            archive.import_bundle(edited)


def test_a_broken_case_is_not_exported(archive, folder):
    """A case whose chain is broken does not leave the archive as if it were whole."""
    opened(archive, moves=1)
    tampered(folder, "UPDATE events SET kind='x' WHERE seq=1")
    with pytest.raises(ArchiveError, match=r"event 1 was altered.*it is not exported"):
        archive.export_bundle("case-1")


@pytest.mark.parametrize("cut", [1, 2, 3])
def test_a_shortened_bundle_is_not_taken(file, cut):
    """A bundle that lost its last lines is refused: its heading names the end."""
    content, empty = file
    with pytest.raises(ArchiveError, match=r"events were taken away|has no events"):
        empty.import_bundle(b"".join(content.splitlines(keepends=True)[:-cut]))
    assert empty.cases() == []


@pytest.mark.req("REQ-038")
def test_a_newer_bundle_is_refused(file):
    """A bundle of a newer format is refused in a sentence."""
    content, empty = file
    with pytest.raises(FormatError, match="bundle is of format 2, and this release reads up to 1"):
        empty.import_bundle(content.replace(b'"format":1', b'"format":2', 1))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"schema": 10**30}, "no sensible format number"),
        ({"schema": 0}, "no sensible format number"),
        ({"at": "2026-03-01"}, "not UTC in full form"),
        ({"by": "a\nb"}, "the by of an event must be"),
        ({"kind": ""}, "the kind of an event must be"),
        ({"by": "\ud800"}, "line 2 of the bundle is no event"),
        ({"payload": "%"}, "line 2 of the bundle is no event"),
        ({"case": "case-2"}, "holds another case's"),
        ({"key": "../x"}, "carries a key that opens none of its events"),
    ],
)
def test_a_forged_event_with_a_right_hash_is_still_looked_at(file, change, words):
    """Values that no release writes are refused even when the hashes were made to fit."""
    content, empty = file
    heading, event = (json.loads(line) for line in content.splitlines()[:2])
    event |= change
    try:
        raw = {name: str(value).encode() for name, value in event.items()}
        event["hash"] = digest(raw | {"payload": base64.b64decode(event["payload"])})
    except ValueError:
        event["hash"] = "0" * 64
    heading |= {"events": 1, "head": event["hash"]}
    forged = b"\n".join(json.dumps(part).encode() for part in (heading, event)) + b"\n"
    with pytest.raises(CuffError, match=words):
        empty.import_bundle(forged)
    assert empty.cases() == []
