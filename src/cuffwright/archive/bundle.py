"""A case as one file: JSON lines, first a heading with ``format = 1``, then its events as stored.

The payloads stay locked. With the patient's key in the heading whoever has the file can read the case; without
it the file proves what happened and when, and opens only where the key is. The same case always gives the same
bytes.
"""

import base64
import binascii
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cuffwright.archive.canonical import canonical, parsed
from cuffwright.archive.chain import Raw, walk
from cuffwright.archive.event import named
from cuffwright.archive.keys import PatientKey
from cuffwright.archive.rows import COLUMNS, NUMBERS, number, text
from cuffwright.archive.utc import utc_moment
from cuffwright.case.errors import ArchiveError, FormatError

BUNDLE_FORMAT = 1
"""The format number this release writes on a bundle, and the newest it reads."""

WHAT = "case bundle"

LARGEST_SCHEMA = 1_000_000
"""No event format number reaches this."""


@dataclass(frozen=True)
class Bundle:
    """A case read from a bundle: its events as stored, and the patient's keys that came with it."""

    case: str
    rows: tuple[Raw, ...]
    keys: tuple[PatientKey, ...]


def write_bundle(case: str, rows: Sequence[Raw], keys: Sequence[PatientKey] = ()) -> bytes:
    """The bundle of ``case`` with its events and, where wanted, the keys that open them."""
    heading = {
        "format": BUNDLE_FORMAT,
        "what": WHAT,
        "case": case,
        "events": len(rows),
        "head": text(rows[-1]["hash"]),
        "keys": [{"name": key.name, "patient": key.patient, "secret": key.secret.hex()} for key in keys],
    }
    return b"".join(canonical(part) + b"\n" for part in (heading, *(_plain(raw) for raw in rows)))


def read_bundle(content: bytes) -> Bundle:
    """Read a bundle and walk its chain.

    Raises
    ------
    FormatError
        If it is no bundle, one of a newer format, or not byte for byte as one is written.
    ArchiveError
        If an event in it was altered, is missing, or belongs to another case.
    """
    first, *others = content.removesuffix(b"\n").split(b"\n")
    heading = _object(first, "its first line")
    if heading.get("what") != WHAT or type(heading.get("format")) is not int:
        raise FormatError("the file is no case bundle; choose a file that was exported as one")
    if heading["format"] > BUNDLE_FORMAT:
        raise FormatError(
            f"the bundle is of format {heading['format']}, and this release reads up to {BUNDLE_FORMAT}; "
            "import it with a newer release"
        )
    rows = tuple(_raw(_object(each, f"line {place}"), place) for place, each in enumerate(others, 2))
    try:
        case, events, head = str(heading["case"]), int(heading["events"]), str(heading["head"])
        keys = tuple(PatientKey(str(k["name"]), str(k["patient"]), bytes.fromhex(k["secret"])) for k in heading["keys"])
    except (KeyError, TypeError, ValueError):
        raise FormatError("the heading of the bundle is damaged; export it again") from None
    _check(case, rows, events, head)
    if not {key.name for key in keys} <= {text(raw["key"]) for raw in rows}:
        raise ArchiveError("the bundle carries a key that opens none of its events; it is not taken, export it again")
    if write_bundle(case, rows, keys) != content:
        raise FormatError("the bundle is not byte for byte as it was exported; export it again")
    return Bundle(case, rows, keys)


def _check(case: str, rows: Sequence[Raw], events: int, head: str) -> None:
    if not rows or any(text(raw["case"]) != case for raw in rows):
        raise ArchiveError(f"the bundle of case {case} has no events or holds another case's; export it again")
    verdict = walk(case, rows, events, head)
    if not verdict.intact:
        raise ArchiveError(f"the bundle is not taken: {verdict.sentence}; export it again")
    for raw in rows:
        utc_moment(text(raw["at"]))
        for what in ("case", "id", "kind", "by", "role"):
            named(text(raw[what]), what)
        if not 0 < number(raw["schema"]) < LARGEST_SCHEMA:
            raise ArchiveError(f"event {text(raw['seq'])} of the bundle has no sensible format number; export it again")


def _plain(raw: Raw) -> dict[str, Any]:
    plain: dict[str, Any] = {name: number(raw[name]) if name in NUMBERS else text(raw[name]) for name in COLUMNS}
    return plain | {"payload": base64.b64encode(raw["payload"]).decode("ascii")}


def _raw(plain: dict[str, Any], place: int) -> Raw:
    try:
        raw = {name: str(int(plain[name]) if name in NUMBERS else plain[name]).encode() for name in COLUMNS}
        return raw | {"payload": base64.b64decode(plain["payload"], validate=True)}
    except (KeyError, TypeError, ValueError, binascii.Error):
        raise FormatError(f"line {place} of the bundle is no event; export it again") from None


def _object(line: bytes, where: str) -> dict[str, Any]:
    try:
        return parsed(line, where)
    except ArchiveError:
        raise FormatError(f"{where} of the file is no JSON object, so it is no case bundle; export it again") from None
