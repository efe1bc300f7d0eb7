"""An examination given to a case by the program itself: the invented one of the demonstration."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.reading import Reading, read_off
from cuffwright.imaging.privacy.stripping import Stripper
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Cases
from cuffwright.web.images_desk import ImagesDesk
from cuffwright.web.images_measuring import accepted

LOOK_SECONDS = 0.05
"""Numerical choice: how often the import is looked after."""


@dataclass(frozen=True)
class Given:
    """Image files of an examination, and the readings that were taken on them."""

    files: tuple[Path, ...]
    readings: tuple[Reading, ...]


def give(key: str, given: Given, cases: Cases, desk: ImagesDesk, bench: Bench) -> None:
    """Take the files into case ``key`` as a person would, all questions answered, and accept the readings.

    A case that has images already is left alone. The marks are read again on the stripped files, so that every reading
    names the picture it is shown on.

    Raises
    ------
    ImageError
        When the files are refused.
    """
    board = cases.now(key).board
    if board.imports:
        return
    job = desk.new_import(key, board)
    for file in given.files:
        job.lay(file.name).write_bytes(file.read_bytes())
    job.begin()
    _wait(job.name, key, desk, "reading")
    job.answer(job.asks, None, False, False, desk.keep)
    _wait(job.name, key, desk, "stripping")
    if job.state != "done":
        raise ImageError(job.words)
    _accept(key, given.readings, cases, desk, bench)


def _wait(name: str, key: str, desk: ImagesDesk, state: str) -> None:
    while desk.job(key, name).state == state:
        time.sleep(LOOK_SECONDS)


def _accept(key: str, readings: Sequence[Reading], cases: Cases, desk: ImagesDesk, bench: Bench) -> None:
    now = cases.now(key)
    shelf, names = desk.shelf(key, now.board), Stripper(bytes.fromhex(now.board.imports[0].key))
    for one in readings:
        spot = shelf.find(names.new_uid(one.sop_instance_uid), one.frame)
        stack = shelf.series[spot.series].stack
        step = stack.step_mm if stack else None
        again = read_off(guide(one.guide), shelf.picture(spot), one.rounds, desk.book, step_mm=step)
        now = cases.make(key, cases.fresh_id(), now.seq, bench.taken(now.board, accepted(again, None)))
