"""A tear drawn on slices of the invented shoulder comes back on the chart, with a band that holds the truth."""

import numpy as np
import pytest

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.case.errors import ImageError
from cuffwright.evidence.book import load_book
from cuffwright.imaging.outline.loft import Ends, loft
from cuffwright.imaging.outline.pose import Marked, pose_of
from cuffwright.imaging.phantom.body import FLUID, TENDON, InventedBody, InventedTear, mean_shoulder
from cuffwright.imaging.phantom.sections import Protocol, planes

STEP = 3.0


@pytest.fixture(scope="module")
def shoulder():
    """The shoulder of mean measures."""
    return mean_shoulder(load_book())


def marks(body, head_sd=0.3, point_sd=0.3):
    """Head, shaft and front of the tuberosity, in the patient."""
    chart = FootprintChart(body.humerus)
    shaft = body.humerus.shaft_point + np.array([0.0, -80.0, 0.0])
    front = chart.to_humerus(0.0, chart.edge(0.0))
    places = [tuple(body.to_patient(p).tolist()) for p in (np.zeros(3), shaft, front)]
    return Marked(*places, head_sd_mm=head_sd, point_sd_mm=point_sd)


def ends_on_slices(body, rng, sd):
    """On every sagittal slice where fluid meets tendon in front and behind (pixels of 0.6 mm), missed by ``sd`` mm.

    Where the slice leaves the footprint before it meets tendon, that end is left out, as a reader leaves it out.
    """
    protocol, found = Protocol(pixels=120, pixel_mm=0.6, step_mm=STEP, count=32), []
    chart = FootprintChart(body.humerus)
    for plane in planes(body, "sagittal", protocol)[19:]:
        grid = np.arange(protocol.pixels) * protocol.pixel_mm
        flat = (
            np.array(plane.position) + grid[:, None, None] * plane.along_column + grid[None, :, None] * plane.along_row
        )
        points = body.from_patient(flat.reshape(-1, 3))
        tissue = body.tissue(points)
        torn, sound = points[tissue == FLUID], points[tissue == TENDON]
        if len(torn) < 30:
            continue
        u = chart.to_chart(torn)[:, 0]
        ends = []
        for end in (torn[u.argmin()], torn[u.argmax()]):
            meets = len(sound) and np.linalg.norm(sound - end, axis=1).min() < 1.0
            ends.append(tuple((body.to_patient(end) + rng.normal(0, sd, 3)).tolist()) if meets else None)
        found.append(Ends(*ends))
    return found


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_pose_is_found_from_three_marks(shoulder, side):
    """Points of the humerus come back to themselves within 0.1 mm, on either side."""
    body = InventedBody(shoulder, InventedTear(4, 20, 12), side)
    pose = pose_of(body.humerus, side, marks(body))
    points = np.random.default_rng(1).normal(0, 20, (50, 3))
    assert np.abs(pose.to_humerus(body.to_patient(points)) - points).max() < 0.1


@pytest.mark.parametrize(("shape", "side"), [("crescent", "right"), ("U", "left"), ("L", "right")])
def test_the_outline_is_that_of_the_tear(shoulder, shape, side):
    """Width, front and retraction within two SD and a pixel of the truth; outline and truth overlap by 80 percent."""
    rng = np.random.default_rng(4)
    body = InventedBody(shoulder, InventedTear(4, 20, 12, shape), side)
    found = loft(body.humerus, side, marks(body), ends_on_slices(body, rng, 0.3), STEP, rng, "invented")
    for measured, true in ((found.front, 4.0), (found.width, 16.0), (found.retraction, 12.0)):
        assert abs(measured.value - true) < 2 * measured.sd + 0.6
        assert 0.05 < measured.sd < 2
        assert measured.origin == "image"
    assert overlap(body, found.outline) > 0.8


def overlap(body, outline):
    """Shared over joint area of the outline and the invented tear, on a grid of the chart."""
    u, v = np.meshgrid(np.arange(0, 30, 0.25), np.arange(-10, 18, 0.25))
    edge = FootprintChart(body.humerus).edge(u)
    tear = body.tear
    true = (u >= tear.front) & (u <= tear.back) & (v <= edge) & (v > edge - tear.far(u))
    rungs = len(outline) // 2
    front, back = outline[:rungs], outline[rungs:][::-1]
    held = (u > np.interp(v, front[:, 1], front[:, 0])) & (u < np.interp(v, back[:, 1], back[:, 0]))
    held &= (v > front[0, 1]) & (v <= edge)
    return (held & true).sum() / (held | true).sum()


def test_the_band_widens_with_the_marks(shoulder):
    """Marks three times as uncertain: a band at least twice as wide."""
    body = InventedBody(shoulder, InventedTear(4, 20, 12))
    bands = []
    for sd in (0.3, 0.9):
        rng = np.random.default_rng(4)
        ends = ends_on_slices(body, np.random.default_rng(2), 0.3)
        bands.append(loft(body.humerus, "right", marks(body, sd, sd), ends, STEP, rng).sd_u.mean())
    assert bands[1] > 2 * bands[0]


def test_one_slice_is_no_outline(shoulder):
    """Two slices are needed; front and back exchanged, and a shaft mark beside the head, are refused."""
    body = InventedBody(shoulder, InventedTear(4, 20, 12))
    ends = ends_on_slices(body, np.random.default_rng(2), 0.3)
    with pytest.raises(ImageError, match="two slices or more"):
        loft(body.humerus, "right", marks(body), ends[:1], STEP, np.random.default_rng(1))
    crossed = [Ends(end.back, end.front) for end in ends]
    with pytest.raises(ImageError, match="behind its back"):
        loft(body.humerus, "right", marks(body), crossed, STEP, np.random.default_rng(1))
    near = Marked((-150.0, -20.0, 0.0), (-150.0, -20.0, -10.0), (-170.0, -30.0, 0.0), 0.3, 0.3)
    with pytest.raises(ImageError, match="farther down"):
        pose_of(body.humerus, "right", near)
