"""Operations behind the page: read from the archive, entries kept once and in order, records made from them."""

import threading
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from cuffwright.archive import Event, StaleCase
from cuffwright.case.entry import Entry, Kept, Replanned, Signed, Terrain, TheatreOpened
from cuffwright.case.errors import CaseError, CuffError, FormatError
from cuffwright.case.identity import Identity
from cuffwright.case.implant import Stock
from cuffwright.case.layout import Layout
from cuffwright.case.operation import LimbsFollowed, OperationStep, OperationTemplate
from cuffwright.case.record import Record
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.board import Board
from cuffwright.course.limbs_in_theatre import keys_for, planned_anew
from cuffwright.course.prepared import Prepared
from cuffwright.course.record import compose
from cuffwright.exchange.implants import open_stock
from cuffwright.exchange.record import signed, usual_contents
from cuffwright.exchange.report import terrain_lines
from cuffwright.exchange.theatre import entry_to_plain, kept, open_template, usual_template
from cuffwright.theatre import Operation, admit, fold, operation_steps
from cuffwright.theatre.middle import PlannedStep, move_keys, repair_steps
from cuffwright.theatre.standing import DAY
from cuffwright.web.bench import Bench
from cuffwright.web.cases import Cases
from cuffwright.web.limbs_desk import LimbsDesk, Point
from cuffwright.web.measures import measures

TRIES = 50
"""Numerical choice: other hands may get in between this often before an entry is refused."""

Make = Callable[[Operation, datetime], Entry]
"""Makes an entry from what stands, at the moment at which it will be kept."""

ROUND_MM = 2
"""Numerical choice: decimals of the drawn lines kept in the log."""


@dataclass(frozen=True)
class Order:
    """The steps of a plan of limbs, and what theatre keeps of it."""

    steps: Sequence[PlannedStep]
    limbs: LimbsFollowed


@dataclass(frozen=True)
class Log:
    """What the log of a case holds after event ``seq``."""

    seq: int
    operation: Operation


class Operations:
    """The logs of all cases. Safe to share between threads."""

    def __init__(self, cases: Cases, data: Path, limbs: LimbsDesk | None = None) -> None:
        self._cases, self._data, self._limbs = cases, data, limbs
        self._lock = threading.Lock()
        self._seen: dict[str, Log] = {}

    def now(self, key: str) -> Log:
        """What stands in the log of case ``key``."""
        seq = self._cases.now(key).seq
        with self._lock:
            seen = self._seen.get(key)
        if seen is not None and seen.seq == seq:
            return seen
        events = self._cases.events(key)
        log = Log(events[-1].seq, operation_of(events))
        with self._lock:
            self._seen[key] = log
        return log

    def enter(self, key: str, command_id: str, entry: Entry, happened: datetime, role: str) -> Log:
        """Keep an entry, once: the same command sent again changes nothing.

        An entry is a fact, not an edit: it is never refused because the case moved on, only because it cannot be.

        Raises
        ------
        CaseError
            When it may not follow what stands.
        """
        return self._enter(key, command_id, lambda *_: entry, role, happened)

    def _enter(self, key: str, command_id: str, make: Make, role: str, happened: datetime | None = None) -> Log:
        for _ in range(TRIES):
            events, at = self._cases.events(key), self._cases.clock()
            if any(event.id == command_id for event in events):
                return self.now(key)
            operation = operation_of(events)
            entry = make(operation, at)
            admit(operation, entry, self._cases.now(key).board.sheet.identity)
            with suppress(StaleCase):
                said = entry_to_plain(entry, happened or at)
                self._cases.log(key, events[-1].seq, command_id, said, role, at)
                return self.now(key)
        raise CaseError("too many others are entering at once; enter it again")

    def record(self, key: str, bench: Bench) -> Record:
        """The record of case ``key`` as it stands; before theatre, of its plan alone."""
        return record_of(key, self._cases.now(key).board, self.standing(key, bench))

    def standing(self, key: str, bench: Bench) -> Operation:
        """The operation as the record sees it: the log, or before theatre the plan that nobody confirmed."""
        operation = self.now(key).operation
        if operation.first is not None:
            return operation
        return planned(operation, self.plan(self._cases.now(key).board, bench), self._cases.clock())

    def sign(self, key: str, command_id: str, person: str) -> Log:
        """Sign the record; raises CaseError when something lacks that signing waits for."""

        def make(operation: Operation, at: datetime) -> Entry:
            if operation.signature is not None or operation.opening is None:
                return Signed(person, "", "", "", "")
            return signed(record_of(key, self._cases.now(key).board, operation), operation, person, at)

        return self._enter(key, command_id, make, "surgeon")

    def plan(self, board: Board, bench: Bench) -> TheatreOpened:
        """The plan as theatre would open on it, with nobody's name under it."""
        return plan_of(board, bench.prepared, self.template(), self.today(), self.order(board))

    def follow(self, key: str, command_id: str, reason: str, happened: datetime, bench: Bench) -> Log:
        """Follow the plan that stands in Repair from here on; raises CaseError when it may not be entered."""
        board = self._cases.now(key).board

        def make(operation: Operation, _: datetime) -> Entry:
            order = self.order(board, operation)
            plan = plan_of(board, bench.prepared, self.template(), self.today(), order)
            return Replanned(reason, plan.steps, plan.layout, plan.strip, limbs=plan.limbs)

        return self._enter(key, command_id, make, "surgeon", happened)

    def plan_anew(self, key: str, command_id: str, happened: datetime) -> tuple[Log, str]:
        """Plan the limbs from where they are, and why not when that cannot be; nothing is kept when nothing changed."""
        try:
            return self._enter(key, command_id, lambda operation, _: _anew(operation), "program", happened), ""
        except _Unchanged:
            return self.now(key), ""
        except CaseError as wrong:
            return self.now(key), str(wrong)

    def order(self, board: Board, operation: Operation | None = None) -> Order | None:
        """The steps of the plan of limbs and what they start from, or None where none is planned."""
        if self._limbs is None or board.layout is None:
            return None
        with suppress(CuffError):
            here = self._limbs.point(board)
            return order_of(here, operation) if here.plan else None
        return None

    def today(self) -> date:
        """The day by this machine's own clock and zone."""
        return self._cases.clock().astimezone().date()

    def template(self) -> OperationTemplate:
        """The surgeon's own template in the folder of the cases, or the one that comes with the program."""
        own = self._data / "template.toml"
        return open_template(own) if own.is_file() else usual_template()

    def stock(self) -> Stock | None:
        """The stock of implants in the folder of the cases, or None when none is kept."""
        own = self._data / "stock.toml"
        return open_stock(own) if own.is_file() else None


class _Unchanged(Exception):
    """Nothing is to be planned anew."""


def _anew(operation: Operation) -> Entry:
    found = planned_anew(operation, "something happened")
    if found is None:
        raise _Unchanged
    return found


def order_of(here: Point, operation: Operation | None) -> Order:
    """A plan of limbs as theatre follows it, with the keys of its steps."""
    plan, opened = here.plan, here.opening
    assert plan is not None
    keys = keys_for(operation, plan.moves) if operation is not None else move_keys("", plan.steps)
    sites = [*(c.name for c in here.field.carriers), *(s.name for s in here.field.seats)]
    sites += [limb for suture in here.field.sutures for limb in suture.limbs]
    arms = tuple((site, opened.arm(site)) for site in sites if opened.arm(site))
    return Order(plan.steps, LimbsFollowed(here.field, here.state, tuple(zip(keys, plan.moves, strict=True)), arms))


def operation_of(events: Iterable[Event]) -> Operation:
    """The operation that the events of a case hold; raises FormatError when an entry cannot be read."""
    found = []
    for event in events:
        if event.erased or event.locked:
            raise FormatError(f"case {event.case} cannot be read here; its patient's key was destroyed or is elsewhere")
        one = kept(event.seq, event.at, event.role, event.kind, event.payload, event.hash)
        found += [one] if one is not None else []
    return fold(found)


def planned(operation: Operation, plan: TheatreOpened, at: datetime) -> Operation:
    """The operation with its plan put first, as something nobody confirmed."""
    return fold((Kept(0, at, at, "", plan), *operation.entries))


def record_of(key: str, board: Board, operation: Operation) -> Record:
    """The record of an operation on the case of ``board``."""
    identity: Identity = board.sheet.identity
    return compose(key, identity, operation, usual_contents())


def plan_of(
    board: Board,
    prepared: Callable[[CaseSheet], Prepared],
    template: OperationTemplate,
    today: date,
    order: Order | None = None,
) -> TheatreOpened:
    """The plan of ``board`` as theatre would open on it, with its plan of limbs where there is one."""
    identity = board.sheet.identity
    layout, strip = board.layout, None
    lines: Terrain = ()
    with suppress(CuffError):
        ready = prepared(board.sheet)
        strip = layout.on(ready.strip) if layout else ready.strip
        drawn = terrain_lines(ready.chart)
        lines = tuple(
            (name, tuple((round(u, ROUND_MM), round(v, ROUND_MM)) for u, v in run)) for name, run in drawn.items()
        )
    bone_work = bool(board.sheet.judgement.acromioplasty_reason)
    return TheatreOpened(
        patient=identity.patient,
        side=identity.side,
        confirmed_by="",
        day=today,
        template=template,
        steps=operation_steps(template, _repair(layout, order), bone_work=bone_work),
        layout=layout,
        strip=strip,
        terrain=lines,
        sheet_words=tuple(_words(board)),
        limbs=order.limbs if order else None,
    )


def _repair(layout: Layout | None, order: Order | None) -> tuple[OperationStep, ...]:
    if order is None:
        return repair_steps(layout)
    return repair_steps(layout, order.steps, [key for key, _ in order.limbs.moves])


def confirmed(plan: TheatreOpened, patient: str, side: str, person: str) -> TheatreOpened:
    """The plan with what a person confirmed."""
    if side not in ("right", "left"):
        raise CaseError("the side is neither right nor left; choose one")
    return replace(plan, patient=patient, side="right" if side == "right" else "left", confirmed_by=person)


def _words(board: Board) -> Iterable[tuple[str, str]]:
    tear, day = board.sheet.tear, board.sheet.identity.operation_date
    if day is not None:
        yield DAY, day.isoformat()
    for row in measures(board.sheet):
        if row.known and row.path.startswith("tear."):
            yield row.path, row.value
    yield "tear.tendons", ", ".join(tear.tendons)
    yield "tear.full_thickness", "yes" if tear.full_thickness else "no"
    if tear.shape:
        yield "tear.shape", tear.shape
