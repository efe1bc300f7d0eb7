"""The chain finds a changed byte, a missing event and a shortened ledger, and says where."""

import sqlite3

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.archive import open_archive, rows
from cuffwright.archive.chain import GENESIS, HASHED, digest, walk
from cuffwright.archive.rows import COLUMNS, NUMBERS
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import opened, tampered

EVENTS = 5
TEXTS = [name for name in COLUMNS if name not in NUMBERS]


@pytest.fixture(scope="module")
def chained(tmp_path_factory):
    """An archive's folder with one case of five events, its connection and its file's rows."""
    folder = tmp_path_factory.mktemp("chained")
    with open_archive(folder) as archive:
        opened(archive, moves=EVENTS - 1)
        tampered(folder)
        connection = sqlite3.connect(folder / "archive.db", isolation_level=None)
        connection.text_factory = bytes
        yield archive, connection
        connection.close()


def _flip(stored: bytes, place: int, bit: int) -> bytes:
    at = place % len(stored)
    return stored[:at] + bytes([stored[at] ^ (1 << bit)]) + stored[at + 1 :]


@pytest.mark.req("REQ-032")
@settings(max_examples=120)
@given(column=st.sampled_from(TEXTS), seq=st.integers(1, EVENTS), place=st.integers(0, 400), bit=st.integers(0, 7))
def test_a_changed_bit_in_any_column_is_found(chained, column, seq, place, bit):
    """One flipped bit in any text or payload of any stored event breaks the chain at that event."""
    archive, connection = chained
    query = f'SELECT CAST("{column}" AS BLOB) FROM events WHERE seq = ?'
    (stored,) = connection.execute(query, (seq,)).fetchone()
    wrong = _flip(stored, place, bit)
    kind = "BLOB" if column == "payload" else "TEXT"
    change = f'UPDATE events SET "{column}" = CAST(? AS {kind}) WHERE rowid = ?'
    (rowid,) = connection.execute("SELECT rowid FROM events WHERE seq = ?", (seq,)).fetchone()
    connection.execute(change, (wrong, rowid))
    try:
        verdict = archive.verify("case-1")
        assert not verdict.intact
        assert verdict.faults[0].seq == seq
        assert f"event {seq}" in verdict.sentence or column == "case"
        if column in ("hash", "prev_hash"):
            assert verdict.faults[0].column == column
        with pytest.raises(ArchiveError):
            archive._reader.events("case-1", _rows(archive, "case-1", EVENTS))
    finally:
        connection.execute(change, (stored, rowid))
    assert archive.verify("case-1").intact


def _rows(archive, case, count):
    with archive._reading() as connection:
        found = rows.of_case(connection, case)
    if len(found) < count:
        raise ArchiveError("an event left the case")
    return found


@pytest.mark.req("REQ-032")
@settings(max_examples=30)
@given(column=st.sampled_from(sorted(NUMBERS)), seq=st.integers(1, EVENTS), bit=st.integers(0, 40))
def test_a_changed_number_is_found(chained, column, seq, bit):
    """One flipped bit in a sequence or format number is found at that event."""
    archive, connection = chained
    (rowid, number) = connection.execute(f"SELECT rowid, {column} FROM events WHERE seq = ?", (seq,)).fetchone()
    taken = {value for (value,) in connection.execute("SELECT seq FROM events")}
    wrong = number ^ (1 << bit)
    wrong = -wrong if column == "seq" and wrong in taken else wrong
    connection.execute(f"UPDATE events SET {column} = ? WHERE rowid = ?", (wrong, rowid))
    try:
        verdict = archive.verify("case-1")
        assert not verdict.intact
        assert min(fault.seq for fault in verdict.faults) <= seq
    finally:
        connection.execute(f"UPDATE events SET {column} = ? WHERE rowid = ?", (number, rowid))
    assert archive.verify("case-1").intact


@pytest.mark.req("REQ-032")
@pytest.mark.parametrize("gone", range(1, EVENTS + 1))
def test_a_missing_event_is_found_at_its_number(archive, folder, gone):
    """An event taken away is missed, also the last one, since the list of cases names it."""
    opened(archive, moves=EVENTS - 1)
    tampered(folder, f"DELETE FROM events WHERE seq={gone}")
    verdict = archive.verify("case-1")
    assert verdict.faults[0].seq == gone
    assert archive.rebuild() != []
    assert not archive.verify("case-1").intact, "rebuilding the list must not hide that the ledger was shortened"


@pytest.mark.req("REQ-032")
def test_a_rewritten_event_breaks_the_next_link(archive, folder):
    """Whoever alters an event and its own hash is found out by the event after it, and at the end by the list."""
    opened(archive, moves=2)
    for seq in (2, 3):
        raw = _rows(archive, "case-1", 3)[seq - 1]
        forged = digest({**raw, "by": b"somebody"})
        kept = raw["hash"].decode()
        tampered(folder, f"UPDATE events SET \"by\"='somebody', hash='{forged}' WHERE seq={seq}")
        assert archive.verify("case-1").faults[0].seq == 3
        tampered(folder, f"UPDATE events SET \"by\"='surgeon-1', hash='{kept}' WHERE seq={seq}")
        assert archive.verify("case-1").intact


@pytest.mark.req("REQ-032")
def test_a_whole_case_taken_away_is_found(archive, folder):
    """The list of cases still names a case whose events are all gone; an unlisted case is named too."""
    opened(archive, moves=1)
    opened(archive, moves=1, case="case-2")
    tampered(folder, "DELETE FROM events WHERE \"case\"='case-1'", "DELETE FROM cases WHERE \"case\"='case-2'")
    found = {verdict.case: verdict.faults[0].column for verdict in archive.verify_all()}
    assert found == {"case-1": "seq", "case-2": "cases"}


def test_verifying_needs_no_key(archive, folder):
    """The chain is walked over ciphertext: without the keys folder it still verifies."""
    opened(archive, moves=2)
    for file in (folder / "keys").iterdir():
        file.unlink()
    assert archive.verify("case-1").intact
    assert archive.verify("case-1").sentence == "case case-1: 3 events, chain intact"


def test_the_hash_tells_columns_apart():
    """Moving a character from one column to the next changes the hash; the first link is fixed."""
    raw = dict.fromkeys(HASHED, b"ab")
    assert digest({**raw, "by": b"abc", "role": b"ab"}) != digest({**raw, "by": b"ab", "role": b"cab"})
    first = {**raw, "seq": b"1", "prev_hash": GENESIS.encode()}
    first["hash"] = digest(first).encode()
    assert walk("ab", [first]).intact
