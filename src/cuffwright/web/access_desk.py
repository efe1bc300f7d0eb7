"""What the page computes for Access: shoulders kept ready, drawn answers from a process of their own."""

import multiprocessing
import threading
from collections import OrderedDict
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import FactBook
from cuffwright.case.reach import AccessResult, PortalPlace, Pose
from cuffwright.course.access import DRAWS, Ready, ready
from cuffwright.course.board import Board
from cuffwright.web.access_worker import begin, draw
from cuffwright.web.refusal import Refusal

KEPT = 16
"""Numerical choice: shoulders, and drawn answers, kept in memory."""

PATIENCE_SECONDS = 120.0
"""Numerical choice: a request for a drawn answer waits this long."""

NO_PATTERN = "Access needs a repair pattern: without one there is nothing to reach; choose a pattern in Repair"


ENDED = "the computing process ended before the answer; turn the arm to start it again"


class AccessDesk:
    """Answers for boards. Every method may be called from any thread, and none from the event loop."""

    def __init__(self, book: FactBook, seed: int, draws: int = DRAWS) -> None:
        self._book, self._seed, self._draws = book, seed, draws
        self._lock = threading.Lock()
        self._ready: OrderedDict[Any, Ready] = OrderedDict()
        self._drawn: OrderedDict[Any, Future[AccessResult]] = OrderedDict()
        self._latest: dict[str, Any] = {}
        self._pool: ProcessPoolExecutor | None = None

    def ready(self, board: Board) -> Ready:
        """The shoulder of a case with the portals that stand.

        Raises
        ------
        CaseError
            When no pattern is chosen, or the case is impossible.
        OutsideValidity, EvidenceError
            As the course says.
        """
        if board.layout is None:
            raise CaseError(NO_PATTERN)
        key = board.sheet, board.layout, board.stand.portals
        with self._lock:
            if key in self._ready:
                self._ready.move_to_end(key)
                return self._ready[key]
        asked = ready(board.sheet, self._book, layout=board.layout, places=board.stand.portals)
        with self._lock:
            self._ready[key] = asked
            while len(self._ready) > KEPT:
                self._ready.popitem(last=False)
        return asked

    def pose(self, board: Board) -> Pose:
        """The arm position that stands; the beach chair's usual one before one is set."""
        return board.stand.arm or self.ready(board).gear.posing.usual["beach chair"]

    def known(self, board: Board) -> AccessResult | None:
        """The drawn answer to what stands, when it is kept."""
        key = self._key(board)
        with self._lock:
            found = self._drawn.get(key)
        if found is None or not found.done() or found.cancelled() or found.exception() is not None:
            return None
        return found.result()

    def answer(self, case: str, board: Board) -> AccessResult | None:
        """The drawn answer to what stands; waits for it. An older one of the same case that has not begun is dropped.

        None when it was dropped itself, since the case moved on while it waited.

        Raises
        ------
        Refusal
            When it takes too long, or the computing process died.
        """
        key = self._key(board)
        with self._lock:
            found = self._drawn.get(key)
            if found is None or found.cancelled() or (found.done() and found.exception() is not None):
                self._drop(case)
                found = self._drawn[key] = self._begin(board, key[-1])
                while len(self._drawn) > KEPT:
                    self._drawn.popitem(last=False)
            self._latest[case] = key
        return self._waited(found)

    def _drop(self, case: str) -> None:
        latest = self._latest.get(case)
        older = self._drawn.get(latest)
        if older is not None and older.cancel():
            del self._drawn[latest]

    def close(self) -> None:
        """Stop the process."""
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            for process in list((pool._processes or {}).values()):
                process.terminate()
            pool.shutdown(wait=True, cancel_futures=True)

    def _key(self, board: Board) -> tuple[Any, Any, tuple[PortalPlace, ...], Pose]:
        return board.sheet, board.layout, board.stand.portals, self.pose(board)

    def _begin(self, board: Board, pose: Pose) -> Future[AccessResult]:
        if board.layout is None:
            raise CaseError(NO_PATTERN)
        if self._pool is None:
            spawn = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(1, mp_context=spawn, initializer=begin, initargs=(self._book,))
        try:
            return self._pool.submit(
                draw, board.sheet, board.layout, pose, board.stand.portals, self._draws, self._seed
            )
        except BrokenProcessPool:
            self._pool = None
            raise Refusal(503, ENDED) from None

    def _waited(self, found: Future[AccessResult]) -> AccessResult | None:
        try:
            return found.result(PATIENCE_SECONDS)
        except TimeoutError:
            raise Refusal(503, "the draws are not done yet; ask again in a moment") from None
        except CancelledError:
            return None
        except BrokenProcessPool:
            with self._lock:
                self._pool = None
            raise Refusal(503, ENDED) from None
