"""The head's sphere through marks: exact where they are, and refused where they leave it open."""

import numpy as np
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.imaging.outline.head_sphere import sphere_of


def marks(rng, miss=0.0, count=8):
    """Marks on two thirds of a sphere of 25 mm around (-130, -20, 5), each missed by ``miss`` mm."""
    ways = rng.normal(size=(count, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    return np.array([-130.0, -20.0, 5.0]) + (25 + rng.normal(0, miss, (count, 1))) * ways


def test_exact_marks_give_the_exact_sphere():
    """Centre and radius to a millionth of a mm."""
    found = sphere_of(marks(np.random.default_rng(1)), 0.5)
    assert found.centre == pytest.approx((-130, -20, 5), abs=1e-6)
    assert found.radius == pytest.approx(25, abs=1e-6)


def test_the_spread_told_holds_the_spread_seen():
    """Over 300 sets of marks missed by 0.5 mm the radius scatters by no more than its SD, and by no less than 3/4."""
    rng = np.random.default_rng(2)
    found = [sphere_of(marks(rng, 0.5, 12), 0.5) for _ in range(300)]
    seen = np.std([one.radius for one in found])
    assert 1 < np.sqrt(np.mean([one.radius_sd_mm**2 for one in found])) / seen < 4 / 3


def test_marks_of_one_slice_are_refused():
    """Fewer than four marks, or marks of one plane, give no sphere."""
    flat = marks(np.random.default_rng(3))
    flat[:, 2] = 5.0
    with pytest.raises(ImageError, match="one slice"):
        sphere_of(flat, 0.5)
    with pytest.raises(ImageError, match="4 marks"):
        sphere_of(flat[:3], 0.5)
