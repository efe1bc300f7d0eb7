"""Bone behind an anchor's tip and between two beds, in closed form."""

import numpy as np
import pytest

from cuffwright.access.beds import DEEP, bed_meetings, room_behind
from cuffwright.access.sites import Site, Spots


def one(points, towards, humerus, bed=15.0):
    """Room and joint flag of one axis."""
    room, joint = room_behind(humerus, np.array([points]), np.array([towards]), np.array([bed]))
    return float(room[0]), bool(joint[0])


def test_an_axis_through_the_head_centre_has_a_diameter_of_bone(base):
    """From the pole of the head opposite the cartilage through its centre: two radii less the bed, into the joint."""
    away = -base.head_axis * base.head_radius
    room, joint = one(away, -base.head_axis, base)
    shaft = room > 2 * base.head_radius - 15.0 + 1e-6
    assert joint != shaft
    straight, into = one(base.lateral * base.head_radius, base.lateral, base)
    assert straight == pytest.approx(2 * base.head_radius - 15.0, abs=0.1)
    assert into


def test_an_axis_down_the_shaft_is_told_as_deep(base):
    """Straight down beside the shaft's axis the bone goes on, and the far end is not the joint."""
    room, joint = one(base.shaft_point + np.array([0.0, -1.0, 0.0]), np.array([0.0, 1.0, 0.0]), base)
    assert room == DEEP
    assert not joint


def test_a_deeper_bed_leaves_that_much_less(base):
    """Five millimetres more of anchor leave five less of bone."""
    place, way = base.lateral * base.head_radius, base.lateral
    assert one(place, way, base, 10.0)[0] - one(place, way, base, 15.0)[0] == pytest.approx(5.0)


def test_parallel_beds_are_apart_by_their_distance_less_their_radii():
    """Two 5 mm anchors side by side at 9 mm: 4 mm of bone; at 6 mm 1 mm, which the 2 mm rule calls too little."""
    for apart, left, clear in ((9.0, 4.0, True), (6.0, 1.0, False)):
        points = np.array([[0.0, 0, 0], [apart, 0, 0]])
        up = np.array([0.0, 1, 0])
        sites = tuple(Site(n, "medial anchor", 0, 0, 0, 7.0, bed=15.0) for n in ("1", "2"))
        spots = Spots(points, points, points, points)
        (found,) = bed_meetings(sites, spots, {"1": up, "2": up}, 1.0, 2.0)
        assert (found.bridge, found.clear) == (pytest.approx(left), clear)


def test_a_lateral_bed_is_measured_against_a_medial_one():
    """A bed from above and one from the side that cross at 4 mm between axes: no bone for 5 mm anchors."""
    points = np.array([[0.0, 0, 0], [4.0, -10, 12]])
    sites = (Site("1", "medial anchor", 0, 0, 0, 7.0, bed=15.0), Site("L1", "lateral anchor", 0, 0, 0, 7.0, bed=15.0))
    spots = Spots(points, points, points, points)
    (found,) = bed_meetings(sites, spots, {"1": np.array([0.0, 1, 0]), "L1": np.array([0.0, 0, 1])}, 1.0, 2.0)
    assert found.bridge == pytest.approx(4.0 - 5.0)
    assert not found.clear
