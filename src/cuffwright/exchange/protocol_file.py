"""The surgeon's own protocol of rehabilitation: TOML, ``format = 1``, with its name and version."""

import tomllib
from pathlib import Path

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.rehab import Protocol
from cuffwright.exchange.plain import read_plain

FORMAT = 1
"""The newest protocol format this release reads."""


def open_protocol(path: Path) -> Protocol:
    """Read a protocol from disk; raises FormatError or CaseError in one sentence naming the file."""
    try:
        text = path.read_text("utf-8")
    except (OSError, UnicodeDecodeError):
        raise FormatError(f"{path.name} cannot be read as text; give a TOML file of a protocol") from None
    return read_protocol(text, path.name)


def read_protocol(text: str, name: str = "the protocol") -> Protocol:
    """Read a protocol from TOML text; raises FormatError when it is no TOML, CaseError when it makes no sense."""
    try:
        found = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        raise FormatError(f"{name} is not valid TOML: {wrong}; correct that line") from None
    if found.get("format") != FORMAT:
        raise CaseError(f"{name} says format = {found.get('format')!r}; write format = {FORMAT} in its first line")
    return read_plain(Protocol, found, name)
