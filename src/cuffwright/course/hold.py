"""What a repair will hold: the one door that page, command line and print go through."""

from dataclasses import replace

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.reach import USUAL, Approach
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.course.asking import Answer, explain
from cuffwright.course.prepared import Prepared, lay, prepare, seat
from cuffwright.course.rules import refusal
from cuffwright.course.settling import DRAWS, Cancelled, FirstLook, Progress, StoppedError, glance, input_hash, settle
from cuffwright.repair.patterns import patterns, some_names

__all__ = [
    "DRAWS",
    "Answer",
    "Prepared",
    "StoppedError",
    "explain",
    "glance",
    "hold",
    "input_hash",
    "lay",
    "pattern_of",
    "prepare",
    "seat",
    "settle",
    "unverified",
    "warm",
]


def pattern_of(sheet: CaseSheet, asked: str | None = None) -> str:
    """The pattern to lay: the one asked for, else the one the case names; raises CaseError when there is neither."""
    name = asked or sheet.plan.pattern
    if name is None:
        raise CaseError(f"not computed, needs a repair pattern: set plan.pattern to one of {some_names()}")
    return name


def hold(
    sheet: CaseSheet,
    book: FactBook,
    *,
    pattern: str | None = None,
    layout: Layout | None = None,
    draws: int = DRAWS,
    seed: int = 1,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
    first: FirstLook | None = None,
    approach: Approach = USUAL,
) -> HoldResult:
    """Say what the repair of this case will hold.

    ``layout`` is taken as it is; without it ``pattern``, or the pattern the case names, is laid. ``first`` is told an
    early look at the middle scenario; the rules of reach look from ``approach``.

    Raises
    ------
    CaseError
        When the case is impossible, or names no pattern.
    OutsideValidity
        When the tear or the layout lies outside the model; the result is withheld.
    StoppedError
        When cancelled.
    """
    prepared = prepare(sheet, book)
    laid = layout or lay(prepared, pattern_of(sheet, pattern))
    return settle(
        prepared,
        laid,
        draws=draws,
        seed=seed,
        progress=progress,
        cancelled=cancelled,
        first=first,
        approach=approach,
    )


def warm(book: FactBook) -> None:
    """Settle one pattern on a plain tear, so that all kernels are compiled, or loaded where they were.

    Kernels are compiled by the kinds of what they are given, and no pattern changes those.
    """
    width, thickness = (Measurement(book.fact(key).value, 0.0, "scenario") for key in WARM_KEYS)
    sheet = CaseSheet(Identity("warm", "right"), Tear(width_mm=width, thickness_mm=thickness))
    prepared = prepare(sheet, book)
    fitting = (
        name
        for name, wanted in patterns().items()
        if refusal(wanted, sheet, prepared.strip, prepared.bed, Citing(book)) is None
    )
    settle(replace(prepared, plain=False), lay(prepared, next(fitting)), draws=1)


def unverified(book: FactBook, result: HoldResult) -> tuple[str, ...]:
    """Keys of the rows an answer used that rest on memory or assumption, shown as unverified everywhere."""
    return tuple(key for key in result.facts if not book.fact(key).verified)


WARM_KEYS = ("rule.tear.supraspinatus", "tendon.thickness")
"""Rows that give the tear on which kernels are warmed."""
