"""The hospital's stock of implants: TOML, ``format = 1``, with its name and version."""

from pathlib import Path

from cuffwright.case.implant import Stock
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.toml_text import open_text, read_format

FORMAT = 1
"""The newest stock format this release reads."""


def open_stock(path: Path) -> Stock:
    """Read a stock from disk; raises FormatError or CaseError in one sentence naming the file."""
    return read_stock(open_text(path, "stock of implants"), path.name)


def read_stock(text: str, name: str = "the stock") -> Stock:
    """Read a stock from TOML text; raises FormatError when it is no TOML, CaseError when it makes no sense."""
    return read_plain(Stock, read_format(text, name, FORMAT), name)
