"""A humerus taken from a CT of the invented shoulder comes back where it was put; a short scan says what it lacks."""

import numpy as np
import pytest

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.case.errors import ImageError
from cuffwright.imaging.bone.head_rays import BoneRows, agreeing, fitted
from cuffwright.imaging.bone.humerus import humerus_of
from cuffwright.imaging.bone.registering import registered
from cuffwright.imaging.bone.surface_net import surface_of
from cuffwright.imaging.bone.thinning import thinned
from cuffwright.imaging.bone.volume import Volume, volume_of
from cuffwright.imaging.intake.slices import Slices
from cuffwright.imaging.intake.taking_in import take_in
from cuffwright.imaging.phantom.body import InventedBody, InventedTear, mean_shoulder
from cuffwright.imaging.phantom.tomography import Scan, write_ct
from cuffwright.imaging.phantom.writing import Study
from tests.access.example_bone import triangles

SCAN = Scan(pixels=88, pixel_mm=1.2, step_mm=2.2, above_mm=38, below_mm=66)
ROWS = BoneRows(200.0, 2.0)


@pytest.fixture(scope="module")
def scanned(tmp_path_factory, book):
    """A left invented shoulder and its CT as a volume."""
    body = InventedBody(mean_shoulder(book), InventedTear(6.0, 17.5, 9.5), "left")
    (series,) = take_in(write_ct(Study(tmp_path_factory.mktemp("ct")), body, SCAN)).series
    return body, volume_of(Slices(series))


@pytest.fixture(scope="module")
def bone(scanned):
    """The humerus from a mark 5 mm beside the true head centre."""
    body, volume = scanned
    return humerus_of(volume, body.to_patient(np.zeros(3)) + np.array([3.0, 2.0, -3.0]), "left", ROWS)


def test_the_head_is_found_where_it_was_put(scanned, bone):
    """Centre within 0.5 mm, true radius within two SD; the sphere is whole."""
    body, _ = scanned
    assert np.linalg.norm(bone.head.centre - body.to_patient(np.zeros(3))) < 0.5
    assert abs(bone.head.radius - body.humerus.head_radius) < 2 * bone.head.radius_sd_mm
    assert (bone.head.cut_mm, bone.incomplete) == (0, ())


def test_the_shaft_is_found_where_it_was_put(scanned, bone):
    """The axis stands within 2 degrees of upright and passes within 1 mm of the body's own shaft axis."""
    body, _ = scanned
    point, up = bone.shaft
    assert np.degrees(np.arccos(up[2])) < 2
    beside = body.to_patient(body.humerus.shaft_point) - point
    assert np.linalg.norm(np.cross(beside, up)) < 1


def test_the_surface_encloses_the_humerus(scanned, bone):
    """Every edge joins an even number of triangles, and the volume is that of the bone's voxels within a tenth."""
    body, volume = scanned
    corners = bone.surface.triangles
    edges = np.sort(np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]]), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] % 2 == 0).all()
    index = np.stack(np.meshgrid(*[np.arange(n, dtype=float) for n in volume.values.shape], indexing="ij"), axis=-1)
    points = body.from_patient(volume.to_patient(index)).reshape(-1, 3)
    humerus = np.full(len(points), 0, np.uint8)
    body._humerus_tissue(points, np.linalg.norm(points, axis=1), humerus)
    true = float(np.isin(humerus, (5, 6)).sum() * np.prod(volume.voxel_mm)) / 1000
    assert bone.volume_cm3 == pytest.approx(true, rel=0.1)


def test_the_thinned_surface_is_the_same_bone(bone):
    """Points in cubes of 2.4 mm: less than half as many triangles around the same volume within 2 percent, closed."""
    few = thinned(bone.surface, 2.4)
    assert len(few.triangles) < 0.5 * len(bone.surface.triangles)
    assert few.volume_mm3 == pytest.approx(bone.surface.volume_mm3, rel=0.02)
    corners = few.triangles
    edges = np.sort(np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]]), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] % 2 == 0).all()


def test_the_chart_lies_on_the_bone_it_was_drawn_from(scanned, bone):
    """Footprint points come back within 1.5 mm and the border lies less than 0.8 mm over them, evenly; mirrored, not.

    A level below half way between cortex and soft tissue puts the border a little outside.
    """
    body, _ = scanned
    chart = FootprintChart(body.humerus)
    front = body.to_patient(chart.to_humerus(0.0, chart.edge(0.0)))
    found = registered(bone, body.humerus, "left", front, 0.5)
    spots = chart.to_humerus(np.array([5.0, 10.0, 20.0]), np.array([3.0, 6.0, 9.0]))
    assert np.linalg.norm(found.pose.to_humerus(body.to_patient(spots)) - spots, axis=1).max() < 1.5
    assert 0 < found.middle < 0.8
    assert found.spread < 0.4
    mirrored = registered(bone, body.humerus, "right", front, 0.5)
    assert mirrored.spread > 2 * found.spread


@pytest.mark.req("REQ-194")
def test_a_short_scan_says_what_it_lacks(scanned):
    """Cut above the head's top and above the shaft: by how much the head is cut is told, and no axis is given."""
    body, volume = scanned
    heights = volume.to_patient(np.stack([np.arange(len(volume.values)), *np.zeros((2, len(volume.values)))], -1))[:, 2]
    keep = np.flatnonzero((heights > -30) & (heights < 18))
    short = Volume(volume.values[keep], volume.to_patient(np.array([keep[0], 0.0, 0.0])), volume.steps)
    found = humerus_of(short, body.to_patient(np.zeros(3)), "left", ROWS)
    assert found.head.cut_mm == pytest.approx(body.humerus.head_radius - heights[keep].max(), abs=1.5)
    assert found.shaft is None
    assert any("scan ends" in words for words in found.incomplete)
    assert any("not computed" in words for words in found.incomplete)
    with pytest.raises(ImageError, match="shaft's axis"):
        registered(found, body.humerus, "left", body.to_patient(np.array([24.0, 0.0, 0.0])), 0.5)


@pytest.mark.req("REQ-217")
def test_a_head_on_the_other_side_is_refused(scanned):
    """B-05: a scan read with its sides exchanged puts the left head on the right, which a left case refuses by name."""
    body, volume = scanned
    exchanged = Volume(volume.values, volume.origin * [-1, 1, 1], volume.steps * [-1, 1, 1])
    mark = body.to_patient(np.zeros(3)) * [-1, 1, 1]
    with pytest.raises(ImageError, match="lies on the patient's right, the case is of the left shoulder"):
        humerus_of(exchanged, mark, "left", ROWS)


def test_no_head_is_found_where_there_is_none(scanned):
    """A mark in soft tissue, or beside the scan, is refused."""
    body, volume = scanned
    with pytest.raises(ImageError, match="no round head"):
        humerus_of(volume, body.to_patient(np.array([0.0, -30.0, 45.0])), "left", ROWS)
    with pytest.raises(ImageError, match="outside the scan"):
        humerus_of(volume, body.to_patient(np.array([0.0, 500.0, 0.0])), "left", ROWS)


def test_the_sphere_of_a_real_head_is_found_on_its_triangles():
    """B-06: humerus of myo-sim, metres made mm: radius 21 to 26 mm (about 23.2 otherwise found), at its upper end."""
    corners = triangles("humerus")
    middles = corners.mean(axis=1)
    top = middles[middles[:, 1] > middles[:, 1].max() - 45]
    near, rivals = agreeing(top, np.random.default_rng(1))
    centre, radius = fitted(top[near])
    assert 21 < radius < 26
    assert near.sum() > 60
    assert centre[1] == pytest.approx(top[:, 1].max() - radius, abs=3)
    assert rivals[:, 3].std() < 2


def test_the_net_around_a_ball_has_its_volume():
    """A ball of 10 mm on voxels of 0.8 by 0.5 by 0.5 mm: 4/3 pi r^3 within 3 percent, its points on the sphere."""
    size = np.array([0.8, 0.5, 0.5])
    index = np.stack(np.meshgrid(*[np.arange(n, dtype=float) for n in (35, 50, 50)], indexing="ij"), axis=-1)
    volume = Volume(np.zeros((35, 50, 50), np.float32), np.zeros(3), np.diag(size))
    centre = np.array([14.0, 12.0, 12.0])
    mesh = surface_of(np.linalg.norm(volume.to_patient(index) - centre, axis=-1) < 10, volume, 0.6)
    assert mesh.volume_mm3 == pytest.approx(4 / 3 * np.pi * 1000, rel=0.03)
    found, radius = fitted(mesh.points)
    assert found == pytest.approx(centre, abs=0.05)
    assert radius == pytest.approx(10, abs=0.1)
