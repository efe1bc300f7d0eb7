"""Undo and redo are events: a stack machine over the stream, the same after every reload."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.archive import StaleCase, fold, history, in_force, open_archive
from cuffwright.archive.undo import History
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import START, TITLE, add, opened

pytestmark = pytest.mark.round_trip


def _tips(state, event):
    return event.payload.get("u", state)


@pytest.mark.req("REQ-034")
def test_undo_and_redo_add_events_and_remove_none(archive, folder):
    """Three moves, two undos, one redo: six events more than the first, the plan stands at the second move."""
    sent = opened(archive, moves=3)
    first = archive.undo("case-1", 4, "u1", "s", "surgeon", START)
    second = archive.undo("case-1", 5, "u2", "s", "surgeon", START)
    assert (first.kind, first.payload, second.payload) == ("undo", {"undoes": 4}, {"undoes": 3})
    assert fold(archive.events("case-1"), _tips, None) == 7.0
    again = archive.redo("case-1", 6, "r1", "s", "surgeon", START)
    assert again.payload == {"undoes": 6}
    with open_archive(folder) as other:
        events = other.events("case-1")
        assert events == [*sent, first, second, again]
        assert fold(events, _tips, None) == 8.0
        assert [event.seq for event in in_force(events)] == [1, 2, 3]
        assert (other.line("case-1").undo, other.line("case-1").redo) == (3, 5)
        assert other.verify("case-1").intact


@pytest.mark.req("REQ-034")
def test_a_new_change_closes_the_way_to_redo(archive):
    """After an undo and a new change nothing can be redone, and undo goes back over the new change first."""
    opened(archive, moves=2)
    archive.undo("case-1", 3, "u1", "s", "surgeon", START)
    add(archive, 4, "anchor.moved", {"anchor": "1", "u": 3.0, "v": 1.0})
    with pytest.raises(ArchiveError, match="there is nothing to redo in case case-1"):
        archive.redo("case-1", 5, "r1", "s", "surgeon", START)
    assert archive.undo("case-1", 5, "u2", "s", "surgeon", START).payload == {"undoes": 5}
    assert archive.undo("case-1", 6, "u3", "s", "surgeon", START).payload == {"undoes": 2}
    with pytest.raises(ArchiveError, match="there is nothing to undo in case case-1"):
        archive.undo("case-1", 7, "u4", "s", "surgeon", START)


@pytest.mark.req("REQ-033")
def test_an_undo_sent_twice_undoes_once(archive):
    """A repeated undo or redo command returns the stored event and goes no further back."""
    opened(archive, moves=2)
    first = archive.undo("case-1", 3, "u1", "s", "surgeon", START)
    assert archive.undo("case-1", 3, "u1", "s", "surgeon", START) == first
    back = archive.redo("case-1", 4, "r1", "s", "surgeon", START)
    assert archive.redo("case-1", 4, "r1", "s", "surgeon", START) == back
    assert archive.line("case-1").last_seq == 5


@pytest.mark.req("REQ-025")
def test_a_stale_undo_is_refused(archive):
    """Undo never takes back something the client has not seen."""
    opened(archive, moves=2)
    with pytest.raises(StaleCase) as told:
        archive.undo("case-1", 2, "u1", "s", "surgeon", START)
    assert [event.seq for event in told.value.since] == [3]


@pytest.mark.parametrize(
    "payload", [{}, {"undoes": 2}, {"undoes": "3"}, {"undoes": True}, {"undoes": 1}, {"undoes": 99}]
)
def test_an_undo_of_the_wrong_event_is_refused(archive, payload):
    """An undo event sent by hand must name the head; the opening of a case is never undone."""
    opened(archive, moves=2)
    with pytest.raises(ArchiveError, match="cannot be undone now; what can be undone is event 3, and redone nothing"):
        add(archive, 3, "undo", payload)
    assert archive.line("case-1").last_seq == 3


def test_undoing_a_title_and_an_archiving_shows_in_the_list(archive):
    """The list of cases follows undo: an old title comes back, an archived case returns."""
    opened(archive)
    add(archive, 1, "case.changed", {"title": "Renamed"})
    add(archive, 2, "case.archived", {})
    assert (archive.line("case-1").title, archive.line("case-1").archived) == ("Renamed", True)
    archive.undo("case-1", 3, "u1", "s", "surgeon", START)
    assert (archive.line("case-1").title, archive.line("case-1").archived) == ("Renamed", False)
    archive.undo("case-1", 4, "u2", "s", "surgeon", START)
    assert archive.line("case-1").title == TITLE
    archive.redo("case-1", 5, "r1", "s", "surgeon", START)
    assert archive.line("case-1").title == "Renamed"


@pytest.mark.law
@pytest.mark.req("REQ-034")
@settings(max_examples=60)
@given(st.lists(st.sampled_from(["change", "undo", "redo"]), max_size=30))
def test_history_agrees_with_an_editor_that_keeps_copies(acts):
    """The heads and what is in force are those of a plain editor keeping a stack of documents and one of redos."""
    past, documents, redos = History().after(1, "case.opened", {}), [()], []
    for seq, act in enumerate(acts, 2):
        if act == "change":
            past = past.after(seq, "anchor.moved", {})
            documents.append((*documents[-1], seq))
            redos = []
        elif act == "undo" and past.undo is not None:
            past = past.after(seq, "undo", {"undoes": past.undo})
            redos.append(documents.pop())
        elif act == "redo" and past.redo is not None:
            past = past.after(seq, "undo", {"undoes": past.redo})
            documents.append(redos.pop())
        assert past.done == documents[-1]
        assert (past.redo is None) == (not redos)
        assert (past.undo is None) == (len(documents) == 1)
        assert not set(past.done) & past.struck


def test_history_of_stored_events_gives_the_lists_heads(archive):
    """The heads folded from the events are those the list of cases shows."""
    opened(archive, moves=3)
    archive.undo("case-1", 4, "u1", "s", "surgeon", START)
    found = history(archive.events("case-1"))
    line = archive.line("case-1")
    assert (found.undo, found.redo) == (line.undo, line.redo) == (3, 5)


@pytest.mark.req("REQ-034")
def test_entries_of_a_log_stand_outside_undo_and_redo(archive):
    """An entry of theatre between a change and its undo is neither undone itself nor in the way, of redo either."""
    opened(archive, moves=2)
    archive.append("case-1", 3, "t1", "theatre.step-left", {"step": "position"}, "s", "theatre", START)
    assert archive.undo("case-1", 4, "u1", "s", "surgeon", START).payload == {"undoes": 3}
    archive.append("case-1", 5, "t2", "record.stated", {"field": "counts"}, "s", "surgeon", START)
    assert archive.redo("case-1", 6, "r1", "s", "surgeon", START).payload == {"undoes": 5}
    kinds = [event.kind for event in in_force(archive.events("case-1"))]
    assert kinds[-2:] == ["theatre.step-left", "record.stated"]
    assert archive.verify("case-1").intact
