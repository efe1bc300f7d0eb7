"""Write a sheet as a tagged PDF, in usual or large print."""

import json
from datetime import datetime
from pathlib import Path
from typing import Literal, cast

import typst

from cuffwright.case.errors import FormatError
from cuffwright.case.sheets import PrintedSheet, SheetSection
from cuffwright.exchange.report.printed import plain
from cuffwright.exchange.sheets.icons import ROW, STEP, icon_drawing, legend
from cuffwright.exchange.sheets.text import MODE, footer_line, heading_line

TEMPLATE = Path(__file__).parent / "sheet.typ"
STANDARDS: list[Literal["ua-1", "a-2b"]] = ["ua-1", "a-2b"]
POINTS = 12.0
"""Size of usual print, points; nothing on a sheet is smaller."""

LARGE_POINTS = 18.0
"""Size of large print, points."""


def write_sheet(sheet: PrintedSheet, *, made_at: datetime, large: bool = False, mode: str = MODE) -> bytes:
    """The sheet as A4 PDF (PDF/UA-1 and PDF/A-2b); equal arguments give equal bytes.

    Raises
    ------
    FormatError
        When the time has no zone or the sheet cannot be set.
    """
    if made_at.tzinfo is None:
        raise FormatError("the time of the sheet has no time zone; pass made_at with one")
    words = {
        "title": plain(sheet.title),
        "who": plain(heading_line(sheet)),
        "mode": plain(mode),
        "size": LARGE_POINTS if large else POINTS,
        "sections": [_section(one) for one in sheet.sections],
        "general": [plain(line) for line in sheet.general],
        "sources": [plain(line) for line in sheet.sources],
        "footer": plain(footer_line(sheet)),
    }
    compiler = typst.Compiler(
        input=TEMPLATE,
        root=TEMPLATE.parent,
        ignore_system_fonts=True,
        sys_inputs={"sheet": json.dumps(words, ensure_ascii=False)},
    )
    try:
        made = compiler.compile(format="pdf", pdf_standards=list(STANDARDS), timestamp=made_at.replace(microsecond=0))
    except typst.TypstError as error:
        raise FormatError(f"the sheet could not be set ({error}); report this with the case as a fault") from error
    return cast("bytes", made)


def _section(one: SheetSection) -> dict[str, object]:
    return {
        "heading": plain(one.heading),
        "paragraphs": [plain(line) for line in one.paragraphs],
        "items": [plain(line) for line in one.items],
        "icons": [
            {
                "words": plain(icons.words),
                "svg": icon_drawing(icons),
                "width": ROW * STEP,
                "alt": f"{icons.words} {legend(icons)}",
                "legend": legend(icons),
            }
            for icons in one.icons
        ],
    }
