"""Commands become events: numbered, idempotent, refused when stale, kept across reopening."""

import threading
from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import String, cast, select

from cuffwright.archive import StaleCase, open_archive
from cuffwright.archive.ledger import Archive
from cuffwright.archive.schema import EventRow
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import OPENED, PATIENT, START, add, opened, tampered

pytestmark = pytest.mark.round_trip


def test_events_come_back_as_they_were_sent(archive, folder):
    """What was appended is read back equal, in order, from the same archive and from one opened anew."""
    sent = opened(archive, moves=3)
    assert archive.events("case-1") == sent
    assert [event.seq for event in sent] == [1, 2, 3, 4]
    assert sent[0].payload == OPENED
    assert sent[1].payload == {"anchor": "1", "u": 7.0, "v": 2.5}
    with open_archive(folder) as again:
        assert again.events("case-1") == sent


@pytest.mark.req("REQ-033")
def test_the_same_command_again_is_stored_once(archive):
    """A command id sent twice returns the stored event, also after others were added."""
    first = opened(archive, moves=2)
    assert add(archive, 1, "anchor.moved", {"anchor": "1", "u": 7.0, "v": 2.5}) == first[1]
    assert archive.events("case-1") == first


@pytest.mark.req("REQ-033")
def test_one_command_id_cannot_mean_two_things(archive):
    """A used id with another payload, kind, person or case is refused, so no change is swallowed."""
    opened(archive, moves=1)
    with pytest.raises(ArchiveError, match="already used for event 2 of case case-1; send a new id"):
        add(archive, 1, "anchor.moved", {"anchor": "1", "u": 9.0, "v": 2.5})
    for case, kind, by in (("case-1", "hole.moved", "surgeon-1"), ("case-2", "anchor.moved", "surgeon-1")):
        with pytest.raises(ArchiveError, match="already used"):
            archive.append(case, 1, "case-1/2", kind, {"anchor": "1", "u": 7.0, "v": 2.5}, by, "surgeon", START)
    assert len(archive.events("case-1")) == 2


@pytest.mark.req("REQ-025")
def test_a_stale_command_is_told_what_changed(archive):
    """A command that expects an old number is refused, adds nothing, and carries the unseen events."""
    sent = opened(archive, moves=3)
    with pytest.raises(StaleCase, match=r"changed since event 2 .*4 anchor.moved by surgeon-1") as told:
        archive.append("case-1", 2, "late", "hole.moved", {}, "surgeon-2", "assistant", START)
    assert told.value.since == tuple(sent[2:])
    assert (told.value.expected, told.value.last) == (2, 4)
    with pytest.raises(StaleCase, match="ends at event 4, and the command expected 9") as ahead:
        archive.append("case-1", 9, "early", "hole.moved", {}, "surgeon-2", "assistant", START)
    assert ahead.value.since == ()
    assert archive.events("case-1") == sent


@pytest.mark.req("REQ-025")
def test_two_clients_at_once_lose_nothing(archive):
    """Of two commands sent at the same moment on one case, one is kept and the other is told of it."""
    opened(archive)
    gate, told, kept = threading.Barrier(2, timeout=20), [], []

    def send(name: str) -> None:
        for turn in range(10):
            gate.wait()
            at = START + timedelta(seconds=turn)
            try:
                kept.append(archive.append("case-1", turn + 1, f"{name}{turn}", "hole.moved", {}, name, "surgeon", at))
            except StaleCase as stale:
                told.append((turn, stale.since[0].seq, stale.since[0].id[:-1], name))
            gate.wait()

    clients = [threading.Thread(target=send, args=(name,)) for name in ("ann", "bee")]
    for client in clients:
        client.start()
    for client in clients:
        client.join()
    assert len(kept) == len(told) == 10
    assert all(seq == turn + 2 and winner != loser for turn, seq, winner, loser in told)
    assert [event.id for event in archive.events("case-1")[1:]] == [event.id for event in sorted(kept, key=_seq)]
    assert archive.verify("case-1").intact


def _seq(event):
    return event.seq


def test_times_come_back_in_utc(archive):
    """09:00 at +02:00 is the moment 07:00 UTC when it comes back, not a bare 09:00; microseconds stay."""
    berlin = datetime(2026, 3, 1, 9, 0, 0, 1, tzinfo=timezone(timedelta(hours=2)))
    archive.append("c", 0, "i", "case.opened", {}, "s", "surgeon", berlin, patient=PATIENT)
    at = archive.events("c")[0].at
    assert at == berlin
    assert at.isoformat() == "2026-03-01T07:00:00.000001+00:00"
    with archive._reading() as connection:
        ((written, moment),) = connection.execute(select(cast(EventRow.at, String), EventRow.at))
    assert written == "2026-03-01T07:00:00.000001Z"
    assert moment == berlin
    assert moment.tzinfo is UTC


def test_a_time_without_zone_is_refused(archive):
    """A bare time could mean any hour, so it is not kept."""
    with pytest.raises(ArchiveError, match="has no time zone"):
        archive.append("c", 0, "i", "case.opened", {}, "s", "surgeon", datetime(2026, 3, 1), patient=PATIENT)
    assert archive.cases() == []


@pytest.mark.parametrize(
    ("payload", "words"),
    [
        ({"u": float("nan")}, "payload.u is nan, which is no number"),
        ({"u": [1.0, float("inf")]}, r"payload.u\[1\] is inf"),
        ({1: "a"}, "key 1, which is not text"),
        ({"u": {2.0, 3.0}}, "payload.u is a set"),
        ({"u": b"x"}, "payload.u is a bytes"),
        ({"u": "\ud800"}, "broken character"),
        (["u"], "no dictionary"),
    ],
)
def test_payloads_that_cannot_come_back_are_refused(archive, payload, words):
    """NaN and whatever JSON would change or drop is refused by name, and nothing is kept."""
    with pytest.raises(ArchiveError, match=words):
        archive.append("c", 0, "i", "case.opened", payload, "s", "surgeon", START, patient=PATIENT)
    assert archive.cases() == []


def test_endless_nesting_is_refused(archive):
    """A payload nested without end is refused in a sentence, not by a crash."""
    payload: dict = {}
    payload["again"] = payload
    with pytest.raises(ArchiveError, match="nested more than 40 deep"):
        archive.append("c", 0, "i", "case.opened", payload, "s", "surgeon", START, patient=PATIENT)


@pytest.mark.parametrize("what", ["case", "command_id", "kind", "by", "role"])
def test_names_in_clear_are_checked(archive, what):
    """An empty, overlong or unprintable name is refused."""
    good = {"case": "c", "command_id": "i", "kind": "k", "by": "b", "role": "r"}
    for bad in ("", "x" * 201, "a\x00b", "a\nb"):
        with pytest.raises(ArchiveError, match="1 to 200 printable characters"):
            archive.append(**{**good, what: bad}, expected_seq=0, payload={}, at=START, patient=PATIENT)


def test_a_case_without_patient_is_refused(archive):
    """The first event must say whose case it is; nobody is made up."""
    for payload in ({}, {"identity": {"side": "left"}}, {"patient": "  "}):
        with pytest.raises(ArchiveError, match="names no patient"):
            archive.append("c", 0, "i", "case.opened", payload, "s", "surgeon", START)


def test_a_case_never_changes_its_patient(archive):
    """An event naming another patient than the case's is refused, by argument or in the sheet."""
    opened(archive)
    with pytest.raises(ArchiveError, match="belongs to another patient"):
        archive.append("case-1", 1, "i", "layout.laid", {}, "s", "surgeon", START, patient="LOCAL-1")
    with pytest.raises(ArchiveError, match="belongs to another patient"):
        add(archive, 1, "case.changed", {"identity": {"patient": "LOCAL-1", "side": "right"}})
    with pytest.raises(ArchiveError, match="belongs to another patient"):
        archive.append("c", 0, "i", "case.opened", OPENED, "s", "surgeon", START, patient="LOCAL-1")
    assert len(archive.events("case-1")) == 1
    assert [line.case for line in archive.cases()] == ["case-1"]


def test_unknown_cases_are_named(archive):
    """Reading, exporting or verifying a case that is not there says so."""
    for ask in (archive.events, archive.line, archive.verify, archive.export_bundle):
        with pytest.raises(ArchiveError, match="there is no case lost in this archive"):
            ask("lost")


@pytest.mark.parametrize("bad", [-1, 1.0, True, "1", None])
def test_an_expected_number_must_be_a_number(archive: Archive, bad):
    """A sequence number that is no whole number of 0 or more is refused."""
    with pytest.raises(ArchiveError, match="expected sequence number is"):
        archive.append("c", bad, "i", "k", {}, "b", "r", START, patient=PATIENT)


def test_the_database_itself_refuses_to_change_an_event(archive):
    """UPDATE and DELETE on events fail in the database, whoever asks."""
    opened(archive, moves=1)
    for statement in ("UPDATE events SET kind='x' WHERE seq=2", "DELETE FROM events WHERE seq=2"):
        with pytest.raises(ArchiveError, match="events are only ever added"), archive._writing() as connection:
            connection.exec_driver_sql(statement)
    assert archive.verify("case-1").intact


def test_an_altered_case_is_not_shown(archive, folder):
    """Events of a broken chain are refused when read and nothing is added to them."""
    opened(archive, moves=3)
    tampered(folder, "UPDATE events SET at='2026-03-02T07:01:00.000000Z' WHERE seq=2")
    with pytest.raises(ArchiveError, match="event 2 was altered"):
        archive.events("case-1")
    tampered(folder, "UPDATE events SET role='assistant' WHERE seq=4")
    with pytest.raises(ArchiveError, match="event 4 of case case-1 was altered"):
        archive.append("case-1", 4, "i5", "hole.moved", {}, "s", "surgeon", START)
