"""The repair as it stands after something happened: what is lost, what is found again, and what the sheet then says."""

from dataclasses import replace

import pytest

from cuffwright.case.entry import Affirmed, Deviation, ImplantEntered, ImplantRemoved, MishapEntered, Remeasured
from cuffwright.course.record.present import changed, felt, present_layout
from cuffwright.exchange.demo_cases import demo_cases
from tests.theatre.invented_operation import Log, label, laid, opening


def names(log: Log) -> tuple[set[str], set[str]]:
    """Anchors and stitches as they stand."""
    layout = present_layout(log.operation)
    assert layout is not None
    return {a.name for a in layout.anchors}, {s.name for s in layout.stitches}


def test_before_anything_happened_it_is_the_plan():
    """Without mishap, deviation or removal the layout is the plan itself."""
    log = Log(opening(), ImplantEntered("i1", "1", label("S1")))
    assert present_layout(log.operation) == laid()[0]
    assert not changed(log.operation)
    assert felt(demo_cases()["small_crescent"], log.operation) == demo_cases()["small_crescent"]


def test_an_anchor_that_came_out_is_lost_until_another_is_put_in():
    """Its stitches go with it; a new implant in its place, entered afterwards, brings them back."""
    layout = laid()[0]
    first = layout.anchors[0].name
    log = Log(opening(), ImplantEntered("i1", first, label("S1")), MishapEntered("anchor out", first))
    anchors, stitches = names(log)
    assert anchors == {a.name for a in layout.anchors} - {first}
    assert stitches == {s.name for s in layout.stitches if first not in (s.anchor, s.to)}
    log.enter(ImplantRemoved("i1", "pulled out"))
    log.enter(ImplantEntered("i2", first, label("S2")))
    assert present_layout(log.operation) == layout


@pytest.mark.parametrize("kind", ["suture broke", "suture unloaded", "knot failed"])
def test_a_lost_suture_holds_nothing_until_its_stitch_is_affirmed(kind):
    """All stitches of the suture are gone, the others stay; affirmed again they count."""
    layout = laid()[0]
    log = Log(opening(), MishapEntered(kind, "1a"))
    mine = {s.name for s in layout.stitches if any(hole.startswith("1a") for hole in s.holes)}
    assert names(log)[1] == {s.name for s in layout.stitches} - mine
    log.enter(Affirmed(tuple(f"stitch {name}" for name in sorted(mine)), "surgeon"))
    assert names(log)[1] == {s.name for s in layout.stitches}


def test_nothing_left_gives_no_layout():
    """With every anchor out nothing would hold, and that is said by None, not by an empty layout."""
    log = Log(opening(), *(MishapEntered("anchor out", a.name) for a in laid()[0].anchors))
    assert present_layout(log.operation) is None
    assert changed(log.operation)


def test_theatre_tells_tissue_bone_and_size():
    """Poor tissue and soft bone fix the scenario, a new measure replaces the image's, an anchor its planned place."""
    sheet = demo_cases()["small_crescent"]
    log = Log(opening(), MishapEntered("soft bone", "1"), MishapEntered("poor tissue"))
    log.enter(Remeasured("tear.width_mm", 17.0, "mm", "probe"))
    log.enter(Deviation("anchor 1", "further back", "cyst", u=8.0, v=2.0))
    found = felt(sheet, log.operation)
    assert (found.tear.tissue, found.bone.quality, found.tear.width_mm.value) == ("poor", "poor", 17.0)
    assert found.tear.width_mm.origin == "probe"
    assert replace(found, tear=sheet.tear, bone=sheet.bone) == sheet
    layout = present_layout(log.operation)
    assert (layout.anchors[0].u, layout.anchors[0].v) == (8.0, 2.0)
