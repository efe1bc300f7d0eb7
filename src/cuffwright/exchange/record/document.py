"""The record as JSON: what it holds, its signature and addenda; the same log gives the same bytes."""

import hashlib
import json
from typing import Any

from cuffwright.case.record import Record
from cuffwright.exchange.plain import to_plain
from cuffwright.exchange.record.wording import wording
from cuffwright.theatre import Operation

FORMAT = 1
"""The newest format of a record document this release writes and reads."""

WHAT = "operation record"


def document(record: Record, operation: Operation, language: str = "en") -> dict[str, Any]:
    """The record as plain values: ``record`` without language, ``words`` for a reader, signature and addenda."""
    words = wording(language)
    signed = operation.signature
    return {
        "format": FORMAT,
        "what": WHAT,
        "record": to_plain(record),
        "record_sha256": record_sha256(record),
        "language": language,
        "words": [
            {
                "section": words.section(section.key),
                "lines": [
                    {"text": words.line(line), "standing": words.standing(line.standing), "events": list(line.events)}
                    for line in section.lines
                ],
            }
            for section in record.sections
        ],
        "missing": [words.missing(key) for key in record.missing],
        "signature": None
        if signed is None
        else {"at": signed[0].at.isoformat(), "hash": signed[0].hash, **to_plain(signed[1])},
        "addenda": [
            {"at": kept.at.isoformat(), "seq": kept.seq, **to_plain(entry)} for kept, entry in operation.addenda
        ],
    }


def document_bytes(found: dict[str, Any]) -> bytes:
    """A document as it stands in its file."""
    return json.dumps(found, indent=1, sort_keys=True, ensure_ascii=False).encode("utf-8") + b"\n"


def record_sha256(record: Record) -> str:
    """The digest of what a record holds, language, signature and addenda apart."""
    plain = json.dumps(to_plain(record), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(plain.encode("utf-8")).hexdigest()
