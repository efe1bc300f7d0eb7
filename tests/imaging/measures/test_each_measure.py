"""Each measure against a drawing whose right answer is known in closed form."""

import math
from dataclasses import replace

import numpy as np
import pytest

from cuffwright.case.errors import ImageError
from cuffwright.exchange.demo_cases import DEFAULT, demo_cases
from cuffwright.imaging.measures.all_guides import guide
from cuffwright.imaging.measures.edge import follow_edge
from cuffwright.imaging.measures.landing import land, tangent_positive
from cuffwright.imaging.measures.planar import area, inside
from cuffwright.imaging.measures.reading import read_off
from cuffwright.imaging.picture import read_picture
from tests.imaging.conftest import real

SPACING = 0.195313


@pytest.fixture(scope="module")
def slice_picture():
    """F1, 1024 pixels square, 0.195313 mm."""
    return read_picture(real("MR2_UNCR.dcm"))


@pytest.fixture(scope="module")
def film():
    """F2: a radiograph of 1760 pixels without any spacing."""
    return read_picture(real("RG3_UNCR.dcm"))


def ring(x, y, radius, corners=48):
    """A polygon on a circle."""
    turns = np.arange(corners) * 2 * math.pi / corners
    return [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns]


@pytest.mark.parametrize(("muscle", "fossa", "ratio"), [(412, 980, 0.420), (380, 980, 0.388)])
def test_occupation_ratio(slice_picture, book, muscle, fossa, ratio):
    """Areas of 412 and 380 in a fossa of 980 mm2: 0.420 and 0.388 (worked examples of the clinical facts)."""
    circles = {n: ring(500, 500, math.sqrt(a / math.pi) * 10, 400) for n, a in (("muscle", muscle), ("fossa", fossa))}
    found = read_off(guide("occupation_ratio"), slice_picture, [circles], book)
    assert found.value == pytest.approx(ratio, abs=5e-4)


@pytest.mark.parametrize(("height", "positive"), [(-30, False), (-1, None), (1, None), (30, True)])
def test_tangent_sign(slice_picture, book, height, positive):
    """A muscle 30 pixels under the line is positive, 30 over it negative, one pixel either way too close to call."""
    marks = {"coracoid": [(300, 400)], "spine": [(700, 400)], "muscle": [(500, 400 + height)], "fossa": [(500, 600)]}
    found = read_off(guide("tangent_sign"), slice_picture, [marks], book)
    assert tangent_positive(found) is positive
    if positive is None:
        with pytest.raises(ImageError, match="too close to call"):
            land(demo_cases()[DEFAULT], found)
    else:
        assert land(demo_cases()[DEFAULT], found).muscle.tangent_positive is positive


@pytest.mark.parametrize(("spreads", "answer"), [(-2.4, True), (-1.6, None), (1.6, None), (2.4, False)])
def test_the_sign_is_called_beyond_two_standard_deviations(slice_picture, book, spreads, answer):
    """A muscle 1.6 SD from the line is too close to call, one 2.4 SD from it is not; on which side, is the answer."""
    marks = {"coracoid": [(300, 400)], "spine": [(700, 400)], "muscle": [(500, 370)], "fossa": [(500, 600)]}
    found = read_off(guide("tangent_sign"), slice_picture, [marks], book)
    assert tangent_positive(replace(found, value=spreads * found.sd)) is answer


def test_tangent_sign_on_a_mirrored_view(slice_picture, book):
    """Coracoid and spine exchanged, as on the other side: the same answer."""
    marks = {"coracoid": [(700, 400)], "spine": [(300, 400)], "muscle": [(500, 430)], "fossa": [(500, 600)]}
    assert tangent_positive(read_off(guide("tangent_sign"), slice_picture, [marks], book)) is True


@pytest.mark.req("REQ-163")
@pytest.mark.parametrize("share", [0.0, 0.2, 0.55])
def test_fat_fraction_of_a_known_mixture(slice_picture, book, share):
    """A region mixed of fat (900) and muscle (200): the share comes out in percent, inside its interval; no grade."""
    rng = np.random.default_rng(5)
    values = rng.normal(200, 20, (1024, 1024)).astype(np.float32)
    values[:, 600:] += 700
    mixed = rng.random((200, 200)) < share
    values[400:600, 100:300][mixed] += 700
    square = [(0, 0), (80, 0), (80, 80), (0, 80)]
    marks = {
        name: [(x + a, y + b) for a, b in square]
        for name, (x, y) in {"muscle": (150, 450), "fat": (800, 450), "sound": (420, 450)}.items()
    }
    found = read_off(guide("fat_fraction"), slice_picture, [marks], book, values=values)
    inner = 100 * mixed[51:130, 51:130].mean()
    assert found.value == pytest.approx(inner, abs=1.5)
    assert found.unit == "percent"
    assert found.field == ""
    assert any("grade" in words for words in found.cannot_know)
    assert found.sd >= book.fact("imaging.fat.signal_doubt").value


def test_fat_darker_than_muscle_is_refused(slice_picture, book):
    """On a picture with suppressed fat nothing is worked out."""
    values = np.full((1024, 1024), 500, np.float32)
    values[:, 600:] = 100
    square = [(0, 0), (80, 0), (80, 80), (0, 80)]
    starts = {"muscle": 150, "fat": 800, "sound": 400}
    marks = {n: [(x + a, 450 + b) for a, b in square] for n, x in starts.items()}
    with pytest.raises(ImageError, match="fat is not brighter"):
        read_off(guide("fat_fraction"), slice_picture, [marks], book, values=values)


@pytest.mark.parametrize("degrees", [28.0, 35.0, 41.0])
def test_critical_shoulder_angle(film, book, degrees):
    """A drawn angle comes back, needs no scale, and says that a turned view cannot be told without the rims."""
    a = math.radians(degrees)
    marks = {
        "top": [(600, 500)],
        "bottom": [(600, 900)],
        "acromion": [(600 + 600 * math.sin(a), 900 - 600 * math.cos(a))],
    }
    found = read_off(guide("critical_shoulder_angle"), film, [marks], book)
    assert found.value == pytest.approx(degrees, abs=1e-3)
    assert found.plane == "none"
    assert "cannot be told" in found.warnings[0]
    assert "+2.73 deg" in found.method


@pytest.mark.req("REQ-164")
@pytest.mark.parametrize(("apart", "turned"), [(20, False), (100, True)])
def test_a_turned_view_is_warned_of(film, book, apart, turned):
    """Rims 20 pixels apart on a glenoid of 400: a true view; 100 apart: turned."""
    marks = {
        "top": [(600, 500)],
        "bottom": [(600, 900)],
        "acromion": [(900, 450)],
        "rim_front": [(600 - apart / 2, 700)],
        "rim_back": [(600 + apart / 2, 700)],
    }
    found = read_off(guide("critical_shoulder_angle"), film, [marks], book)
    assert any("the view is turned" in w for w in found.warnings) is turned


def test_acromial_index_and_lateral_angle(film, book):
    """Acromion 36 and humerus 56 beside the glenoid's line: 0.643; an underside at 78 degrees to it: 78."""
    line = {"top": [(600, 500)], "bottom": [(600, 900)]}
    index = read_off(
        guide("acromial_index"), film, [{**line, "acromion": [(960, 430)], "humerus": [(1160, 700)]}], book
    )
    assert index.value == pytest.approx(36 / 56, abs=1e-3)
    a = math.radians(78)
    under = {"inner": [(700, 420)], "outer": [(700 + 300 * math.sin(a), 420 - 300 * math.cos(a))]}
    assert read_off(guide("lateral_acromial_angle"), film, [{**line, **under}], book).value == pytest.approx(
        78, abs=1e-3
    )
    with pytest.raises(ImageError, match="different sides"):
        read_off(guide("acromial_index"), film, [{**line, "acromion": [(400, 430)], "humerus": [(1160, 700)]}], book)


def test_deltoid_tuberosity_index(film, book):
    """Outer width 280, inner 200 pixels: 1.4, above the published line of 1.377; lands in the case without a scale."""
    marks = {
        "outer_lateral": [(880, 600)],
        "inner_lateral": [(840, 600)],
        "inner_medial": [(640, 600)],
        "outer_medial": [(600, 600)],
    }
    found = read_off(guide("deltoid_tuberosity_index"), film, [marks], book)
    assert found.value == pytest.approx(1.4)
    assert land(demo_cases()[DEFAULT], found).bone.deltoid_tuberosity_index.value == pytest.approx(1.4)
    with pytest.raises(ImageError, match="inner width"):
        read_off(
            guide("deltoid_tuberosity_index"),
            film,
            [{**marks, "inner_medial": [(500, 600)], "inner_lateral": [(900, 600)]}],
            book,
        )


def test_cortices(slice_picture, film, book):
    """Shaft: half of outer less inner width. Tuberosity on CT: the distance; thinner than three pixels it is warned."""
    marks = {
        "outer_lateral": [(880, 600)],
        "inner_lateral": [(840, 600)],
        "inner_medial": [(640, 600)],
        "outer_medial": [(600, 600)],
    }
    scaled = replace(film, scale=replace(slice_picture.scale, plane="calibrated-fiducial"))
    found = read_off(guide("cortical_thickness"), scaled, [marks], book)
    assert found.value == pytest.approx(40 * SPACING, abs=1e-3)
    ct = replace(slice_picture, modality="CT")
    thick, thin = (
        read_off(guide("tuberosity_cortex"), ct, [{"outer": [(500, 500)], "inner": [(500 - d, 500)]}], book)
        for d in (3.2, 2.8)
    )
    assert thick.warnings == ()
    assert "blur makes it read too thick" in thin.warnings[0]


def test_density_of_a_bed(slice_picture, book):
    """120 HU with noise of 30: the mean comes back, the calibration's doubt is in the spread, fat is refused."""
    ct = replace(slice_picture, modality="CT")
    values = np.random.default_rng(2).normal(120, 30, (1024, 1024)).astype(np.float32)
    bed = {"bed": ring(500, 500, 20)}
    found = read_off(guide("bone_density"), ct, [bed], book, values=values)
    assert found.value == pytest.approx(120, abs=5)
    assert found.sd > book.fact("imaging.ct.calibration_doubt").value
    with pytest.raises(ImageError, match="more fat or air than bone"):
        read_off(guide("bone_density"), ct, [bed], book, values=values - 300)


def test_pixels_inside_an_outline_are_those_of_its_area():
    """A disc of radius 40: as many pixel centres inside as its area, within one percent, about its own centre."""
    outline = np.array(ring(100.3, 90.7, 40, 200))
    down, across, held = inside(outline, 200, 220)
    y, x = np.nonzero(held)
    assert (x.mean() + across.start, y.mean() + down.start) == pytest.approx((100.3, 90.7), abs=0.1)
    assert held.sum() == pytest.approx(math.pi * 40**2, rel=0.01)
    assert area(outline) == pytest.approx(math.pi * 40**2, rel=0.001)


def test_an_edge_is_followed_between_clicks():
    """A noisy disc with five rough clicks on its rim: the outline lies on the rim within a pixel and a half."""
    rng = np.random.default_rng(1)
    y, x = np.mgrid[:200, :200]
    values = np.where(np.hypot(x - 100, y - 95) < 50, 600.0, 200.0) + rng.normal(0, 30, (200, 200))
    clicks = np.array(ring(100, 95, 50, 5))
    outline = follow_edge(values, clicks)
    off = np.hypot(outline[:, 0] - 100, outline[:, 1] - 95) - 50
    assert len(outline) > 200
    assert np.sqrt(np.mean(off**2)) < 1.5
    straight = area(clicks)
    assert abs(area(outline) - math.pi * 2500) < abs(straight - math.pi * 2500) / 5
