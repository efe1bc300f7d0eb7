"""The limb cards on paper, read back: steps, letters for two metres, threads only as known, whose and which side."""

import io
import re
from datetime import UTC, date, datetime
from functools import lru_cache
from math import atan, degrees
from pathlib import Path

import pytest
from pypdf import PdfReader

from cuffwright.case.errors import FormatError
from cuffwright.case.identity import Identity
from cuffwright.case.limbs import Look
from cuffwright.exchange import cards
from cuffwright.exchange.cards import thread_of, write_cards
from cuffwright.exchange.cards.limb_names import folded
from cuffwright.exchange.cards.step_rows import joined, phase_rows_of, step_rows
from cuffwright.exchange.cards.threads import DARK, PAPER
from cuffwright.limbs.planning import make_plan
from tests.exchange.cards.invented_limbs import field, start

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
WHO = Identity("invented-7", "left", operation_date=date(2026, 12, 1), invented=True)
CAPITAL = 0.729
"""Height of a capital of DejaVu Sans Mono as a share of its size (its OS/2 table: 1493 of 2048)."""

POINT_MM = 25.4 / 72
TWO_METRES = 2000.0
FULL_SIGHT = 5.0
"""Minutes of arc of a letter on the line of an eye chart that counts as full sight (by the chart's definition)."""


@lru_cache
def made(medial, lateral, load, looks):
    """A field, its plan and its cards."""
    one = field(medial, lateral, load, looks=looks)
    plan = make_plan(one, start(one), arm=lambda site: "20° abduction" if site else "")
    return one, plan, write_cards(WHO, one, plan, made_at=NOW, about="bridging", stamp="evidence 1")


@lru_cache
def texts(pdf):
    """The text of every page, white space evened out."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def sizes(page):
    """Sizes in points of all text of a page: in the card's letters, and in the others."""
    found = set(), set()

    def look(text, _cm, tm, font, size):
        if text.strip() and font:
            found["Mono" not in str(font["/BaseFont"])].add(round(abs(size * tm[3]), 1))

    page.extract_text(visitor_text=look)
    return found


@pytest.mark.req("REQ-180")
@pytest.mark.parametrize(("medial", "lateral", "load", "moves"), [(2, 2, 2, 36), (4, 4, 3, 104)])
def test_every_step_stands_once_and_in_order_on_two_pages(medial, lateral, load, moves):
    """36 and 104 steps, each number once, with its limbs, its portals and what is parked after it."""
    one, plan, pdf = made(medial, lateral, load, False)
    pages = texts(pdf)
    assert len(plan.steps) == moves
    assert len(pages) in {2, 3}
    rows = step_rows(one, plan.steps)
    assert [n for row in rows for n in row["numbers"]] == list(range(1, moves + 1))
    listed = " ".join(pages[1:]).replace(" ", "")
    at = 0
    for row in rows:
        names = "".join(t["name"] + t["words"] for t in row["threads"])
        parked = ";".join(code + limbs for code, limbs in row["parked"]) or "nothing"
        words = ("".join(str(n) for n in row["numbers"]), row["what"], names, row["way"], row["scope"], parked)
        for word in words:
            at = listed.index(word.replace(" ", ""), at)


@pytest.mark.req("REQ-181")
def test_letters_of_the_phase_card_are_read_at_two_metres():
    """At most 12 rows; capitals at least twice a letter of full sight at two metres; the list in 8 points or more."""
    one, plan, pdf = made(4, 4, 3, True)
    assert len(phase_rows_of(one, plan.phases, plan.steps)) <= 12
    first, *others = PdfReader(io.BytesIO(pdf)).pages
    letters, _ = sizes(first)
    assert letters
    seen = 60 * degrees(atan(min(letters) * CAPITAL * POINT_MM / TWO_METRES))
    assert seen >= 2 * FULL_SIGHT
    for page in others:
        letters, small = sizes(page)
        assert min(small - {7.5}) >= 8
        assert not letters


@pytest.mark.req("REQ-181")
def test_phase_rows_say_all_steps_without_gap():
    """The rows of the phase card run from the first step to the last without a gap, and stand on the page."""
    _, plan, pdf = made(4, 4, 3, True)
    page = texts(pdf)[0]
    ends = 0
    for row in plan.phases:
        assert row.first == ends + 1
        assert f"{row.first}-{row.last} {row.what}" in page
        ends = row.last
    assert ends == len(plan.steps)


@pytest.mark.req("REQ-182")
def test_a_thread_nobody_has_seen_gets_no_colour():
    """Unknown looks: no hue, no pattern, no name of a colour on any page; known looks in words beside the drawing."""
    one, plan, pdf = made(2, 2, 2, False)
    assert all(t["hue"] == t["pattern"] == "" for row in step_rows(one, plan.steps) for t in row["threads"])
    text = " ".join(texts(pdf))
    assert "look not known" in text
    assert not [name for name in PAPER if f" {name} " in text]
    known = " ".join(texts(made(4, 4, 3, True)[2]))
    assert "look not known" not in known
    for suture in field(4, 4, 3, looks=True).sutures:
        assert suture.look.words in known


def test_a_strange_colour_or_pattern_is_named_and_not_guessed():
    """A colour outside the palette has no hue, a pattern that cannot be drawn none; the words stay."""
    strange = thread_of(Look("teal", "zigzag"))
    assert (strange.words, strange.hue, strange.dark, strange.pattern) == ("teal zigzag", "", "", "")
    assert set(DARK) == set(PAPER)


@pytest.mark.req("REQ-183")
def test_whose_which_side_and_what_for_on_every_page():
    """Side, patient, date, mark, "planned, not done" and the legend of portals on all pages; tagged; equal bytes."""
    one, plan, pdf = made(2, 2, 2, False)
    for page in texts(pdf):
        for part in (
            "LEFT shoulder",
            "invented-7",
            "2026-12-01",
            "not for care",
            "planned, not done",
            "no such patient",
        ):
            assert part in page
        assert "AS accessory superolateral" in page
    assert pdf == write_cards(WHO, one, plan, made_at=NOW, about="bridging", stamp="evidence 1")
    reader = PdfReader(io.BytesIO(pdf))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.trailer["/Root"]["/Lang"] == "en"
    about = reader.trailer["/Root"]["/Metadata"].get_object().get_data().decode()
    assert "pdfaid:part>2<" in about
    assert "pdfuaid:part>1<" in about
    assert plan.certificate.words in " ".join(texts(pdf))
    assert "not computed, needs minutes logged at this site" in " ".join(texts(pdf))


def test_an_arm_that_moves_at_every_step_gets_letters():
    """104 steps with seven long arm positions still fit; positions stand by letter in the rows and in words below."""
    one = field(4, 4, 3)
    turn = iter(range(10_000))
    plan = make_plan(
        one, start(one), arm=lambda _: f"abduction {next(turn) % 7} degrees, flexion 10, rotation outwards 15"
    )
    pages = PdfReader(io.BytesIO(write_cards(WHO, one, plan, made_at=NOW))).pages
    assert len(pages) == 3
    assert "G abduction" in " ".join(pages[2].extract_text().split())
    assert {"A", "G"} <= {row["arm"] for row in step_rows(one, plan.steps, lettered=True)}


def test_a_limb_fetched_and_passed_shares_a_row():
    """Eight limbs of 2+2 are fetched and at once passed: 36 steps in 28 rows; nothing else is joined."""
    _, plan, _ = made(2, 2, 2, False)
    rows = joined(plan.steps)
    assert (len(plan.steps), len(rows)) == (36, 28)
    assert {tuple(step.move.kind for step in row) for row in rows if len(row) > 1} == {("retrieve", "pass")}


def test_names_are_said_as_short_as_they_can_be():
    """Whole sutures of an anchor together, then single limbs; order kept."""
    assert folded(["1aF", "1aB", "1bF", "1bB", "2aF", "3aB", "3bB"]) == "1ab 2aF 3abB"
    assert folded([]) == ""


def test_cards_of_nothing_and_without_a_zone_are_refused():
    """No steps, no card; a time without its zone is refused in a sentence."""
    one, plan, _ = made(2, 2, 2, False)
    with pytest.raises(FormatError, match="no time zone"):
        write_cards(WHO, one, plan, made_at=datetime(2026, 11, 25))
    with pytest.raises(FormatError, match="no step"):
        write_cards(WHO, one, type(plan)((), (), (), plan.counts, plan.certificate), made_at=NOW)


def test_type_on_the_cards_has_contrast():
    """Ink and grey of the template have at least 4.5 to 1 on white (WCAG 2.2, 1.4.3)."""
    template = (Path(cards.__file__).parent / "cards.typ").read_text("utf-8")
    for colour in set(re.findall(r'rgb\("(#[0-9A-F]{6})"\)', template)):
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        light = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        assert 1.05 / (light + 0.05) >= 4.5, colour
