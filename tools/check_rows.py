"""Check the evidence rows against themselves and against the code that cites them.

``python tools/check_rows.py`` prints one line per finding and the share of unverified rows; it exits 1 on any
finding. It reads the CSV files on its own, without the package's loader, so that an error in one is seen by the other.
"""

import argparse
import ast
import csv
import math
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PROVENANCES = ("read", "derived", "memory", "assumed", "calibrated", "measured")
UNVERIFIED = ("memory", "assumed")
LOOKUPS = {"fact", "number"}
KEY = re.compile(r"[a-z][a-z0-9_-]*(\.[A-Za-z0-9_*-]+)+")
FAMILY = re.compile(r"[a-z][a-z0-9_-]*\.([a-z0-9_-]+\.)*")
FILE_ENDINGS = (".csv", ".toml", ".json", ".py", ".html", ".css", ".js", ".svg", ".typ", ".pdf")


@dataclass
class Rows:
    """The rows as read: each row with its place, and the ids of the sources."""

    rows: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    sources: list[tuple[str, str]] = field(default_factory=list)

    @property
    def keys(self) -> set[str]:
        """All keys."""
        return {row["key"] for _, row in self.rows}


@dataclass
class Citations:
    """What the code cites: keys handed to a lookup, and every text that may be a key, each with its place.

    A text with a part that is only known when it runs holds ``*`` in its stead; one that ends in a dot names a family.
    """

    looked_up: dict[str, str] = field(default_factory=dict)
    mentioned: dict[str, str] = field(default_factory=dict)


def read_rows(folder: Path) -> Rows:
    """All rows and sources of the CSV files of a folder."""
    found = Rows()
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as handle:
            for number, row in enumerate(csv.DictReader(handle), start=2):
                place = f"{path.name}:{number}"
                if path.name.startswith("sources"):
                    found.sources.append((place, row["source"].strip()))
                else:
                    found.rows.append((place, {str(k): (v or "").strip() for k, v in row.items()}))
    return found


def shape(node: ast.expr) -> str:
    """A text expression with ``*`` for what is only known when it runs."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(shape(part) for part in node.values)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        return shape(node.left) + shape(node.right)
    return "*"


def read_citations(code: Path) -> Citations:
    """What the Python files below a folder cite."""
    found = Citations()
    for path in sorted(code.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"), str(path))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in LOOKUPS:
                texts = [shape(a) for a in node.args[:1]]
                found.looked_up |= {t: f"{path.name}:{node.lineno}" for t in texts if KEY.fullmatch(t)}
            elif isinstance(node, ast.Constant | ast.JoinedStr | ast.BinOp):
                text = shape(node)
                text += "*" if FAMILY.fullmatch(text) else ""
                if KEY.fullmatch(text) and not text.endswith(FILE_ENDINGS):
                    found.mentioned[text] = f"{path.name}:{node.lineno}"
    return found


def row_findings(found: Rows) -> Iterator[str]:
    """Rows wrong in themselves: doubled keys, unknown sources or provenance, values outside their own range."""
    known = [source for _, source in found.sources]
    for place, source in found.sources:
        if known.count(source) > 1:
            yield f"{place}: the source {source} stands twice"
    seen: set[str] = set()
    for place, row in found.rows:
        key = row["key"]
        if key in seen:
            yield f"{place}: the key {key} stands twice"
        seen.add(key)
        if row["source"] not in known:
            yield f"{place}: {key} cites the source {row['source']!r}, which is in no list of sources"
        if row["provenance"] not in PROVENANCES:
            yield f"{place}: {key} has the provenance {row['provenance']!r}; known are {', '.join(PROVENANCES)}"
        yield from range_findings(place, row)


def range_findings(place: str, row: dict[str, str]) -> Iterator[str]:
    """A value that is no number, or one outside its own low and high."""
    try:
        value = float(row["value"])
        low = float(row["low"] or -math.inf)
        high = float(row["high"] or math.inf)
    except ValueError:
        yield f"{place}: {row['key']} has a value, low or high that is no number"
        return
    if not low <= value <= high:
        yield f"{place}: {row['key']} = {value:g} lies outside its own range {low:g} to {high:g}"


def use_findings(found: Rows, cited: Citations, also: Citations) -> Iterator[str]:
    """Rows that nothing uses, and keys that no row provides."""
    for text, place in sorted(cited.looked_up.items()):
        if not any(fnmatchcase(key, text) for key in found.keys):
            yield f"{place}: the code cites {text}, but no row provides it"
    texts = [*cited.looked_up, *cited.mentioned, *also.looked_up, *also.mentioned]
    for place, row in found.rows:
        if not any(fnmatchcase(row["key"], text) for text in texts):
            yield f"{place}: no code uses {row['key']}; cite it or take it out"
    cited_sources = {row["source"] for _, row in found.rows}
    for place, source in found.sources:
        if source not in cited_sources:
            yield f"{place}: no row cites the source {source}"


def unverified(found: Rows) -> str:
    """How many rows nobody has verified, in words."""
    count = sum(row["provenance"] in UNVERIFIED for _, row in found.rows)
    share = count / len(found.rows) if found.rows else 0
    return f"{count} of {len(found.rows)} rows are unverified ({share:.0%}: from memory or assumed)"


def findings(rows: Path, code: Path, also: Path) -> list[str]:
    """Every finding for a folder of rows, the code that cites them, and the tests that may also use them."""
    found = read_rows(rows)
    return [*row_findings(found), *use_findings(found, read_citations(code), read_citations(also))]


def main(arguments: list[str] | None = None) -> int:
    """Print the findings and the unverified share; 1 when there is any finding."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=Path, default=ROOT / "src" / "cuffwright" / "evidence" / "rows")
    parser.add_argument("--code", type=Path, default=ROOT / "src" / "cuffwright")
    parser.add_argument("--tests", type=Path, default=ROOT / "tests", help="tests may use rows the code does not")
    chosen = parser.parse_args(arguments)
    found = findings(chosen.rows, chosen.code, chosen.tests)
    for line in found:
        print(line)
    print(unverified(read_rows(chosen.rows)))
    print(f"{len(found)} findings")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
