"""Limbs as the page draws them: the field, states between moves, steps, and what was proven of the plan."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from cuffwright.anatomy.side import map_axes
from cuffwright.case.identity import Side
from cuffwright.case.limb_plan import LimbPlan, LimbStep
from cuffwright.case.limbs import LimbField, LimbState, Suture
from cuffwright.exchange.cards import thread_of
from cuffwright.limbs.coding import KNOTTED, PASSED, UNPASSED, Board
from cuffwright.limbs.diagram import Diagram
from cuffwright.web.limbs_verdict import verdict

FURTHER = 1.0
"""Numerical choice: lateral anchors are drawn this many times as far from the holes again as the eyelets are."""


def field_view(field: LimbField, side: Side) -> dict[str, Any]:
    """What stays while limbs move, with the points each limb starts from; schematic mm, x backwards, y lateral."""
    board = Board(field)
    diagram = Diagram(board)
    limbs = [
        {
            "name": name,
            "suture": field.sutures[i // 2].name,
            "sources": {
                "unpassed": diagram.source(i, UNPASSED),
                "passed": diagram.source(i, PASSED),
                "knotted": diagram.source(i, KNOTTED),
            },
            "holed": board.hole[i] is not None,
        }
        for i, name in enumerate(board.limbs)
    ]
    beyond = field.eyelet_line + FURTHER * max(field.eyelet_line - field.hole_line, FURTHER)
    return {
        "anterior": map_axes(side).anterior,
        "portals": [
            {"name": p.name, "code": p.code, "at": (p.x, p.y), "capacity": p.capacity, "cannula": p.cannula}
            | {"open": p.open, "views": p.views}
            for p in field.portals
        ],
        "carriers": [{"name": c.name, "kind": c.kind, "at": (c.at, field.eyelet_line)} for c in field.carriers],
        "seats": [{"name": s.name, "at": (s.at, beyond), "load": s.load} for s in field.seats],
        "sutures": [_suture(one) for one in field.sutures],
        "limbs": limbs,
        "grasp": field.grasp,
        "holes_at": field.hole_line,
    }


def _suture(one: Suture) -> dict[str, Any]:
    return {"name": one.name, "carrier": one.carrier, "limbs": one.limbs, "ending": one.ending} | {
        "thread": asdict(thread_of(one.look))
    }


def state_view(state: LimbState) -> dict[str, Any]:
    """What stands between two moves; limbs in the field's order."""
    return {
        "limbs": [(limb.stage, limb.place) for limb in state.limbs],
        "scope": state.scope,
        "compartment": state.compartment,
        "cannulas": state.cannulas,
        "over": state.over,
        "suspect": state.suspect,
        "untested": state.untested,
        "grasper": state.grasper,
    }


def step_view(step: LimbStep) -> dict[str, Any]:
    """One step in words, with the move as an order."""
    return {
        "number": step.number,
        "phase": step.phase,
        "words": step.words,
        "move": asdict(step.move),
        "looks": step.looks,
        "arm": step.arm,
        "caution": step.caution,
    }


def plan_view(plan: LimbPlan, states: Sequence[LimbState], done: int) -> dict[str, Any]:
    """A plan from a state: its steps, the state before the first and after each, and its verdict."""
    return {
        "steps": [step_view(step) for step in plan.steps],
        "states": [state_view(state) for state in states],
        "verdict": verdict(plan, done),
        "moves": plan.certificate.moves,
        "cautions": plan.cautions,
        "ties": plan.certificate.ties,
    }
