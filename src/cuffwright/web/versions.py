"""The shelf as the page sees it: each version with its answer, and what tells it from the repair that stands."""

from typing import Any

from cuffwright.case.errors import CuffError
from cuffwright.course.board import Board
from cuffwright.course.comparing import differences, titled
from cuffwright.course.shelf import Version
from cuffwright.exchange.plain import layout_to_plain
from cuffwright.web.bench import Bench
from cuffwright.web.settling import BESIDE
from cuffwright.web.view import hold_view


def shelf_view(key: str, board: Board, bench: Bench) -> list[dict[str, Any]]:
    """Every version of case ``key``; those not settled yet are set to work behind the repair that stands."""
    return [_version(f"{key}{BESIDE}{place}", one, board, bench) for place, one in enumerate(board.stand.shelf)]


def _version(job: str, version: Version, board: Board, bench: Bench) -> dict[str, Any]:
    view: dict[str, Any] = {
        "name": version.name,
        "title": titled(version.layout),
        "layout": layout_to_plain(version.layout),
        "differences": list(differences(version.layout, board.layout)) if board.layout else [],
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
