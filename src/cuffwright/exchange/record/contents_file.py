"""What a record must hold, as data."""

from functools import cache
from importlib.resources import files

from cuffwright.case.record import Contents
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.toml_text import read_format

FORMAT = 1
"""The format of the file of contents."""


@cache
def usual_contents() -> Contents:
    """The contents that accreditation, hospital rules and implant cards ask for, and those of a cuff repair."""
    return read_contents((files("cuffwright.exchange.record") / "contents.toml").read_text("utf-8"))


def read_contents(text: str) -> Contents:
    """Read contents from TOML text; raises FormatError or CaseError in one sentence."""
    return read_plain(Contents, read_format(text, "the contents of the record", FORMAT), "the contents of the record")
