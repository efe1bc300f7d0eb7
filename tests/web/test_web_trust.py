"""How far can I trust this? The page says every row, draws the misses, and puts the null model beside ours."""

import re
from dataclasses import replace

import pytest

from cuffwright.exchange.proof_file import kept_proof
from cuffwright.web.trust import WIDTH, drawn, place


def test_the_page_says_every_row_and_is_linked_from_every_page(door):
    """Each id of the kept proof stands on the page; the foot of the case list leads there."""
    page = door.get("/trust")
    assert page.status_code == 200
    ids = re.findall(r"<b>([A-Z]+\d+[a-z]?)</b>", page.text)
    assert sorted(ids) == sorted(row.id for row in kept_proof().rows)
    assert 'href="/trust"' in door.get("/").text


def test_misses_are_marked_by_word_and_not_by_colour_alone(door):
    """Every missed row says MISSED in words; each drawing has its words for a reader who cannot see it."""
    page = door.get("/trust").text
    missed = [row for row in kept_proof().rows if row.passed is False]
    assert len(re.findall(r"^<span class=\"words\">[^\n]*MISSED", page, re.MULTILINE)) == len(missed) > 0
    assert page.count("<svg viewBox") >= page.count('role="img" aria-label="Published')


def test_the_scale_is_even_in_ratios_and_clips():
    """Twice as much lies as far from the middle as half as much; forty times as much stands where four times does."""
    assert place(1.0) == WIDTH / 2
    assert place(2.0) - WIDTH / 2 == pytest.approx(WIDTH / 2 - place(0.5), abs=0.11)
    assert place(40.0) == place(4.0)


def test_what_lies_off_the_scale_is_said():
    """A value ten times the published one is named as off the scale."""
    row = replace(next(r for r in kept_proof().rows if r.id == "V10a"), computed=2990.0)
    assert drawn(row).beyond == ("model",)


def test_the_band_of_a_negative_value_is_drawn_from_its_left_end():
    """A fall of 0.6 accepted from 1.0 to 0.2 has its band from left to right like any other."""
    found = drawn(next(r for r in kept_proof().rows if r.id == "V11b"))
    assert found.row.published < 0
    assert found.low < WIDTH / 2 < found.high
