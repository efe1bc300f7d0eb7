"""The follow-up of one patient: TOML in, ``format = 1``; CSV out, one row for each score, limit, image and event."""

import csv
import io
from datetime import date
from pathlib import Path
from typing import Any

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.followup import FollowedUp, FollowUp
from cuffwright.case.score import Answers
from cuffwright.course.following import weeks_after
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.toml_text import open_text, read_format, read_toml

FORMAT = 1
"""The newest follow-up format this release reads."""

COLUMNS = ("patient", "side", "operation", "day", "weeks", "kind", "name", "value", "unit", "low", "high", "note")
"""Columns of the table."""


def open_followup(path: Path) -> FollowUp:
    """Read a follow-up from disk; raises FormatError or CaseError in one sentence naming the file."""
    return read_followup(open_text(path, "follow-up"), path.name)


def open_followups(folder: Path) -> tuple[FollowUp, ...]:
    """Read every ``*.toml`` file of a folder as a follow-up; raises FormatError or CaseError naming the file."""
    if not folder.is_dir():
        raise FormatError(f"there is no folder {folder}; give the folder that holds the follow-up files")
    return tuple(open_followup(path) for path in sorted(folder.glob("*.toml")))


def read_followup(text: str, name: str = "the follow-up") -> FollowUp:
    """Read a follow-up from TOML text; raises FormatError when it is no TOML, CaseError when it makes no sense."""
    found = read_format(text, name, FORMAT)
    visits = found.get("visits", [])
    if not isinstance(visits, list) or not all(isinstance(one, dict) for one in visits):
        raise CaseError(f"{name}: write each visit as [[visits]]")
    plain = {**found, "visits": [_visit(one, name) for one in visits]}
    return read_plain(FollowUp, plain, name)


def open_answers(path: Path, score: str) -> Answers:
    """Answers to one score from a TOML file: parts, and ``version``, ``moment``, ``how`` where it needs them."""
    found = read_toml(open_text(path, "file of answers"), path.name)
    return read_plain(Answers, answers_table(score, found, path.name), path.name)


def answers_table(score: str, found: dict[str, Any], where: str) -> dict[str, Any]:
    """One table of answers as plain values: each part a number, a list of numbers, or a table with a total."""
    kept: dict[str, Any] = {key: found[key] for key in ("version", "moment", "how") if key in found}
    parts = []
    for name, told in found.items():
        if name in {"version", "moment", "how", "score"}:
            continue
        if isinstance(told, bool) or not isinstance(told, int | float | list | dict):
            raise CaseError(f"{where}, {score}.{name}: give a number, a list, or total and answered")
        if isinstance(told, list):
            parts.append([name, {"values": [None if one == "" else one for one in told]}])
        else:
            parts.append([name, told if isinstance(told, dict) else {"values": [told]}])
    return {"score": score, "parts": parts, **kept}


def _visit(one: dict[str, Any], where: str) -> dict[str, Any]:
    scores = one.get("scores", {})
    if not isinstance(scores, dict) or not all(isinstance(table, dict) for table in scores.values()):
        raise CaseError(f"{where}: write the answers of a visit as [visits.scores.NAME]")
    kept = {key: value for key, value in one.items() if key != "scores"}
    return {**kept, "answers": [answers_table(name, table, where) for name, table in scores.items()]}


def followup_csv(found: FollowedUp) -> str:
    """The follow-up as a table, UTF-8 text with a head; a missing value stays empty and its reason is in the note."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    who = (harmless(found.patient), found.side, found.operation_date.isoformat())
    for visit in found.visits:
        for one in visit.scores:
            note = "; ".join((*((one.why,) if one.why else ()), *one.notes))
            row = ("score", one.name, _number(one.value), one.unit, _number(one.low), _number(one.top), note)
            table.writerow((*who, visit.day.isoformat(), _number(visit.weeks), *row))
    for day, change in found.changes:
        weeks = _weeks(found, day)
        note = change.why or f"{_number(change.possible_percent)} percent of the possible"
        table.writerow((*who, day.isoformat(), weeks, "change", change.name, _number(change.change), "", "", "", note))
        for one_limit in change.reached:
            limit = one_limit.threshold
            said = "" if one_limit.reached is None else "yes" if one_limit.reached else "no"
            words = f"{limit.kind} {limit.tag}, {limit.source}, {limit.people}; {one_limit.why}".rstrip("; ")
            row = (f"reached {limit.kind}", change.name, said, "", _number(limit.value), "", words)
            table.writerow((*who, day.isoformat(), weeks, *row))
    for image in found.integrity:
        row = ("imaging", image.imaging, image.said or "", "", "", "", image.words)
        table.writerow((*who, image.day.isoformat(), _weeks(found, image.day), *row))
    for event in found.complications:
        row = ("complication", event.kind, "", "", "", "", harmless(event.words))
        table.writerow((*who, event.day.isoformat(), _weeks(found, event.day), *row))
    return out.getvalue()


def harmless(words: str) -> str:
    """Typed words that a table program cannot take for a formula."""
    return f"'{words}" if words[:1] in {"=", "+", "-", "@", "\t", "\r"} else words


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.10g}"


def _weeks(found: FollowedUp, day: date) -> str:
    return _number(weeks_after(found.operation_date, day))
