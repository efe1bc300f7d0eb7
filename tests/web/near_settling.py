"""The settling of the page with its worker in a thread of this process, so that none reads the program anew."""

import threading
from typing import Any

from cuffwright.evidence.book import load_book
from cuffwright.web.holding import Holding
from cuffwright.web.settling import Settling
from cuffwright.web.worker import Job, Report


class NearSettling(Settling):
    """Queue, order, dropping and news are the real ones; only the worker is near."""

    def __init__(self, holding: Holding, draws: int, seed: int) -> None:
        super().__init__(load_book(), holding, draws, seed)

    def _worker(self) -> Any:
        return self

    def send(self, job: Job) -> None:
        """Take a job, as the pipe to a process would."""
        threading.Thread(target=self._work, args=(job,), daemon=True).start()

    def _work(self, job: Job) -> None:
        holding = self._holding
        found = holding.settle(
            holding.prepare(job.sheet, self._book), job.layout, draws=job.draws, seed=job.seed, approach=job.approach
        )
        with self._lock:
            course, self._running = self._running, None
            assert course is not None
            stopped = self._wanted.value != job.number
            kind = "cancelled" if stopped else "settled"
            self._tell(course, Report(job.number, kind, job.draws, job.draws, None if stopped else found))
            self._next()
