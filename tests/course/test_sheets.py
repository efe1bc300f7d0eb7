"""Sheets for patients and therapists: plain words, cautions, only read sources, only after the release."""

import re
from dataclasses import replace
from functools import cache

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, Fact
from cuffwright.case.patient import Patient
from cuffwright.case.rehab import Release
from cuffwright.course import consent
from cuffwright.course.consent import consent_sheet, frequency
from cuffwright.course.general import GENERAL, GENERAL_PLAIN
from cuffwright.course.judging import judged
from cuffwright.course.reading_grade import reading_grade, syllables
from cuffwright.course.rehab_sheets import patient_sheet, therapist_sheet
from cuffwright.course.rehabilitation import rehabilitation
from cuffwright.evidence.book import load_book
from cuffwright.evidence.statements import statements
from cuffwright.exchange.demo_cases import demo_cases
from tests.rehab.shoulders import OPERATION, PROTOCOL, RELEASE, case, gap, held

HIGHEST_GRADE = 8.0


@cache
def talk(sheet):
    """The consent sheet of a case."""
    found = judged(sheet, load_book(), benefit=statements("benefit"), statements=statements("guideline"))
    return consent_sheet(sheet, found, load_book())


def released(sheet=None, take=False, **more):
    """A released rehabilitation."""
    sheet = sheet or case()
    release = Release("surgeon", OPERATION, delays_taken=take)
    plan = rehabilitation(sheet, load_book(), protocol=PROTOCOL, as_planned=True, release=release, **more)
    return sheet, plan


CASES = {
    **demo_cases(),
    "small": case(),
    "massive old": replace(case(6.0), patient=Patient(age=85)),
    "partial": case(1.0, full_thickness=False),
}


@pytest.mark.parametrize(
    ("word", "count"),
    [("cat", 1), ("tendon", 2), ("shoulder", 2), ("repair", 2), ("infection", 3), ("people", 2), ("make", 1),
     ("exercise", 3), ("surgeon", 2), ("lifted", 2), ("moved", 1), ("the", 1), ("12", 2)],
)  # fmt: skip
def test_syllables(word, count):
    """Counted by hand."""
    assert syllables(word) == count


def test_reading_grade_is_the_published_formula():
    """0.39 words a sentence + 11.8 syllables a word - 15.59: "The cat sat. The cat ran." is -2.6 (formula of 1975)."""
    facts = Citing(load_book())
    assert reading_grade(["The cat sat. The cat ran."], facts) == pytest.approx(0.39 * 3 + 11.8 * 1 - 15.59, abs=0.05)
    hard = ["Perioperative anticoagulation necessitates multidisciplinary consideration."]
    assert reading_grade(hard, facts) > HIGHEST_GRADE
    assert reading_grade([], facts) == 0


@pytest.mark.req("REQ-150")
@pytest.mark.parametrize("sheet", CASES.values(), ids=list(CASES))
def test_patient_sheets_read_at_grade_eight_or_below(sheet):
    """Each patient sheet, and each section of it, asks for grade 8 or less."""
    facts = Citing(load_book())
    _, plan = released(case(4.0), take=True)
    for made in (talk(sheet), patient_sheet(case(4.0), plan, load_book(), call="the ward")):
        assert made.grade is not None
        assert made.grade <= HIGHEST_GRADE
        for one in made.sections:
            words = [*one.paragraphs, *one.items, *(icons.words for icons in one.icons)]
            assert reading_grade(words, facts) <= HIGHEST_GRADE, one.heading


@pytest.mark.req("REQ-141")
@pytest.mark.parametrize("sheet", CASES.values(), ids=list(CASES))
def test_no_number_from_memory_reaches_a_patient(sheet, monkeypatch):
    """Every row that a consent sheet reads was read in its source; the healing index is not named."""
    seen: list[Fact] = []

    class Watching(Citing):
        def fact(self, key):
            seen.append(super().fact(key))
            return seen[-1]

    monkeypatch.setattr(consent, "Citing", Watching)
    made = talk.__wrapped__(sheet)
    assert seen
    assert [row.key for row in seen if not row.verified] == []
    assert "index" not in " ".join(made.prose()).lower()


@pytest.mark.req("REQ-151")
def test_the_cautions_stand_on_every_sheet():
    """Patients read them in plain words, therapists in full; all five points of the head of the facts are covered."""
    sheet, plan = released()
    assert len(GENERAL) == 5
    assert talk(sheet).general == GENERAL_PLAIN
    assert patient_sheet(sheet, plan, load_book(), call="ward A").general == GENERAL_PLAIN
    assert therapist_sheet(sheet, plan, load_book()).general == GENERAL
    for part in ("no diagnosis", "not your own risk", "many hospitals", "on a scan can still feel good"):
        assert part in " ".join(GENERAL_PLAIN)


def test_rates_are_people_of_a_hundred_and_the_icons_say_the_same():
    """7.6 % is 8 of 100, 0.8 % is 8 of 1000, 18.5 % is 19 of 100; each icon array holds the number of its words."""
    assert [frequency(share) for share in (0.076, 0.008, 0.185, 0.0026)] == [(8, 100), (8, 1000), (19, 100), (3, 1000)]
    made = talk(demo_cases()["small_crescent"])
    for one in (icons for section in made.sections for icons in section.icons):
        numbers = [int(found) for found in re.findall(r"\d+", one.words)]
        assert one.sure in numbers
        assert one.up_to in numbers
        assert 0 < one.sure <= one.up_to <= one.of == 100


def test_a_large_tear_is_told_which_lines_are_of_small_ones():
    """From 3 cm on (Surg Gynecol Obstet 1982) the lines on small tears say that they are not of this one."""
    for width, told in ((2.9, False), (3.0, True)):
        section = next(one for one in talk(case(width)).sections if one.heading == "Does a repair help?")
        assert any("not yours" in words for words in section.paragraphs) == told


def test_a_therapist_reads_no_name_of_a_field():
    """What is missing stands in words, without the paths of the case file and the options of the command line."""
    sheet, plan = released()
    section = therapist_sheet(sheet, plan, load_book()).sections[0]
    assert section.heading == "What is not known"
    assert len(section.items) >= 5
    assert not [words for words in section.items if re.search(r"[a-z]\.[a-z]|_|--", words)]


def test_the_range_of_healing_is_that_of_the_groups_and_no_blend():
    """The lowest and highest group stand at the ends; each group is named with year and imaging."""
    sheet = demo_cases()["large_l_shaped"]
    section = next(one for one in talk(sheet).sections if one.heading == "Does a repair heal?")
    counts = [int(re.match(r"\d+", item)[0]) for item in section.items]
    assert (section.icons[0].sure, section.icons[0].up_to) == (min(counts), max(counts)) == (15, 57)
    assert all(re.search(r"Year \d{4}", item) for item in section.items)


def test_nothing_known_gives_no_numbers():
    """A partial tear without age, depth or retraction has no rate, and the sheet says so."""
    section = talk(CASES["partial"]).sections[1]
    assert section.icons == ()
    assert "no numbers that fit you" in section.paragraphs[0]


@pytest.mark.req("REQ-149")
def test_no_rehabilitation_sheet_before_the_release():
    """Without a release, and after a void plan, neither sheet is made."""
    sheet = case()
    for more in ({"protocol": PROTOCOL, "as_planned": True}, {"as_planned": False}):
        plan = rehabilitation(sheet, load_book(), **more)
        with pytest.raises(CaseError, match="no sheet is printed"):
            patient_sheet(sheet, plan, load_book(), call="ward A")
        with pytest.raises(CaseError, match="no sheet is printed"):
            therapist_sheet(sheet, plan, load_book())
    _, plan = released()
    with pytest.raises(CaseError, match="whom to call"):
        patient_sheet(sheet, plan, load_book(), call=" ")


@pytest.mark.req("REQ-148")
def test_a_patients_dates_are_the_surgeons_or_later():
    """Not taken over: the surgeon's weeks and delays that were read; taken over: all delays."""
    sheet = case(5.0)
    _, kept = released(sheet, hold=held(gap(4, 6)))
    _, taken = released(sheet, take=True, hold=held(gap(4, 6)))

    def dates(plan):
        section = patient_sheet(sheet, plan, load_book(), call="ward A").sections[1]
        return {item.split(": ")[1]: item.split(":")[0] for item in section.items}

    assert dates(kept)["you may start to train with weight."] == "24 May 2025"
    assert dates(taken)["you may start to train with weight."] == "21 June 2025"
    assert dates(kept)["you may move your arm by yourself."] == "12 April 2025"


def test_the_therapist_reads_tendons_biceps_subscapularis_tissue_sling_and_criteria():
    """Everything a therapist needs stands on the sheet; delays from memory are marked."""
    sheet, plan = released(case(4.0), hold=held(None, "hole 1aF"))
    made = therapist_sheet(sheet, plan, load_book())
    text = "\n".join(made.prose())
    for part in ("tendons: supraspinatus", "biceps", "subscapularis", "tissue", "sling", "Go on when", "version 3"):
        assert part in text
    assert "no trial [unverified]" in text
    assert made.sections[0].heading == "What is not known"
    assert RELEASE.by in text


def test_what_can_go_wrong_is_told_in_whole_people():
    """Every rate of 1661 repairs, of clots, stiffness and revisions as the dossier has it, rounded to people."""
    section = next(one for one in talk(case()).sections if one.heading == "What can go wrong?")
    text = " ".join((*section.paragraphs, *section.items, *(one.words for one in section.icons)))
    for part in (
        "19 of 100 people had",
        "8 of 100 people get a stiff",
        "3 of 100 people have pain",
        "3 of 100 people have a tear",
        "2 of 100 people have a nerve",
        "8 of 1000 people get an inf",
        "7 of 1000 people have trouble",
        "3 of 1000 people get a blood clot",
        "7 of 100 people were stiff after 12 weeks, 2 of 100 after one year",
        "8 of 100 people had a second repair",
    ):
        assert part in text


@pytest.mark.parametrize(("full", "words"), [(True, "55 of 100 people in three"), (False, "27 of 100 people in two")])
def test_growth_without_a_repair_is_that_of_the_patients_own_tear(full, words):
    """A partial tear is not told the growth of full-thickness tears."""
    section = next(o for o in talk(case(2.0, full_thickness=full)).sections if o.heading == "Does a repair help?")
    assert words in " ".join(section.paragraphs)


@pytest.mark.req("REQ-142")
def test_groups_that_the_patient_lies_outside_of_are_left_out():
    """After an earlier repair no series of first repairs is told to the patient."""
    inside = talk(replace(case(4.0), patient=Patient(age=60))).sections[1]
    outside = talk(replace(case(4.0), patient=Patient(age=60, earlier_repair=True))).sections[1]
    assert len(inside.items) == 2
    assert (outside.items, outside.icons) == ((), ())


def test_limits_in_degrees_and_delays_that_were_not_taken_over_are_said():
    """The patient reads both limits of a stage; the therapist sees a proposed week that was not taken over."""
    sheet, plan = released(case(5.0))
    text = " ".join(patient_sheet(sheet, plan, load_book(), call="ward A").prose())
    assert "Weeks 0 to 6: lift your arm no more than 90 degrees." in text
    assert "Weeks 0 to 6: turn your arm out no more than 30 degrees." in text
    text = " ".join(therapist_sheet(sheet, plan, load_book()).prose())
    assert "strengthening: not before week 12 (2025-05-24)" in text
    assert "week 16 was proposed and not taken over" in text
    _, taken = released(case(5.0), take=True)
    assert "not taken over" not in " ".join(therapist_sheet(sheet, taken, load_book()).prose())


def test_work_and_driving_are_told_with_their_numbers():
    """62.3 % after 8.15 months (SD 2.7), 27 drivers at 2 weeks (Am J Sports Med 2021, J Bone Joint Surg Am 2022)."""
    sheet, plan = released()
    text = " ".join(therapist_sheet(sheet, plan, load_book()).prose())
    assert "62.3%, after 8.15 months (SD 2.7)" in text
    assert "27 supervised drivers were no worse at 2 weeks" in text
