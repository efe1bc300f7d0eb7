"""What was acknowledged survives: a killed program, two programs at once, several at the first opening."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cuffwright.archive import open_archive
from tests.archive.invented_case import opened

FOREVER = 10**9


class Nursery:
    """The program that sends out appenders, and what it says."""

    def __init__(self, program):
        self.program = program

    def order(self, words):
        """Give it one order."""
        self.program.stdin.write(f"{words}\n")
        self.program.stdin.flush()

    def until(self, word):
        """What it says up to and with the first line that starts with ``word``."""
        said = [self.program.stdout.readline().strip()]
        while said[-1] and not said[-1].startswith(word):
            said.append(self.program.stdout.readline().strip())
        assert said[-1], self.program.stderr.read()
        return said


@pytest.fixture(scope="module")
def nursery():
    """One nursery for all; warnings are errors in it too, and it must end without a word of complaint."""
    command = [sys.executable, "-W", "error", str(Path(__file__).parent / "nursery.py")]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, text=True, **pipes) as program:
        yield Nursery(program)
        _, wrong = program.communicate(timeout=30)
    assert (program.returncode, wrong) == (0, "")


def _kept(said):
    return [line.removeprefix("kept ") for line in said if line.startswith("kept ")]


@pytest.mark.req("REQ-035")
def test_nothing_acknowledged_is_lost_when_the_program_is_killed(folder, nursery):
    """Ten programs are killed at random moments while appending: all they acknowledged is there, the chain whole."""
    chance = random.Random(4)
    with open_archive(folder) as archive:
        opened(archive)
    acknowledged: list[str] = []
    for turn in range(10):
        nursery.order(f"{folder} k{turn} {FOREVER}")
        process = int(nursery.until("open")[-1].split()[1])
        if turn % 2:
            acknowledged += _kept(nursery.until("kept"))
        time.sleep(chance.uniform(0.0, 0.2))
        os.kill(process, signal.SIGKILL)
        nursery.order("wait")
        said = nursery.until("ended")
        assert said[-1] == f"ended {-signal.SIGKILL}"
        acknowledged += _kept(said)
        with open_archive(folder) as archive:
            stored = [event.id for event in archive.events("case-1")]
            assert archive.verify("case-1").intact
            assert archive.line("case-1").last_seq == len(stored)
        assert [name for name in stored if name in set(acknowledged)] == acknowledged
        assert len(stored) - 1 - len(acknowledged) <= turn + 1, "at most one kept and not acknowledged per kill"
    assert len(acknowledged) >= 5, "the programs did get to append"


@pytest.mark.req("REQ-025")
def test_two_programs_on_one_case_lose_nothing(folder, nursery):
    """Two programs append to one case as fast as they can: all their events are there, in each one's own order."""
    with open_archive(folder) as archive:
        opened(archive)
    for name in ("ann", "bee"):
        nursery.order(f"{folder} {name} 60")
    nursery.order("wait")
    nursery.order("wait")
    said = nursery.until("ended") + nursery.until("ended")
    assert [line for line in said if line.startswith("ended")] == ["ended 0", "ended 0"]
    with open_archive(folder) as archive:
        stored = [event.id for event in archive.events("case-1")]
        assert archive.verify("case-1").intact
    assert sorted(stored[1:]) == sorted(_kept(said))
    for name in ("ann", "bee"):
        assert [each for each in stored if each.startswith(name)] == [f"{name}/{turn}" for turn in range(60)]


def test_several_programs_may_open_a_new_archive_at_once(tmp_path, nursery):
    """Of four programs that open the same new folder at the same moment none fails, and one archive comes of it."""
    for turn in range(5):
        folder = tmp_path / str(turn)
        for name in "abcd":
            nursery.order(f"{folder} {name} 0")
        ends = []
        for _ in "abcd":
            nursery.order("wait")
            ends.append(nursery.until("ended")[-1])
        assert ends == ["ended 0"] * 4
        with open_archive(folder) as archive:
            opened(archive)
            assert archive.verify("case-1").intact
