"""Who and which side, what happened, what was done otherwise, and the strength that follows, in lines."""

from collections.abc import Iterator
from typing import Literal

from cuffwright.case.entry import Kept, MishapEntered, Replanned, TheatreOpened
from cuffwright.case.record import RecordLine
from cuffwright.theatre import Operation, lines
from cuffwright.theatre.codes import ICD, icd_words
from cuffwright.theatre.standing import planned_day

WHICH: tuple[Literal["planned", "done"], ...] = ("planned", "done")


def identity_lines(operation: Operation) -> Iterator[RecordLine]:
    """Who confirmed identity and side, or that nobody did."""
    opened = [(k, e) for k, e in operation.of(TheatreOpened) if e.confirmed_by]
    if not opened:
        yield RecordLine("identity unconfirmed", (), "missing")
    for kept, entry in opened:
        fill = (
            ("patient", entry.patient),
            ("side", f"@side.{entry.side}"),
            ("day", entry.day.isoformat()),
            ("person", entry.confirmed_by),
            ("template", f"{entry.template.name}, {entry.template.version}"),
        )
        yield RecordLine("identity", fill, "entered", (kept.seq,), entry.confirmed_by)
        other = planned_day(entry)
        if other is not None:
            days = (("day", entry.day.isoformat()), ("before", other))
            yield RecordLine("other day", days, "computed", (kept.seq,))


def portal_lines(operation: Operation) -> Iterator[RecordLine]:
    """Every portal of the plan, as it stands."""
    for line in lines(operation):
        portal = line.key.removeprefix("portal ")
        if portal != line.key:
            words = "portal left out" if line.left_out else "portal"
            yield RecordLine(words, (("portal", portal),), line.standing, line.events, line.person)


def step_lines(operation: Operation) -> Iterator[RecordLine]:
    """Every other step of the template, as it stands."""
    opening = operation.opening
    titles = {line: step.title for step in (opening.steps if opening else ()) for line in step.lines}
    for line in lines(operation):
        if line.key.startswith("step "):
            words = "step left out" if line.left_out else "step"
            fill = (("step", titles.get(line.key, line.key)),)
            yield RecordLine(words, fill, line.standing, line.events, line.person)


def happened_lines(operation: Operation) -> Iterator[RecordLine]:
    """Every mishap as entered; one line when none was."""
    for kept, entry in operation.mishaps:
        fill = (
            ("kind", f"@mishap.{entry.kind}"),
            ("name", entry.name or "-"),
            ("answer", _answer(entry)),
            ("words", entry.words or "-"),
        )
        yield RecordLine("mishap", fill, "entered", (kept.seq,))
    if not operation.mishaps:
        yield RecordLine("mishap none", (), "computed")


def _answer(entry: MishapEntered) -> str:
    """The surgeon's answer: as chosen, where, and in words."""
    at = f"{entry.at:g} mm" if entry.at is not None else ""
    return ", ".join(filter(None, (entry.choice, entry.limb, at, entry.answer))) or "-"


def code_lines(operation: Operation) -> Iterator[RecordLine]:
    """Every code as chosen; none is ever made up."""
    for kept, entry in operation.codes.values():
        fill = (("which", f"@code.{entry.about}"), ("system", entry.system), ("code", entry.code))
        if entry.system == ICD:
            yield RecordLine("code", (*fill, ("words", icd_words(entry.code))), "entered", (kept.seq,))
        else:
            yield RecordLine("code own", fill, "entered", (kept.seq,))


def deviation_lines(operation: Operation) -> Iterator[RecordLine]:
    """Every deviation with its reason, and every entry withdrawn; one line when there is neither."""
    for kept, entry in operation.deviations:
        said = (("line", entry.line or "-"), ("text", entry.text), ("reason", entry.reason))
        yield RecordLine("deviation", said, "entered", (kept.seq,))
    replanned: list[tuple[Kept, Replanned]] = operation.of(Replanned)
    for kept, again in replanned:
        if again.made == "in theatre":
            numbers = ", ".join(str(seq) for seq in again.because) or "-"
            anew = (("seq", numbers), ("changes", "; ".join(again.changes) or "-"), ("proven", again.words))
            yield RecordLine("replanned limbs", anew, "computed", (*again.because, kept.seq))
            continue
        pattern = again.layout.pattern if again.layout else "-"
        yield RecordLine("replanned", (("pattern", pattern), ("reason", again.reason)), "entered", (kept.seq,))
    for seq, kept in sorted(operation.withdrawn.items()):
        fill = (("seq", str(seq)), ("reason", getattr(kept.entry, "reason", "")))
        yield RecordLine("withdrawn", fill, "entered", (seq, kept.seq))
    if not (operation.deviations or operation.withdrawn or replanned):
        yield RecordLine("deviation none", (), "computed")


def strength_lines(operation: Operation) -> Iterator[RecordLine]:
    """The strength by the model, planned and as done, from what was kept; never recomputed."""
    for which in WHICH:
        found = operation.strength(which)
        if found is None:
            yield RecordLine("strength missing", (("which", f"@{which}"),), "missing")
            continue
        kept, entry = found
        fill = (
            ("which", f"@{which}"),
            ("low", f"{entry.low_newtons:g}"),
            ("middle", f"{entry.middle_newtons:g}"),
            ("high", f"{entry.high_newtons:g}"),
            ("tissue", f"@{entry.tissue}"),
            ("bone", f"@{entry.bone}"),
            ("weakest", entry.weakest),
            ("run", f"{entry.draws}, {entry.seed}, {entry.version}, {entry.edition}, {entry.input_hash}"),
        )
        yield RecordLine("strength", fill, "computed", (kept.seq,))
