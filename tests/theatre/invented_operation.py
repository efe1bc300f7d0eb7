"""An invented operation, its entries numbered as a log would, and random ones."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import numpy as np

from cuffwright.case.entry import (
    Affirmed,
    Deviation,
    Entry,
    Finding,
    ImplantEntered,
    ImplantRemoved,
    ImplantWasted,
    Kept,
    MishapEntered,
    Remeasured,
    StepLeft,
    TheatreOpened,
    Withdrawn,
)
from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.implant import ImplantLabel
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.course.hold import lay, prepare
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.theatre import usual_template
from cuffwright.theatre import Operation, admit, fold, operation_steps
from cuffwright.theatre.middle import repair_steps

DAY = date(2026, 8, 1)
START = datetime(2026, 8, 1, 8, 0, tzinfo=UTC)
WHO = Identity("invented-7", "right", DAY)
MISHAPS = ("anchor out", "suture broke", "soft bone", "vision lost", "portal unusable", "something else")


@cache
def laid() -> tuple[Layout, TendonStrip]:
    """The bridging repair of the small invented tear."""
    ready = prepare(demo_cases()["small_crescent"], load_book(), plain=True)
    return lay(ready, "bridging-knotted"), ready.strip


def opening() -> TheatreOpened:
    """Theatre opened on it."""
    layout, strip = laid()
    steps = operation_steps(usual_template(), repair_steps(layout), bone_work=False)
    terrain = (("articular margin", ((-10.0, 0.0), (40.0, 0.0))),)
    words = (("tear.width_mm", "14 mm"), ("tear.retraction_mm", "12 mm"))
    return TheatreOpened("invented-7", "right", "surgeon", DAY, usual_template(), steps, layout, strip, terrain, words)


def label(serial: str, expires: date | None = date(2028, 1, 1)) -> ImplantLabel:
    """The label of an invented implant."""
    return ImplantLabel(
        "gs1", "51022222233336", "raw", f"(01)51022222233336(21){serial}", "LOT7", serial, None, expires
    )


class Log:
    """Entries as a case's log keeps them: admitted, numbered, timed."""

    def __init__(self, *entries: Entry, start: int = 3) -> None:
        self.kept: list[Kept] = []
        self.next = start
        for entry in entries:
            self.enter(entry)

    def enter(self, entry: Entry) -> Operation:
        """Keep an entry that is admitted; raises CaseError otherwise."""
        admit(self.operation, entry, WHO)
        at = START + timedelta(minutes=self.next)
        self.kept.append(Kept(self.next, at, at, "surgeon", entry, f"{self.next:064x}"))
        self.next += 1
        return self.operation

    @property
    def operation(self) -> Operation:
        """What stands."""
        return fold(self.kept)


def random_entry(chance: np.random.Generator, operation: Operation) -> Entry:
    """Any entry, sensible or not."""
    layout, _ = laid()
    places = [a.name for a in layout.anchors]
    implants = [i.entered.implant for i in operation.implants] or ["none"]
    keys = [line for step in opening().steps for line in step.lines]
    number = int(chance.integers(10_000))

    def one(names: list[str]) -> str:
        return names[int(chance.integers(len(names)))]

    date_ = DAY if chance.random() < 0.8 else date(2020, 1, 1)
    makers: list[Callable[[], Entry]] = [
        lambda: StepLeft(one([step.key for step in opening().steps])),
        lambda: Finding("biceps", "frayed"),
        lambda: Remeasured("tear.width_mm", float(number % 30 + 1), "mm"),
        lambda: ImplantEntered(f"i{number}", one([*places, *places, ""]), label(f"S{number}", date_)),
        lambda: ImplantEntered(f"i{number}", one(places), label(f"S{number}", date_)),
        lambda: _put_in(operation, one(places)),
        lambda: ImplantWasted(one(implants), "dropped"),
        lambda: ImplantRemoved(one(implants), "pulled out"),
        lambda: MishapEntered(MISHAPS[number % len(MISHAPS)], one([*places, "1a", "1aF", ""]), "", "seen"),
        lambda: Deviation(one([*keys, ""]), "otherwise", "soft bone", left_out=chance.random() < 0.3),
        lambda: Affirmed((one(keys),), "surgeon"),
        lambda: Withdrawn(int(chance.integers(1, 60)), "wrong entry"),
    ]
    return makers[int(chance.integers(len(makers)))]()


def _put_in(operation: Operation, place: str) -> Entry:
    """An opened implant put in, or a step left when none is open."""
    waiting = [i.entered for i in operation.implants if i.where == "opened"]
    return replace(waiting[0], place=place) if waiting else StepLeft("position")


def random_operation(seed: int, length: int = 60) -> tuple[Log, dict[str, str]]:
    """A random operation, and an account of the implants inside kept by a ledger of its own."""
    chance = np.random.default_rng(seed)
    log = Log(opening())
    for _ in range(length):
        entry = random_entry(chance, log.operation)
        try:
            log.enter(entry)
        except CaseError:
            continue
    return log, ledger(log)


def ledger(log: Log) -> dict[str, str]:
    """Implants inside by place, by replaying the log backwards from withdrawals alone."""
    void: set[int] = set()
    for kept in reversed(log.kept):
        if isinstance(kept.entry, Withdrawn) and kept.seq not in void:
            void.add(kept.entry.seq)
    inside: dict[str, str] = {}
    out: set[str] = set()
    for kept in (k for k in log.kept if k.seq not in void):
        if isinstance(kept.entry, ImplantWasted | ImplantRemoved):
            out.add(kept.entry.implant)
    for kept in (k for k in log.kept if k.seq not in void):
        if isinstance(kept.entry, ImplantEntered) and kept.entry.place and kept.entry.implant not in out:
            inside[kept.entry.implant] = kept.entry.place
    return inside
