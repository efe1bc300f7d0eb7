"""The page's side of the worker: one job at a time, the latest of each case wins, answers kept by input hash."""

import asyncio
import multiprocessing
import threading
from collections import OrderedDict
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from cuffwright.case.fact import FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.reach import Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.web.holding import Holding
from cuffwright.web.worker import Job, Report, work

KEPT = 64
"""Numerical choice: answers kept in memory."""

BESIDE = "#"
"""Stands in the name of what settles beside a case, such as a version on its shelf; a case itself goes first."""

BEAT_SECONDS = 10.0
"""Numerical choice: a silent stream says that it lives this often."""


@dataclass
class Course:
    """How one job goes: its last report, its answer so far, and who waits for news."""

    case: str
    job: Job
    last: Report
    result: HoldResult | None = None
    ended: threading.Event = field(default_factory=threading.Event)
    ears: list[tuple[asyncio.AbstractEventLoop, asyncio.Event]] = field(default_factory=list)


class Settling:
    """Settles repairs in one spawned process and tells whoever listens."""

    def __init__(self, book: FactBook, holding: Holding, draws: int, seed: int) -> None:
        self._book, self._holding = book, holding
        self.draws, self.seed = draws, seed
        self._spawn = multiprocessing.get_context("spawn")
        self._wanted = self._spawn.Value("q", 0, lock=False)
        self._lock = threading.RLock()
        self._pipe: Connection | None = None
        self._process: BaseProcess | None = None
        self._number = 0
        self._running: Course | None = None
        self._waiting: OrderedDict[str, Course] = OrderedDict()
        self._courses: OrderedDict[str, Course] = OrderedDict()
        self._drawn: dict[str, HoldResult] = {}

    def last(self, case: str) -> HoldResult | None:
        """The last answer drawn for ``case``, whatever its layout was."""
        return self._drawn.get(case)

    def settled(self, key: str) -> HoldResult | None:
        """The settled answer to the inputs hashed as ``key``, when it is kept."""
        course = self._courses.get(key)
        return course.result if course is not None and course.last.kind == "settled" else None

    def known(self, case: str, key: str) -> HoldResult | None:
        """The settled answer to the inputs hashed as ``key``, when it is kept; it is then the last of ``case`` too.

        Two cases of equal sheets share their answers.
        """
        found = self.settled(key)
        if found is not None:
            self._drawn[case] = found
        return found

    def failed(self, key: str) -> str | None:
        """Why the job hashed as ``key`` gave no answer, in a sentence; None as long as it did not fail."""
        course = self._courses.get(key)
        return course.last.sentence if course and course.last.kind == "failed" else None

    def ask(self, case: str, key: str, sheet: CaseSheet, layout: Layout, approach: Approach) -> Course:
        """Have ``layout`` settled, come at by ``approach``; an older job of the case that is not done is dropped."""
        with self._lock:
            course = self._courses.get(key)
            if course and not self._lost(course):
                self._courses.move_to_end(key)
                if course.last.kind == "settled" and course.result:
                    self._drawn[case] = course.result
                return course
            self._number += 1
            job = Job(self._number, key, sheet, layout, approach, self.draws, self.seed)
            course = Course(case, job, Report(job.number, "progress", 0, self.draws))
            self._courses[key] = course
            self._drop(case)
            self._step_aside(case)
            self._waiting[case] = course
            self._next()
            self._forget()
            return course

    async def watch(self, course: Course) -> AsyncIterator[Report | None]:
        """News of a job until it ends; None when there is none for a while."""
        ear = asyncio.Event()
        mine = (asyncio.get_running_loop(), ear)
        with self._lock:
            course.ears.append(mine)
        try:
            told: HoldResult | None = None
            while True:
                ear.clear()
                last, result = course.last, course.result
                if result is not None and result is not told and last.kind == "progress":
                    told = result
                    yield Report(last.number, "partial", last.done, last.total, result)
                yield last
                if last.kind in {"settled", "failed", "cancelled"}:
                    return
                try:
                    await asyncio.wait_for(ear.wait(), BEAT_SECONDS)
                except TimeoutError:
                    yield None
        finally:
            with self._lock:
                course.ears.remove(mine)

    def stop(self, case: str) -> None:
        """Stop what is being settled for ``case``, if anything is; it ends as cancelled."""
        with self._lock:
            self._drop(case)

    def close(self) -> None:
        """Stop the worker."""
        with self._lock:
            self._wanted.value = -1
            if self._pipe:
                self._pipe.close()
            if self._process:
                self._process.terminate()
                self._process.join(timeout=5)
            self._pipe = self._process = None

    def _drop(self, case: str) -> None:
        older = self._waiting.pop(case, None)
        if older:
            self._tell(older, Report(older.job.number, "cancelled"))
        if self._running and self._running.case == case:
            self._wanted.value = 0

    def _lost(self, course: Course) -> bool:
        """Whether a job gives no answer any more: it ended without one, or was told to stop and has not said so yet."""
        stopped = course is self._running and self._wanted.value != course.job.number
        return stopped or course.last.kind in {"failed", "cancelled"}

    def _step_aside(self, case: str) -> None:
        """What runs beside a case gives way to a case itself, and is asked for again when someone looks."""
        if self._running and BESIDE in self._running.case and BESIDE not in case:
            self._wanted.value = 0

    def _next(self) -> None:
        if self._running or not self._waiting:
            return
        first = next((case for case in self._waiting if BESIDE not in case), next(iter(self._waiting)))
        course = self._waiting.pop(first)
        self._running = course
        self._wanted.value = course.job.number
        try:
            self._worker().send(course.job)
        except OSError:
            self._pipe = None
            self._running = None
            self._tell(course, Report(course.job.number, "failed", sentence="the computing process died; try again"))

    def _worker(self) -> Connection:
        if self._pipe is None or self._process is None or not self._process.is_alive():
            ours, theirs = self._spawn.Pipe()
            arguments = (theirs, self._wanted, self._book, self._holding)
            self._process = self._spawn.Process(target=work, args=arguments, daemon=True, name="cuffwright-settling")
            self._process.start()
            theirs.close()
            self._pipe = ours
            threading.Thread(target=self._listen, args=(ours,), daemon=True, name="settling-ear").start()
        return self._pipe

    def _listen(self, pipe: Connection) -> None:
        while True:
            try:
                report: Report = pipe.recv()
            except (EOFError, OSError):
                report = Report(
                    0,
                    "failed",
                    sentence="the computing process ended before the answer; move anything to start it again",
                )
            with self._lock:
                course = self._running
                if course and report.number in {0, course.job.number}:
                    self._tell(course, report)
                    if report.kind in {"settled", "failed", "cancelled"}:
                        self._running = None
                if report.number == 0:
                    if self._pipe is pipe:
                        self._pipe = None
                    return
                self._next()

    def _tell(self, course: Course, report: Report) -> None:
        course.result = report.result or course.result
        course.last = (
            Report(report.number, "progress", report.done, report.total) if report.kind == "partial" else report
        )
        if report.result:
            self._drawn[course.case] = report.result
        if report.kind in {"settled", "failed", "cancelled"}:
            course.ended.set()
        for loop, ear in course.ears:
            if not loop.is_closed():
                loop.call_soon_threadsafe(ear.set)

    def _forget(self) -> None:
        for key in list(self._courses)[: max(0, len(self._courses) - KEPT)]:
            if self._courses[key].ended.is_set():
                del self._courses[key]
