"""Bench constructs are the layouts they are said to be."""

import pytest

from cuffwright.course.proof.laying import lay
from tests.mechanics import bench as by_hand
from tests.mechanics.pressure.setup import film_bridge

SAME = (
    ("ajsm2006-rows", "single", by_hand.single_row),
    ("ajsm2006-rows", "double", by_hand.double_row),
    ("jses2007-tensile", "bridge4", by_hand.bridging),
    ("bmc2020-rows", "single6", by_hand.six_simple),
)


def laid(benches, study, name):
    bench = next(b for b in benches if b.study == study)
    return lay(bench.construct(name), {key: given.value for key, given in bench.setup.items()})


def near(value):
    return pytest.approx(value, abs=1e-3)


@pytest.mark.parametrize("study, name, other", SAME)
def test_strength_benches_are_the_layouts_the_mechanics_were_tested_on(benches, study, name, other):
    """Holes, anchors and stitches stand where the tests of the mechanics lay them by hand, strip included."""
    layout, strip = laid(benches, study, name)
    hand = other()
    assert strip == by_hand.STRIP
    for ours, theirs in ((layout.holes, hand.holes), (layout.anchors, hand.anchors)):
        assert sorted((p.u, p.v) for p in ours) == [near(p) for p in sorted((p.u, p.v) for p in theirs)]
    assert sorted(s.kind for s in layout.stitches) == sorted(s.kind for s in hand.stitches)


def test_film_bench_has_the_spans_the_contact_was_fitted_on(benches):
    """Four bridging limbs start at the holes of the set-up by hand and aim at the same wall anchors."""
    layout, _ = laid(benches, "jses2007-contact", "bridge4")
    starts = {s.start for s in film_bridge(4) if s.kind == "bridge"}
    assert {(layout.hole(s.holes[0]).u, layout.hole(s.holes[0]).v) for s in layout.stitches if s.to} == starts
    assert [(a.u, a.v) for a in layout.row("lateral")] == [(6.0, 15.0), (14.0, 15.0)]


def test_counts_of_the_null_models_are_counted_on_the_layout(benches):
    """Holes and limbs of every construct are the sewn holes and the stitches of its layout."""
    for bench in benches:
        for construct in bench.constructs:
            layout, _ = laid(benches, bench.study, construct.name)
            sewn = {h for s in layout.stitches for h in s.holes}
            assert construct.limbs == len(layout.stitches), (bench.study, construct.name)
            assert construct.holes == len(sewn), (bench.study, construct.name)


def test_a_modified_mason_allen_stitch_is_a_mattress_with_a_simple_stitch_medial_across_it(benches):
    """At each lateral anchor two holes at the bite, 2.5 mm to either side, and one 4 mm medial between them."""
    layout, strip = laid(benches, "aots2010-sheep", "single")
    (first, _), bite = layout.anchors, strip.edge - 8.0
    own = [(h.u - first.u, h.v - bite) for h in layout.holes if h.name.startswith(first.name)]
    assert sorted(own) == [near((-2.5, 0.0)), near((0.0, -4.0)), near((2.5, 0.0))]
    assert sorted(s.kind for s in layout.stitches if s.anchor == first.name) == ["mattress", "simple"]
