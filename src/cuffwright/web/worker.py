"""The worker process: settles one repair at a time, at low priority, and says how far it is."""

import contextlib
import os
import signal
import sys
import traceback
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any, Literal

from cuffwright.case.errors import CuffError
from cuffwright.case.fact import FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.reach import Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.compiled import is_warm
from cuffwright.course.hold import StoppedError
from cuffwright.web.holding import Holding

FIRST_DRAWS = 100
"""Numerical choice: draws of the first, rough answer; further ones take four times as many each."""

GENTLE = 10
"""Numerical choice: how far the worker steps back behind everything else on this machine (Unix niceness)."""


COMPILING = "compiling the model once for this machine, a minute or two"


@dataclass(frozen=True)
class Job:
    """One repair to settle; ``key`` is the hash of the inputs, ``number`` grows with every job."""

    number: int
    key: str
    sheet: CaseSheet
    layout: Layout
    approach: Approach
    draws: int
    seed: int


@dataclass(frozen=True)
class Report:
    """What the worker says about a job: how far it is, an answer so far, the answer, or why there is none."""

    number: int
    kind: Literal["progress", "partial", "settled", "failed", "cancelled"]
    done: int = 0
    total: int = 0
    result: HoldResult | None = None
    sentence: str = ""


class Cancelled(Exception):
    """The job is no longer wanted."""


def work(pipe: Connection, wanted: Any, book: FactBook, holding: Holding) -> None:
    """Settle jobs from ``pipe`` until it closes; ``wanted`` is the shared number of the one job that still counts."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(OSError, AttributeError):
        os.nice(GENTLE)
    ready: tuple[CaseSheet, bool] | None = None
    prepared: Any = None
    while True:
        try:
            job: Job = pipe.recv()
        except (EOFError, OSError):
            return
        try:
            if not is_warm():
                pipe.send(Report(job.number, "progress", 0, job.draws, sentence=COMPILING))
                holding.warm(book)
            if ready != (job.sheet, is_warm()):
                ready = job.sheet, is_warm()
                prepared = holding.prepare(job.sheet, book)
            for report in _settled(job, wanted, prepared, holding, pipe):
                pipe.send(report)
        except (Cancelled, StoppedError):
            pipe.send(Report(job.number, "cancelled"))
        except CuffError as wrong:
            pipe.send(Report(job.number, "failed", sentence=str(wrong)))
        except BrokenPipeError:
            return
        except Exception:
            traceback.print_exc(file=sys.stderr)
            pipe.send(Report(job.number, "failed", sentence="the computation broke; the log of the server says where"))


def stages(draws: int) -> list[int]:
    """The numbers of draws after which an answer is shown, the last being all of them."""
    shown, stage = [], FIRST_DRAWS
    while stage < draws:
        shown.append(stage)
        stage *= 4
    return [*shown, draws]


def _settled(job: Job, wanted: Any, prepared: Any, holding: Holding, pipe: Connection) -> Iterator[Report]:
    def cancelled() -> bool:
        if wanted.value != job.number:
            raise Cancelled
        return False

    shown = 0
    for stage in stages(job.draws):

        def progress(done: int, total: int, stage: int = stage, shown: int = shown) -> None:
            cancelled()
            pipe.send(Report(job.number, "progress", max(shown, done * stage // max(total, 1)), job.draws))

        cancelled()
        result = holding.settle(
            prepared,
            job.layout,
            draws=stage,
            seed=job.seed,
            progress=progress,
            cancelled=cancelled,
            approach=job.approach,
        )
        kind: Literal["partial", "settled"] = "settled" if stage == job.draws else "partial"
        yield Report(job.number, kind, stage, job.draws, result)
        shown = stage
