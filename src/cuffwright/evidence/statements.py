"""Statements of guidelines in our own words, read from TOML and filled with the values of rows."""

import re
import tomllib
from functools import cache
from importlib.resources import files
from typing import Literal

from cuffwright.case.errors import EvidenceError
from cuffwright.case.odds import Statement
from cuffwright.evidence.book import load_book

FORMAT = 1
"""Format of a file of statements."""

PLACE = re.compile(r"\{([a-z0-9.-]+)\}")
Kind = Literal["benefit", "guideline"]


@cache
def statements(kind: Kind) -> tuple[Statement, ...]:
    """The statements of one kind; raises EvidenceError naming one that cites no source."""
    text = (files("cuffwright.evidence") / "statements" / "guideline.toml").read_text("utf-8")
    return read_statements(text, kind)


def read_statements(text: str, kind: Kind) -> tuple[Statement, ...]:
    """Read statements from TOML.

    Raises
    ------
    EvidenceError
        On another format, a missing field, an unknown source, or a row that does not exist.
    """
    found = tomllib.loads(text)
    if found.get("format") != FORMAT:
        raise EvidenceError(f"the statements have format {found.get('format')}, this release reads {FORMAT}")
    return tuple(_one(table) for table in found["statement"] if table.get("kind") == kind)


def _one(table: dict[str, object]) -> Statement:
    lacking = [name for name in ("name", "words", "edition", "strength", "source", "read") if name not in table]
    if lacking:
        raise EvidenceError(f"a statement lacks {lacking[0]}; add it")
    book = load_book()
    keys: list[str] = []
    if table["source"] not in book.sources:
        raise EvidenceError(f"the statement {table['name']} cites the source {table['source']!r}, which no file lists")

    def filled(place: re.Match[str]) -> str:
        keys.append(place[1])
        row = book.fact(place[1])
        span = f" ({row.low:g} to {row.high:g})" if row.low is not None and row.high is not None else ""
        return f"{row.value:g}{span}"

    words = PLACE.sub(filled, str(table["words"]))
    name, edition, strength, source = (str(table[part]) for part in ("name", "edition", "strength", "source"))
    return Statement(name, words, edition, strength, source, tuple(dict.fromkeys(keys)), bool(table["read"]))
