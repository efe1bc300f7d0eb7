"""Judgement before an operation: classes, odds, reasons and work on bone of one case. It never decides."""

from collections.abc import Iterable

from cuffwright import __version__
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.odds import Judged, OddsAnswer, Statement
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.general import GENERAL
from cuffwright.healing import double_row
from cuffwright.healing.bonework import bone_work
from cuffwright.healing.classes import classify
from cuffwright.healing.known import known
from cuffwright.healing.models import NOT_HEALED, odds
from cuffwright.healing.reasons import reasons, unasked


def judged(
    sheet: CaseSheet,
    book: FactBook,
    *,
    benefit: tuple[Statement, ...] = (),
    statements: tuple[Statement, ...] = (),
) -> Judged:
    """Everything published that bears on this decision, side by side.

    ``benefit`` says what repair gained, apart from whether it healed; ``statements`` are those of guidelines.

    Raises
    ------
    EvidenceError
        When a row is missing.
    """
    facts, told = Citing(book), known(sheet)
    found = odds(told, facts)
    return Judged(
        case=sheet.identity.patient,
        side=sheet.identity.side,
        classes=classify(told, facts),
        odds=found,
        structure=span(one for one in found if one.outcome == NOT_HEALED),
        structure_read=span(one for one in found if one.outcome == NOT_HEALED and one.verified),
        benefit=benefit,
        reasons=reasons(told, facts),
        reasons_unknown=unasked(told),
        bone_work=bone_work(told, facts),
        double_row=tuple(double_row.words(kind, facts) for kind in double_row.KINDS),
        statements=statements,
        general=GENERAL,
        facts=tuple(dict.fromkeys((*facts.used, *(key for one in (*benefit, *statements) for key in one.facts)))),
        version=__version__,
        edition=book.edition,
    )


def span(answers: Iterable[OddsAnswer]) -> tuple[float, float] | None:
    """The lowest and highest share that any of the answers gives; a range, not a blend. None when none computes."""
    known_ends = [(one.low, one.high) for one in answers if one.low is not None and one.high is not None]
    if not known_ends:
        return None
    return min(low for low, _ in known_ends), max(high for _, high in known_ends)
