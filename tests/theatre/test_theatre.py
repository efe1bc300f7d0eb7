"""An operation followed: steps, entries that may and may not be, and that nothing reads done which nobody affirmed."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from cuffwright.case.entry import (
    Addendum,
    Affirmed,
    Deviation,
    Finding,
    ImplantEntered,
    ImplantRemoved,
    ImplantWasted,
    MishapEntered,
    Remeasured,
    Replanned,
    Signed,
    Stated,
    StepLeft,
    Withdrawn,
)
from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.operation import OperationTemplate, TemplateStep
from cuffwright.exchange.theatre import KINDS, entry_from_plain, entry_to_plain, kept, usual_template
from cuffwright.exchange.theatre.template_file import read_template
from cuffwright.theatre import fold, lines, operation_steps
from cuffwright.theatre.middle import repair_steps
from cuffwright.theatre.standing import limb_ends
from tests.theatre.invented_operation import DAY, WHO, Log, label, laid, opening, random_operation
from tests.theatre.killed_operation import faults

SAMPLE = 12


@pytest.fixture(autouse=True, scope="module")
def _warm() -> None:
    laid()


def test_steps_of_the_usual_template():
    """Every portal after the first is confirmed by needle, every look has a step, bone work only when reasoned for."""
    steps = operation_steps(usual_template(), repair_steps(laid()[0]), bone_work=True)
    portals = [step for step in steps if step.key.startswith("portal")]
    assert [("needle is" in s.words or "by needle before" in s.words) for s in portals] == [False, True, True, True]
    assert {step.asks[0] for step in steps if step.key.startswith("look")} == set(usual_template().looks)
    assert any(step.key == "bone" for step in steps)
    assert not any(step.key == "bone" for step in operation_steps(usual_template(), (), bone_work=False))
    keys = [step.key for step in steps]
    assert len(keys) == len(set(keys))


def test_all_medial_anchors_go_in_before_any_limb_is_passed():
    """In the middle without a plan of limbs the order of kinds is anchors, passes, ties, lateral anchors."""
    kinds = [step.title.split()[0] for step in repair_steps(laid()[0])]
    assert kinds == sorted(kinds, key=["Anchor", "Pass", "Tie", "Lateral"].index)
    said = {line for step in repair_steps(laid()[0]) for line in step.lines}
    assert said == {f"anchor {a.name}" for a in laid()[0].anchors} | {f"stitch {s.name}" for s in laid()[0].stitches}


def test_a_template_needs_one_place_for_the_repair():
    """None or two places for the repair, or a step twice, is refused; a file of another format as well."""
    with pytest.raises(CaseError, match="exactly one"):
        OperationTemplate("own", "1", (), (), (TemplateStep("a", "A"),))
    with pytest.raises(CaseError, match="twice"):
        OperationTemplate("own", "1", (), (), (TemplateStep("a", "A", each="repair"), TemplateStep("a", "A")))
    with pytest.raises(CaseError, match="format"):
        read_template('format = 2\nname = "x"')


@pytest.mark.req("REQ-227")
@pytest.mark.parametrize(
    "change, said",
    [
        ({"patient": "invented-8"}, "wristband"),
        ({"side": "left"}, "marked side"),
        ({"confirmed_by": " "}, "nobody"),
    ],
)
def test_theatre_opens_only_on_the_right_patient_and_side(change, said):
    """Another patient key, the other side, or nobody who confirmed: theatre does not open."""
    with pytest.raises(CaseError, match=said):
        Log(replace(opening(), **change))
    with pytest.raises(CaseError, match="not open"):
        Log(StepLeft("position"))


@pytest.mark.req("REQ-228")
def test_leaving_every_step_affirms_nothing():
    """After every step is left, every line still reads planned, unconfirmed."""
    log = Log(opening(), *(StepLeft(step.key) for step in opening().steps))
    assert {line.standing for line in lines(log.operation)} == {"planned, unconfirmed"}
    assert log.operation.implants == ()


@pytest.mark.req("REQ-228")
def test_an_affirmation_holds_until_something_touches_its_line():
    """A stitch affirmed reads affirmed; a mishap to its suture afterwards makes it unconfirmed again."""
    stitch = laid()[0].stitches[0]
    key = f"stitch {stitch.name}"
    log = Log(opening(), Affirmed((key,), "surgeon"))
    assert _standing(log, key) == "affirmed"
    assert _standing(log, f"stitch {laid()[0].stitches[1].name}") == "planned, unconfirmed"
    log.enter(MishapEntered("suture broke", stitch.holes[0][:-1]))
    assert _standing(log, key) == "changed, unconfirmed"
    log.enter(Affirmed((key,), "surgeon"))
    assert _standing(log, key) == "affirmed"
    log.enter(Withdrawn(log.kept[-1].seq, "pressed by mistake"))
    assert _standing(log, key) == "changed, unconfirmed"


@pytest.mark.req("REQ-228")
def test_an_anchor_is_affirmed_only_with_an_implant_entered():
    """Without an implant an anchor's line cannot be affirmed; after its removal it waits again."""
    log = Log(opening())
    with pytest.raises(CaseError, match="no implant"):
        log.enter(Affirmed(("anchor 1",), "surgeon"))
    log.enter(ImplantEntered("i1", "1", label("S1")))
    log.enter(Affirmed(("anchor 1",), "surgeon"))
    assert _standing(log, "anchor 1") == "affirmed"
    log.enter(ImplantRemoved("i1", "pulled out"))
    assert _standing(log, "anchor 1") == "changed, unconfirmed"
    with pytest.raises(CaseError, match="no implant"):
        log.enter(Affirmed(("anchor 1",), "surgeon"))
    log.enter(Deviation("anchor 1", "left out", "soft bone", left_out=True))
    log.enter(Affirmed(("anchor 1",), "surgeon"))
    assert [line.left_out for line in lines(log.operation) if line.key == "anchor 1"] == [True]


@pytest.mark.req("REQ-226")
def test_an_expired_implant_stops_and_asks():
    """One past its date on the day of surgery needs a written reason; on the date itself it does not."""
    log = Log(opening())
    with pytest.raises(CaseError, match="stop: it expired"):
        log.enter(ImplantEntered("i1", "1", label("S1", date(2026, 7, 31))))
    log.enter(ImplantEntered("i1", "1", label("S1", date(2026, 7, 31)), expired_reason="no other in the house"))
    log.enter(ImplantEntered("i2", "2", label("S2", DAY)))
    assert [i.where for i in log.operation.implants] == ["inside", "inside"]


@pytest.mark.req("REQ-229")
def test_what_cannot_be_entered_is_refused():
    """A place taken, a serial twice, an unknown step, line or entry, no reason: one sentence each."""
    log = Log(opening(), ImplantEntered("i1", "1", label("S1")), ImplantEntered("i2", "", label("S2")))
    for entry, said in (
        (ImplantEntered("i3", "1", label("S3")), "holds an implant"),
        (ImplantEntered("i3", "2", label("S1")), "serial S1"),
        (ImplantEntered("i1", "2", label("S3")), "its own name"),
        (ImplantWasted("i1", "dropped"), "is inside"),
        (ImplantRemoved("i2", "out"), "is opened"),
        (ImplantWasted("i9", "dropped"), "no implant i9"),
        (ImplantWasted("i2", " "), "no reason"),
        (StepLeft("lunch"), "no step"),
        (Affirmed(("anchor 99",), "surgeon"), "no line"),
        (Deviation("anchor 99", "x", "y"), "no line"),
        (Withdrawn(3, "x"), "cannot be withdrawn"),
        (MishapEntered("something else"), "write what"),
        (Finding("biceps", " "), "no text"),
        (Remeasured("tear.width_mm", 1.6, "cm"), "in mm"),
        (Remeasured("tear.width_mm", 0.0, "mm"), "above 0"),
    ):
        with pytest.raises(CaseError, match=said):
            log.enter(entry)
    assert len(log.kept) == 3


@pytest.mark.req("REQ-229")
def test_an_opened_implant_is_put_in_later_and_stays_one():
    """Entered again under its own name with a place it is inside, once; with another label it is refused."""
    log = Log(opening(), ImplantEntered("i1", "", label("S1")))
    with pytest.raises(CaseError, match="its own name"):
        log.enter(ImplantEntered("i1", "1", label("S2")))
    log.enter(ImplantEntered("i1", "1", label("S1")))
    assert [(i.where, i.entered.place, len(i.events)) for i in log.operation.implants] == [("inside", "1", 2)]
    with pytest.raises(CaseError, match="its own name"):
        log.enter(ImplantEntered("i1", "2", label("S1")))


@pytest.mark.req("REQ-229")
def test_a_withdrawal_cannot_put_two_implants_in_one_place():
    """Once another implant is in, the removal of the first cannot be withdrawn."""
    log = Log(opening(), ImplantEntered("i1", "1", label("S1")), ImplantRemoved("i1", "out"))
    removal = log.kept[-1].seq
    log.enter(ImplantEntered("i2", "1", label("S2")))
    with pytest.raises(CaseError, match="two implants"):
        log.enter(Withdrawn(removal, "wrong entry"))


@pytest.mark.req("REQ-230")
def test_a_signed_record_takes_addenda_only():
    """After the signature nothing but an addendum is kept."""
    log = Log(opening(), Signed("surgeon", "a" * 64, "b" * 64, "c" * 64, "0.1"))
    for entry in (Stated("anaesthesia", "general"), StepLeft("position"), Withdrawn(4, "x")):
        with pytest.raises(CaseError, match="locked"):
            log.enter(entry)
    log.enter(Addendum("surgeon", "read again"))
    assert len(log.operation.addenda) == 1


@pytest.mark.req("REQ-229")
@pytest.mark.parametrize("seed", range(SAMPLE))
def test_random_operations_keep_their_books(seed):
    """Implants inside equal a ledger's of its own, one a place; every limb has one end; nothing is affirmed alone."""
    log, inside = random_operation(seed)
    operation = log.operation
    assert {i.entered.implant: i.entered.place for i in operation.implants if i.where == "inside"} == inside
    assert len(set(inside.values())) == len(inside)
    assert faults(operation) == []
    affirmed = {key for _, entry in operation.affirmations for key in entry.lines}
    assert {line.key for line in lines(operation) if line.standing == "affirmed"} <= affirmed
    assert fold(tuple(log.kept)) == operation


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_entry_goes_through_its_payload(kind):
    """Each kind that a random operation holds comes back from its payload equal; a payload with more is refused."""
    log, _ = random_operation(1)
    log.enter(Stated("anaesthesia", "general"))
    found = [k for k in log.kept if KINDS[kind] is type(k.entry)]
    moment = datetime(2026, 8, 1, 9, tzinfo=UTC)
    for one in found[:2]:
        named, payload = entry_to_plain(one.entry, moment)
        assert named == kind
        assert kept(one.seq, one.at, "surgeon", kind, payload, one.hash) == replace(one, happened=moment)
        with pytest.raises(CaseError):
            entry_from_plain(kind, {**payload["entry"], "done": True})
    assert kept(1, moment, "surgeon", "case.opened", {}, "") is None
    with pytest.raises(FormatError, match="moment"):
        kept(1, moment, "surgeon", kind, {"entry": {}, "happened": "today"}, "")


def _standing(log: Log, key: str) -> str:
    return next(line.standing for line in lines(log.operation) if line.key == key)


def test_the_identity_of_the_log_is_that_of_the_case():
    """The invented operation belongs to the invented patient."""
    assert (opening().patient, opening().side) == (WHO.patient, WHO.side)


@pytest.mark.req("REQ-228")
def test_a_new_plan_leaves_affirmed_what_it_does_not_touch():
    """Planned anew with one anchor elsewhere, only that anchor waits again; the plan of the evening before is kept."""
    layout, strip = laid()
    log = Log(opening(), *(ImplantEntered(f"i{n}", a.name, label(f"S{n}")) for n, a in enumerate(layout.anchors)))
    every = tuple(line.key for line in lines(log.operation))
    log.enter(Affirmed(every, "surgeon"))
    moved = layout.with_anchor(replace(layout.anchors[0], u=layout.anchors[0].u + 2.0))
    log.enter(Replanned("cyst", operation_steps(usual_template(), repair_steps(moved), bone_work=False), moved, strip))
    waiting = [line.key for line in lines(log.operation) if line.standing != "affirmed"]
    assert waiting == [f"anchor {layout.anchors[0].name}"]
    assert log.operation.first.layout == layout
    assert log.operation.opening.layout == moved
    log.enter(Withdrawn(log.kept[-1].seq, "not needed"))
    assert log.operation.opening.layout == layout


@pytest.mark.req("REQ-229")
def test_an_implant_outside_the_new_plan_keeps_its_line():
    """Planned anew without an anchor that holds an implant, that place is still a line of the record."""
    layout, strip = laid()
    log = Log(opening(), ImplantEntered("i1", "L2", label("S1")))
    gone = tuple(s for s in layout.stitches if "L2" not in (s.anchor, s.to))
    kept_ = tuple(a for a in layout.anchors if a.name != "L2")
    holes = {hole for s in gone for hole in s.holes}
    small = replace(layout, anchors=kept_, stitches=gone, holes=tuple(h for h in layout.holes if h.name in holes))
    log.enter(
        Replanned("no room", operation_steps(usual_template(), repair_steps(small), bone_work=False), small, strip)
    )
    assert "anchor L2" in {line.key for line in lines(log.operation)}
    assert set(limb_ends(log.operation)) == {hole.name for hole in small.holes}
