"""The judgement on one tear as the page shows it: what is missing, odds on one scale, classes, reasons; no verdict."""

from dataclasses import dataclass, replace
from typing import Any

from cuffwright.case.fact import FactBook
from cuffwright.case.odds import BoneWork, ClassAnswer, Judged, OddsAnswer, Reason, Statement
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.judging import judged
from cuffwright.evidence.book import load_book
from cuffwright.evidence.statements import statements
from cuffwright.healing.models import NOT_HEALED
from cuffwright.web.judgement_words import EYE, PATH, REASONS, asked, named, short
from cuffwright.web.measures import Measure, measure_at

PERCENT = 100.0


@dataclass(frozen=True)
class Needed:
    """A missing input: where it is filled, what it leaves open. ``row`` is its form, None where it stands elsewhere."""

    path: str
    label: str
    blocks: tuple[str, ...]
    row: Measure | None


@dataclass(frozen=True)
class Drawn:
    """One answer with its ends in percent for the common scale; None where nothing was computed."""

    said: OddsAnswer
    low: float | None
    high: float | None
    citation: str
    url: str
    needs: tuple[str, ...]
    why: tuple[str, ...]

    @property
    def span(self) -> str:
        """The ends in words; a single rate says that it has no spread."""
        if self.low is None or self.high is None:
            return "not computed"
        if self.low == self.high:
            return f"{self.low:.0f} %, spread not given"
        return f"{self.low:.0f} to {self.high:.0f} %"


def judgement_of(sheet: CaseSheet, book: FactBook) -> Judged:
    """What the packaged evidence says of a case."""
    return judged(sheet, book, benefit=statements("benefit"), statements=statements("guideline"))


def judgement_view(sheet: CaseSheet, book: FactBook) -> dict[str, Any]:
    """Everything the judgement shows, as the template reads it."""
    found = judgement_of(sheet, book)
    drawn = [_drawn(one) for one in found.odds]
    healing = [one for one in drawn if one.said.outcome == NOT_HEALED]
    return {
        "general": found.general,
        "needed": needed(sheet, found),
        "answered": [row for row in _eye_rows(sheet) if row.known],
        "structure": _span(found.structure),
        "structure_read": _span(found.structure_read),
        "beyond": [one.said.title for one in healing if one.low is not None and one.said.inside == "outside"],
        "healing": healing,
        "otherwise": [one for one in drawn if one.said.outcome != NOT_HEALED],
        "benefit": [_cited(one) for one in found.benefit],
        "statements": [_cited(one) for one in found.statements],
        "double_row": found.double_row,
        "questions": _questions(found.classes, book),
        "reasons": [(one, _sources(one, book)) for one in found.reasons],
        "unasked": [short(path) for path in found.reasons_unknown],
        "bone": [(one, _signs(one), row) for one, row in zip(found.bone_work, _reason_rows(sheet), strict=True)],
    }


def needed(sheet: CaseSheet, found: Judged) -> list[Needed]:
    """Each missing input with all that it leaves open, those that leave most open first."""
    blocks: dict[str, list[str]] = {}
    for title, paths in (
        *((one.title, (*one.missing, *one.over_all_values_of)) for one in found.odds),
        *((_asked_class(one), one.missing) for one in found.classes),
        *((one.title, one.missing) for one in found.bone_work),
        *(("who is among the people studied", PATH.findall(" ".join(one.why_outside))) for one in found.odds),
        ("a reason against", found.reasons_unknown),
    ):
        for path in paths:
            blocks.setdefault(path, []).append(title[0].lower() + title[1:])
    rows = {row.path: row for row in _eye_rows(sheet)}
    listed = [
        Needed(path, asked(path), tuple(dict.fromkeys(titles)), rows.get(path)) for path, titles in blocks.items()
    ]
    return sorted(listed, key=lambda one: -len(one.blocks))


def _asked_class(one: ClassAnswer) -> str:
    """A class by its title, with the question it answers where the title alone does not say it."""
    question = one.rivals.rstrip("?")
    return f"{question[0].lower()}{question[1:]}, {one.title.lower()}" if one.title.startswith("By ") else one.title


def _eye_rows(sheet: CaseSheet) -> list[Measure]:
    return [replace(measure_at(sheet, path), label=asked(path)) for path in EYE if path not in REASONS]


def _reason_rows(sheet: CaseSheet) -> list[Measure]:
    return [replace(measure_at(sheet, path), label=asked(path)) for path in REASONS]


def _drawn(one: OddsAnswer) -> Drawn:
    source = load_book().sources[one.population.source]
    ends = [None if end is None else PERCENT * end for end in (one.low, one.high)]
    needs = tuple(short(path) for path in (*one.missing, *one.over_all_values_of))
    return Drawn(one, ends[0], ends[1], source.citation, source.url, needs, tuple(map(_why, one.why_outside)))


def _why(words: str) -> str:
    """Why a patient is not among the people studied, with what is asked named as on the page."""
    return named(words.replace("needs ", "not answered yet, ", 1) if words.startswith("needs ") else words)


def _span(ends: tuple[float, float] | None) -> str:
    return "" if ends is None else f"{PERCENT * ends[0]:.0f} to {PERCENT * ends[1]:.0f} %"


def _cited(one: Statement) -> tuple[Statement, str, str]:
    source = load_book().sources[one.source]
    return one, source.citation, source.url


def _sources(one: ClassAnswer | Reason, book: FactBook) -> str:
    cited = dict.fromkeys(book.fact(key).source.citation for key in one.facts)
    return "; ".join(cited)


def _questions(classes: tuple[ClassAnswer, ...], book: FactBook) -> list[tuple[str, list[dict[str, Any]]]]:
    """The schemes that answer one question, side by side, questions with an answer first."""
    asked_of: dict[str, list[dict[str, Any]]] = {}
    for one in classes:
        needs = ", ".join(short(path) for path in one.missing)
        asked_of.setdefault(one.rivals, []).append({"said": one, "needs": needs, "sources": _sources(one, book)})
    return sorted(asked_of.items(), key=lambda each: all(one["said"].value is None for one in each[1]))


def _signs(work: BoneWork) -> list[tuple[str, str]]:
    """Signs that speak for the work: present, absent, not known; empty groups left out."""
    groups = (
        ("present", work.met),
        ("absent", work.not_met),
        ("not known", tuple(short(path) for path in work.missing)),
    )
    return [(name, ", ".join(each)) for name, each in groups if each]
