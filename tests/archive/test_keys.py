"""One key per patient: nothing of a person in clear, gone for good with the key."""

import json
import sqlite3
import stat
from datetime import datetime

import pytest

from cuffwright.archive import StaleCase, fold, open_archive
from cuffwright.archive.keys import KeyRing, PatientKey
from cuffwright.archive.seal import lock, unlock
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import PATIENT, START, TITLE, add, opened

pytestmark = pytest.mark.round_trip


@pytest.mark.req("REQ-037")
def test_no_file_but_the_key_names_the_patient(folder):
    """Neither patient key nor free text nor date stands in the database or its log, while open or closed."""
    said = "free text about an invented shoulder"
    with open_archive(folder) as archive:
        opened(archive)
        add(archive, 1, "case.changed", {"title": TITLE, "note": said})
        _holds_none_of(folder, PATIENT, TITLE, said, "2026-03-09", "right")
    _holds_none_of(folder, PATIENT, TITLE, said, "2026-03-09", "right")
    assert any(PATIENT.encode() in file.read_bytes() for file in (folder / "keys").iterdir()), "the search itself works"


def _holds_none_of(folder, *words):
    files = list(folder.glob("archive.db*"))
    assert files
    for file in files:
        content = file.read_bytes()
        assert [word for word in words if word.encode() in content] == []


@pytest.mark.req("REQ-036")
def test_destroying_the_key_erases_the_person(archive, folder):
    """After destruction events stay, payloads read erased, the chain verifies, and nothing can be folded or added."""
    before = opened(archive, moves=2)
    add(archive, 0, "case.opened", {"title": "Other", "patient": "LOCAL-2"}, case="other")
    assert archive.destroy_key(PATIENT, "keeper-1", START) == ["case-1"]
    after = archive.events("case-1")
    assert [(event.id, event.hash, event.kind) for event in after] == [(e.id, e.hash, e.kind) for e in before]
    assert all(event.erased and event.payload == {"erased": True} for event in after)
    assert archive.verify("case-1").intact
    line = archive.line("case-1")
    assert (line.state, line.title, line.patient, line.side, line.undo) == ("erased", None, None, None, None)
    with pytest.raises(ArchiveError, match="was erased with its patient's key"):
        fold(after, lambda state, event: state, {})
    with pytest.raises(ArchiveError, match="case case-1 was erased; nothing can be added"):
        add(archive, 3, "layout.laid", {})
    with pytest.raises(StaleCase):
        archive.append("case-1", 1, "fresh", "layout.laid", {}, "s", "surgeon", START)
    assert archive.line("other").title == "Other"
    assert archive.events("other")[0].payload["patient"] == "LOCAL-2"
    assert not any(PATIENT.encode() in file.read_bytes() for file in folder.rglob("*") if file.is_file())


@pytest.mark.req("REQ-036")
def test_erasure_outlives_reopening_and_rebuilding(folder):
    """A person erased stays erased in an archive opened anew and after the list is rebuilt."""
    with open_archive(folder) as archive:
        opened(archive, moves=1)
        archive.destroy_key(PATIENT)
        line = archive.line("case-1")
    with open_archive(folder) as archive:
        assert archive.rebuild() == []
        assert archive.cases() == [line]
        assert archive.verify("case-1").intact
        with pytest.raises(ArchiveError, match="no key of that patient"):
            archive.destroy_key(PATIENT)
        opened(archive, case="case-2")
        assert archive.line("case-2").title == TITLE, "the same patient may come again, with a new key"
        assert archive.line("case-1").state == "erased"


@pytest.mark.req("REQ-036")
def test_a_crash_while_destroying_finishes_at_the_next_opening(folder):
    """With the mark written and the file still there, the key counts as destroyed and its file goes."""
    with open_archive(folder) as archive:
        opened(archive)
    (file,) = (folder / "keys").glob("*.key")
    file.with_suffix(".erased").write_text("{}")
    (folder / "keys" / "half.key.new").write_text("half written")
    with open_archive(folder) as archive:
        assert archive.line("case-1").state == "erased"
    assert [each.suffix for each in (folder / "keys").iterdir()] == [".erased"]


def test_a_lost_key_is_not_called_erased(archive, folder):
    """A key that is merely missing locks the case and says what to restore; bringing it back opens it."""
    sent = opened(archive, moves=1)
    (file,) = (folder / "keys").glob("*.key")
    content = file.read_bytes()
    file.unlink()
    assert archive.line("case-1").state == "locked"
    assert all(event.locked and not event.erased for event in archive.events("case-1"))
    assert archive.rebuild() == []
    with pytest.raises(ArchiveError, match="restore the keys folder"):
        fold(archive.events("case-1"), lambda state, event: state, {})
    with pytest.raises(ArchiveError, match="is locked because its key is not in this archive"):
        add(archive, 2, "layout.laid", {})
    file.write_bytes(content)
    assert archive.events("case-1") == sent
    assert archive.line("case-1").title == TITLE


def test_keys_are_only_their_owners(folder):
    """Key files have mode 600 in a folder of mode 700, and are closed again when somebody opened them."""
    with open_archive(folder) as archive:
        opened(archive)
        (file,) = (folder / "keys").glob("*.key")
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
        archive.destroy_key(PATIENT)
        assert [stat.S_IMODE(each.stat().st_mode) for each in (folder / "keys").iterdir()] == [0o600]
        opened(archive, case="case-2")
    (file,) = (folder / "keys").glob("*.key")
    file.chmod(0o644)
    with open_archive(folder):
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_patients_do_not_share_a_key_and_cases_of_one_do(archive, folder):
    """Two cases of one patient are locked with one key, another patient's with another."""
    opened(archive)
    opened(archive, case="case-2")
    add(archive, 0, "case.opened", {"patient": "LOCAL-2"}, case="case-3")
    connection = sqlite3.connect(folder / "archive.db")
    names = [name for (name,) in connection.execute('SELECT "key" FROM events ORDER BY "case"')]
    connection.close()
    assert names[0] == names[1] != names[2]
    assert archive.destroy_key(PATIENT) == ["case-1", "case-2"]


def test_equal_payloads_look_different(archive, folder):
    """The same payload twice gives different ciphertext, so nothing can be told by comparing."""
    opened(archive)
    for seq in (1, 2):
        add(archive, seq, "layout.laid", {"pattern": "single row"})
    connection = sqlite3.connect(folder / "archive.db")
    locked = [payload for (payload,) in connection.execute("SELECT payload FROM events WHERE seq > 1")]
    connection.close()
    assert len(locked[0]) == len(locked[1])
    assert locked[0] != locked[1]


def test_what_is_locked_opens_only_in_its_place():
    """A ciphertext does not open elsewhere, with another key, or with any byte changed."""
    key = PatientKey("a" * 32, PATIENT, bytes(32))
    locked = lock(key, b"text", ("case-1", 1))
    assert unlock(key, locked, ("case-1", 1), "it") == b"text"
    others = [(key, locked, ("case-1", 2)), (PatientKey("a" * 32, PATIENT, bytes(31) + b"1"), locked, ("case-1", 1))]
    others += [
        (key, locked[:at] + bytes([locked[at] ^ 1]) + locked[at + 1 :], ("case-1", 1)) for at in range(len(locked))
    ]
    others.append((key, b"", ("case-1", 1)))
    for wrong in others:
        with pytest.raises(ArchiveError, match="it does not open with its key"):
            unlock(*wrong, "it")


@pytest.mark.parametrize("content", [b"", b"\xff\x00", b"[]", b'{"format":1,"patient":"p","secret":"zz","own":true}'])
def test_a_damaged_key_file_is_named(archive, folder, content):
    """A key file that cannot be read is refused by its name."""
    opened(archive)
    (file,) = (folder / "keys").glob("*.key")
    file.write_bytes(content)
    with pytest.raises(ArchiveError, match=f"the key file {file.name} is damaged; restore the keys folder"):
        archive.events("case-1")


@pytest.mark.req("REQ-038")
def test_a_newer_key_file_is_refused(archive, folder):
    """A key file of a newer format is refused in a sentence."""
    opened(archive)
    (file,) = (folder / "keys").glob("*.key")
    file.write_text(json.dumps(json.loads(file.read_text()) | {"format": 2}))
    with pytest.raises(ArchiveError, match="newer format; open the archive with a newer release"):
        archive.events("case-1")


def test_a_key_never_leaves_its_folder(tmp_path):
    """A key name that is no random word finds nothing and writes nothing, whatever a bundle claims."""
    ring = KeyRing(tmp_path / "keys")
    ring.prepare()
    (tmp_path / "x.key").write_text("{}")
    (tmp_path / "x.erased").write_text("{}")
    assert ring.find("../x") is None
    assert not ring.erased("../x")
    with pytest.raises(ArchiveError, match="malformed"):
        ring.keep(PatientKey("../y", PATIENT, bytes(32)))
    assert sorted(file.name for file in tmp_path.rglob("*")) == ["keys", "x.erased", "x.key"]


def test_a_key_is_never_replaced(tmp_path):
    """The same key may be kept again; another one of its name, or one destroyed, may not."""
    ring = KeyRing(tmp_path / "keys")
    ring.prepare()
    key = ring.key_for(PATIENT)
    ring.keep(key)
    with pytest.raises(ArchiveError, match="another key named"):
        ring.keep(PatientKey(key.name, PATIENT, bytes(32)))
    assert ring.find(key.name) == key
    with pytest.raises(ArchiveError, match="has no time zone"):
        ring.destroy(PATIENT, "keeper", datetime(2026, 3, 1))
    assert ring.find(key.name) == key
    assert ring.destroy(PATIENT, "keeper", START) == [key.name]
    (mark,) = ring.folder.iterdir()
    assert json.loads(mark.read_text()) == {"format": 1, "by": "keeper", "at": "2026-03-01T07:00:00.000000Z"}
    with pytest.raises(ArchiveError, match="was erased"):
        ring.keep(key)


def test_a_key_is_not_printed():
    """Showing a key in a log gives neither the secret nor the patient."""
    assert repr(PatientKey("a" * 32, PATIENT, b"s" * 32)) == f"PatientKey('{'a' * 32}')"
