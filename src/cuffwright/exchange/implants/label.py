"""Read an implant's label from what a scanner sent or a hand pasted."""

from datetime import date

from cuffwright.case.errors import FormatError
from cuffwright.case.implant import ImplantLabel
from cuffwright.exchange.implants.gs1 import read_gs1
from cuffwright.exchange.implants.hibcc import is_hibcc, read_hibcc

LONGEST = 400
"""Characters a label's codes may have together; more is no label."""


def read_label(text: str, today: date) -> ImplantLabel:
    """Read a label: a GS1 element string with or without brackets, or a HIBCC code.

    Parameters
    ----------
    text
        What the scanner sent, symbology prefix included. A label with two codes: one on each line.
    today
        The day, for two-digit years and for dates of production that cannot be.

    Raises
    ------
    FormatError
        In one sentence: a wrong check digit, an impossible date, a field too long, an unknown field, or no device
        identifier.
    """
    if len(text) > LONGEST:
        raise FormatError(f"the label has {len(text)} characters, more than {LONGEST}; scan one label at a time")
    lines = [line for line in (part.strip(" \t\r\f\v") for part in text.split("\n")) if line]
    if not lines:
        raise FormatError("the label is empty; scan it again or type what is printed under the code")
    return read_hibcc(lines, text, today) if is_hibcc(lines[0]) else read_gs1(lines, text, today)
