"""A full, locked, read-only or damaged archive says so in one sentence and never crashes."""

import os
import random
import shutil
import sqlite3
import threading

import pytest
from sqlalchemy import event
from sqlalchemy.exc import TimeoutError as PoolTimeout

from cuffwright.archive import open_archive
from cuffwright.archive.refusal import said
from cuffwright.case.errors import ArchiveError
from tests.archive.invented_case import add, opened


def _one_sentence(error):
    text = str(error.value)
    assert "\n" not in text
    assert text[0].islower() or text.startswith("UTC")


@pytest.mark.req("REQ-035")
def test_a_full_disk_is_said_and_nothing_is_half_kept(archive):
    """When the database cannot grow the command is refused whole, and works again once there is room."""
    opened(archive)
    with archive._reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()

    def limit(connection):
        connection.exec_driver_sql(f"PRAGMA max_page_count={limits[0]}")

    limits = [pages]
    event.listen(archive._engine, "begin", limit)
    big = {"note": "x" * 40_000}
    with pytest.raises(ArchiveError, match="disk is full; free some space and try again, nothing was kept") as full:
        add(archive, 1, "case.changed", big)
    _one_sentence(full)
    assert archive.line("case-1").last_seq == 1
    assert archive.verify("case-1").intact
    limits[0] = 100_000
    assert add(archive, 1, "case.changed", big).seq == 2


@pytest.mark.req("REQ-035")
def test_a_disk_that_fails_at_the_key_keeps_no_event(folder, monkeypatch):
    """When the key cannot be written safely the case is not opened: nothing is locked with a key that may be lost."""
    with open_archive(folder) as archive:

        def full(_handle):
            raise OSError(28, os.strerror(28))

        with monkeypatch.context() as patch:
            patch.setattr("os.fsync", full)
            with pytest.raises(ArchiveError, match=r"cannot be used \(No space left on device\)") as wrong:
                opened(archive)
        _one_sentence(wrong)
        assert archive.cases() == []
        opened(archive)
        assert archive.line("case-1").state == "open"


def test_an_archive_that_may_only_be_read_says_so(archive):
    """Reading goes on, adding is refused in a sentence."""
    opened(archive)
    event.listen(archive._engine, "connect", lambda connection, _record: connection.execute("PRAGMA query_only=ON"))
    archive._engine.dispose()
    with pytest.raises(ArchiveError, match="may only be read here; give this user the right to write"):
        add(archive, 1, "layout.laid", {})
    assert archive.line("case-1").last_seq == 1


def test_a_locked_archive_says_so(folder):
    """While another program holds the write lock a command waits, then is refused; reading goes on."""
    with open_archive(folder, wait_seconds=0.2) as archive:
        opened(archive)
        holder = sqlite3.connect(folder / "archive.db", isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        try:
            with pytest.raises(ArchiveError, match="in use by another program; wait a moment") as locked:
                add(archive, 1, "layout.laid", {})
            _one_sentence(locked)
            assert len(archive.events("case-1")) == 1
        finally:
            holder.execute("ROLLBACK")
            holder.close()
        assert add(archive, 1, "layout.laid", {}).seq == 2


@pytest.mark.parametrize("leaves", [True, False])
def test_a_new_file_being_looked_at_is_waited_for(folder, monkeypatch, leaves):
    """Switching the log on waits for another program at the new file, and gives up in a sentence when it stays."""
    folder.mkdir()
    holder = sqlite3.connect(folder / "archive.db", isolation_level=None, check_same_thread=False)
    holder.execute("CREATE TABLE t (x)")
    holder.execute("BEGIN")
    holder.execute("SELECT * FROM t").fetchall()
    release = threading.Timer(0.1, holder.execute, ("COMMIT",))
    if leaves:
        release.start()
    else:
        monkeypatch.setattr("cuffwright.archive.connection.PAUSES", (0.01, 0.01))
    try:
        if leaves:
            with open_archive(folder, wait_seconds=0) as archive:
                opened(archive)
                assert archive.verify("case-1").intact
        else:
            with pytest.raises(ArchiveError, match="in use by another program; wait a moment"):
                open_archive(folder, wait_seconds=0)
    finally:
        if leaves:
            release.join()
        holder.close()


@pytest.mark.parametrize("content", [random.Random(1).randbytes(9000), b"SQLite format 3\0" + bytes(5000), b"x"])
def test_a_file_that_is_no_database_is_refused(folder, content):
    """Random bytes in place of the database are refused in a sentence and left as they are."""
    folder.mkdir()
    (folder / "archive.db").write_bytes(content)
    with pytest.raises(ArchiveError, match=r"is no archive or is damaged|is damaged; restore") as wrong:
        open_archive(folder)
    _one_sentence(wrong)
    assert (folder / "archive.db").read_bytes() == content


def test_another_programs_database_is_refused(folder):
    """A database with other tables of these names is refused and not changed."""
    folder.mkdir()
    connection = sqlite3.connect(folder / "archive.db")
    connection.execute("CREATE TABLE events (x)")
    connection.commit()
    connection.close()
    with pytest.raises(ArchiveError, match="table events already exists"):
        open_archive(folder)
    connection = sqlite3.connect(folder / "archive.db")
    names = connection.execute("SELECT name FROM sqlite_master").fetchall()
    connection.close()
    assert names == [("events",)]


def test_too_many_readers_are_told_so(tmp_path):
    """When no connection is free in time the sentence says to try again."""
    with pytest.raises(ArchiveError, match="too many readers at once; try again"), said(tmp_path):
        raise PoolTimeout


def test_a_folder_that_cannot_be_one_is_refused(tmp_path):
    """A file in the place of the folder, or of the database, is refused in a sentence."""
    (tmp_path / "file").write_text("x")
    (tmp_path / "folder" / "archive.db").mkdir(parents=True)
    for wrong in ("file", "file/deeper", "folder"):
        with pytest.raises(ArchiveError, match="cannot be") as refused:
            open_archive(tmp_path / wrong)
        _one_sentence(refused)


@pytest.mark.req("REQ-032")
def test_random_damage_is_refused_or_found_or_harmless(tmp_path):
    """Forty files with a few random bytes overwritten: each reads as before, or is refused or found in a sentence."""
    whole = tmp_path / "whole"
    with open_archive(whole) as archive:
        sent = opened(archive, moves=12)
        line = archive.line("case-1")
    size = (whole / "archive.db").stat().st_size
    chance, outcomes = random.Random(7), []
    for turn in range(40):
        folder = tmp_path / str(turn)
        shutil.copytree(whole, folder)
        with (folder / "archive.db").open("r+b") as file:
            for _ in range(chance.choice([1, 4, 40])):
                file.seek(chance.randrange(size))
                file.write(chance.randbytes(chance.choice([1, 16])))
        outcomes.append(_what_comes_back(folder, sent, line))
    assert {"as before", "refused"} <= set(outcomes) <= {"as before", "refused", "found"}


def _what_comes_back(folder, sent, line):
    try:
        with open_archive(folder) as archive:
            intact = archive.verify("case-1").intact
            archive.cases()
            archive.verify_all()
            archive.rebuild()
            same = archive.events("case-1") == sent
            shown = archive.line("case-1")
            seq = add(archive, 13, "layout.laid", {}).seq
    except ArchiveError as wrong:
        return "refused" if "\n" not in str(wrong) else f"more than a sentence: {wrong}"
    assert same
    assert seq == 14
    assert shown == line
    return "as before" if intact else "found"
