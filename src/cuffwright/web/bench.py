"""What the page computes: prepared cases kept ready, estimates at once, settled answers from the worker."""

import hashlib
import json
import threading
from collections import OrderedDict
from dataclasses import asdict
from typing import Any

from cuffwright import __version__
from cuffwright.case.fact import FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.image_reading import ImageReading
from cuffwright.case.layout import Anchor, Layout
from cuffwright.case.reach import Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.compiled import is_warm
from cuffwright.course.board import Board, Change, Command, after, decide, laid
from cuffwright.course.editing import Edit
from cuffwright.course.imaging import ReadingTaken, filled
from cuffwright.course.laying import OlderRepair, following, older
from cuffwright.exchange.plain import layout_to_plain, sheet_to_plain
from cuffwright.web.holding import Holding
from cuffwright.web.measuring import SetMeasures, written
from cuffwright.web.settling import Course, Settling

Wish = Command | SetMeasures | Edit
"""All that a page may ask for."""

READY = 8
"""Numerical choice: cases kept prepared in memory."""


class Bench:
    """Answers for boards. Every method may be called from any thread, and none from the event loop."""

    def __init__(self, book: FactBook, holding: Holding, settling: Settling) -> None:
        self.book = book
        self.holding = holding
        self.settling = settling
        self._prepared: OrderedDict[tuple[CaseSheet, bool], Any] = OrderedDict()
        self._lock = threading.Lock()

    def prepared(self, sheet: CaseSheet) -> Any:
        """The prepared case; raises CaseError or OutsideValidity when it cannot be worked on."""
        key = sheet, is_warm()
        with self._lock:
            if key in self._prepared:
                self._prepared.move_to_end(key)
                return self._prepared[key]
        ready = self.holding.prepare(sheet, self.book)
        with self._lock:
            self._prepared[key] = ready
            while len(self._prepared) > READY:
                self._prepared.popitem(last=False)
        return ready

    def decide(self, board: Board, command: Wish) -> Change:
        """The change that ``command`` makes of ``board``."""
        if isinstance(command, SetMeasures):
            command = written(board, command, self.lay_on)
        elif isinstance(command, Edit):
            command = self.holding.edit(self.prepared(board.sheet), laid(board), command)

        def lay(name: str) -> Layout:
            return self.holding.lay(self.prepared(board.sheet), name)

        def seat(anchor: Anchor, u: float, v: float) -> Anchor:
            return self.holding.seat(self.prepared(board.sheet), anchor, u, v)

        return decide(board, command, lay, seat)

    def lay_on(self, sheet: CaseSheet, name: str) -> Layout:
        """The pattern ``name`` as it lies on a sheet; raises CaseError or OutsideValidity when it does not."""
        return self.holding.lay(self.prepared(sheet), name)

    def taken(self, board: Board, reading: ImageReading) -> ReadingTaken:
        """The change a reading makes: a repair nobody changed by hand follows it."""
        layout = following(board, filled(board.sheet, reading), self.lay_on)
        return ReadingTaken(reading, layout if layout != board.layout else None)

    def older(self, board: Board) -> OlderRepair | None:
        """The repair that stands, when its pattern would come otherwise on the sheet that stands."""
        return older(board, self.lay_on)

    def job_key(self, board: Board, layout: Layout) -> str:
        """The hash of everything an answer to what stands depends on."""
        return self.input_key(board.sheet, layout, board.stand.approach)

    def input_key(self, sheet: CaseSheet, layout: Layout, approach: Approach) -> str:
        """The hash of everything an answer depends on."""
        inputs = {
            "sheet": sheet_to_plain(sheet),
            "layout": layout_to_plain(layout),
            "approach": asdict(approach),
            "draws": self.settling.draws,
            "seed": self.settling.seed,
            "version": __version__,
            "edition": self.book.edition,
        }
        return hashlib.sha256(json.dumps(inputs, sort_keys=True).encode()).hexdigest()

    def settle(self, case: str, board: Board, layout: Layout) -> Course:
        """Have what stands settled by the worker."""
        key = self.job_key(board, layout)
        return self.settling.ask(case, key, board.sheet, layout, board.stand.approach)

    def answer(self, case: str, board: Board) -> HoldResult | None:
        """The best answer at hand to what stands: settled when known, else an estimate from the last one drawn.

        None without a layout, and as long as nothing was drawn for this pattern: the worker's first answer is near.
        """
        if board.layout is None:
            return None
        known = self.settling.known(case, self.job_key(board, board.layout))
        last = self.settling.last(case)
        if known or last is None or last.layout.pattern != board.layout.pattern:
            return known
        return self.holding.glance(self.prepared(board.sheet), board.layout, last, board.stand.approach)

    def trial(self, case: str, board: Board, command: Wish) -> HoldResult | None:
        """The estimate for ``board`` as it would stand after ``command``; nothing is kept."""
        return self.answer(case, after(board, self.decide(board, command)))

    def explain(self, case: str, board: Board, name: str) -> dict[str, Any] | None:
        """What stands behind one number; None as long as there are no numbers."""
        found = self.answer(case, board)
        if found is None:
            return None
        return self.told(board, found, name)

    def told(self, board: Board, found: HoldResult, name: str) -> dict[str, Any]:
        """What stands behind one number of an answer to a layout on the shoulder of ``board``."""
        answer = self.holding.explain(self.prepared(board.sheet), found, name)
        return {**asdict(answer), "text": answer.text}
