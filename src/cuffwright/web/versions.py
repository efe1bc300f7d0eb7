"""The shelf as the page sees it: each version with its answer, and what tells it from the repair that stands."""

from typing import Any

from cuffwright.case.errors import CaseError, CuffError
from cuffwright.case.layout import Layout
from cuffwright.course.board import Board
from cuffwright.course.comparing import differences, titled
from cuffwright.course.shelf import Version
from cuffwright.exchange.plain import layout_to_plain
from cuffwright.web.bench import Bench
from cuffwright.web.settling import BESIDE
from cuffwright.web.view import hold_view


def shelf_view(key: str, board: Board, bench: Bench, against: str | None = None) -> list[dict[str, Any]]:
    """Every version of case ``key``; those not settled yet are set to work behind the repair that stands.

    What tells each from another is said against the version called ``against``, or against what stands.

    Raises
    ------
    CaseError
        When there is no version of that name.
    """
    other = board.layout
    if against is not None:
        other = next((one.layout for one in board.stand.shelf if one.name == against), None)
        if other is None:
            raise CaseError(f"there is no version {against[:40]!r} on the shelf; compare with one that is there")
    return [_version(f"{key}{BESIDE}{place}", one, board, bench, other) for place, one in enumerate(board.stand.shelf)]


def explain_version(board: Board, place: str, name: str, bench: Bench) -> dict[str, Any] | None:
    """What stands behind a number of the version at ``place`` (from 1); None as long as it is not settled."""
    shelf = board.stand.shelf
    if not place.isdecimal() or not 0 < int(place) <= len(shelf):
        raise CaseError(f"there is no version {place[:8]!r} on the shelf; it holds {len(shelf)}, counted from 1")
    key = bench.job_key(board, shelf[int(place) - 1].layout)
    found = bench.settling.settled(key)
    return bench.told(board, found, name) if found else None


def _version(job: str, version: Version, board: Board, bench: Bench, other: Layout | None) -> dict[str, Any]:
    view: dict[str, Any] = {
        "name": version.name,
        "title": titled(version.layout),
        "layout": layout_to_plain(version.layout),
        "differences": list(differences(version.layout, other)) if other else [],
        "hold": None,
        "refused": None,
        "done": False,
    }
    try:
        bench.prepared(board.sheet)
    except CuffError as wrong:
        return {**view, "refused": str(wrong), "done": True}
    failed = bench.settling.failed(bench.job_key(board, version.layout))
    if failed:
        return {**view, "refused": failed, "done": True}
    course = bench.settle(job, board, version.layout)
    settled = course.last.kind == "settled"
    return {**view, "hold": hold_view(course.result) if settled else None, "done": settled}
