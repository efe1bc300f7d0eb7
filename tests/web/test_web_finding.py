"""The one box, the pages of help, and single rows of the evidence."""

import re
from html.parser import HTMLParser
from typing import Any

import pytest

from cuffwright.web.help_pages import ORDER, papers
from tests.web.door import Door

pytestmark = pytest.mark.door


def found(door: Door, words: str, case: str | None = None) -> list[dict[str, Any]]:
    params = {"q": words} | ({"case": case} if case else {})
    answer = door.get("/api/find", params=params)
    assert answer.status_code == 200
    return list(answer.json()["found"])


class Links(HTMLParser):
    """Collects where the links of a page lead."""

    def __init__(self) -> None:
        super().__init__()
        self.to: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note one link."""
        self.to += [value or "" for name, value in attrs if tag == "a" and name == "href"]


def test_words_find_what_they_name_first(door: Door) -> None:
    """A place, a measure, a limb, a number, a fact and a paper each come first when they are named."""
    key = door.open()
    for words, kind, href in (
        ("access", "place", f"/cases/{key}/access"),
        ("retraction of the edge", "measure", f"/cases/{key}/tear#tear.retraction_mm"),
        ("limb 1aF", "limb", f"/cases/{key}/repair#hole.1aF"),
        ("anchor l2", "anchor", f"/cases/{key}/repair#anchor.L2"),
        ("gap poor", "number", f"/cases/{key}/repair#ask.gap.poor"),
        ("rule.anchor.spacing", "fact", "/facts/rule.anchor.spacing"),
        ("case file", "help", "/help/case_file"),
    ):
        first = found(door, words, key)[0]
        assert (first["kind"], first["href"]) == (kind, href), words


def test_every_number_and_measure_that_is_found_exists(door: Door) -> None:
    """Every number the box offers can be asked, and every measure has its line on Tear."""
    key = door.open()
    door.get(f"/api/cases/{key}/hold")
    page = door.get(f"/cases/{key}/tear").text
    offered = {one["href"]: one for one in found(door, "number", key)}
    for href in offered:
        if "#ask.body" not in href and "#ask." in href:
            assert door.get(f"/api/cases/{key}/ask/{href.split('#ask.')[1]}").status_code == 200, href
    for one in found(door, "measure unknown", key):
        assert f'id="{one["href"].split("#")[1]}"' in page


def test_strange_words_find_nothing_and_break_nothing(door: Door) -> None:
    """No words, endless words, markup and unknown cases: an empty list or one sentence."""
    assert found(door, "") == []
    assert found(door, "<script> zzz") == []
    assert found(door, "x" * 5000) == []
    answer = door.get("/api/find", params={"q": "a", "case": "../etc"})
    assert answer.status_code == 404
    for path in ("/facts/nothing", "/facts/<b>", "/facts/" + "x" * 3000, "/help/../../etc/passwd", "/help/nothing"):
        answer = door.get(path)
        assert answer.status_code == 404, path
        assert 10 < len(answer.json()["error"]) < 400


def test_every_paper_is_a_page_whose_links_lead_somewhere(door: Door) -> None:
    """All papers stand on help pages; each link there leads to a page of this program and none leaves it."""
    assert set(ORDER) <= set(papers())
    links = Links()
    for name in papers():
        text = door.get(f"/help/{name}").text
        article = text.split('<article id="paper">')[1].split("</article>")[0]
        assert "<h1>" in article
        assert not re.search(r"\]\([^)]*\.md\)", article)
        links.feed(article)
    assert len(links.to) > 10
    for to in set(links.to):
        assert to.startswith(("/help/", "#")), to
        if to.startswith("/help/"):
            assert to.removeprefix("/help/").split("#")[0] in papers()


def test_a_row_shows_value_source_and_provenance(door: Door) -> None:
    """A row of the evidence has its page with value, unit, range, citation and how far it was seen."""
    text = " ".join(door.get("/facts/rule.anchor.spacing").text.split())
    assert "6 mm (4 to 10)" in text
    assert "<b>read</b>" in text
    assert "2018" in text
    unverified = next(key for key, row in door.app.state.bench.book.rows.items() if row.provenance == "assumed")
    assert "unverified: assumed" in door.get(f"/facts/{unverified}").text
