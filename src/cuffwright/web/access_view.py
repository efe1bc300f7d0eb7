"""Access of one case as the page sees it: what stands, what is drawn, and what is missing."""

from dataclasses import asdict
from typing import Any

from cuffwright.access.margins import SENTENCE
from cuffwright.access.portals import marking
from cuffwright.case.errors import CuffError
from cuffwright.case.reach import AccessResult, BetterPlace
from cuffwright.course.access import Ready
from cuffwright.course.board import Board
from cuffwright.web.access_desk import AccessDesk
from cuffwright.web.access_live import cell, live_view
from cuffwright.web.access_orders import ScopeOrder
from cuffwright.web.access_verdict import Found, verdict
from cuffwright.web.lacking import access_lacks


def access_view(key: str, seq: int, board: Board, desk: AccessDesk, scope: ScopeOrder) -> dict[str, Any]:
    """What stands in case ``key`` after event ``seq``; ``refused`` says why there is nothing to draw."""
    view: dict[str, Any] = {
        "key": key,
        "seq": seq,
        "side": board.sheet.identity.side,
        "undo": board.undo,
        "redo": board.redo,
        "lacking": access_lacks(board),
        "sentence": SENTENCE,
        "refused": None,
        "live": None,
        "answer": None,
        "usual": {},
        "range": {},
    }
    try:
        asked = desk.ready(board)
        posing = asked.gear.posing
        view["usual"] = {name: asdict(pose) for name, pose in posing.usual.items()}
        view["range"] = {"abduction": posing.abduction_most, "rotation": posing.rotation_most}
        view["live"] = live_view(asked, desk.pose(board), scope)
        found = desk.known(board)
        view["answer"] = answer_view(asked, found) if found else None
    except CuffError as wrong:
        view["refused"] = str(wrong)
    return view


def answer_view(asked: Ready, found: AccessResult) -> dict[str, Any]:
    """A drawn answer as plain values, with its verdict."""
    told = Found(
        found.pose,
        found.reaches,
        len(found.moves),
        found.unreached,
        found.hidden.share,
        found.margins,
        found.cautions,
    )
    return {
        "pose": asdict(found.pose),
        "cells": [cell(row) for row in found.reaches],
        "margins": [asdict(one) for one in found.margins],
        "beds": [asdict(bed) for bed in found.beds],
        "better": [{**asdict(one), "marking": _marking(asked, one)} for one in found.better],
        "moves": [{"pose": asdict(m.pose), "pose_words": m.pose.words, "steps": m.steps} for m in found.moves],
        "unreached": list(found.unreached),
        "cautions": [asdict(one) for one in found.cautions],
        "spread": list(found.spread),
        "draws": found.draws,
        "verdict": verdict(told),
    }


def _marking(asked: Ready, better: BetterPlace) -> list[tuple[str, float]]:
    return [(words, round(cm, 1)) for words, cm in marking(better.place, asked.scene.shoulder)]
