"""The chart of a practice as a table: one row for each repair on it."""

import csv
import io

from cuffwright.case.practice import Practice
from cuffwright.exchange.followup_file import harmless

COLUMNS = (
    "patient",
    "side",
    "operation",
    "risk",
    "failed",
    "weight",
    "score",
    "difference",
    "signal",
    "better",
    "improved",
)
"""Columns of the table."""


def practice_csv(found: Practice) -> str:
    """The chart, UTF-8 text with a head."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    for one in found.chart:
        numbers = (f"{value:.6g}" for value in (one.weight, one.score, one.difference))
        said = ("yes" if one.failed else "no", *numbers, "yes" if one.signal else "no")
        said = (*said, f"{one.better:.6g}", "yes" if one.improved else "no")
        table.writerow((harmless(one.patient), one.side, one.operation_date.isoformat(), f"{one.risk:.6g}", *said))
    return out.getvalue()
