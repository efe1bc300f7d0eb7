"""``cuffwright bench``: how fast and how right, in one run on this machine."""

import time
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec
from statistics import median
from typing import Any

import numpy as np
import typer
from scipy.interpolate import RectBivariateSpline

from cuffwright.case.layout import Layout
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import say_json
from cuffwright.course.contact import press, spans
from cuffwright.course.hold import lay, prepare, settle
from cuffwright.course.prepared import Prepared
from cuffwright.course.pulling import thread
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import DEFAULT, demo_cases
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.rope import line_load
from cuffwright.mechanics.pull import Ramp, pull
from cuffwright.start.bench_access import access_times
from cuffwright.start.bench_page import page_times
from cuffwright.start.costs import cost_by_mesh, cost_by_sites

PATTERN = "bridging-knotted"
REPEATS = 21
"""Numerical choice: evaluations timed; the median is printed."""
MAPS = 3
"""Numerical choice: pressure maps in one evaluation."""
LOAD = 100.0
"""Numerical choice: load (N) at which the sheets are compared."""
DRAWS = 1000
"""Numerical choice: draws timed, of one scenario."""
BRICK = 1.0
"""Numerical choice: mesh size of the reference block, mm."""


def measured() -> dict[str, float | None]:
    """Time one evaluation, the draws and access, and compare sheet and layer with scikit-fem where it is installed."""
    prepared = prepare(demo_cases()[DEFAULT], load_book())
    layout = lay(prepared, PATTERN)
    ramp = evaluate(prepared, layout)
    times = [_milliseconds(lambda: evaluate(prepared, layout)) for _ in range(REPEATS)]
    settle(prepared, layout, draws=1)
    drawing = _milliseconds(lambda: settle(prepared, layout, draws=DRAWS))
    scenarios = len(prepared.scenarios)
    found: dict[str, float | None] = {
        "evaluation_ms": round(median(times), 2),
        "draws_per_s": round(scenarios * DRAWS / drawing * 1000.0),
        "reference_ms": None,
        "reference_error": None,
        "speed_ratio": None,
        **access_times(),
        **page_times(),
    }
    if find_spec("skfem") is None:
        return found
    sheet_ms, sheet_error = _against_sheet(ramp)
    layer_ms, layer_error = _against_block(prepared, layout, ramp)
    reference_ms = sheet_ms + layer_ms
    return {
        **found,
        "reference_ms": round(reference_ms, 1),
        "reference_error": round(max(sheet_error, layer_error), 4),
        "speed_ratio": round(reference_ms / median(times)),
        "sheet_error": round(sheet_error, 4),
        "layer_error": round(layer_error, 4),
    }


def evaluate(prepared: Prepared, layout: Layout) -> Ramp:
    """One evaluation of the middle scenario: ramp and three maps, the sheet kept."""
    woven = thread(prepared, layout, prepared.scenarios[prepared.middle].parameters)
    ramp = pull(woven)
    rows = np.linspace(0, int(ramp.curve.force.argmax()) // 2, MAPS).astype(int)
    for row in rows:
        press(prepared, layout, dict(zip(woven.limbs, ramp.curve.tension[row].tolist(), strict=True)))
    return ramp


def _against_sheet(ramp: Ramp) -> tuple[float, float]:
    """Milliseconds of the reference sheet, and the largest difference of a site's motion over the largest motion."""
    woven, curve = ramp.woven, ramp.curve
    forces = curve.pull[int(np.argmax(curve.force >= min(LOAD, 0.9 * ramp.ultimate)))]
    ours = woven.sheet.flexibility(woven.net.at)[0] @ forces
    reference = import_module("cuffwright.start.reference.sheet")
    strip = woven.strip
    started = time.perf_counter()
    theirs = reference.site_motions(
        woven.parameters.elastic, strip.width, strip.edge, strip.thickness, woven.net.at, forces
    )
    spent = (time.perf_counter() - started) * 1000.0
    return spent, float(np.abs(ours - theirs).max() / np.abs(theirs).max())


def _against_block(prepared: Prepared, layout: Layout, ramp: Ramp) -> tuple[float, float]:
    """Milliseconds of the reference block, and the rms difference of base pressure over its peak."""
    strip, layer = prepared.strip, prepared.layer
    grid = Grid.over(strip.width, strip.edge)
    ropes = spans(prepared, layout, ramp.tied)
    bed = prepared.shelf.bed_of(ropes, grid, layer, prepared.contact.width / 2, True)
    load = line_load(ropes, bed.nodes, bed.soft)
    ours = press(prepared, layout, ramp.tied)
    lengths = (strip.width, grid.depth, strip.thickness)
    cells = (round(strip.width / BRICK), round(grid.depth / BRICK), 3)
    reference: Any = import_module("cuffwright.start.reference.block")
    top = reference.rope_load(bed.nodes.u, bed.nodes.v - grid.medial, load.force, prepared.contact.spread, lengths[:2])
    started = time.perf_counter()
    solid, _ = reference.base_pressure(layer.stiffness(), lengths, cells, top)
    spent = (time.perf_counter() - started) * 1000.0
    across, along = (np.linspace(0, n, 2 * c + 1) for n, c in zip(lengths[:2], cells[:2], strict=True))
    theirs = RectBivariateSpline(across, along, solid, kx=2, ky=2)(grid.u, grid.v - grid.medial)
    inside = ours.inside > 0
    return spent, float(np.sqrt(np.mean((ours.pressure - theirs)[inside] ** 2)) / theirs[inside].max())


def _unmeasured(name: str) -> str:
    """Why a number is not there."""
    page = name.startswith(("page_", "drag_"))
    return f"not measured, needs {'Chromium and playwright' if page else 'the reference extra (scikit-fem)'}"


def _milliseconds(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return (time.perf_counter() - started) * 1000.0


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("bench")
    def _bench(as_json: JsonOption = False) -> None:
        """Time an evaluation and the draws, and compare with an independent finite-element solution."""
        found = measured()
        sites, meshes = cost_by_sites(), cost_by_mesh()
        if as_json:
            say_json({**found, "by_sites": sites, "by_mesh": meshes})
            return
        for name, value in found.items():
            print(f"{name}: {_unmeasured(name) if value is None else value}")
        for row in (*sites, *meshes):
            print(", ".join(f"{name} {value:g}" for name, value in row.items()))
