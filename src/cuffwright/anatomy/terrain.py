"""What the map shows of the bone and the tendons: named lines and areas in (u, v)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import CaseError

if TYPE_CHECKING:
    from cuffwright.anatomy.chart import FootprintChart

Floats = NDArray[np.float64]
Kind = Literal["line", "area"]


@dataclass(frozen=True)
class Feature:
    """A line or an area of the map: name, kind and vertices (n, 2) in (u, v), mm; areas are not closed twice."""

    name: str
    kind: Kind
    points: Floats


def draw(chart: FootprintChart, spacing: float) -> tuple[Feature, ...]:
    """All features of ``chart`` with a vertex at least every ``spacing`` mm.

    Raises
    ------
    CaseError
        When the spacing is not above 0.
    """
    if not spacing > 0:
        raise CaseError(f"the map needs a spacing above 0 mm, not {spacing}")
    return (*_lines(chart, spacing), *_tendons(chart, spacing), *_bare_tendons(chart, spacing))


def _run(start: float, end: float, spacing: float) -> Floats:
    """Numbers from ``start`` to ``end``, both included, no further apart than ``spacing``."""
    return np.linspace(start, end, max(2, 1 + int(np.ceil(abs(end - start) / spacing))))


def _along(v: Callable[[Floats], Floats], start: float, end: float, spacing: float) -> Floats:
    """Vertices of the curve v(u)."""
    u = _run(start, end, spacing)
    return np.column_stack([u, v(u)])


def _across(u: float, medial: float, lateral: float, spacing: float) -> Floats:
    """Vertices of a line of constant u."""
    v = _run(medial, lateral, spacing)
    return np.column_stack([np.full_like(v, u), v])


def _lines(chart: FootprintChart, spacing: float) -> list[Feature]:
    front, back, size = chart.groove, chart.back, chart.shape.footprint
    curves: dict[str, Callable[[Floats], Floats]] = {
        "cartilage margin": np.zeros_like,
        "corner": chart.corner,
        "wall bottom": chart.wall_bottom,
    }
    lines = [Feature(name, "line", _along(v, front, back, spacing)) for name, v in curves.items()]
    lines.append(Feature("attachment gap", "line", _along(chart.gap, 0.0, back, spacing)))
    lines.append(Feature("lateral edge", "line", _along(chart.edge, 0.0, size.length, spacing)))
    lines.append(Feature("groove edge", "line", _across(front, 0.0, float(chart.wall_bottom(front)), spacing)))
    for name, u in zip(("superior", "middle"), chart.strip.facet_borders, strict=True):
        lines.append(Feature(f"{name} facet border", "line", _across(u, 0.0, float(chart.corner(u)), spacing)))
    return lines


def _band(chart: FootprintChart, start: float, end: float, spacing: float) -> Floats:
    """Outline of the insertion between two u."""
    lateral = _along(chart.edge, end, start, spacing)
    return np.vstack([_along(chart.gap, start, end, spacing), lateral])


def _tendons(chart: FootprintChart, spacing: float) -> list[Feature]:
    size = chart.shape.footprint
    behind = size.supraspinatus - size.overlap
    return [
        Feature("supraspinatus", "area", _band(chart, 0.0, size.supraspinatus, spacing)),
        Feature("infraspinatus", "area", _band(chart, behind, size.length, spacing)),
        Feature("overlap", "area", _band(chart, behind, size.supraspinatus, spacing)),
        Feature("both tendons", "area", _band(chart, 0.0, size.length, spacing)),
    ]


def _bare_tendons(chart: FootprintChart, spacing: float) -> list[Feature]:
    """The tendon-only layer: a triangle-like supraspinatus, an infraspinatus sweeping forward outside it."""
    size = chart.shape.footprint
    base, tip = size.bare_supraspinatus_medial, size.bare_supraspinatus_lateral

    def top(u: Floats) -> Floats:
        outer = size.capsule(u) + size.bare_supraspinatus_breadth * np.clip((base - u) / (base - tip), 0, 1)
        return np.asarray(np.minimum(outer, chart.edge(u)))

    def inner(u: Floats) -> Floats:
        return np.asarray(np.minimum(size.capsule(u), chart.edge(u)))

    sweep = max(0.0, size.length - size.bare_infraspinatus_lateral)
    meet = min(base, max(tip, size.length - size.bare_infraspinatus_medial))
    supra = [_along(inner, 0.0, base, spacing), _along(top, base, tip, spacing), _along(top, tip, 0.0, spacing)]
    infra = [
        _along(chart.edge, sweep, size.length, spacing),
        _along(inner, size.length, base, spacing),
        _along(top, base, meet, spacing),
    ]
    return [
        Feature("supraspinatus tendon only", "area", np.vstack(supra)),
        Feature("infraspinatus tendon only", "area", np.vstack(infra)),
    ]
