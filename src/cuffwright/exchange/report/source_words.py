"""The evidence rows a result rests on, unverified first, each tied to its source."""

from collections.abc import Mapping

from cuffwright.case.errors import FormatError
from cuffwright.case.fact import Fact, Provenance
from cuffwright.case.hold import HoldResult
from cuffwright.exchange.report.page_words import Plain
from cuffwright.exchange.report.printed import number, plain

ORDER: tuple[Provenance, ...] = ("memory", "assumed", "calibrated", "derived", "measured", "read")
"""Least certain first, so that what does not fit the page is what was read in a source."""


def source_words(result: HoldResult, facts: Mapping[str, Fact]) -> list[Plain]:
    """One entry per row used, by provenance, unverified first; among equals those a caution cites come first.

    Raises
    ------
    FormatError
        When a row the result used is not among ``facts``: a number without its source is not printed.
    """
    lost = [key for key in result.facts if key not in facts]
    if lost:
        raise FormatError(
            f"the evidence given lacks {lost[0]}, which this result used; pass the rows of edition {result.edition}"
        )
    cited = {c.fact for c in result.cautions if c.fact}
    used = dict.fromkeys((*result.facts, *(key for key in sorted(cited) if key in facts)))
    rows = sorted((facts[key] for key in used), key=lambda f: (ORDER.index(f.provenance), f.key not in cited))
    return [_row(fact) for fact in rows]


def _row(fact: Fact) -> Plain:
    source = fact.source
    year = f", {source.year}" if source.year and str(source.year) not in source.citation else ""
    url = f". {source.url.removeprefix('https://')}" if source.url else ""
    return {
        "key": plain(fact.key),
        "value": number(fact.value),
        "unit": "" if fact.unit == "-" else plain(fact.unit),
        "provenance": fact.provenance,
        "unverified": "" if fact.verified else "unverified",
        "citation": plain(f"{source.citation}{year}{url}"),
    }
