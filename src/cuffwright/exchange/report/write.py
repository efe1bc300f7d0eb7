"""Write the report as PDF."""

import json
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Literal, cast

import typst

from cuffwright.case.errors import FormatError
from cuffwright.case.fact import Fact
from cuffwright.case.hold import HoldResult
from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.report.curve_drawing import contact_chart, contact_words, gap_chart, gap_words
from cuffwright.exchange.report.load_words import contact_words_table, input_words, member_words, shown_scenario
from cuffwright.exchange.report.map_drawing import draw_map
from cuffwright.exchange.report.map_frame import Terrain
from cuffwright.exchange.report.page_words import Plain, body_page_words, caution_words, frame_words, scenario_words
from cuffwright.exchange.report.printed import NOT_COMPUTED
from cuffwright.exchange.report.source_words import source_words

TEMPLATE = Path(__file__).parent / "report.typ"
STANDARDS: list[Literal["ua-1", "a-2b"]] = ["ua-1", "a-2b"]
PAGES = 2
MAP_HEIGHTS = (140.0, 112.0, 88.0, 66.0)
CHART_HEIGHTS = (42.0, 36.0, 32.0, 28.0)
MAP_WIDTH = 182.0
CHART_WIDTH = 89.0


def write_report(
    sheet: CaseSheet,
    result: HoldResult,
    facts: Mapping[str, Fact],
    terrain: Terrain,
    *,
    made_at: datetime,
    mode: str = "teaching and planning, not for care",
) -> bytes:
    """Write ``result`` as a tagged A4 document (PDF/UA-1 and PDF/A-2b): two pages, a third for the repair in the body.

    Parameters
    ----------
    sheet
        The case: identity and what was stated.
    result
        The answer; its numbers are printed as they are.
    facts
        Evidence rows by key, at least those in ``result.facts``.
    terrain
        Named lines of the footprint chart in (u, v), mm.
    made_at
        When the report is made, with its time zone; equal arguments give equal bytes.
    mode
        The mark on both pages.

    Raises
    ------
    FormatError
        When sheet and result name different sides, a row used has no source, the time has no zone, the result has no
        scenario, or the answer does not fit its pages.
    """
    if sheet.identity.side != result.side:
        raise FormatError(
            f"the case is a {sheet.identity.side} shoulder but the result a {result.side} one; compute the case again"
        )
    if made_at.tzinfo is None:
        raise FormatError("the time of the report has no time zone; pass made_at with one")
    if not result.scenarios:
        raise FormatError(f"the result holds no scenario, so there is nothing to report; {NOT_COMPUTED}")
    words = _words(sheet, result, facts, made_at, mode)
    for map_height, chart_height in zip(MAP_HEIGHTS, CHART_HEIGHTS, strict=True):
        pages = {**words, **_drawings(result, terrain, map_height, chart_height)}
        pdf = _compile(pages, made_at, PAGES + (result.body is not None))
        if pdf is not None:
            return pdf
    raise FormatError("the answer does not fit its pages; shorten the title, the traces or the verdict")


def _words(sheet: CaseSheet, result: HoldResult, facts: Mapping[str, Fact], made_at: datetime, mode: str) -> Plain:
    return {
        **frame_words(sheet, result, made_at, mode),
        "scenarios": scenario_words(result),
        "cautions": caution_words(result),
        "members": member_words(shown_scenario(result)),
        "contact": contact_words_table(result),
        "inputs": input_words(sheet, result),
        "sources": source_words(result, facts),
        "body": body_page_words(result),
    }


def _drawings(result: HoldResult, terrain: Terrain, map_height: float, chart_height: float) -> Plain:
    drawn = draw_map(result, terrain, paper=(MAP_WIDTH, map_height))
    chart = (CHART_WIDTH, chart_height)
    shown = shown_scenario(result)
    return {
        "map": {"svg": drawn.svg, "width": drawn.width, "alt": drawn.alt, "scale": drawn.scale_words},
        "gap_chart": {"svg": gap_chart(result, shown, chart), "width": CHART_WIDTH, "alt": gap_words(result)},
        "contact_chart": {"svg": contact_chart(result, chart), "width": CHART_WIDTH, "alt": contact_words(result)},
    }


def _compile(pages: Plain, made_at: datetime, most: int) -> bytes | None:
    """The PDF, or None when it runs over ``most`` pages."""
    compiler = typst.Compiler(
        input=TEMPLATE,
        root=TEMPLATE.parent,
        ignore_system_fonts=True,
        sys_inputs={"report": json.dumps(pages, ensure_ascii=False)},
    )
    try:
        count = json.loads(compiler.query("<pages>", field="value", one=True))
        if count != most:
            return None
        made = compiler.compile(format="pdf", pdf_standards=list(STANDARDS), timestamp=made_at.replace(microsecond=0))
    except typst.TypstError as error:
        raise FormatError(f"the report could not be set ({error}); report this with the case as a fault") from error
    return cast("bytes", made)
