"""The documents of a record in a folder, with a seal over every byte; and the check of such a folder."""

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cuffwright.case.errors import FormatError
from cuffwright.case.record import Record
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.record.document import FORMAT, WHAT, record_sha256
from cuffwright.exchange.record.papers import Papers

SEAL = "seal.json"
SEALED = "seal of an operation record"


def write_folder(made: Papers) -> dict[str, bytes]:
    """Every file of the folder by its name, the seal among them."""
    digests = {name: hashlib.sha256(content).hexdigest() for name, content in made.files.items()}
    seal = {"format": FORMAT, "what": SEALED, "files": digests}
    text = json.dumps({**seal, "seal": _own(seal)}, indent=1, sort_keys=True).encode() + b"\n"
    return {**made.files, SEAL: text}


def check_folder(folder: Path, rebuilt: Mapping[str, bytes] | None = None) -> list[str]:
    """What is wrong with a written record: one sentence a fault, none when it is as it was written.

    The seal finds a changed byte in any file. It cannot find a forger who writes a whole new folder; the record rebuilt
    from the bundle, ``rebuilt``, can.
    """
    seal, faults = _seal(folder)
    for name, digest in seal.get("files", {}).items():
        content = _bytes(folder / name)
        if content is None:
            faults.append(f"{name} is not there or cannot be read")
        elif hashlib.sha256(content).hexdigest() != digest:
            faults.append(f"{name} was altered: it is not what was sealed")
        elif name == "record.json":
            faults += _inside(content)
    for name, wanted in (rebuilt or {}).items():
        if _bytes(folder / name) != wanted:
            faults.append(f"{name} is not what the log gives")
    return faults


def _seal(folder: Path) -> tuple[dict[str, Any], list[str]]:
    content = _bytes(folder / SEAL)
    if content is None:
        raise FormatError(f"{folder} holds no seal of a record; choose the folder a record was written to")
    try:
        seal = json.loads(content)
        own = seal.pop("seal")
        whole = seal["what"] == SEALED and own == _own(seal)
        whole = whole and json.dumps({**seal, "seal": own}, indent=1, sort_keys=True).encode() + b"\n" == content
    except (ValueError, KeyError, TypeError, AttributeError):
        return {}, ["seal.json was altered: it is no seal any more"]
    return seal, [] if whole else ["seal.json was altered: it does not match itself"]


def _inside(content: bytes) -> list[str]:
    """Whether the digest in the document is that of the record in it, and the one signed."""
    try:
        found = json.loads(content)
        if found["format"] > FORMAT or found["what"] != WHAT:
            return [f"record.json is of format {found['format']}, and this release reads up to {FORMAT}"]
        digest = record_sha256(read_plain(Record, found["record"], "record.json"))
        signed = (found["signature"] or {"record_sha256": digest})["record_sha256"]
    except (ValueError, KeyError, TypeError) as wrong:
        return [f"record.json cannot be read ({wrong})"]
    said = [] if digest == found["record_sha256"] else ["record.json: the record and its digest disagree"]
    return said + ([] if digest == signed else ["record.json: this is not the record that was signed"])


def _own(seal: dict[str, Any]) -> str:
    return hashlib.sha256(json.dumps(seal, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def _bytes(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None
