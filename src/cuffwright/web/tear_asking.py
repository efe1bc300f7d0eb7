"""Ask a number of Tear: a measure, a published share, a class, a reason or a statement, with its rows and limits."""

from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, replace
from typing import Any

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.odds import Judged, OddsAnswer
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.asking import Answer
from cuffwright.course.judging_moves import HOW, STILL, odds_movers
from cuffwright.evidence.book import load_book
from cuffwright.healing import classes, models
from cuffwright.healing.known import known
from cuffwright.healing.models import NOT_HEALED
from cuffwright.imaging.measures.all_guides import GUIDES
from cuffwright.web.judgement_view import judgement_of
from cuffwright.web.judgement_words import asked, short
from cuffwright.web.measure_words import FINDINGS, NOTHING, WORDS
from cuffwright.web.measures import Measure, measure_at
from cuffwright.web.sheet_fields import sheet_fields

PERCENT = 100.0

PUBLISHED = (
    "Published for groups of patients, at the quality of evidence named. It informs a decision and does not make it;"
    " it says nothing of one patient alone."
)


@dataclass(frozen=True)
class Here:
    """What a question about Tear is answered from."""

    sheet: CaseSheet
    book: FactBook
    judged: Judged

    def lines(self, paths: Iterable[str]) -> tuple[tuple[str, str], ...]:
        """Inputs as (name, value with origin and trace), the unknown ones said to be unknown."""
        return tuple((short(path), _standing(self.sheet, path)) for path in paths)

    def facts(self, keys: Iterable[str]) -> tuple[Any, ...]:
        """The rows called ``keys``."""
        return tuple(self.book.fact(key) for key in dict.fromkeys(keys))


def explain(sheet: CaseSheet, book: FactBook, name: str) -> dict[str, Any]:
    """Answer for one number of Tear by its name; raises CaseError for a name that cannot be asked."""
    head, _, rest = name.partition(".")
    try:
        answer = replace(ASKS[head](Here(sheet, book, judgement_of(sheet, book)), rest), name=name)
    except (KeyError, StopIteration):
        raise CaseError(f"{name!r} is no number of Tear; ask one of {', '.join(sorted(ASKS))}") from None
    return {**asdict(answer), "text": answer.text}


def _standing(sheet: CaseSheet, path: str) -> str:
    if path not in sheet_fields():
        return str(sheet.value_at(path) or "not known")
    row = measure_at(sheet, path)
    if not row.known:
        return "not known"
    return f"{row.value}, {row.origin}{f'; {row.trace}' if row.trace else ''}"


def _measure(here: Here, rest: str) -> Answer:
    row = measure_at(here.sheet, rest) if rest in sheet_fields() else None
    if row is None:
        raise KeyError(rest)
    guides = [one for one in GUIDES.values() if one.field == rest]
    blocks = (WORDS.get(rest) or FINDINGS.get(rest) or ("", NOTHING))[1]
    keys = [key for one in guides for key in (one.reader, one.method) if key]
    unseen = "; ".join(words for one in guides for words in one.cannot_know)
    limits = f"Cannot know: {unseen}." if unseen else ""
    used = (
        "Nothing in this release is worked out from it." if blocks == NOTHING else f"Without it stays open: {blocks}."
    )
    return Answer(
        "",
        asked(rest).split(":")[0],
        f"{row.value}, {row.origin}" if row.known else "not known; nothing is assumed in its place",
        f"A measure of this case, not a result of the model. {used}",
        _taken(row, [one.formula for one in guides]),
        here.lines((rest,)),
        here.facts(keys),
        limits or "As sure as its SD and its origin; an SD that was not given is not taken as small, it is unknown.",
    )


def _taken(row: Measure, formulas: list[str]) -> str:
    """How a measure comes about, in words."""
    image = f" On an image: {formulas[0]}" if formulas else ""
    if not row.known:
        return f"Not measured.{image}"
    return f"Entered as it stands, {row.origin}{f'; {row.trace}' if row.trace else ''}.{image}"


def _odds(here: Here, rest: str) -> Answer:
    one = next(each for each in here.judged.odds if each.name == rest)
    who = one.population
    inside = {"inside": "inside", "outside": "outside", "not known": "inside or outside, not known,"}[one.inside]
    against = f" ({', '.join(one.why_outside)})" if one.why_outside else ""
    facts = Citing(here.book)
    moved = [
        (f"{short(path)}, {how}", round(PERCENT * change, 1))
        for path, how, change in odds_movers(here.sheet, here.book, rest)
    ]
    plain = Answer(
        "",
        one.title,
        _share(one),
        f"Of a hundred people like those studied, how many were {one.outcome}.",
        f"{one.words[0].upper()}{one.words[1:]}. A missing answer is run over all its values, none is assumed.",
        here.lines(models.inputs(rest, known(here.sheet), facts)),
        here.facts(one.facts),
        f"{who.people}; {who.imaging}, {who.when}; {who.year or 'year not said'}. This patient lies {inside} among"
        f" them{against}. {' '.join(one.cautions)}".strip(),
    )
    if one.low is None:
        return plain
    return replace(plain, movers=tuple(moved), moved_unit="of 100", moved_how=HOW if moved else STILL)


def _share(one: OddsAnswer) -> str:
    if one.low is None or one.high is None:
        return one.words
    low, high = f"{one.low:.1%}", f"{one.high:.1%}"
    return f"{low} {one.outcome}" if low == high else f"{low} to {high} {one.outcome}"


def _structure(here: Here, rest: str) -> Answer:
    ends = {"all": here.judged.structure, "read": here.judged.structure_read}[rest]
    told = [
        one
        for one in here.judged.odds
        if one.outcome == NOT_HEALED and one.low is not None and (rest == "all" or one.verified)
    ]
    every = [(one.title, _share(one)) for one in told]
    widest = "the sources that were read" if rest == "read" else "all sources"
    low = min(told, key=lambda one: one.low or 0.0).title if told else "none"
    high = max(told, key=lambda one: one.high or 0.0).title if told else "none"
    return Answer(
        "",
        "Structure: not healed on imaging",
        "not computed" if ends is None else f"{ends[0]:.0%} to {ends[1]:.0%} over {widest}",
        f"The lowest and the highest share that {widest} give for this shoulder.",
        f"The lowest end is that of “{low}”, the highest that of “{high}”. Nothing is averaged or blended.",
        tuple(every),
        here.facts(key for one in told for key in one.facts),
        "Sources differ in people, imaging and time; ask each for its own. " + PUBLISHED,
    )


def _class(here: Here, rest: str) -> Answer:
    one = next(each for each in here.judged.classes if each.name == rest)
    near = f"; within the spread of the measures also {' or '.join(one.near)}" if one.near else ""
    return Answer(
        "",
        f"{one.title}: {one.rivals}",
        f"{one.value or ' or '.join(one.possible)}{near}",
        "A class follows from measures and findings by a published rule; rival rules stand beside it.",
        f"{one.rule[0].upper()}{one.rule[1:]}.",
        here.lines(classes.inputs(rest, Citing(here.book))),
        here.facts(one.facts),
        one.caution or "As the rule says; classes lose what lies between their limits.",
    )


def _reason(here: Here, rest: str) -> Answer:
    one = next(each for each in here.judged.reasons if each.name == rest)
    return Answer(
        "",
        "Reason against",
        one.words,
        f"A reason to think twice, never a verdict. Other ways: {', '.join(one.others)}.",
        "Holds where what is known of this shoulder makes it hold; a missing answer never makes one.",
        (),
        here.facts(one.facts),
        f"Strength: {one.strength}. {PUBLISHED}",
    )


def _statement(here: Here, rest: str) -> Answer:
    one = next(each for each in (*here.judged.benefit, *here.judged.statements) if each.name == rest)
    source = load_book().sources[one.source]
    return Answer(
        "",
        "What is published, in our words",
        one.words,
        f"{one.edition}; strength: {one.strength}.",
        "Nothing is computed from this shoulder.",
        (("Source", f"{source.citation}, {source.url}".removesuffix(", ")),),
        here.facts(one.facts),
        PUBLISHED,
    )


ASKS: dict[str, Callable[[Here, str], Answer]] = {
    "measure": _measure,
    "odds": _odds,
    "structure": _structure,
    "class": _class,
    "reason": _reason,
    "statement": _statement,
}
"""What can be asked, by the first word of its name."""
