"""The case file: TOML, ``format = 1``, every measured quantity with value, SD, origin and trace."""

import os
import tomllib
from pathlib import Path

import tomli_w

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.plain import sheet_from_plain, sheet_to_plain

LARGEST = 1_000_000
"""Numerical choice: a case file of more bytes than this is not read."""


def read_case(text: str) -> CaseSheet:
    """Read a case from TOML text.

    Raises
    ------
    FormatError
        When the text is no TOML.
    CaseError
        When a field is missing, unknown, impossible or contradictory.
    """
    try:
        plain = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        raise FormatError(f"the case file is not valid TOML: {wrong}; correct that line") from None
    if not plain:
        raise CaseError("the case file is empty; start from one of the files in examples/cases")
    return sheet_from_plain(plain)


def write_case(sheet: CaseSheet) -> str:
    """The case as TOML text that :func:`read_case` reads back to an equal sheet."""
    return tomli_w.dumps(sheet_to_plain(sheet))


def open_case(path: Path) -> CaseSheet:
    """Read a case file from disk; raises FormatError or CaseError in one sentence naming the file."""
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise FormatError(f"{path.name} has {size} bytes, more than {LARGEST}: that is no case file")
        text = path.read_bytes().decode("utf-8")
    except OSError as wrong:
        raise FormatError(f"{path.name} cannot be read: {os.strerror(wrong.errno or 0)}") from None
    except UnicodeDecodeError:
        raise FormatError(f"{path.name} is not UTF-8 text, so it is no case file; choose a .toml file") from None
    return read_case(text)
