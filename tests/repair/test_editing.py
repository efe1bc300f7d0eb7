"""A repair changed by hand stays a repair: names meet, nothing hangs loose, and what is impossible is said."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.course.comparing import differences
from cuffwright.course.editing import (
    AddAnchor,
    AddSuture,
    ChangeImplant,
    ChangeKind,
    Edit,
    RemoveAnchor,
    RemoveLimb,
    RouteLimb,
    edited,
    implants,
)
from cuffwright.course.prepared import Prepared, lay, prepare
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases

BOOK = load_book()
READY = prepare(demo_cases()["small_crescent"], BOOK, plain=True)
LAID = lay(READY, "bridging-knotted")
NAMES = st.sampled_from(["1", "2", "3", "L1", "L2", "L3"])
HOLES = st.sampled_from(["1aF", "1aB", "2aF", "2aB", "1bF", "3aF", "L1aF"])
EDITS: st.SearchStrategy[Edit] = st.one_of(
    st.builds(AddAnchor, st.just("medial"), st.floats(7, 19), st.floats(0.5, 3)),
    st.builds(AddAnchor, st.just("lateral"), st.floats(7, 19), st.floats(20, 26)),
    st.builds(RemoveAnchor, NAMES),
    st.builds(AddSuture, NAMES, st.sampled_from(["simple", "mattress"])),
    st.builds(RemoveLimb, HOLES),
    st.builds(RouteLimb, HOLES, NAMES | st.none()),
    st.builds(ChangeKind, NAMES, st.sampled_from(["mattress", "simple", "knotless"])),
    st.builds(ChangeImplant, NAMES, st.sampled_from(implants())),
)


def do(layout: Layout, edit: Edit, ready: Prepared = READY) -> Layout:
    return edited(ready, layout, edit).layout


@pytest.mark.req("REQ-214")
@settings(max_examples=60, deadline=None)
@given(st.lists(EDITS, max_size=6))
def test_no_edit_leaves_a_loose_end(edits: list[Edit]) -> None:
    """After any edits every hole is passed, every stitch has its holes, holes keep apart and inside the tendon."""
    layout, strip, least = LAID, READY.strip, Citing(BOOK).number("limit.neighbour")
    for edit in edits:
        try:
            layout = do(layout, edit)
        except CaseError:
            continue
    passed = {name for stitch in layout.stitches for name in stitch.holes}
    assert passed == {hole.name for hole in layout.holes}
    assert layout.stitches
    for stitch in layout.stitches:
        assert len(stitch.holes) == (2 if stitch.kind == "mattress" else 1)
        assert (stitch.kind == "bridge") == (stitch.to is not None)
        if stitch.to:
            assert layout.anchor(stitch.to).row == "lateral"
        assert stitch.knotted or stitch.kind == "bridge"
    for hole in layout.holes:
        assert strip.front < hole.u < strip.front + strip.width
        assert hole.v < strip.edge
        near = [h for h in layout.holes if h is not hole and (h.u - hole.u) ** 2 + (h.v - hole.v) ** 2 < least**2]
        assert near == []


def test_removing_what_was_added_gives_the_repair_back() -> None:
    """An anchor added and removed, a limb run elsewhere and back: the stitches are those of the pattern again."""
    for row, v in (("medial", 1.0), ("lateral", 23.0)):
        added = do(LAID, AddAnchor(row, 13.0, v))
        name = added.anchors[-1].name
        assert name == {"medial": "3", "lateral": "L3"}[row]
        back = do(added, RemoveAnchor(name))
        assert (back.anchors, back.holes, back.stitches) == (LAID.anchors, LAID.holes, LAID.stitches)
    away = do(LAID, RouteLimb("1aF", "L2"))
    assert differences(away, LAID) == ("limb 1aF mattress, to L2 instead of mattress, to L1",)
    assert {s.name for s in do(away, RouteLimb("1aF", "L1")).stitches} == {s.name for s in LAID.stitches}


def test_kinds_go_round_in_a_circle() -> None:
    """Mattress to knotless to simple and back: the same holes, and the same stitches in the end."""
    knotless = do(LAID, ChangeKind("1", "knotless"))
    assert [s.kind for s in knotless.stitches if s.anchor == "1"] == ["bridge", "bridge"]
    assert not any(s.knotted for s in knotless.stitches if s.anchor == "1")
    simple = do(knotless, ChangeKind("1", "simple"))
    assert sorted(s.kind for s in simple.stitches if s.anchor == "1") == ["bridge", "bridge", "simple", "simple"]
    again = do(simple, ChangeKind("1", "mattress"))
    assert set(again.stitches) == set(LAID.stitches)
    assert again.holes == LAID.holes


@pytest.mark.req("REQ-214")
@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (RouteLimb("1aF", "2"), "not in the lateral row"),
        (RouteLimb("9aF", "L1"), "there is no limb 9aF"),
        (RemoveAnchor("7"), "there is no anchor 7"),
        (AddAnchor("medial", 13.0, -4.0), "off the bone"),
        (ChangeImplant("1", "gold"), "choose one of"),
        (ChangeKind("L1", "simple"), "carries no limb"),
    ],
)
def test_what_cannot_be_is_said(edit: Edit, told: str) -> None:
    """An edit that names what is not there, or leaves a limb without hold, is refused in one sentence."""
    with pytest.raises(CaseError, match=told):
        do(LAID, edit)


def test_differences_are_said_as_a_surgeon_reads_them() -> None:
    """A moved anchor, another implant and a limb less are each one phrase; a repair differs from itself by nothing."""
    assert differences(LAID, LAID) == ()
    one = LAID.anchor("2")
    moved = LAID.with_anchor(type(one)(one.name, one.row, one.u + 3, one.v - 1, one.z, one.implant))
    assert differences(moved, LAID) == ("anchor 2 3.0 mm back and 1.0 mm medial",)
    other = do(LAID, ChangeImplant("L1", "threaded-5.0"))
    assert differences(other, LAID) == ("anchor L1 threaded-5.0 instead of push-in-4.5",)
    row = lay(READY, "double-row")
    assert differences(row, LAID)[0] == "Double row, unlinked instead of Bridging 2 + 2, medial knots"
