"""The Constant score as percent of normal: three tables that disagree, each named, the absolute value beside it."""

from cuffwright.case.fact import Citing
from cuffwright.case.score import Relative
from cuffwright.outcome.change import PERCENT

TABLES = {"1986": 8, "2005a": 6, "2005b": 6}
"""Numerical choice: bands of age in each table of norms."""

DECIMALS = 1
"""Numerical choice: decimals of a percentage of normal."""


def relative(absolute: float, age: int | None, sex: str | None, facts: Citing) -> tuple[Relative, ...]:
    """The score against each table that covers age and sex; none where either is missing, since none is assumed."""
    if age is None or sex not in {"female", "male"}:
        return ()
    found = []
    for table, bands in TABLES.items():
        reached = [band for band in range(bands) if age >= facts.number(f"norm.{table}.from.{band}")]
        if not reached:
            continue
        row = facts.fact(f"norm.{table}.{sex}.{reached[-1]}")
        percent = round(PERCENT * absolute / row.value, DECIMALS)
        found.append(Relative(table, absolute, row.value, percent, row.source.source, row.verified))
    return tuple(found)
