"""Threading of stitches without an anchor and of bone tunnels, and of repairs that take part of the tendon."""

from dataclasses import replace

import numpy as np
import pytest

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Anchor, Hole, Layout, RepairedPart, Stitch
from cuffwright.mechanics.net import ON_ANCHOR, ON_BOTTOM, ON_TOP
from cuffwright.mechanics.pull import pull
from cuffwright.mechanics.route import route
from cuffwright.mechanics.weave import weave
from tests.mechanics.bench import STRIP, laboratory, single_row

SIDES = (Hole("S1aF", 7.0, -3.0), Hole("S1aB", 13.0, -3.0))


def closed_cleft() -> Layout:
    """The single row with one side-to-side stitch medial to it."""
    one = single_row()
    side = Stitch("side-to-side", "", ("S1aF", "S1aB"), 0)
    return replace(one, holes=(*one.holes, *SIDES), stitches=(*one.stitches, side))


def tunnels(out: float = 0.0) -> Layout:
    """Two tunnels with one suture each, the lateral mouths ``out`` mm further apart on either side."""
    medial = tuple(Anchor(str(n), "medial", u, 3.0, 0.0, "bone-tunnel") for n, u in ((1, 5.0), (2, 15.0)))
    lateral = tuple(Anchor(f"L{n}", "lateral", u, 27.0, 0.0, "bone-tunnel") for n, u in ((1, 5 - out), (2, 15 + out)))
    holes = (Hole("1aF", 5.0, 3.0), Hole("2aF", 15.0, 3.0))
    stitches = tuple(Stitch("transosseous", n, (f"{n}aF",), 0, to=f"L{n}") for n in ("1", "2"))
    return Layout("tunnels", (*medial, *lateral), holes, stitches)


def test_a_side_to_side_stitch_closes_upon_itself() -> None:
    """Up through one hole, down through the other, back under the tendon; it ends at no anchor."""
    way = route(closed_cleft())
    first, last = way.holes.index("S1aF"), way.holes.index("S1aB")
    assert way.on[-1, :5].tolist() == [ON_BOTTOM, ON_TOP, ON_TOP, ON_BOTTOM, ON_BOTTOM]
    assert way.which[-1, :5].tolist() == [first, first, last, last, first]
    assert way.ends.tolist() == [1, 1, 1, 1, 0]


def test_a_transosseous_stitch_runs_from_mouth_to_mouth() -> None:
    """Medial mouth, under and over its hole, over the strap at the edge, lateral mouth."""
    way = route(tunnels())
    assert way.on.tolist() == [[ON_ANCHOR, ON_BOTTOM, ON_TOP, ON_TOP, ON_ANCHOR]] * 2
    assert way.which[:, [0, 4]].tolist() == [[0, 2], [1, 3]]
    assert way.ends.tolist() == [2, 2]


@pytest.mark.parametrize("layout", [closed_cleft(), tunnels()], ids=["side-to-side", "transosseous"])
def test_plain_twin_agrees_on_the_new_stitches(layout: Layout) -> None:
    """The compiled ramp and the plain twin, written two ways, agree to 1e-6 and lose the same members in order."""
    woven = weave(layout, STRIP, laboratory())
    fast, slow = pull(woven), pull(woven, plain=True)
    assert fast.ultimate == pytest.approx(slow.ultimate, rel=1e-6)
    assert np.allclose(fast.curve.tension, slow.curve.tension, atol=1e-5)
    assert fast.curve.events.tolist() == slow.curve.events.tolist()


def test_a_side_to_side_stitch_draws_its_holes_together_and_nothing_else() -> None:
    """As tied, its two holes are pulled towards each other alike; the pull on the muscle stays the preload."""
    woven = weave(closed_cleft(), STRIP, laboratory())
    tied = pull(woven).curve
    first = woven.holes.index("S1aF")
    force = tied.pull[0].reshape(-1, 2)[first : first + 2]
    assert force[0, 0] > 1.0
    assert force[0, 0] == pytest.approx(-force[1, 0], rel=1e-3)
    assert tied.force[0] == pytest.approx(woven.net.preload, abs=1e-3)


def test_the_part_repaired_is_all_that_is_held() -> None:
    """A repair of a part gives what the same repair gives on a tear that is only that part."""
    part = RepairedPart(STRIP.front, STRIP.width, STRIP.edge)
    wide = replace(STRIP, front=-10.0, width=40.0, edge=14.0)
    whole = pull(weave(single_row(), STRIP, laboratory()))
    some = pull(weave(replace(single_row(), part=part), wide, laboratory()))
    assert some.ultimate == whole.ultimate


@pytest.mark.parametrize(
    ("stitch", "sentence"),
    [
        (Stitch("side-to-side", "L1", ("S1aF", "S1aB"), 0), "has no anchor and every other has"),
        (Stitch("simple", "", ("S1aF",), 0), "has no anchor and every other has"),
        (Stitch("side-to-side", "", ("S1aF",), 0), "passes 1 holes"),
        (Stitch("transosseous", "L1", ("S1aF",), 0), "runs to a lateral anchor"),
    ],
    ids=["anchored side", "loose simple", "one hole", "no far mouth"],
)
def test_what_cannot_be_threaded_is_refused(stitch: Stitch, sentence: str) -> None:
    """A stitch with the wrong holes or ends is refused in a sentence."""
    whole = closed_cleft()
    with pytest.raises(CaseError, match=sentence):
        route(replace(whole, stitches=(*whole.stitches[:-1], stitch)))
