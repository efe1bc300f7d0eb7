"""The list of cases: folded one event at a time, and the same when rebuilt from the first."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.archive import open_archive
from cuffwright.archive.projection import Standing, shown
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import OPENED, PATIENT, START, TITLE, add, opened, tampered

pytestmark = pytest.mark.round_trip

words = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=12)
sheets = st.fixed_dictionaries(
    {},
    optional={
        "title": words,
        "side": st.sampled_from(["right", "left"]),
        "operation_date": st.none() | st.just("2026-05-01"),
        "identity": st.fixed_dictionaries({"patient": st.just(PATIENT)}, optional={"side": st.just("left")}),
    },
)
acts = st.one_of(
    st.tuples(st.just("case.changed"), sheets),
    st.tuples(st.just("case.archived"), st.just({})),
    st.tuples(st.just("anchor.moved"), st.fixed_dictionaries({"u": st.floats(0, 30)})),
    st.tuples(st.sampled_from(["undo", "redo"]), st.just({})),
)


def _do(archive, case, turn, kind, payload):
    line, name = archive.line(case), f"{case}:{turn}"
    if kind in ("undo", "redo"):
        if getattr(line, kind) is not None:
            getattr(archive, kind)(case, line.last_seq, name, "s", "surgeon", START)
    else:
        archive.append(case, line.last_seq, name, kind, payload, "s", "surgeon", START)


@pytest.mark.law
@settings(max_examples=25)
@given(st.lists(st.tuples(st.sampled_from(["case-1", "case-2"]), acts), max_size=14))
def test_rebuilding_the_list_changes_nothing(tmp_path_factory, stream):
    """Whatever happened, the list kept along the way equals the one folded anew from the events."""
    folder = tmp_path_factory.mktemp("rebuild")
    with open_archive(folder) as archive:
        for case in ("case-1", "case-2"):
            opened(archive, case=case)
        for turn, (case, (kind, payload)) in enumerate(stream):
            _do(archive, case, turn, kind, payload)
        incremental = archive.cases()
        clear = _clear(archive)
        tampered(folder, "DELETE FROM cases")
        assert _clear(archive) == []
        assert archive.rebuild() == []
        assert archive.cases() == incremental
        assert _clear(archive) == clear
        assert all(verdict.intact for verdict in archive.verify_all())


def _clear(archive):
    columns = '"case", "key", archived, updated_at, last_seq, head, undo_seq, redo_seq'
    with archive._reading() as connection:
        return [tuple(row) for row in connection.exec_driver_sql(f'SELECT {columns} FROM cases ORDER BY "case"')]


def test_the_list_shows_title_side_and_date(archive):
    """A line carries what the sheet says, the last change on top."""
    opened(archive)
    opened(archive, moves=1, case="case-2")
    lines = archive.cases()
    assert [line.case for line in lines] == ["case-2", "case-1"]
    line = lines[1]
    assert (line.state, line.title, line.patient, line.side) == ("open", TITLE, PATIENT, "right")
    assert (line.operation_date, line.archived, line.last_seq, line.undo) == ("2026-03-09", False, 1, None)
    assert line.updated_at == START


def test_a_whole_identity_clears_what_it_leaves_out_and_a_part_does_not():
    """A sheet that names its patient replaces the date; a single changed field leaves the rest."""
    whole = {"identity": {"patient": PATIENT, "side": "left"}}
    assert shown("case.changed", whole) == {"patient": PATIENT, "side": "left", "operation_date": None}
    assert shown("case.changed", {"sheet": whole, "title": "T"}) == shown("case.changed", whole) | {"title": "T"}
    assert shown("case.changed", {"identity": {"side": "left"}}) == {"side": "left"}
    assert shown("case.changed", {"operation_date": None, "tear": {"width_mm": 2}}) == {"operation_date": None}
    assert shown("anchor.moved", {"title": "T"}) == {}
    assert shown("case.archived", {"archived": False}) == {"archived": False}


def test_a_lost_or_damaged_line_is_folded_from_the_events(archive, folder):
    """Without its line, or with one that was altered, a case is listed from its events and goes on."""
    opened(archive, moves=1)
    line = archive.line("case-1")
    for wound in (
        "DELETE FROM cases",
        "UPDATE cases SET updated_at='yesterday'",
        "UPDATE cases SET standing=x'00'",
        "UPDATE cases SET last_seq='x'",
    ):
        assert archive.rebuild() == []
        tampered(folder, wound)
        assert archive.line("case-1") == line
    add(archive, 2, "case.changed", {"title": "Mended"})
    assert archive.line("case-1").title == "Mended"
    assert archive.verify("case-1").intact


@pytest.mark.parametrize("text", [b"", b"[]", b"{}", b'{"changes":[1],"done":[],"undone":[],"struck":[]}'])
def test_a_standing_that_cannot_be_read_is_refused(text):
    """A line holding anything but what was written is refused, so that it is folded anew."""
    with pytest.raises(ArchiveError, match="list of cases cannot be read"):
        Standing.read(text)


def test_one_damaged_case_does_not_hide_the_others(archive, folder):
    """A case with a broken chain is listed as damaged, the others as before; rebuilding names it."""
    opened(archive, moves=2)
    opened(archive, case="case-2")
    tampered(folder, "UPDATE events SET kind='x' WHERE seq=2", "DELETE FROM cases")
    assert {line.case: line.state for line in archive.cases()} == {"case-1": "damaged", "case-2": "open"}
    assert [(verdict.case, verdict.faults[0].seq) for verdict in archive.rebuild()] == [("case-1", 2)]
    assert archive.line("case-2").title == TITLE
    with pytest.raises(ArchiveError, match="case case-1: event 2 was altered"):
        archive.events("case-1")
    assert archive.events("case-2")[0].payload == OPENED
