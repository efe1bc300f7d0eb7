"""The record as a PDF page: PDF/A and PDF/UA, from the log alone, so that it can be made again byte for byte."""

import json
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Literal, cast

import typst

from cuffwright import __version__
from cuffwright.case.errors import FormatError
from cuffwright.case.record import EventMark, Record
from cuffwright.exchange.record.document import record_sha256
from cuffwright.exchange.record.drawing import draw_construct
from cuffwright.exchange.record.wording import Wording, wording
from cuffwright.exchange.report.printed import plain
from cuffwright.theatre import Operation

TEMPLATE = Path(__file__).parent / "record.typ"
STANDARDS: list[Literal["ua-1", "a-2b"]] = ["ua-1", "a-2b"]
LATE_SECONDS = 60.0
"""An entry kept later than this after it happened shows both moments."""

BEFORE = datetime(2000, 1, 1, tzinfo=UTC)
"""The moment printed into a record without a log and without a day of operation."""

Words = dict[str, object]


def write_page(record: Record, operation: Operation, language: str = "en") -> bytes:
    """The record as PDF; equal arguments give equal bytes. Raises FormatError when it cannot be set."""
    words = json.dumps(page_words(record, operation, wording(language)), ensure_ascii=False)
    compiler = typst.Compiler(
        input=TEMPLATE, root=TEMPLATE.parent, ignore_system_fonts=True, sys_inputs={"record": words}
    )
    moment = made_at(record, operation)
    try:
        made = compiler.compile(format="pdf", pdf_standards=list(STANDARDS), timestamp=moment.replace(microsecond=0))
    except typst.TypstError as error:
        raise FormatError(f"the record could not be set ({error}); report this with the case as a fault") from error
    return cast("bytes", made)


def made_at(record: Record, operation: Operation) -> datetime:
    """The moment a record is of: its last entry, or else the day of the operation."""
    kept = [k.at for k in operation.entries if k.seq]
    if kept:
        return kept[-1]
    return datetime.combine(record.day, time(), UTC) if record.day else BEFORE


def page_words(record: Record, operation: Operation, words: Wording) -> Words:
    """Everything the page shows, as text."""
    marks = {mark.seq: mark for mark in record.events}
    state = "draft" if operation.signature is None else "amended" if operation.addenda else "signed"
    frame = {key: plain(str(value)) for key, value in words.texts["frame"].items()}
    return {
        "language": words.language,
        "frame": frame,
        "title": plain(words.texts["title"]),
        "state": frame[state],
        "who": _who(record, words),
        "invented": frame["invented"] if record.invented else "",
        "missing": [plain(words.missing(key)) for key in record.missing],
        "sections": [_section(record, place, words) for place in range(len(record.sections))],
        "drawing": _drawing(operation, words),
        "signature": _signature(operation, words, record),
        "addenda": [
            f"{_minute(kept.at)} {plain(entry.person)}: {plain(entry.text)}" for kept, entry in operation.addenda
        ],
        "events": [_event(marks[seq], words) for seq in sorted(marks)],
        "head": record.head or "-",
        "footer": plain(f"Cuffwright {_version(operation)} · {record.contents} · {record_sha256(record)[:16]}"),
    }


def _version(operation: Operation) -> str:
    return operation.signature[1].version if operation.signature else __version__


def _who(record: Record, words: Wording) -> str:
    side = words.texts["word"][f"side.{record.side}"]
    day = record.day.isoformat() if record.day else words.frame("no date")
    return plain(f"{side} · {words.frame('patient')} {record.patient} · {words.frame('operation')} {day}")


def _section(record: Record, place: int, words: Wording) -> Words:
    section = record.sections[place]
    return {
        "title": plain(words.section(section.key)),
        "lines": [
            {
                "text": plain(words.line(line)),
                "standing": plain(words.standing(line.standing))
                + (
                    f", {words.frame('by')} {plain(line.person)}" if line.person and line.standing == "affirmed" else ""
                ),
                "open": line.standing in {"planned, unconfirmed", "changed, unconfirmed", "missing"},
                "events": ", ".join(str(seq) for seq in line.events),
            }
            for line in section.lines
        ],
    }


def _drawing(operation: Operation, words: Wording) -> Words | None:
    found = draw_construct(operation)
    if found is None:
        return None
    svg, width, done = found
    standing = words.standing("affirmed" if done else "planned, unconfirmed")
    return {"svg": svg, "width": width, "alt": plain(f"{words.frame('drawing')}: {standing}"), "standing": standing}


def _signature(operation: Operation, words: Wording, record: Record) -> list[str]:
    if operation.signature is None:
        return [words.frame("unsigned")]
    kept, signed = operation.signature
    return [
        plain(f"{words.frame('signed by')} {signed.person}, {_minute(kept.at)}"),
        plain(f"{words.frame('digest')}: {record_sha256(record)}"),
    ]


def _event(mark: EventMark, words: Wording) -> str:
    late = abs((mark.at - mark.happened).total_seconds()) > LATE_SECONDS
    return f"{mark.seq}: {_minute(mark.happened)}" + (f" ({words.frame('kept')} {_minute(mark.at)})" if late else "")


def _minute(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%d %H:%M")
