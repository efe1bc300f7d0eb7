"""The printed report: two pages, the right person and side, honest about what it lacks, the same bytes twice."""

import io
import math
import re
from dataclasses import replace
from datetime import datetime

import pypdf
import pytest

from cuffwright.case.errors import FormatError
from cuffwright.case.quantity import Caution
from cuffwright.exchange.report import write_report
from tests.exchange.report import invented_results as invented
from tests.exchange.report.pdf_reading import figures, joined, pages

PLANS = {
    "single row, 4 sites": invented.layout("single", 2),
    "single row, 6 sites": invented.layout("single", 3),
    "bridging, 4 limbs": invented.layout("bridging", 2),
    "bridging, 12 limbs": invented.layout("bridging", 3, 2),
    "bridging, 24 limbs": invented.layout("bridging", 4, 3),
}
SIDES = ("right", "left", "right", "right", "left")
FACTS = invented.evidence(60)


def report(sheet=None, result=None, facts=FACTS, **options):
    """The report of an invented case as bytes."""
    result = result or invented.result(facts=tuple(facts))
    sheet = sheet or invented.sheet(result.side)
    return write_report(sheet, result, facts, invented.TERRAIN, **{"made_at": invented.MADE_AT, **options})


@pytest.mark.req("REQ-002", "REQ-027", "REQ-050")
@pytest.mark.parametrize("plan, side", list(zip(PLANS.values(), SIDES, strict=True)), ids=PLANS)
def test_two_pages_each_with_person_side_and_origin(plan, side):
    """Each of exactly two pages names patient, side in words, version, edition, inputs, mark and its number."""
    result = invented.result(side, plan, facts=tuple(FACTS))
    texts = pages(report(result=result))
    assert len(texts) == 2
    other = "LEFT" if side == "right" else "RIGHT"
    for count, text in enumerate(texts, 1):
        for said in (
            f"{side.upper()} shoulder", "P-0417", "Cuffwright 0.1.0", "evidence e41c07b2", result.input_hash,
            "teaching and planning, not for care", f"page {count} of 2", "operation 2026-03-09",
            "the surgeon decides",
        ):  # fmt: skip
            assert said in text
        assert other not in text


def test_the_verdict_stands_first_and_in_the_largest_type():
    """The verdict opens page one and no text is larger; the side is the next largest."""
    reader = pypdf.PdfReader(io.BytesIO(report()))
    sizes = {}

    def note(text, _user, matrix, _font, size):
        if text.strip():
            sizes.setdefault(round(abs(matrix[3]) * size, 1), []).append(text)

    reader.pages[0].extract_text(visitor_text=note)
    largest, second = sorted(sizes, reverse=True)[:2]
    assert "4.1 mm between two anchor beds" in "".join(sizes[largest])
    assert "RIGHT shoulder" in "".join(sizes[second])
    assert pages(report())[0].index("4.1 mm between") < pages(report())[0].index("patient P-0417, case")


def test_no_type_is_smaller_than_seven_and_a_half_points():
    """Every piece of text on both pages, drawings included, is at least 7.5 points high."""
    sizes = set()

    def note(text, user, matrix, _font, size):
        if text.strip():
            up = (matrix[2] * user[0] + matrix[3] * user[2], matrix[2] * user[1] + matrix[3] * user[3])
            sizes.add(round(math.hypot(*up) * size, 2))

    for page in pypdf.PdfReader(io.BytesIO(report())).pages:
        page.extract_text(visitor_text=note)
    assert len(sizes) > 3
    assert min(sizes) >= 7.49


@pytest.mark.req("REQ-026")
@pytest.mark.parametrize("plan", ["bridging, 12 limbs"])
def test_the_same_arguments_give_the_same_bytes(plan):
    """Written twice, the file is equal byte for byte; made a day later, it is not."""
    result = invented.result(plan=PLANS[plan], facts=tuple(FACTS))
    assert report(result=result) == report(result=result)
    assert report(result=result) != report(result=result, made_at=invented.MADE_AT.replace(day=2))


def test_the_file_says_it_is_accessible_and_archivable():
    """Tagged, with language and title, marked PDF/UA-1 and PDF/A-2b, every font embedded, three described figures."""
    pdf = report()
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert reader.metadata.title == "Planned cuff repair, RIGHT shoulder, patient P-0417"
    xmp = root["/Metadata"].get_object().get_data().decode()
    assert re.search(r"pdfuaid:part>1<", xmp)
    assert re.search(r"pdfaid:part>2<", xmp)
    assert re.search(r"pdfaid:conformance>B<", xmp)
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & set(inner)
    starts = {alt.split(" ")[0] for alt in figures(pdf)}
    assert {"Footprint", "Gap", "Share"} <= starts


@pytest.mark.parametrize(
    "title", ["A #set * _x_ [y] $", "<b>bold</b> &amp; \\ ` // @ref <label> ~ -- '\"", "1. = * + -"]
)
def test_markup_prints_literally(title):
    """What would be a command in the page's own language or in HTML is printed as it was typed."""
    assert title in pages(report(sheet=invented.sheet(title=title)))[0]


def test_a_character_without_a_glyph_is_named_not_dropped():
    """A character the fonts lack stands as its code point; the report is still made."""
    text = joined(report(sheet=invented.sheet(title="漢 case \u202eabc")))
    assert "[U+6F22]case[U+202E]abc" in text


def test_a_title_without_spaces_stays_on_the_paper():
    """A word of 300 letters is broken, not run off the page."""
    pdf = report(sheet=invented.sheet(title="n" * 300))
    assert "n" * 300 in joined(pdf)
    assert len(pages(pdf)) == 2


@pytest.mark.req("REQ-018", "REQ-020")
def test_what_is_missing_is_said():
    """Missing inputs, an unreached load, an uncomputed alternative and an unknown date each stand in words."""
    result = invented.result(facts=tuple(FACTS))
    bare = replace(result.scenarios[1], gap=None, ultimate_contested=None, stiffness=None)
    result = replace(result, scenarios=(bare,), contact_loaded=None)
    sheet = invented.sheet()
    sheet = replace(sheet, identity=replace(sheet.identity, operation_date=None))
    one, two = pages(report(sheet, result))
    assert "operation date not given" in one
    assert "too few draws reach it at 180 N, share reaching it" in one
    assert "contested bridging factor: not computed" in one
    assert "not computed, the repair is too weak for it" in one
    assert "Not computed; needs tear.retraction_mm; bone.cortex_mm." in two
    assert "Contact under load: not computed, needs a repair that reaches the load." in two


@pytest.mark.req("REQ-051", "REQ-055")
def test_an_estimate_and_a_plan_are_marked_as_such():
    """A scenario not yet settled says so, and the repair is planned, not done."""
    one, _ = pages(report())
    assert "good tissue, good bone weakest: hole 2aB estimate, not settled" in one
    assert one.count("not settled") == 1
    assert "planned, not done: bridging-knotted" in one


@pytest.mark.req("REQ-054")
def test_an_invented_case_is_marked_and_a_real_one_is_not():
    """The mark of an invented case follows the case, not the report."""
    case = invented.sheet(title="Case")
    real = replace(case, identity=replace(case.identity, invented=False))
    assert "Invented demonstration case: no such patient." in pages(report(sheet=case))[0]
    assert "nvented demonstration" not in pages(report(sheet=real))[0]


@pytest.mark.req("REQ-030", "REQ-056")
def test_contact_area_comes_with_its_threshold_and_the_clipped_share():
    """Every area share names its threshold in MPa, and the pressure left negative is part of the table."""
    two = pages(report())[1]
    assert "0.79 over 0.18 MPa" in two
    assert "0.88 over 0.18 MPa" in two
    assert "negative pressure left, share of peak 0.004 0.002" in two


def test_all_three_scenarios_and_all_cautions_stand_on_page_one():
    """Each grade has its row; cautions come with the stop first, each with its place and source."""
    one, _ = pages(report())
    for grade in ("good", "fair", "poor"):
        assert f"{grade} tissue, {grade} bone" in one
    assert one.index("STOP Two anchor beds") < one.index("CAUTION Repair tension") < one.index("NOTE The interval")
    assert "(anchors 1 and 2) [anchor.spacing]" in one


@pytest.mark.req("REQ-021", "REQ-022")
@pytest.mark.parametrize("count", [3, 60, 300])
def test_rows_of_evidence_are_printed_or_counted(count):
    """Unverified rows come first and are marked; rows that find no room are counted in words, none is lost."""
    facts = invented.evidence(count)
    pdf = report(result=invented.result(facts=tuple(facts)), facts=facts)
    text = pages(pdf)[1]
    rest = re.search(r"and (\d+) more rows in the JSON answer", text)
    printed = [key for key in facts if re.search(rf"\b{re.escape(key)}(?!\d)", text.replace(". ", "."))]
    assert len(printed) + (int(rest.group(1)) if rest else 0) == count
    unverified = [key for key, fact in facts.items() if not fact.verified]
    assert set(unverified[: len(printed)]) <= set(printed) or set(printed) <= set(unverified)
    assert "unverified" in text or not unverified
    assert (rest is None) == (count < 100)


def test_a_printed_row_has_value_unit_and_source():
    """A row is key, value and unit, and its bracketed number leads to the citation."""
    facts = invented.evidence(3)
    text = pages(report(result=invented.result(facts=tuple(facts)), facts=facts))[1]
    for key, fact in facts.items():
        found = re.search(rf"{re.escape(key)} {fact.value} {fact.unit} \[(\d)\]", text)
        assert found
        assert f"[{found.group(1)}] {fact.source.citation}" in text
    assert "memory, unverified" in text


def test_many_cautions_shrink_the_map_but_are_never_dropped():
    """Twelve long cautions still fit two pages, all printed; a hundred are refused rather than cut."""
    many = tuple(Caution(f"c{i}", f"Caution number {i}: " + "what it limits and why " * 5, "tear") for i in range(12))
    texts = pages(report(result=invented.result(facts=tuple(FACTS), cautions=many)))
    assert len(texts) == 2
    assert all(f"Caution number {i}:" in texts[0] for i in range(12))
    with pytest.raises(FormatError, match="does not fit its pages"):
        report(result=invented.result(facts=tuple(FACTS), cautions=many * 9))


def test_a_case_and_a_result_of_different_sides_are_refused():
    """A right case with a left answer is never printed."""
    with pytest.raises(FormatError, match="right shoulder but the result a left one"):
        report(sheet=invented.sheet("right"), result=invented.result("left", facts=tuple(FACTS)))


def test_a_number_without_its_source_is_refused():
    """A row that the result used but the evidence lacks stops the report."""
    with pytest.raises(FormatError, match=r"lacks no\.such\.row"):
        report(result=invented.result(facts=("no.such.row",)))


def test_a_time_without_a_zone_and_an_empty_result_are_refused():
    """The report needs a moment in time and at least one scenario."""
    with pytest.raises(FormatError, match="time zone"):
        report(made_at=datetime(2026, 3, 1))
    with pytest.raises(FormatError, match="no scenario"):
        report(result=invented.result(grades=(), facts=tuple(FACTS)))


def test_the_mark_can_be_changed_but_stands_on_both_pages():
    """A practice's own mark replaces the teaching mark on each page."""
    for text in pages(report(mode="own responsibility: Dr [x] #y")):
        assert "own responsibility: Dr [x] #y" in text
