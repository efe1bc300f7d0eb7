"""Sheets for patients and therapists: as text and as PDF, in usual or large print."""

from cuffwright.exchange.sheets.text import sheet_text
from cuffwright.exchange.sheets.write import write_sheet

__all__ = ["sheet_text", "write_sheet"]
