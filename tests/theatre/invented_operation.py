"""An invented operation, its entries numbered as a log would, and random ones."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from typing import Any, TypeVar, get_args

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
    MishapChoice,
    MishapEntered,
    MishapWord,
    Remeasured,
    StepLeft,
    TheatreOpened,
    Withdrawn,
)
from cuffwright.case.errors import CaseError
from cuffwright.case.identity import Identity
from cuffwright.case.implant import ImplantLabel
from cuffwright.case.layout import Layout, TendonStrip
from cuffwright.case.operation import LimbsFollowed
from cuffwright.course.hold import lay, prepare
from cuffwright.course.limbs import lay_limbs
from cuffwright.course.limbs_in_theatre import planned_anew
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.exchange.theatre import usual_template
from cuffwright.limbs.planning import make_plan
from cuffwright.theatre import Operation, admit, fold, operation_steps
from cuffwright.theatre.middle import PlannedStep, move_keys, repair_steps

DAY = date(2026, 8, 1)
START = datetime(2026, 8, 1, 8, 0, tzinfo=UTC)
WHO = Identity("invented-7", "right", DAY)
MISHAPS: tuple[MishapWord, ...] = get_args(MishapWord)
CHOICES: tuple[MishapChoice, ...] = get_args(MishapChoice)
PORTALS = ("anterior", "lateral", "posterior", "accessory superolateral")
AHEAD = 6
LOOKED_AT = 400
T = TypeVar("T")


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


@cache
def limbs() -> tuple[Sequence[PlannedStep], LimbsFollowed]:
    """The plan of limbs of that repair."""
    ready = prepare(demo_cases()["small_crescent"], load_book(), plain=True)
    laid_limbs = lay_limbs(ready, laid()[0])
    plan = make_plan(laid_limbs.field, laid_limbs.state, arm=laid_limbs.arm)
    moves = tuple(zip(move_keys("", plan.steps), plan.moves, strict=True))
    return plan.steps, LimbsFollowed(laid_limbs.field, laid_limbs.state, moves, laid_limbs.arms)


def opening_with_limbs() -> TheatreOpened:
    """Theatre opened on it, with its plan of limbs."""
    steps, followed = limbs()
    whole = operation_steps(usual_template(), repair_steps(laid()[0], steps), bone_work=False)
    return replace(opening(), steps=whole, limbs=followed)


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
    now = operation.opening or opening_with_limbs()
    places = [a.name for a in now.layout.anchors] if now.layout and now.layout.anchors else ["1"]
    holes = [h.name for h in now.layout.holes] if now.layout else []
    implants = [i.entered.implant for i in operation.implants] or ["none"]
    keys = [line for step in now.steps for line in step.lines]
    number = int(chance.integers(10_000))
    ahead = [step.key for step in now.steps if "plan" in step.key or "move" in step.key]
    ahead = [key for key in ahead if key not in operation.left] or ["position"]

    def one(names: list[T]) -> T:
        return names[int(chance.integers(len(names)))]

    date_ = DAY if chance.random() < 0.8 else date(2020, 1, 1)
    makers: list[Callable[[], Entry]] = [
        lambda: StepLeft(one([step.key for step in now.steps])),
        *(lambda: StepLeft(ahead[0]) for _ in range(AHEAD)),
        lambda: Finding("biceps", "frayed"),
        lambda: Remeasured("tear.width_mm", float(number % 30 + 1), "mm"),
        lambda: ImplantEntered(f"i{number}", one([*places, *places, ""]), label(f"S{number}", date_)),
        lambda: ImplantEntered(f"i{number}", one(places), label(f"S{number}", date_)),
        lambda: _put_in(operation, one(places)),
        lambda: ImplantWasted(one(implants), "dropped"),
        lambda: ImplantRemoved(one(implants), "pulled out"),
        lambda: _mishap(one, places, holes),
        lambda: _mishap(one, places, holes),
        lambda: _anew(operation),
        lambda: _anew(operation),
        lambda: _anew(operation),
        lambda: Deviation(one([*keys, ""]), "otherwise", "soft bone", left_out=chance.random() < 0.3),
        lambda: Affirmed((one(keys),), "surgeon"),
        lambda: Withdrawn(int(chance.integers(1, 60)), "wrong entry"),
    ]
    return makers[int(chance.integers(len(makers)))]()


def _mishap(one: Callable[[list[Any]], Any], places: list[str], holes: list[str]) -> Entry:
    """A mishap, mostly to what it can befall."""
    kind = one([*MISHAPS])
    sutures = [hole[:-1] for hole in holes]
    pools = {"anchor out": places, "soft bone": places, "portal unusable": [*PORTALS], "cannula lost": ["lateral"]}
    pools |= {"suture unloaded": sutures, "knot failed": sutures, "vision lost": [*PORTALS, ""]}
    name = one([*pools.get(kind, holes), ""])
    choice, at = one([*CHOICES]), one([None, 9.0, 14.0, 18.0])
    return MishapEntered(kind, name, "", "seen", choice, at, one([*holes, ""]))


def _anew(operation: Operation) -> Entry:
    """The limbs planned anew, or a step left when nothing asks for it; raises CaseError when there is no order."""
    return planned_anew(operation, "something happened", budget=LOOKED_AT) or StepLeft("position")


def _put_in(operation: Operation, place: str) -> Entry:
    """An opened implant put in, or a step left when none is open."""
    waiting = [i.entered for i in operation.implants if i.where == "opened"]
    return replace(waiting[0], place=place) if waiting else StepLeft("position")


def random_operation(seed: int, length: int = 60) -> tuple[Log, dict[str, str]]:
    """A random operation, and an account of the implants inside kept by a ledger of its own."""
    chance = np.random.default_rng(seed)
    log = Log(opening_with_limbs())
    for _ in range(length):
        with suppress(CaseError):
            log.enter(random_entry(chance, log.operation))
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
