"""A whole invented operation that can be signed, with one mishap, one implant wasted and one removed."""

from datetime import timedelta

from cuffwright.case.entry import (
    Affirmed,
    Deviation,
    Finding,
    ImplantEntered,
    ImplantRemoved,
    ImplantWasted,
    Kept,
    MishapEntered,
    Remeasured,
    Stated,
    StepLeft,
    StrengthKept,
)
from cuffwright.case.record import Record
from cuffwright.course.record import compose
from cuffwright.exchange.record import signed, usual_contents
from cuffwright.theatre import Operation, fold
from cuffwright.theatre.standing import line_keys
from tests.theatre.invented_operation import START, WHO, Log, label, laid, opening

CASE = "case-0123456789"
SAID = {
    "surgeon": "operator A",
    "diagnosis before": "full-thickness tear of the supraspinatus",
    "diagnosis after": "full-thickness tear of the supraspinatus, right",
    "procedure": "arthroscopic rotator cuff repair",
    "anaesthesia": "general, with an interscalene block",
    "counts": "complete",
    "blood loss": "none",
}


def record_of(operation: Operation) -> Record:
    """The record of the invented case."""
    return compose(CASE, WHO, operation, usual_contents())


def worked() -> Log:
    """Everything entered, nothing affirmed."""
    layout, _ = laid()
    log = Log(opening(), *(StepLeft(step.key) for step in opening().steps))
    for look in opening().template.looks:
        log.enter(Finding(look, "intact" if look != "supraspinatus" else "torn, full thickness"))
    log.enter(Remeasured("tear.width_mm", 16.0, "mm", "probe"))
    for number, anchor in enumerate(layout.anchors):
        log.enter(ImplantEntered(f"i{number}", anchor.name, label(f"S{number}"), "all-suture 2.5, two sutures"))
    log.enter(MishapEntered("anchor out", layout.anchors[0].name, "new anchor", "came out while the limbs were pulled"))
    log.enter(ImplantRemoved("i0", "pulled out of soft bone"))
    log.enter(ImplantEntered("i8", "", label("S8")))
    log.enter(ImplantWasted("i8", "fell to the floor"))
    log.enter(
        ImplantEntered("i9", layout.anchors[0].name, label("S9"), "threaded 6.5, rescue, three sutures", "threaded-6.5")
    )
    log.enter(Deviation(f"anchor {layout.anchors[0].name}", "put 3 mm further back.", "soft bone", u=9.0, v=1.0))
    log.enter(StrengthKept("planned", "fair", "fair", 150.0, 290.0, 460.0, "1aB", 300, 1, "0.1.0", "abc", "f" * 64))
    for field, text in SAID.items():
        log.enter(Stated(field, text))
    return log


def affirmed() -> Log:
    """Everything affirmed."""
    log = worked()
    log.enter(Affirmed(line_keys(log.operation), "operator A"))
    return log


def signed_log() -> Log:
    """Signed."""
    log = affirmed()
    at = START + timedelta(hours=3)
    entry = signed(record_of(log.operation), log.operation, "operator A", at)
    log.kept.append(Kept(log.next, at, at, "surgeon", entry, f"{log.next:064x}"))
    log.next += 1
    return log


def plan_only() -> Operation:
    """The plan of a case that was never opened in theatre."""
    from dataclasses import replace

    return fold((Kept(0, START, START, "", replace(opening(), confirmed_by="")),))
