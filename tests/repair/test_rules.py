"""Every rule warns by name at the place where it is broken, and is silent where it is kept."""

from dataclasses import replace

import pytest

from cuffwright.case.fact import Citing
from cuffwright.case.identity import Identity
from cuffwright.case.layout import TendonStrip
from cuffwright.case.reach import Pose, SiteReach
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tissues import Bone, Cyst, EarlierAnchor
from cuffwright.evidence.book import load_book
from cuffwright.repair.patterns import pattern
from cuffwright.repair.rules import judges, warnings
from cuffwright.repair.rules._placed import Placed
from tests.repair.torn_strips import FlatBed, mm, torn

STRIP = TendonStrip(5.0, 24.0, 12.0, 5.0)


def placed(name: str, *, bone: Bone | None = None, move: dict | None = None, **tear) -> Placed:
    """A pattern laid on its tear; ``move`` gives anchors or limbs another v."""
    strip = torn(name, STRIP)
    layout = pattern(name).lay(strip, FlatBed(STRIP.edge), Citing(load_book()))
    for point, v in (move or {}).items():
        if any(anchor.name == point for anchor in layout.anchors):
            layout = layout.with_anchor(replace(layout.anchor(point), v=v))
        else:
            layout = layout.with_hole(replace(layout.hole(point), v=v))
    known = {"remaining_tendon_mm": mm(40), **tear}
    sheet = CaseSheet(Identity("invented", "right"), replace(strip.tear, **known), bone=bone or Bone())
    return Placed(layout, STRIP, sheet)


def broken(where: Placed) -> list[tuple[str, str]]:
    """Code and place of every warning."""
    return [(caution.code, caution.where) for caution in warnings(where, Citing(load_book()))]


def test_a_repair_within_every_rule_is_silent() -> None:
    """A double row on a long tendon in sound bone breaks no rule."""
    assert len(judges()) == 8
    assert broken(placed("double-row")) == []


def test_medial_passes_keep_away_from_the_junction() -> None:
    """20 mm of tendon put the junction at v = -8: passes at v = 1 stand 9 mm off, under 10 (Arthroscopy 2017)."""
    found = broken(placed("double-row", remaining_tendon_mm=mm(20)))
    assert found == [("junction-too-close", name) for name in ("1aF", "1aB", "2aF", "2aB")]
    assert broken(placed("double-row", remaining_tendon_mm=mm(21))) == []


def test_an_unmeasured_junction_is_said() -> None:
    """Without the remaining tendon the distance is not computed, and the note names what it needs."""
    assert broken(placed("double-row", remaining_tendon_mm=None)) == [("junction-unknown", "tear.remaining_tendon_mm")]


def test_a_medial_anchor_far_from_the_cartilage_is_warned_of() -> None:
    """Medial anchors usually stand within 5 mm of the margin."""
    assert broken(placed("double-row", move={"2": 5.5})) == [("far-from-margin", "2")]


def test_a_limb_near_the_edge_is_warned_of() -> None:
    """Under 5 mm of tendon between limb and edge."""
    assert broken(placed("double-row", move={"L1aF": 7.5})) == [("edge-under-rule", "L1aF")]


def test_bone_between_tunnels_is_judged() -> None:
    """Two tunnels 6 mm apart leave less than 10 mm of bone at both ends; anchors are not judged by this rule."""
    where = placed("transosseous")
    near = where.layout
    for name in ("2", "L2"):
        near = near.with_anchor(replace(near.anchor(name), u=near.anchor("1").u + 6))
    assert broken(where) == []
    assert broken(replace(where, layout=near)) == [
        ("bone-bridge-under-rule", "1,2"),
        ("bone-bridge-under-rule", "L1,L2"),
    ]


@pytest.mark.parametrize(("across", "warned"), [(3.9, True), (4.1, False)])
def test_a_cyst_in_the_bed_is_warned_of(across: float, warned: bool) -> None:
    """A cyst of 2 mm needs its centre 1 + 3 mm from the anchor: half the 6 mm rule is the anchor's own bed."""
    anchor = placed("double-row").layout.anchor("1")
    bone = Bone(cysts=(Cyst(anchor.u, anchor.v + across, 2.0),))
    assert (("cyst-in-bed", "1") in broken(placed("double-row", bone=bone))) is warned


@pytest.mark.parametrize(("across", "warned"), [(5.9, True), (6.1, False)])
def test_an_earlier_anchor_in_the_bed_is_warned_of(across: float, warned: bool) -> None:
    """Earlier anchors count as neighbours: 6 mm centre to centre."""
    anchor = placed("double-row").layout.anchor("1")
    bone = Bone(earlier_anchors=(EarlierAnchor(anchor.u - across, anchor.v),))
    assert (("earlier-anchor-in-bed", "1") in broken(placed("double-row", bone=bone))) is warned


def test_a_site_no_portal_reaches_is_named_and_moves_of_the_arm_are_said() -> None:
    """Out of reach: one caution at the site with the reason; moved arm: one note for all sites of one position."""
    where = placed("double-row")
    still, up = Pose(15.0), Pose(40.0, rotation_degrees=-20.0)
    reached = (
        SiteReach("1", "medial anchor", "yes", "lateral", still, still),
        SiteReach("2", "medial anchor", "no", "lateral", still, still, "from lateral the acromion is in the way"),
        SiteReach("1aF", "hole", "moved", "posterior", up, still),
        SiteReach("L1", "lateral anchor", "moved", "lateral", up, still),
    )
    assert broken(replace(where, reached=reached)) == [("out-of-reach", "2"), ("reach-needs-arm", "1aF,L1")]
    told = [caution.text for caution in warnings(replace(where, reached=reached), Citing(load_book()))]
    assert told[0] == "Anchor 2 is reached from no portal: from lateral the acromion is in the way."
    assert "40 degrees abduction, 20 degrees inner rotation: limb 1aF from posterior, anchor L1 from lateral" in told[1]


def test_what_a_repair_leaves_is_said() -> None:
    """Medialised insertion, open part and closed cleft each carry their own words."""
    assert broken(placed("medialised")) == [("medialised", "layout")]
    assert broken(placed("partial-repair")) == [("left-open", "tear.width_mm")]
    assert broken(placed("margin-convergence-u")) == [("cleft-as-whole", "S1aF-S1aB")]
