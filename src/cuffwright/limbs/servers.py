"""Two or more working cannulas: each in turn does all the work, the others only park; the shortest plan is taken."""

from dataclasses import replace

from cuffwright.case.limb_plan import Proof
from cuffwright.case.limbs import LimbField, LimbState
from cuffwright.limbs.bound import Bound
from cuffwright.limbs.coding import Board
from cuffwright.limbs.search import BUDGET, Found, Search


def found_from(field: LimbField, state: LimbState, budget: int = BUDGET) -> Found | None:
    """The best plan found from a state, with its proof; None when there is none within the budget.

    With several cannulas the counting bound is weak, so a plan above it is said to stand at a gap.
    """
    board = Board(field)
    s = board.coded(state)
    workers = [p.name for p in field.portals if p.cannula and p.open]
    if len(workers) < 2:
        return Search(board, budget)(s)
    share = max(1, budget // len(workers))
    plans = [Search(Board(_alone(field, name)), share)(s) for name in workers]
    plans.append(Search(board, share)(s))
    done = [plan for plan in plans if plan is not None]
    if not done:
        return None
    best = min(done, key=lambda plan: len(plan.moves))
    least = Bound(board)(s)
    shown = any(plan is plans[-1] and plan.proof == "search" and len(plan.moves) == len(best.moves) for plan in done)
    proof: Proof = "bound" if len(best.moves) == least else ("search" if shown else "gap")
    return Found(best.moves, least, proof, False, sum(plan.expanded for plan in done))


def _alone(field: LimbField, server: str) -> LimbField:
    """The field with one working cannula; the lateral anchors go in by it too where it reaches them all."""
    reach = field.portal(server).seats
    whole = reach is not None and all(reach.holds(s.at) for s in field.seats)
    portals = tuple(
        p if p.name == server else replace(p, cannula=False, seats=None if whole else p.seats) for p in field.portals
    )
    return replace(field, portals=portals)
