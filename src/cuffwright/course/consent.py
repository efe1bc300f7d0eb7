"""The sheet for the talk before a decision: plain words, natural frequencies, every rate with its source."""

from collections.abc import Iterable
from dataclasses import replace
from math import floor

from cuffwright import __version__
from cuffwright.anatomy.tear_size import cm
from cuffwright.case.fact import Citing, Fact, FactBook
from cuffwright.case.odds import Judged, OddsAnswer
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.sheets import Icons, PrintedSheet, SheetSection
from cuffwright.course.general import GENERAL_PLAIN
from cuffwright.course.judging import span
from cuffwright.course.reading_grade import reading_grade
from cuffwright.healing.models import NOT_HEALED

HUNDRED = 100
"""Numerical choice: people in a natural frequency."""

THOUSAND = 1000
"""Numerical choice: people in a natural frequency of something rare."""

RISKS = {
    "stiffness": "get a stiff shoulder in the first six months",
    "pain": "have pain that lasts or gets worse",
    "cuff": "have a tear again in the first six months",
    "nerve": "have a nerve that is hurt",
    "infection": "get an infection",
    "device": "have trouble with an anchor",
}
WARNING = (
    "fever, or a wound that is red, hot or wet",
    "pain that gets worse, not better",
    "a hand that is numb or weak",
    "a calf that is sore or swollen, or short breath",
    "a snap or a sudden loss of strength",
)


def consent_sheet(sheet: CaseSheet, judged: Judged, book: FactBook) -> PrintedSheet:
    """The patient's sheet before a decision; rates from memory stay off it."""
    facts = Citing(book)
    made = PrintedSheet(
        reader="patient",
        title="Your shoulder: should the tendon be repaired?",
        patient=sheet.identity.patient,
        side=sheet.identity.side,
        invented=sheet.identity.invented,
        sections=(
            _tear(),
            _heals(judged, facts),
            _benefit(sheet, facts),
            _risks(facts),
            _ways(),
            _ask(),
        ),
        sources=(),
        general=GENERAL_PLAIN,
        grade=None,
        version=__version__,
        edition=book.edition,
    )
    grade = reading_grade(made.prose(), Citing(book))
    return replace(made, sources=source_lines(facts.used.values()), grade=grade)


def source_lines(rows: Iterable[Fact]) -> tuple[str, ...]:
    """The sources of rows, each once: journal, year, address."""
    found = {row.source.source: row.source for row in rows}
    return tuple(f"{one.citation}. {one.year or 'no year'}. {one.url}" for one in found.values())


def frequency(share: float) -> tuple[int, int]:
    """A share as whole people of a hundred, or of a thousand where it is rare."""
    of = HUNDRED if share * HUNDRED >= 1 else THOUSAND
    return max(1, whole(share * of)), of


def whole(number: float) -> int:
    """A number of people, halves upwards."""
    return floor(number + 1 / 2)


def _people(share: float) -> str:
    count, of = frequency(share)
    return f"{count} of {of}"


def _tear() -> SheetSection:
    return SheetSection(
        "What is torn",
        (
            "A tendon in your shoulder is torn. It joins a muscle to the bone. It helps you lift and turn your arm.",
            "You can have a repair. You can also choose not to. Both can help.",
        ),
    )


def _heals(judged: Judged, facts: Citing) -> SheetSection:
    usable = [one for one in judged.odds if one.for_patients and one.outcome == NOT_HEALED and one.inside != "outside"]
    found = span(usable)
    for one in usable:
        for key in one.facts:
            facts.fact(key)
    if found is None:
        return SheetSection(
            "Does a repair heal?",
            ("We have no numbers that fit you. Some things are not known yet. Ask your surgeon.",),
        )
    low, high = (max(1, whole(share * HUNDRED)) for share in found)
    spread = f"{low}" if low == high else f"{low} to {high}"
    words = f"In these groups about {spread} of 100 people had a tendon that did not heal, or tore again, on a scan."
    return SheetSection(
        "Does a repair heal?",
        ("Not each repair heals. These numbers come from these groups:",),
        tuple(_group(one) for one in usable),
        (Icons(HUNDRED, low, high, words),),
    )


GROUPS = {
    "age-band": "people of your age, with one expert surgeon",
    "size-band": "tears as wide as yours, in many hospitals",
    "area-band": "tears as large as yours, with one expert surgeon",
    "logistic-retear": "people like you, by the sums of one surgeon",
}
"""Who the people of a rate are, in plain words."""


def _group(one: OddsAnswer) -> str:
    low, high = (max(1, whole((share or 0.0) * HUNDRED)) for share in (one.low, one.high))
    spread = f"{low}" if low == high else f"{low} to {high}"
    return f"{spread} of 100: {GROUPS[one.name]}. Year {one.population.year}, {one.population.imaging}."


def _benefit(sheet: CaseSheet, facts: Citing) -> SheetSection:
    gain = facts.fact("guideline.constant")
    large = cm(sheet.tear.width_mm.value) >= facts.number("class.size.large")
    kind, years = ("full", "three") if sheet.tear.full_thickness else ("partial", "two")
    grown = facts.number(f"guideline.grown.{kind}")
    return SheetSection(
        "Does a repair help?",
        (
            *(("Your tear is large. The next two lines are about small tears, not yours.",) if large else ()),
            "Most people with a small tear do well with a repair. Most also do well with exercise.",
            f"In one trial of small tears, people with a repair were ahead by about {gain.value:.0f} of 100 points"
            " after ten years.",
            f"With no repair, the tear grew in about {_people(grown)} people in {years} years.",
            "A tendon that heals does better on the whole.",
        ),
    )


def _risks(facts: Citing) -> SheetSection:
    any_event = facts.number("risk.months6.any")
    rates = {name: facts.number(f"risk.months6.{name}") for name in RISKS}
    icons = tuple(
        Icons(HUNDRED, *(frequency(rate)[0],) * 2, f"About {_people(rate)} people {RISKS[name]}.")
        for name, rate in rates.items()
        if frequency(rate)[1] == HUNDRED
    )
    rare = tuple(
        f"About {_people(rate)} people {RISKS[name]}." for name, rate in rates.items() if frequency(rate)[1] == THOUSAND
    )
    keys = ("risk.clot", "risk.stiff.weeks12", "risk.stiff.year", "risk.revision")
    clot, early, stiff, later = (facts.number(key) for key in keys)
    return SheetSection(
        "What can go wrong?",
        (f"In the first six months about {_people(any_event)} people had some problem. Most were small.",),
        (
            *rare,
            f"About {_people(clot)} people get a blood clot.",
            f"In one more study {_people(early)} people were stiff after 12 weeks, {_people(stiff)} after one year.",
            f"About {_people(later)} people had a second repair later.",
        ),
        icons,
    )


def _ways() -> SheetSection:
    return SheetSection(
        "What else can you do?",
        ("Ask which of these fit you. The list is in order of the alphabet.",),
        (
            "a shot into the shoulder",
            "exercise with a therapist",
            "other kinds of surgery",
            "repair of a part of the tear",
            "waiting, and a new scan",
        ),
    )


def _ask() -> SheetSection:
    return SheetSection(
        "Before you choose",
        ("You choose. Take your time. Tell us what you want your arm to do.",),
        (
            "How many of these repairs do you do, and how do your patients fare?",
            "What happens if I wait?",
            "How long will I need help at home and time off work?",
        ),
    )
