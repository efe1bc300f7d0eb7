"""Old archives and events open in this release; newer ones are refused."""

import sqlite3
from dataclasses import replace

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

from cuffwright.archive import migration, open_archive
from cuffwright.archive.connection import WRITING, connect
from cuffwright.archive.event import Command
from cuffwright.archive.keys import KeyRing
from cuffwright.archive.reader import Reader
from cuffwright.archive.schema import Table
from cuffwright.archive.upcasters import UPCASTERS, Upcasters
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import OPENED, PATIENT, START, TITLE, add, opened, tampered

pytestmark = pytest.mark.round_trip


def _write_old(folder, upcasters=UPCASTERS):
    """Make an archive as the first step of the tables left it: one case, two events, a line without undo heads."""
    reader = Reader(KeyRing(folder / "keys"), upcasters)
    folder.mkdir()
    reader.keys.prepare()
    key = reader.keys.key_for(PATIENT)
    first = reader.row(Command("case-1", "i1", "case.opened", OPENED, "s", "surgeon", START), key, None)
    second = reader.row(Command("case-1", "i2", "layout.laid", {"pattern": "x"}, "s", "surgeon", START), key, first)
    engine = connect(folder / "archive.db", 1.0)
    with engine.execution_options(**{WRITING: True}).begin() as connection:
        assert migration.upgrade(connection, "0001")
        for raw in (first, second):
            values = {name: value.decode() for name, value in raw.items() if name != "payload"}
            names = ", ".join(f'"{name}"' for name in raw)
            places = ", ".join(f":{name}" for name in raw)
            connection.connection.execute(
                f"INSERT INTO events ({names}) VALUES ({places})", values | {"payload": raw["payload"]}
            ).close()
    engine.dispose()


def test_an_old_archive_is_upgraded_when_opened(folder):
    """Tables of the first step gain the undo heads, the list is folded from the events, and the chain holds."""
    _write_old(folder)
    with open_archive(folder) as archive:
        line = archive.line("case-1")
        assert (line.title, line.last_seq, line.undo, line.redo) == (TITLE, 2, 2, None)
        assert archive.verify("case-1").intact
        assert archive.undo("case-1", 2, "u1", "s", "surgeon", START).payload == {"undoes": 2}
    connection = sqlite3.connect(folder / "archive.db")
    row = connection.execute("SELECT undo_seq, redo_seq, last_seq FROM cases").fetchone()
    connection.close()
    assert row == (None, 3, 3)


def test_the_migrations_make_the_tables_the_program_expects(archive):
    """Nothing in the program's own description of the tables differs from what the steps made."""
    with archive._reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Table.metadata) == []


@pytest.mark.req("REQ-038")
def test_tables_of_a_newer_release_are_refused_and_left_alone(folder):
    """An archive from a newer release is refused in a sentence and not a byte of it changes."""
    with open_archive(folder) as archive:
        opened(archive)
    tampered(folder, "UPDATE alembic_version SET version_num='0099'")
    before = (folder / "archive.db").read_bytes()
    with pytest.raises(ArchiveError, match="of step 0099, and this release knows up to 0002; open it with a newer"):
        open_archive(folder)
    assert (folder / "archive.db").read_bytes() == before


def test_every_connection_is_safe(archive):
    """Foreign keys, write-ahead log and full sync are on in each connection."""
    for begin in (archive._reading, archive._writing):
        with begin() as connection:
            ask = {
                name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in ("foreign_keys", "journal_mode")
            }
            assert ask == {"foreign_keys": 1, "journal_mode": "wal"}
            assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
            assert connection.exec_driver_sql("PRAGMA busy_timeout").scalar() == 5000


def _wider(payload):
    return {"width_mm": 10 * payload["width_cm"]}


def test_an_old_event_is_read_in_todays_form_and_stays_as_it_was(folder):
    """A step brings the payload up when it is read; the stored event keeps its format, hash and chain."""
    with open_archive(folder) as archive:
        sent = [*opened(archive), add(archive, 1, "measure.added", {"width_cm": 2.5})]
    newer = Upcasters(3, {("measure.added", 1): _wider, ("measure.added", 2): lambda p: {**p, "sd_mm": None}})
    with open_archive(folder, upcasters=newer) as archive:
        first, second = archive.events("case-1")
        assert first == sent[0]
        assert second == replace(sent[1], payload={"width_mm": 25.0, "sd_mm": None})
        third = add(archive, 2, "measure.added", {"width_mm": 30.0, "sd_mm": 1.0})
        assert (third.schema, archive.events("case-1")[2].payload) == (3, {"width_mm": 30.0, "sd_mm": 1.0})
        assert archive.verify("case-1").intact


@pytest.mark.req("REQ-038")
def test_an_event_of_a_newer_format_is_refused(folder):
    """A case with a newer event is refused in a sentence, not half read, and nothing is added to it."""
    with open_archive(folder, upcasters=Upcasters(2)) as archive:
        opened(archive, moves=1)
    with open_archive(folder) as archive:
        words = "of format 2, and this release reads up to 1; open it with a newer release"
        with pytest.raises(ArchiveError, match=words):
            archive.events("case-1")
        with pytest.raises(ArchiveError, match=words):
            add(archive, 2, "layout.laid", {})
        assert archive.verify("case-1").intact


def test_a_format_below_one_is_refused():
    """No release writes format 0."""
    with pytest.raises(ArchiveError, match="claims format 0"):
        UPCASTERS.upcast("layout.laid", 0, {})


def test_a_step_cannot_change_what_it_was_given():
    """A step gets a copy: even one that writes into its argument leaves the caller's payload alone."""

    def careless(payload):
        payload["new"] = 1
        return payload

    given = {"old": 0}
    assert Upcasters(2, {("k", 1): careless}).upcast("k", 1, given) == {"old": 0, "new": 1}
    assert given == {"old": 0}
