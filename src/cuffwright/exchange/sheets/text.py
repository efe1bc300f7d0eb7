"""A sheet as plain text."""

import textwrap

from cuffwright.case.sheets import Icons, PrintedSheet

WIDTH = 76
MODE = "teaching and planning, not for care"
FULL, HALF, EMPTY = "#", "+", "."
ROW = 10


def sheet_text(sheet: PrintedSheet, *, mode: str = MODE) -> str:
    """The sheet in lines of plain text, with icons as rows of characters."""
    lines = [heading_line(sheet), f"[{mode}]", "", sheet.title.upper()]
    for section in sheet.sections:
        lines += ["", section.heading, "-" * len(section.heading)]
        for paragraph in section.paragraphs:
            lines += textwrap.wrap(paragraph, WIDTH)
        for item in section.items:
            lines += textwrap.wrap(item, WIDTH, initial_indent="* ", subsequent_indent="  ")
        for icons in section.icons:
            lines += [
                "",
                *textwrap.wrap(icons.words, WIDTH),
                *icon_rows(icons),
                *textwrap.wrap(row_legend(icons), WIDTH),
            ]
    lines += ["", "Please note", "-----------"]
    for words in sheet.general:
        lines += textwrap.wrap(words, WIDTH, initial_indent="* ", subsequent_indent="  ")
    lines += ["", "Sources", "-------", *sheet.sources] if sheet.sources else []
    lines += ["", footer_line(sheet)]
    return "\n".join(lines) + "\n"


def heading_line(sheet: PrintedSheet) -> str:
    """Whose and which side."""
    invented = ", invented: no such patient" if sheet.invented else ""
    return f"Patient {sheet.patient}{invented}. {sheet.side.upper()} shoulder."


def footer_line(sheet: PrintedSheet) -> str:
    """Version, edition of the evidence, and the grade of reading where there is one."""
    grade = "" if sheet.grade is None else f" Reading grade {sheet.grade:g}."
    decides = "You and your surgeon decide." if sheet.reader == "patient" else "The surgeon decides."
    return f"Cuffwright {sheet.version}, evidence {sheet.edition}.{grade} {decides}"


def row_legend(icons: Icons) -> str:
    """What the characters mean."""
    if icons.sure == icons.up_to:
        return f"Each sign is one person. {FULL}: {icons.sure} of {icons.of}."
    return f"Each sign is one person. {FULL}: {icons.sure} in all groups. {HALF}: up to {icons.up_to} in some."


def icon_rows(icons: Icons) -> list[str]:
    """Rows of ten people: those in every source, those in some, the others."""
    people = FULL * icons.sure + HALF * (icons.up_to - icons.sure) + EMPTY * (icons.of - icons.up_to)
    return [" ".join(people[start : start + ROW]) for start in range(0, icons.of, ROW)]
