"""The case file: TOML, ``format = 1``, every measured quantity with value, SD, origin and trace."""

import json
from pathlib import Path

import tomli_w

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.plain import layout_from_plain, sheet_from_plain, sheet_to_plain
from cuffwright.exchange.toml_text import open_text, read_toml


def read_case(text: str) -> CaseSheet:
    """Read a case from TOML text.

    Raises
    ------
    FormatError
        When the text is no TOML.
    CaseError
        When a field is missing, unknown, impossible or contradictory.
    """
    plain = read_toml(text, "the case file")
    if not plain:
        raise CaseError("the case file is empty; start from one of the files in examples/cases")
    return sheet_from_plain(plain)


def write_case(sheet: CaseSheet) -> str:
    """The case as TOML text that :func:`read_case` reads back to an equal sheet."""
    return tomli_w.dumps(sheet_to_plain(sheet))


def open_case(path: Path) -> CaseSheet:
    """Read a case file from disk; raises FormatError or CaseError in one sentence naming the file."""
    return read_case(open_text(path, "case file"))


def open_layout(path: Path) -> Layout:
    """Read a layout, JSON as the interface gives it; raises FormatError or CaseError in one sentence."""
    try:
        plain = json.loads(open_text(path, "case file"))
    except (ValueError, RecursionError) as wrong:
        if isinstance(wrong, FormatError):
            raise
        raise FormatError(f"{path.name} is not valid JSON, so it is no layout; save it from the page again") from None
    return layout_from_plain(plain)
