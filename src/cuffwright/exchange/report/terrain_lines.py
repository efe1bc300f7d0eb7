"""The lines of the footprint chart as the printed map takes them."""

from cuffwright.anatomy.chart import FootprintChart


def terrain_lines(chart: FootprintChart, spacing_mm: float = 1.0) -> dict[str, list[tuple[float, float]]]:
    """Named lines of ``chart`` in (u, v), mm, a vertex at least every ``spacing_mm``; areas are left out.

    Raises
    ------
    CaseError
        When the spacing is not above 0.
    """
    return {
        feature.name: [(float(u), float(v)) for u, v in feature.points]
        for feature in chart.terrain(spacing_mm)
        if feature.kind == "line"
    }
