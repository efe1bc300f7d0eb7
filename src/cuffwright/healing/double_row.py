"""What a double row changes in published retears, as a risk ratio with its interval."""

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Interval

SHARE = 0.95
"""Numerical choice: confidence of the published intervals."""

KINDS = ("any.2019", "full.2019", "partial.2025", "full.2025")


def with_double_row(baseline: float, kind: str, facts: Citing) -> Interval:
    """The share torn again with a double row where it is ``baseline`` with a single row, with the interval."""
    row = facts.fact(f"construct.double.{kind}")
    low, high = row.low if row.low is not None else row.value, row.high if row.high is not None else row.value
    return Interval(baseline * row.value, baseline * low, min(1.0, baseline * high), "-", SHARE)


def words(kind: str, facts: Citing) -> str:
    """The ratio in words; an interval that holds 1 is not proven."""
    row = facts.fact(f"construct.double.{kind}")
    what, year = kind.split(".")
    proven = "" if row.high is not None and row.high < 1 else "; not proven"
    return f"{what} retear, guideline {year}: {row.value:.2f} times ({row.low:.2f} to {row.high:.2f}){proven}"
