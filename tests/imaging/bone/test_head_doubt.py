"""What the doubt of a head's sphere must be, by closed forms, and that it covers heads that are no balls or cut."""

import numpy as np
import pytest

from cuffwright.evidence.book import Book
from cuffwright.imaging.bone.head_doubt import Doubtful, sphere_doubt
from cuffwright.imaging.bone.head_rays import BoneRows, head_sphere
from cuffwright.imaging.bone.volume import Volume

ALONE = np.array([[0.0, 0.0, 0.0, 24.0]])
SLICES = np.diag([0.0001, 0.0001, 2.5])


def ball(count: int = 4000) -> np.ndarray:
    """Points even over a ball of 24 mm."""
    height = 1 - (2 * np.arange(count) + 1) / count
    turn = np.pi * (1 + np.sqrt(5)) * np.arange(count)
    flat = np.sqrt(1 - height**2)
    return 24 * np.stack([flat * np.cos(turn), flat * np.sin(turn), height], axis=-1)


def test_a_whole_ball_between_thick_slices_moves_its_radius_alone() -> None:
    """An edge b too far out where it faces the slices, n_z^2 b: mean 1/3 over the ball, nothing along any way."""
    doubt = sphere_doubt(ball(), np.zeros(3), 0.0, Doubtful(SLICES, 4000, ALONE, 0.0))
    assert doubt == pytest.approx([0, 0, 0, 2.5 / np.sqrt(12) / 3], abs=1e-3)


@pytest.mark.req("REQ-217")
def test_half_a_ball_between_thick_slices_moves_its_centre() -> None:
    """t^2 over t in 0 to 1 is t - 1/6 by least squares: the centre moves by b itself, the radius by b / 6."""
    half = ball()[ball()[:, 2] < 0]
    doubt = sphere_doubt(half, np.zeros(3), 0.0, Doubtful(SLICES, 4000, ALONE, 0.0))
    assert doubt == pytest.approx(2.5 / np.sqrt(12) * np.array([0, 0, 1, 1 / 6]), abs=2e-3)


def test_a_head_longer_one_way_moves_the_centre_only_where_it_is_not_seen_whole() -> None:
    """Departure b (n^2 - 1/3) along each way, b 2 mm over root 2: nothing on a ball; below the middle t - 1/2 upwards.

    Across, n_x^2 is (1 - t^2) / 2 on the mean, which is half of t^2 with its sign turned: b / 2 for each of two ways.
    """
    shape = Doubtful(np.diag([1e-6] * 3), 4000, ALONE, 2.0)
    assert sphere_doubt(ball(), np.zeros(3), 0.0, shape) == pytest.approx(np.zeros(4), abs=2e-3)
    half = ball()[ball()[:, 2] < 0]
    b = np.sqrt(2) * np.sqrt(1 + 2 / 4)
    assert sphere_doubt(half, np.zeros(3), 0.0, shape) == pytest.approx([0, 0, b, b / 2], abs=0.01)


def test_scatter_is_counted_once_for_a_patch_of_a_voxel() -> None:
    """Misses of 0.5 mm alike over patches of 1 mm: radius 0.5 over the root of the patches, the centre root 3 more."""
    doubt = sphere_doubt(ball(), np.zeros(3), 0.5, Doubtful(np.diag([1.0, 1e-4, 1e-4]), 4000, ALONE, 0.0))
    patches = 4 * np.pi * 24**2
    voxel = 1 / np.sqrt(12) / 3
    assert doubt[3] == pytest.approx(np.hypot(0.5 / np.sqrt(min(patches, 4000)), voxel), rel=0.01)
    assert doubt[0] == pytest.approx(0.5 * np.sqrt(3 / min(patches, 4000)), rel=0.01)


def scan(radii: tuple[float, float, float], top_mm: float) -> Volume:
    """A shell of bone around an egg of these radii, in slices of 2 mm that end ``top_mm`` above its middle."""
    heights, flat = np.arange(-34.0, top_mm, 2.0), np.arange(-34.0, 34.0, 1.0)
    z, y, x = np.meshgrid(heights, flat, flat, indexing="ij")
    far = np.sqrt((x / radii[0]) ** 2 + (y / radii[1]) ** 2 + (z / radii[2]) ** 2) - 1
    depth = far * float(np.mean(radii))
    values = 60 + 800 * np.clip(depth + 2.5, 0, 1) * np.clip(0.5 - depth, 0, 1)
    return Volume(values.astype(np.float32), np.array([-34.0, -34.0, -34.0]), np.eye(3)[::-1] * [[2.0], [1.0], [1.0]])


@pytest.mark.req("REQ-217")
@pytest.mark.parametrize("top_mm", [30.0, 14.0, 6.0])
def test_the_centre_of_a_cut_egg_lies_within_its_doubt(top_mm: float) -> None:
    """Radii 24, 24 and 22 mm, the scan ending above, at and near the middle: within two SD; cut, it is known worse."""
    found = head_sphere(scan((24.0, 24.0, 22.0), top_mm), np.array([2.0, 1.0, -3.0]), BoneRows(200.0, 2.0), 1)
    assert (np.abs(found.centre) < 2 * found.centre_sd).all(), (found.centre, found.centre_sd)
    assert (found.cut_mm > 0) == (top_mm < 24)
    assert (found.centre_sd[2] > 0.6) == (top_mm < 24), found.centre_sd


def test_two_radii_of_a_head_differ_as_published(book: Book) -> None:
    """The paper gives the difference of the rim's radii and their ratio, 0.92: both agree with its radius, 24 mm."""
    difference, radius = (book.fact(f"imaging.head.{name}").value for name in ("out_of_round", "radius"))
    assert 1 - difference / radius == pytest.approx(0.92, abs=0.005)
