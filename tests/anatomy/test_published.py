"""The mean bone beside print: every value shown with its miss, none tuned away."""

import numpy as np
import pytest

pytestmark = pytest.mark.published


def miss(what, model, low, high, source):
    """Print the model's value, the published band and by how much it is missed; return the share missed."""
    off = max(low - model, model - high, 0.0)
    share = off / (high if model > high else low)
    print(f"\n{what}: {model:.1f}, published {low:g} to {high:g} ({source}), missed by {off:.1f} ({100 * share:.0f} %)")
    return share


def _areas(chart):
    return {f.name: chart.area(f.points) for f in chart.terrain(0.5) if f.kind == "area"}


def _plane_inclination(chart, front, back):
    """Inclination of the plane fitted to the insertion between two u, as a facet is measured."""
    u, share = np.meshgrid(np.linspace(front, back, 41), np.linspace(0, 1, 41))
    points = chart.to_humerus(u, chart.gap(u) + share * (chart.edge(u) - chart.gap(u))).reshape(-1, 3)
    normal = np.linalg.svd(points - points.mean(axis=0))[2][2]
    return float(np.degrees(np.arccos(abs(normal[1]))))


def test_area_of_both_tendons(chart):
    """Union of both insertions, published 330 to 420 mm2 whichever way it is split (two series)."""
    area = _areas(chart)["both tendons"]
    assert miss("both tendons, mm2", area, 330, 420, "Clin Anat 2015; J Shoulder Elbow Surg 2002") < 0.1


def test_areas_of_the_tendons_alone(chart):
    """Tendon-only polygons: supraspinatus 122 SD 67 mm2, infraspinatus about 294 mm2 (Clin Anat 2015)."""
    areas = _areas(chart)
    assert miss("supraspinatus alone, mm2", areas["supraspinatus tendon only"], 55, 189, "Clin Anat 2015") == 0
    assert miss("infraspinatus alone, mm2", areas["infraspinatus tendon only"], 294, 294, "Clin Anat 2015") < 0.5


def test_head_cap(shape):
    """Cap height 17.6 SD 1.8 (2023) to 19 SD 2.4 mm (1992)."""
    assert miss("head cap, mm", shape.cap_height, 15.8, 21.4, "J Orthop Surg Res 2023; JBJS Am 1992") == 0


def test_supraspinatus_sizes(chart):
    """AP 16.3 to 25 mm; ML 11.6 to 16 mm (six cadaver series); the map gives its arcs and its chords."""
    length = chart.shape.footprint.supraspinatus
    assert miss("supraspinatus AP, arc on the margin, mm", length, 16.3, 25, "Arthroscopy 1998 to 2006") == 0
    across = chart.chord(0.0, length, 7.0)
    assert miss("supraspinatus AP, chord in mid breadth, mm", across, 16.3, 25, "Arthroscopy 1998 to 2006") == 0
    assert miss("supraspinatus ML, mm", float(chart.edge(length / 2)), 11.6, 16, "Arthroscopy 1998 to 2006") == 0


@pytest.mark.parametrize(("place", "worst"), [(0, 2.0), (1, 1.0), (2, 4.0)])
def test_facet_inclinations(chart, place, worst):
    """Planes fitted between the facet borders: 20.4 SD 5.6, 48.6 SD 5.2, 92.7 SD 7.7 (J Shoulder Elbow Surg 2011)."""
    facet = chart.shape.facets[place]
    first, second = chart.strip.facet_borders
    front, back = [(0.0, first), (first, second), (second, chart.length)][place]
    sd = (5.6, 5.2, 7.7)[place]
    model = _plane_inclination(chart, front, back)
    off = abs(model - facet.inclination_degrees) / sd
    print(f"\n{facet.name} facet, plane: {model:.1f}, published {facet.inclination_degrees} SD {sd}: {off:.1f} SD off")
    assert off < worst


def test_facet_azimuths(chart, shape):
    """The middle of the strip at each facet's place has the facet's azimuth: 89.9, 131.6, 155.1 degrees."""
    for place, facet in enumerate(shape.facets):
        u = chart.strip.u(np.asarray(chart.strip.facet_turn(place)))
        middle = (chart.to_humerus(u, 0.0) + chart.to_humerus(u, float(chart.corner(u)))) / 2
        assert float(shape.azimuth_degrees(middle)) == pytest.approx(facet.azimuth_degrees, abs=0.2)


def test_where_the_facets_end_on_the_map(chart):
    """Superior and middle facet together carry both tendons in print; on this bone they end before the footprint."""
    end = chart.strip.facet_borders[1]
    print(f"\nsuperior and middle facet end at u {end:.1f}, the footprint at {chart.length:.1f} mm")
    assert miss("footprint length by facets, mm", end, 33, 42, "J Shoulder Elbow Surg 2002 and 2011") < 0.35


def test_tuberosity_stays_outside_the_head_sphere(chart):
    """The outer edge lies 4.3 mm outside the head sphere in front (Clin Shoulder Elbow 2019) and never inside it."""
    u = np.linspace(0, chart.length, 37)
    out = np.linalg.norm(chart.to_humerus(u, chart.corner(u)), axis=-1) - chart.shape.head_radius
    print(f"\ntuberosity beyond the sphere, front to back, mm: {np.round(out[::6], 2)}")
    assert out.min() > -0.1
    farthest = max(
        float(np.linalg.norm(chart.to_humerus(4.9, v)) - chart.shape.head_radius) for v in np.linspace(0, 30, 301)
    )
    assert miss("farthest beyond the sphere in the head plane, mm", farthest, 4.2, 4.3, "2019") < 0.15


def test_head_top_above_the_tuberosity(shape):
    """Head top above the tuberosity 6 to 8 mm; the outer edge is its lowest reading, the margin its highest."""
    highest, lowest = shape.margin_in_head_plane[1], shape.outer_edge[1]
    print(
        f"\nhead top above margin {highest:.1f}, above outer edge {lowest:.1f}; published 5.9 to 8 (1992; radiographs)"
    )
    assert highest < 5.9 < 8 < lowest
