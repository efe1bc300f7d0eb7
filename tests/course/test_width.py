"""The error of the tear width reaches the pressed area, and what it moves is what another width gives."""

from dataclasses import replace

import pytest

from cuffwright.case.measurement import Measurement
from cuffwright.course.hold import lay, prepare, settle
from cuffwright.course.width import area_spread
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases

BOOK = load_book()


def sheet(sd, more=0.0):
    """The small crescent, its width measured with ``sd`` mm; ``more`` mm wider about the same middle."""
    case = demo_cases()["small_crescent"]
    front = replace(case.tear.front_mm, value=case.tear.front_mm.value - more / 2)
    width = Measurement(case.tear.width_mm.value + more, sd, "typed", "invented")
    return replace(case, tear=replace(case.tear, width_mm=width, front_mm=front))


def test_the_spread_is_half_of_what_one_sd_narrower_and_wider_give():
    """The whole answer for tears 1.5 mm narrower and wider, same sutures: half the difference of their areas."""
    prepared = prepare(sheet(1.5), BOOK)
    layout = lay(prepared, "bridging-knotted")
    narrow, wide = (settle(prepare(sheet(0.0, by), BOOK), layout, draws=2).contact for by in (-1.5, 1.5))
    found = settle(prepared, layout, draws=2).contact
    assert found.area_sd == pytest.approx(abs(narrow.area_share - wide.area_share) / 2, abs=2e-3)
    assert found.area_sd > 0.02
    assert narrow.area_sd == 0.0


def test_a_width_known_exactly_adds_nothing_and_one_side_stands_for_both():
    """SD 0 gives 0; a tear that cannot be that much narrower is spread by the wider side alone."""
    prepared = prepare(sheet(0.0), BOOK)
    layout = lay(prepared, "bridging-knotted")
    assert area_spread(prepared, layout, 0.5) == 0.0
    far = prepare(sheet(20.0), BOOK)
    assert area_spread(far, layout, 0.5) > 0.0
