"""Load the scores: one TOML file a score, its limits from the rows, checked on the way in."""

import tomllib
from dataclasses import replace
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, cast, get_args

from cuffwright.case.errors import CaseError, EvidenceError
from cuffwright.case.score import Best, Part, ScoreTable, Threshold
from cuffwright.evidence.book import Book, load_book

FORMAT = 1
"""Format of a score file."""

KINDS = ("mcid", "scb", "pass")
DEFAULTS = ("2025", "2020")
"""Tags of the thresholds that are used first, the best first."""

WORDS = ("title", "unit", "formula", "missing_rule", "licence")
PART_FIELDS = set(Part.__dataclass_fields__)


@cache
def load_scores() -> dict[str, ScoreTable]:
    """The packaged scores by name; raises EvidenceError naming the file that is wrong."""
    return read_scores(files("cuffwright.evidence") / "scores", load_book())


def score_table(name: str) -> ScoreTable:
    """The score called ``name``; raises CaseError naming those there are."""
    try:
        return load_scores()[name]
    except KeyError:
        known = ", ".join(load_scores())
        raise CaseError(
            f"there is no score {name}: its formula, rule for missing answers and rights were not read, so none is"
            f" worked out; choose one of {known}"
        ) from None


def read_scores(folder: Traversable, book: Book) -> dict[str, ScoreTable]:
    """Read every ``*.toml`` of ``folder``.

    Raises
    ------
    EvidenceError
        On broken TOML, another format, an unknown field, a range that does not fit its parts, or a row that lacks.
    """
    tables = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return {one.name: one for one in (_score(table, book) for table in tables)}


def _score(table: Traversable, book: Book) -> ScoreTable:
    name = table.name.removesuffix(".toml")
    try:
        found = tomllib.loads(table.read_text("utf-8"))
    except tomllib.TOMLDecodeError as wrong:
        raise EvidenceError(f"{table.name} is no TOML: {wrong}; correct it") from None
    if found.get("format") != FORMAT:
        raise EvidenceError(f"{table.name} has format {found.get('format')}, this release reads {FORMAT}")
    lacking = [word for word in WORDS if not isinstance(found.get(word), str)]
    if lacking or found.get("best") not in get_args(Best):
        raise EvidenceError(f"{table.name} lacks {lacking[0] if lacking else 'best, highest or lowest'}; add it")
    top = book.fact(f"score.{name}.top")
    made = ScoreTable(
        name=name,
        best=cast("Best", found["best"]),
        low=float(found.get("low", 0)),
        high=top.value,
        source=top.source.source,
        verified=top.verified,
        parts=tuple(_part(table.name, one, book) for one in found.get("part", ())),
        versions=tuple(found.get("versions", ())),
        thresholds=_thresholds(name, book),
        recovery=_recovery(name, book),
        note=str(found.get("note", "")),
        how=str(found.get("how", "")),
        **{word: found[word] for word in WORDS},
    )
    for version in made.versions or ("",):
        worth = sum(part.worth for part in made.parts if part.version in ("", version))
        if made.low + worth != made.high:
            raise EvidenceError(f"{table.name}: its parts are worth {worth:g}, its range ends at {made.high:g}")
    return made


def _part(file: str, table: dict[str, Any], book: Book) -> Part:
    strange = set(table) - PART_FIELDS
    if strange:
        raise EvidenceError(f"{file}: {min(strange)} is no field of a part; take it out")
    told = dict(table)
    if "per" in told:
        told["per"] = book.fact(str(told["per"])).value
    try:
        return Part(
            **{
                "least": told.get("items", 1),
                **told,
                "steps": tuple(map(float, told.get("steps", ()))),
                "bands": tuple((float(edge), float(points)) for edge, points in told.get("bands", ())),
            }
        )
    except (TypeError, ValueError) as wrong:
        raise EvidenceError(f"{file}: a part lacks a field or holds a wrong one: {wrong}") from None


def _thresholds(name: str, book: Book) -> tuple[Threshold, ...]:
    start = f"threshold.{name}."
    rows = [row for key, row in sorted(book.rows.items()) if key.startswith(start)]
    found = []
    for row in rows:
        kind, tag = row.key.removeprefix(start).split("-")
        if kind not in KINDS:
            raise EvidenceError(f"{row.key}: {kind} is no kind of threshold; use {', '.join(KINDS)}")
        found.append(
            Threshold(kind, tag, row.value, row.source.source, row.source.year, row.note, row.verified, default=False)
        )
    return tuple(_defaulted(found))


def _defaulted(found: list[Threshold]) -> list[Threshold]:
    chosen = {}
    for kind in KINDS:
        tags = [one.tag for one in found if one.kind == kind]
        chosen[kind] = next((tag for tag in DEFAULTS if tag in tags), tags[0] if len(tags) == 1 else None)
    marked = [replace(one, default=chosen[one.kind] == one.tag) for one in found]
    return sorted(marked, key=lambda one: (KINDS.index(one.kind), not one.default, one.tag))


def _recovery(name: str, book: Book) -> tuple[tuple[str, float], ...]:
    keys = [(kind, f"recovery.{name}.{kind}") for kind in KINDS]
    return tuple((kind, book.fact(key).value) for kind, key in keys if key in book.rows)
