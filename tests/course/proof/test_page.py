"""The page 'How far can I trust this?' is not stale, and the fragment says the same."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from cuffwright.exchange.proof_page import html, markdown, skill_words

PAGE = Path(__file__).resolve().parents[3] / "docs" / "proof.md"
WIDTH = 11


def lines(text):
    """The rows of the tables of a page by id."""
    cells = [[c.strip() for c in line.strip().strip("|").split(" | ")] for line in text.splitlines() if "|" in line]
    return {row[0]: row for row in cells if re.fullmatch(r"[A-Z]\d+[a-z]?", row[0])}


def test_page_of_the_papers_has_every_row_with_its_role(proof):
    """Ids, roles, published values and bands of docs/proof.md are those of the bench files; rerun prove otherwise."""
    page = lines(PAGE.read_text("utf-8"))
    fresh = {row.id: row for row in proof.rows}
    assert set(page) == set(fresh)
    for name, row in fresh.items():
        assert len(page[name]) == WIDTH
        assert page[name][9] == row.role, name
        assert float(page[name][3]) == pytest.approx(row.published, rel=1e-2), name
        assert ("not computed" in page[name][10]) == (row.computed is None), name


def test_numbers_of_the_page_are_the_models(proof):
    """Ours on the page within 15 % of a run with fewer draws: run cuffwright prove --page docs/proof.md when not."""
    page = lines(PAGE.read_text("utf-8"))
    for row in proof.rows:
        if row.computed is not None:
            told = float(page[row.id][5])
            assert told == pytest.approx(row.computed, rel=0.15, abs=0.15 * abs(row.published)), row.id


def test_markdown_tables_are_whole(proof, benches, book):
    """Every table line of a fresh page has as many cells as its head."""
    for line in markdown(proof, benches, book).splitlines():
        if line.startswith("|"):
            assert line.count("|") == WIDTH + 1, line


def test_fragment_is_well_formed_and_says_the_same(proof, benches, book):
    """Each row of the fragment carries the cells of the page; sums and misses stand in both."""
    fragment = html(proof, benches, book)
    tree = ElementTree.fromstring(f"<div>{fragment}</div>")
    cells = {tr[0].text: [td.text or "" for td in tr] for tr in tree.iter("tr") if tr[0].tag == "td"}
    assert cells == lines(markdown(proof, benches, book))
    listed = [li.text for li in tree.iter("li")]
    assert all(skill_words(skill) in listed for skill in proof.skills)
    missed = [row.id for row in proof.rows if row.passed is False]
    assert missed
    assert all("MISSED" in cells[name][-1] for name in missed)
