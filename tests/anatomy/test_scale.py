"""A measured shoulder replaces the mean one, and says what it was measured on."""

import numpy as np
import pytest

from cuffwright.anatomy.scale import fit_head
from cuffwright.case.errors import CaseError
from cuffwright.case.measurement import Measurement


def measured(value, sd=0.0, trace="coronal slice 12"):
    """A value read on an image."""
    return Measurement(value, sd, "image", trace)


def test_diameter_and_radius_give_the_same_bone(book):
    """A diameter of 50 with SD 1 is a radius of 25 with SD 0.5, origin and trace kept."""
    by_diameter, by_radius = fit_head(book, measured(50, 1.0), "diameter"), fit_head(book, measured(25, 0.5), "radius")
    assert by_diameter.shape == by_radius.shape
    assert by_diameter.fits[0].used.sd == by_radius.fits[0].used.sd == 0.5
    assert by_diameter.fits[0].measured == measured(50, 1.0)
    assert by_diameter.trace == ("head radius 25.0 mm (image): coronal slice 12; half the head diameter",)


@pytest.mark.req("REQ-057")
def test_length_from_a_chord_is_longer_than_from_an_arc(book):
    """A chord of 33.6 on head plus tuberosity (28.3) becomes an arc of 36; an arc stays what it is."""
    fitted = fit_head(book, measured(24), "radius")
    bent = fitted.with_length(measured(33.62, 1.0))
    assert bent.chart.length == pytest.approx(36, abs=0.05)
    assert bent.fits[1].used.sd == pytest.approx(36 / 33.62, abs=0.002)
    assert "chord of 33.6 mm on radius 28.3 mm" in bent.trace[1]
    assert fitted.with_length(measured(33.62), "arc").chart.length == pytest.approx(33.62)


def test_breadth_is_met_in_the_head_plane(book):
    """The fitted footprint shows the measured chord in the head plane; AP lengths stay."""
    fitted = fit_head(book, measured(24), "radius").with_breadth(measured(12.0))
    chart = fitted.chart
    u = -chart.strip.front * fitted.shape.margin_radius
    ends = chart.to_humerus(u, [0.0, float(chart.edge(u))])
    assert ((ends[1] - ends[0]) ** 2).sum() ** 0.5 == pytest.approx(12.0, abs=1e-9)
    assert chart.length == pytest.approx(36)


def test_a_footprint_broader_than_the_bone_moves_the_corner_out(book):
    """The corner never lies medial to the measured lateral edge."""
    chart = fit_head(book, measured(24), "radius").with_breadth(measured(17.0, trace="probe")).chart
    u = np.array([0.0, 10.0, 30.0])
    assert (chart.corner(u) >= chart.edge(u) - 1e-12).all()


def test_later_fits_keep_earlier_ones(book):
    """Length, then breadth: both hold, and the trace names all three."""
    fitted = fit_head(book, measured(24), "radius").with_length(measured(30), "arc").with_breadth(measured(13), "arc")
    assert [fit.name for fit in fitted.fits] == ["head radius", "footprint length", "footprint breadth"]
    assert fitted.chart.length == pytest.approx(30)
    assert fitted.shape.footprint.breadth(-fitted.chart.strip.front * fitted.shape.margin_radius) == pytest.approx(13)


def test_nothing_measured_is_refused(book):
    """Zero is no measure, and a chord beyond the bone is none either."""
    with pytest.raises(CaseError, match="head radius"):
        fit_head(book, measured(0), "radius")
    fitted = fit_head(book, measured(24), "radius")
    with pytest.raises(CaseError, match="above 0"):
        fitted.with_length(measured(0))
    with pytest.raises(CaseError, match="does not fit"):
        fitted.with_length(measured(70))
