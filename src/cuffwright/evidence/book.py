"""Load the rows of evidence once, checked; code cites them by key."""

import csv
import hashlib
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import get_args

from cuffwright.case.errors import EvidenceError
from cuffwright.case.fact import Fact, Provenance, Source

FACT_COLUMNS = ["key", "value", "unit", "low", "high", "sd", "source", "where", "provenance", "note"]
SOURCE_COLUMNS = ["source", "citation", "year", "url"]


@dataclass(frozen=True)
class Book:
    """All rows by key, all sources by id, and ``edition``: a short digest of exactly these rows."""

    rows: dict[str, Fact]
    sources: dict[str, Source]
    edition: str

    def fact(self, key: str) -> Fact:
        """Return the row cited by ``key``; raises EvidenceError when there is none."""
        try:
            return self.rows[key]
        except KeyError:
            raise EvidenceError(f"no evidence row is called {key}; add it to evidence/rows with its source") from None


@cache
def load_book() -> Book:
    """Load the packaged rows; raises EvidenceError naming file and line of the first wrong row."""
    return read_book(files("cuffwright.evidence") / "rows")


def read_book(folder: Traversable) -> Book:
    """Read every ``*.csv`` of ``folder``: files named ``sources*`` hold sources, the others facts.

    Raises
    ------
    EvidenceError
        On a doubled key, an unknown source or provenance, a value that is no number, or one outside its own range.
    """
    tables = sorted((f for f in folder.iterdir() if f.name.endswith(".csv")), key=lambda f: f.name)
    sources: dict[str, Source] = {}
    for where, row in _lines([t for t in tables if t.name.startswith("sources")], SOURCE_COLUMNS):
        if row["source"] in sources:
            raise EvidenceError(f"{where}: source {row['source']} stands twice; keep one")
        year = int(row["year"]) if row["year"] else None
        sources[row["source"]] = Source(row["source"], row["citation"], year, row["url"])
    rows: dict[str, Fact] = {}
    for where, row in _lines([t for t in tables if not t.name.startswith("sources")], FACT_COLUMNS):
        if row["key"] in rows:
            raise EvidenceError(f"{where}: key {row['key']} stands twice; end one of them in its place or year")
        rows[row["key"]] = _fact(where, row, sources)
    edition = hashlib.sha256("\n".join(repr(rows[k]) for k in sorted(rows)).encode()).hexdigest()[:8]
    return Book(rows, sources, edition)


def _lines(tables: list[Traversable], columns: list[str]) -> Iterator[tuple[str, dict[str, str]]]:
    for table in tables:
        reader = csv.DictReader(table.read_text("utf-8").splitlines())
        if reader.fieldnames != columns:
            raise EvidenceError(f"{table.name}: the columns must be {','.join(columns)}, not {reader.fieldnames}")
        for number, row in enumerate(reader, start=2):
            where = f"{table.name} line {number}"
            if None in row or None in row.values():
                raise EvidenceError(f"{where}: the row has another number of fields than the head; quote its commas")
            yield where, {k: v.strip() for k, v in row.items()}


def _fact(where: str, row: dict[str, str], sources: dict[str, Source]) -> Fact:
    if row["source"] not in sources:
        raise EvidenceError(f"{where}: {row['key']} cites the source {row['source']!r}, which no sources file lists")
    provenance = next((p for p in get_args(Provenance) if p == row["provenance"]), None)
    if provenance is None:
        raise EvidenceError(f"{where}: {row['key']} has the unknown provenance {row['provenance']!r}")
    value = _number(where, row, "value")
    if value is None:
        raise EvidenceError(f"{where}: {row['key']} has no value")
    low, high, sd = (_number(where, row, name) for name in ("low", "high", "sd"))
    if (low is not None and value < low) or (high is not None and value > high):
        raise EvidenceError(f"{where}: {row['key']} = {value:g} lies outside its own range {low} to {high}")
    if not row["unit"]:
        raise EvidenceError(f"{where}: {row['key']} has no unit; write - for a pure number")
    source = sources[row["source"]]
    return Fact(row["key"], value, row["unit"], low, high, sd, source, row["where"], provenance, row["note"])


def _number(where: str, row: dict[str, str], column: str) -> float | None:
    if not row[column]:
        return None
    try:
        number = float(row[column])
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise EvidenceError(f"{where}: {column} of {row['key']} is {row[column]!r}, which is no finite number")
    return number
