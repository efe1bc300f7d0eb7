"""Reach as the repair map draws it: for each site the portal and arm position it is reached from, or why it is not."""

from dataclasses import asdict
from typing import Any

from cuffwright.case.errors import CaseError
from cuffwright.case.reach import SiteReach
from cuffwright.course.board import Board
from cuffwright.course.reaching import reach_of
from cuffwright.web.bench import Bench


def reach_view(board: Board, bench: Bench) -> dict[str, Any]:
    """Every site of the layout that stands, with the arm and portals that stand in Access; no chances, nothing kept.

    Raises
    ------
    CaseError
        When no pattern is chosen, or the case cannot be worked on.
    EvidenceError
        When an implant has no size in the rows.
    """
    if board.layout is None:
        raise CaseError("no pattern is chosen yet, so there is nothing to reach; choose a pattern first")
    found = reach_of(bench.prepared(board.sheet), board.layout, board.stand.approach)
    standing = found[0].standing.words if found else ""
    return {"standing": standing, "sites": [_site(one) for one in found]}


def _site(one: SiteReach) -> dict[str, Any]:
    told = {
        "yes": f"from the {one.portal} portal, the arm as it stands",
        "moved": f"from the {one.portal} portal, only with the arm at {one.pose.words}",
        "no": f"from nowhere tried: {one.reason}",
    }
    return {
        "site": one.site,
        "kind": one.kind,
        "answer": one.answer,
        "portal": one.portal,
        "pose": asdict(one.pose),
        "words": told[one.answer],
    }
