"""What a limb is worth."""

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.pressure.outcome import limb_losses, without_limb
from tests.mechanics.pressure.setup import FILM_GRID, FILM_WINDOW, PARAMETERS, SHELF, film_bridge, layer, mapped

pytestmark = pytest.mark.law


def test_removing_a_limb_costs_its_own_pull():
    """The whole strip loses exactly tension times both end factors of the limb (balance), the window not more."""
    spans = film_bridge(4)
    whole = mapped(spans, FILM_GRID, FILM_WINDOW)
    losses = limb_losses(spans, whole, FILM_GRID, layer(), PARAMETERS, SHELF)
    assert len(losses) == len(spans)
    assert [loss.force for loss in losses] == sorted((loss.force for loss in losses), reverse=True)
    for span in spans:
        loss = next(one for one in losses if one.name == span.name)
        pulled = span.tension * (span.start_factor + span.end_factor)
        assert whole.total_force - loss.without.total_force == pytest.approx(pulled, abs=1e-3)
        assert 0 < loss.force < pulled
        assert loss.mean * FILM_WINDOW.area == pytest.approx(loss.force, rel=1e-9)
        assert loss.share * FILM_WINDOW.area == pytest.approx(loss.area, rel=1e-9)


def test_unknown_limb_is_refused():
    """Removing a limb that is not there is an error, not a loss of nothing."""
    spans = film_bridge(2)
    whole = mapped(spans, FILM_GRID, FILM_WINDOW)
    with pytest.raises(CaseError, match="no limb 9zF"):
        without_limb("9zF", spans, whole, FILM_GRID, layer(), PARAMETERS, SHELF)
