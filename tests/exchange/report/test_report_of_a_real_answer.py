"""A computed answer in print: every demo-like case fits its pages and carries its own numbers."""

from dataclasses import replace

import pytest

from cuffwright.case.measurement import Measurement
from cuffwright.course.hold import hold, prepare
from cuffwright.evidence.book import load_book
from cuffwright.exchange.report import terrain_lines, write_report
from cuffwright.exchange.report.load_words import shown_scenario
from tests.exchange.report import invented_results as invented
from tests.exchange.report.pdf_reading import joined, pages
from tests.exchange.report.test_report_numbers import in_print, numbers_of, printed_numbers


@pytest.mark.req("REQ-002", "REQ-040")
@pytest.mark.parametrize(
    "side, pattern",
    [
        ("right", "bridging-knotted"),
        ("left", "single-row-simple"),
        ("right", "double-row"),
        ("left", "bridging-knotless"),
    ],
)
def test_a_computed_answer_is_printed_whole(side, pattern):
    """For each pattern: three pages, the side, every number, the verdict, and each limb of the layout."""
    book = load_book()
    sheet = invented.sheet(side, thickness_mm=Measurement(4.5, 0.5, "typed", "invented"))
    answer = hold(sheet, book, pattern=pattern, draws=20)
    terrain = terrain_lines(prepare(sheet, book).chart)
    pdf = write_report(sheet, answer, book.rows, terrain, made_at=invented.MADE_AT)
    texts = pages(pdf)
    assert len(texts) == 3
    assert all(f"{side.upper()} shoulder" in text for text in texts)
    assert set(numbers_of(in_print(answer))) <= printed_numbers(texts)
    assert answer.verdict.replace(" ", "") in joined(pdf)
    assert all(f"{m.kind} {m.name}" in texts[1] for m in shown_scenario(answer).members)
    assert len(answer.scenarios) == 3
    assert answer.input_hash in texts[0]
    assert pdf == write_report(sheet, replace(answer), book.rows, terrain, made_at=invented.MADE_AT)
