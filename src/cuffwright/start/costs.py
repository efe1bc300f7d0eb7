"""What an evaluation costs against the number of sites and the mesh, beside the least it could cost."""

import time
from collections.abc import Callable
from functools import partial
from statistics import median

import numpy as np

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.cost import EDGE, THICK, bridged, costs
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.scatter import Spread
from cuffwright.mechanics.sheet import solve_sheet
from cuffwright.mechanics.weave import Woven, weave

ANCHORS = (2, 3, 4, 6)
"""Numerical choice: medial anchors of the timed repairs; a site is a hole or where a limb crosses the edge."""

CELLS = (2.0, 1.5, 1.0)
"""Numerical choice: mesh sizes of the timed sheets, mm."""

MANY = 200
"""Numerical choice: Newton steps timed together."""

MICRO = 1e6
"""Numerical choice: microseconds of a second."""

REPEATS = 7
"""Numerical choice: timings of which the median is taken."""

Row = dict[str, float]


def cost_by_sites() -> list[Row]:
    """For repairs of growing size: a ramp, its floor (one Newton step per load step), 1,000 draws on two cores."""
    facts = Citing(load_book())
    parameters = Parameters.from_facts(facts, tissue="fair", bone="fair")
    spread = Spread.from_facts(facts, "surgery")
    rows = []
    tied = zip(ANCHORS, costs(parameters, spread, time.perf_counter, ANCHORS), strict=True)
    sliding = zip(ANCHORS, costs(parameters, spread, time.perf_counter, ANCHORS, knotted=False), strict=True)
    for slides, (anchors, cost) in [*((0, one) for one in tied), *((1, one) for one in sliding)]:
        woven = weave(*bridged(anchors, knotted=not slides), parameters)
        step_us, steps = _newton_step(woven)
        rows.append(
            {
                "slides": slides,
                "sites": cost.sites,
                "ropes": cost.ropes,
                "ramp_ms": round(cost.ramp * 1e3, 2),
                "floor_ms": round(step_us * steps / 1e3, 2),
                "newton_step_us": round(step_us, 1),
                "load_steps": steps,
                "thousand_draws_s": round(cost.thousand_on_two, 2),
            }
        )
    return rows


def cost_by_mesh() -> list[Row]:
    """Mesh size, unknowns and time of a sheet solved anew; a kept one costs nothing."""
    parameters = Parameters.from_facts(Citing(load_book()), tissue="fair", bone="fair")
    rows = []
    for cell in CELLS:
        times, nodes = [], 0
        for repeat in range(REPEATS):
            width = 20.0 + repeat * 1e-6
            solve = partial(solve_sheet, width, EDGE, THICK, parameters.elastic, cell)
            times.append(_seconds(solve))
            nodes = solve().solid.size
        rows.append({"cell_mm": cell, "answering_nodes": nodes, "sheet_ms": round(median(times) * 1e3, 2)})
    return rows


def _newton_step(woven: Woven) -> tuple[float, int]:
    """Microseconds of one assembly and one factorised step at the tied state, and the ramp's number of load steps."""
    from cuffwright.mechanics.kernels.chain import TIED
    from cuffwright.mechanics.kernels.energy import assemble
    from cuffwright.mechanics.kernels.newton import newton_step
    from cuffwright.mechanics.kernels.ramp import tie
    from cuffwright.mechanics.kernels.work import Ties, workspace

    net = woven.net
    x, stiff, rest = tie(net)
    work, nothing = workspace(net), np.zeros((net.kind.size, 2))
    state, limit, grip = np.full(net.nodes.size, TIED), np.zeros(rest.shape), np.zeros(net.kind.size)
    ties = Ties(state, stiff, rest, limit, nothing, nothing, grip)

    def steps() -> None:
        for _ in range(MANY):
            assemble(net, x, False, ties, work)
            newton_step(work, False)

    steps()
    return _seconds(steps) / MANY * MICRO, pull(woven).curve.force.size


def _seconds(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return time.perf_counter() - started
