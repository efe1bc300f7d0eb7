"""The right answers of the invented body: measures, and where their marks belong in the patient."""

from dataclasses import dataclass

import numpy as np

from cuffwright.imaging.phantom.body import Floats, InventedBody


@dataclass(frozen=True)
class Truth:
    """What a perfect reader would find: lengths in mm (straight, as an image shows them), angles in degrees, ratios."""

    tear_width: float
    retraction: float
    tendon_thickness: float
    head_radius: float
    occupation_ratio: float
    fat_percent: float
    critical_shoulder_angle: float
    acromial_index: float


def deepest(body: InventedBody) -> float:
    """u (mm) at which the tear reaches farthest back."""
    tear = body.tear
    return tear.front if tear.shape == "L" else (tear.front + tear.back) / 2


def tear_ends(body: InventedBody) -> tuple[Floats, Floats]:
    """Front and back end of the tear at the footprint's lateral edge, half the tendon's thickness above bone."""
    tear, chart = body.tear, body.shoulder.chart
    front, back = (chart.to_humerus(u, chart.edge(u), tear.thickness / 2) for u in (tear.front, tear.back))
    return front, back


def edge_and_stump(body: InventedBody, u: float | None = None) -> tuple[Floats, Floats]:
    """The lateral edge of the footprint on bone and the tendon's end (middle of its thickness) at ``u``, or where the
    tear is deepest.
    """
    chart, tear = body.shoulder.chart, body.tear
    here = deepest(body) if u is None else u
    edge = chart.edge(here)
    stump = edge - float(tear.far(np.array(here)))
    height = float(body.base(np.array(stump))) + tear.thickness / 2
    return chart.to_humerus(here, edge), chart.to_humerus(here, stump, height)


def truth(body: InventedBody) -> Truth:
    """Every measure of the body, from its own shape."""
    front, back = tear_ends(body)
    edge, stump = edge_and_stump(body)
    shoulder = body.shoulder
    return Truth(
        tear_width=float(np.linalg.norm(back - front)),
        retraction=float(np.linalg.norm(stump - edge)),
        tendon_thickness=body.tear.thickness,
        head_radius=body.humerus.head_radius,
        occupation_ratio=body.muscle_ratio,
        fat_percent=100 * body.muscle_fat,
        critical_shoulder_angle=shoulder.acromion.shoulder_angle_degrees(shoulder.measures.glenoid_height),
        acromial_index=shoulder.acromion_index,
    )
