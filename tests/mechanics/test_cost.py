"""Cost against the number of sites: what is timed is what is said, and it grows slower than a dense solve."""

import time

from cuffwright.case.fact import Citing
from cuffwright.evidence.book import load_book
from cuffwright.mechanics.cost import bridged, costs
from cuffwright.mechanics.scatter import Spread
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import laboratory


def test_timed_repairs_have_four_sites_and_three_ropes_an_anchor():
    """Two holes and two straps, one mattress and two limbs for each medial anchor; six anchors make 24 sites."""
    for count in (2, 6):
        layout, strip = bridged(count)
        woven = weave(layout, strip, laboratory())
        assert (woven.net.kind.size, len(woven.limbs)) == (4 * count, 3 * count)


def test_cost_is_printed_against_sites(capsys):
    """Process time of a ramp and of 1,000 draws for 8, 16 and 24 sites; three times the sites cost under 27 times."""
    spread = Spread.from_facts(Citing(load_book()), "surgery")
    found = list(costs(laboratory(), spread, time.process_time, (2, 4, 6), 20))
    with capsys.disabled():
        for cost in found:
            print(
                f"\n{cost.sites:3d} sites {cost.ropes:3d} ropes: ramp {1000 * cost.ramp:6.1f} ms, "
                f"1,000 draws on two free cores {cost.thousand_on_two:5.2f} s"
            )
    assert [cost.sites for cost in found] == [8, 16, 24]
    assert found[-1].drawing < 27.0 * found[0].drawing
