"""Random operations entered by a process that is killed at random moments, and what must still hold afterwards."""

import os
import signal
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from cuffwright.archive import Archive, open_archive
from cuffwright.case.entry import Entry, MishapEntered, Replanned, StepLeft
from cuffwright.case.errors import CaseError
from cuffwright.course.limbs_in_theatre import limbs_now
from cuffwright.course.record import compose
from cuffwright.exchange.record import record_sha256, usual_contents
from cuffwright.exchange.theatre import entry_to_plain
from cuffwright.limbs.checking import followed
from cuffwright.theatre import Operation, admit
from cuffwright.theatre.standing import limb_ends
from cuffwright.web.operations import operation_of
from tests.theatre.invented_operation import WHO, Log, laid, ledger, limbs, opening_with_limbs, random_entry

AT = datetime(2026, 8, 1, 8, tzinfo=UTC)
MISHAPS_THEN = (
    MishapEntered("anchor out", "2", at=14.5),
    MishapEntered("anchor out", "1"),
    MishapEntered("suture broke", "2aF"),
    MishapEntered("cannula lost", "lateral"),
)
LONGEST_SECONDS = 0.06
MOST_WAITED = 6


@dataclass
class Outcome:
    """What was counted over all operations; ``wrong`` holds a sentence for everything that did not hold."""

    operations: int = 0
    kills: int = 0
    acknowledged: int = 0
    entries: int = 0
    inside: int = 0
    planned_anew: int = 0
    wrong: list[str] = field(default_factory=list)


def run(folder: Path, operations: int, kills: int, seed: int) -> Outcome:
    """Enter ``operations`` random operations into one archive, each killed ``kills`` times on average."""
    limbs()
    chance, found = np.random.default_rng(seed), Outcome()
    for number in range(operations):
        case = f"case-{number:010x}"
        with open_archive(folder) as archive:
            kind, payload = entry_to_plain(opening_with_limbs(), AT)
            archive.append(case, 0, f"{case}-0", kind, payload, "surgeon", "surgeon", AT, patient=WHO.patient)
            for number_, entry in enumerate(_beginning(chance), 1):
                kind, payload = entry_to_plain(entry, AT)
                archive.append(case, number_, f"{case}-begin-{number_}", kind, payload, "surgeon", "theatre", AT)
        said: list[str] = []
        for turn in range(kills):
            least, seconds = int(chance.integers(MOST_WAITED)), chance.uniform(0.0, LONGEST_SECONDS)
            said += _killed(folder, case, int(chance.integers(2**31)), least, seconds, turn)
            found.kills += 1
        found.operations += 1
        found.acknowledged += len(said)
        _check(folder, case, said, found)
    return found


def _beginning(chance: np.random.Generator) -> list[Entry]:
    """The first moves of the plan left behind, some of them, and something that happened then."""
    made = int(chance.integers(len(limbs()[1].moves)))
    return [*(StepLeft(f"limb move {n}") for n in range(1, made + 1)), MISHAPS_THEN[int(chance.integers(4))]]


def _killed(folder: Path, case: str, seed: int, least: int, seconds: float, turn: int) -> list[str]:
    """Send out a process that enters until it is killed, ``seconds`` after the ``least``-th word; the ids it gave."""
    reading, writing = os.pipe()
    process = os.fork()
    if process == 0:
        os.close(reading)
        try:
            _enter(folder, case, seed, turn, writing)
        finally:
            os._exit(1)
    os.close(writing)
    with os.fdopen(reading, "rb") as heard:
        assert heard.readline() == b"open\n"
        first = [heard.readline().rstrip(b"\n") for _ in range(least)]
        time.sleep(seconds)
        os.kill(process, signal.SIGKILL)
        lines = [*first, *heard.read().split(b"\n")]
    assert os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]) == -signal.SIGKILL
    return [line.decode() for line in lines[:-1]]


def _enter(folder: Path, case: str, seed: int, turn: int, writing: int) -> None:
    chance, number = np.random.default_rng(seed), 0
    with open_archive(folder, wait_seconds=30) as archive:
        os.write(writing, b"open\n")
        while True:
            number += 1
            _enter_one(archive, case, chance, f"{case}-{turn}-{number}-x", writing)


def _enter_one(archive: Archive, case: str, chance: np.random.Generator, name: str, writing: int) -> None:
    events = archive.events(case)
    operation = operation_of(events)
    try:
        entry = random_entry(chance, operation)
        admit(operation, entry, WHO)
    except CaseError:
        return
    kind, payload = entry_to_plain(entry, AT)
    archive.append(case, events[-1].seq, name, kind, payload, "surgeon", "theatre", AT)
    os.write(writing, f"{name}\n".encode())


def _check(folder: Path, case: str, said: list[str], found: Outcome) -> None:
    with open_archive(folder) as archive:
        events = archive.events(case)
        if not archive.verify(case).intact:
            found.wrong.append(f"{case}: the chain is broken")
    stored = {event.id for event in events}
    found.wrong += [f"{case}: {name} was acknowledged and is lost" for name in said if name not in stored]
    operation = operation_of(events)
    found.entries += len(operation.entries)
    found.planned_anew += len(operation.of(Replanned))
    found.wrong += [f"{case}: {fault}" for fault in faults(operation)]
    found.inside += sum(i.where == "inside" for i in operation.implants)
    if _digest(case, operation) != _digest(case, operation_of(events)):
        found.wrong.append(f"{case}: the record made twice differs")


def faults(operation: Operation) -> list[str]:
    """What of an operation does not hold: implants of the record and those inside, and one end for every limb."""
    log = Log()
    log.kept = list(operation.entries)
    record = compose("case-0000000000", WHO, operation, usual_contents())
    shown = {
        dict(line.fill)["implant"]: dict(line.fill)["place"]
        for line in record.section("implants").lines
        if line.words == "implant inside"
    }
    inside = ledger(log)
    wrong = [] if shown == inside else [f"implants in the record {shown}, inside {inside}"]
    wrong += [] if len(set(inside.values())) == len(inside) else ["two implants in one place"]
    shown_limbs = [
        dict(line.fill)["limb"] for line in record.section("construct").lines if line.words.startswith("limb")
    ]
    plans = [laid()[0], *(again.layout for _, again in operation.of(Replanned) if again.layout)]
    every = sorted({hole.name for layout in plans for hole in layout.holes})
    wrong += [] if sorted(shown_limbs) == every == sorted(limb_ends(operation)) else ["a limb without exactly one end"]
    return [*wrong, *limb_faults(operation)]


def limb_faults(operation: Operation) -> list[str]:
    """What of the plans made anew does not hold: each is legal, brings every limb to its end, strings none lost."""
    wrong = []
    for kept, again in operation.of(Replanned):
        assert again.limbs is not None
        told = followed(again.limbs.field, again.limbs.state, [move for _, move in again.limbs.moves])
        ends = {x.stage for x in told.state.limbs}
        if told.first("illegal") or not ends <= {"fixed", "cut", "removed"}:
            wrong.append(f"plan {kept.seq} is not legal to its end: {told.first('illegal')}, {ends}")
        strung = {limb for stitch in again.layout.stitches for limb in stitch.holes} if again.layout else set()
        alive = {x.limb for x in again.limbs.state.limbs if x.stage != "removed"}
        if not strung <= alive:
            wrong.append(f"plan {kept.seq} strings limbs that are removed: {strung - alive}")
    now = limbs_now(operation)
    if now is None:
        return [*wrong, "where the limbs are is not known"]
    ends_by_record = limb_ends(operation)
    gone = {x.limb for x in now.state.limbs if x.stage == "removed" and x.limb in ends_by_record}
    held = {limb for limb in gone if ends_by_record[limb] != "removed"}
    return [*wrong, *([f"removed and held at once: {held}"] if held and not now.waits else [])]


def _digest(case: str, operation: Operation) -> str:
    return record_sha256(compose(case, WHO, operation, usual_contents()))
