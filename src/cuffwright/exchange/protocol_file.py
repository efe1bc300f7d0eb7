"""The surgeon's own protocol of rehabilitation: TOML, ``format = 1``, with its name and version."""

from pathlib import Path

from cuffwright.case.rehab import Protocol
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.toml_text import open_text, read_format

FORMAT = 1
"""The newest protocol format this release reads."""


def open_protocol(path: Path) -> Protocol:
    """Read a protocol from disk; raises FormatError or CaseError in one sentence naming the file."""
    return read_protocol(open_text(path, "protocol"), path.name)


def read_protocol(text: str, name: str = "the protocol") -> Protocol:
    """Read a protocol from TOML text; raises FormatError when it is no TOML, CaseError when it makes no sense."""
    found = read_format(text, name, FORMAT)
    return read_plain(Protocol, found, name)
