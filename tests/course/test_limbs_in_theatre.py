"""Limbs planned anew in theatre: from where the log has them, legal to the end, and the repair that follows from it."""

import pytest

from cuffwright.case.entry import Affirmed, Kept, MishapEntered, Replanned, StepLeft, Withdrawn
from cuffwright.case.errors import CaseError
from cuffwright.course.limb_sutures import sutures_of
from cuffwright.course.limbs_in_theatre import keys_for, limbs_now, planned_anew
from cuffwright.course.record.present import present_layout
from cuffwright.theatre import lines
from cuffwright.theatre.standing import limb_ends
from tests.theatre.invented_operation import Log, laid, limbs, opening_with_limbs
from tests.theatre.killed_operation import limb_faults

U = {anchor.name: anchor.u for anchor in laid()[0].anchors}


def begun(moves: int) -> Log:
    """Theatre with so many moves left behind."""
    return Log(opening_with_limbs(), *(StepLeft(f"limb move {n}") for n in range(1, moves + 1)))


def anew(log: Log) -> Replanned:
    """The plan made anew, kept in the log."""
    found = planned_anew(log.operation, "something happened")
    assert found is not None
    log.enter(found)
    return found


@pytest.mark.req("REQ-240")
@pytest.mark.parametrize(
    ("moves", "mishap", "sutures", "ahead"),
    [
        (6, MishapEntered("anchor out", "2"), "1a", 6),
        (6, MishapEntered("anchor out", "2", at=U["2"] - 2), "1a 3a", 15),
        (12, MishapEntered("suture broke", "1a"), "2a", None),
        (16, MishapEntered("knot failed", "2a"), "1a 2a", None),
        (20, MishapEntered("anchor out", "L1"), "1a 2a", 1),
        (6, MishapEntered("suture unloaded", "1a", choice="rescue", at=U["1"] + 1), "2a 3a", None),
        (6, MishapEntered("suture unloaded", "2a", choice="drop"), "1a", 6),
        (6, MishapEntered("tear longer", at=U["2"] + 1), "1a 2a 3a", None),
        (6, MishapEntered("portal unusable", "accessory superolateral"), "1a 2a", 14),
        (6, MishapEntered("cannula lost", "lateral"), "1a 2a", 15),
        (5, MishapEntered("wrong limb", "1aB", choice="unpass", limb="1aF"), "1a 2a", None),
        (6, MishapEntered("soft bone", "1"), "1a 2a", 15),
        (1, MishapEntered("soft bone", "2", choice="elsewhere", at=U["2"] - 1), "1a 2a", 19),
        (6, MishapEntered("soft bone", choice="extra", at=U["2"] + 1), "1a 2a 3a", None),
        (3, MishapEntered("poor tissue", "2aF", choice="elsewhere", at=U["2"] - 3), "1a 2a", 17),
    ],
)
def test_every_mishap_is_planned_from_where_the_limbs_are(moves, mishap, sutures, ahead):
    """The plan is legal to its end; the layout strings just the living sutures; every limb has an end."""
    log = begun(moves)
    log.enter(mishap)
    new = anew(log)
    now = limbs_now(log.operation)
    assert (now.waits, now.refused, new.because) == (False, (), (log.kept[-2].seq,))
    assert limb_faults(log.operation) == []
    by_layout = {s.name: (s.carrier, s.front, s.back, set(s.seats), s.ending) for s in sutures_of(new.layout, {})}
    living = [s for s in now.field.sutures if {now.state.limb(x).stage for x in s.limbs} != {"removed"}]
    assert by_layout == {s.name: (s.carrier, s.front, s.back, set(s.seats), s.ending) for s in living}
    assert " ".join(sorted(by_layout)) == sutures
    assert ahead is None or sum("limb move" in s.key and s.key not in log.operation.left for s in new.steps) == ahead
    assert present_layout(log.operation) == new.layout
    for step in new.steps:
        if step.key not in log.operation.left:
            log.enter(StepLeft(step.key))
    assert {x.stage for x in limbs_now(log.operation).state.limbs} <= {"fixed", "cut", "removed"}
    assert not limbs_now(log.operation).waits
    wanted = {f"anchor {a.name}" for a in new.layout.anchors} | {f"stitch {s.name}" for s in new.layout.stitches}
    assert wanted <= {line.key for line in lines(log.operation)}


@pytest.mark.req("REQ-240")
def test_what_is_left_after_the_mishap_is_reckoned_with():
    """Steps of the earlier plan left in an outage count; one that cannot have been made is told, not followed."""
    log = begun(6)
    log.enter(MishapEntered("suture broke", "2a"))
    log.enter(StepLeft("limb move 7"))
    new = anew(log)
    assert any("cannot have been made so" in change for change in new.changes)
    assert {x.limb for x in new.limbs.state.limbs if x.stage == "removed"} == {"2aF", "2aB"}
    late = begun(6)
    late.enter(MishapEntered("anchor out", "1"))
    anew(late)
    late.enter(StepLeft("limb move 7"))
    assert limbs_now(late.operation).waits
    assert anew(late).limbs.state.limb("2aF").place == "lateral"


@pytest.mark.req("REQ-240")
def test_a_mishap_that_cannot_be_is_kept_and_plans_nothing():
    """The entry stands in the log, the plan stays, and the reason is said; so it is without a plan of limbs."""
    log = begun(6)
    log.enter(MishapEntered("suture unloaded", "1a", choice="rethread"))
    with pytest.raises(CaseError, match="needs what its eyelet admits"):
        planned_anew(log.operation, "")
    log.enter(MishapEntered("vision lost", "posterior"))
    now = limbs_now(log.operation)
    assert not now.waits
    assert now.changes == ("the arthroscope stays in the posterior portal until the view is back",)
    assert len(log.operation.mishaps) == 2
    with pytest.raises(CaseError, match="follows no plan of limbs"):
        planned_anew(Log().operation, "")


@pytest.mark.req("REQ-240")
def test_withdrawn_the_earlier_plan_goes_on():
    """Mishap and plan withdrawn: steps, layout and limbs are those of before; the mishap alone: planned once more."""
    log = begun(6)
    before = log.operation.opening
    log.enter(MishapEntered("anchor out", "2", at=U["2"] - 2))
    anew(log)
    first, second = log.kept[-2].seq, log.kept[-1].seq
    log.enter(Withdrawn(second, "undone"))
    assert limbs_now(log.operation).waits
    log.enter(Withdrawn(first, "undone"))
    assert log.operation.opening == before
    assert not limbs_now(log.operation).waits
    assert set(limb_ends(log.operation)) == {hole.name for hole in laid()[0].holes}


@pytest.mark.req("REQ-240")
def test_a_removed_suture_waits_to_be_affirmed_and_new_keys_stand_for_new_moves():
    """The line of what was removed is affirmed by a person only; a move made already keeps its key in a later plan."""
    log = begun(6)
    log.enter(MishapEntered("anchor out", "2"))
    anew(log)
    assert {line.standing for line in lines(log.operation) if line.key == "removed 2a"} == {"planned, unconfirmed"}
    log.enter(Affirmed(("removed 2a",), "surgeon"))
    assert next(line.standing for line in lines(log.operation) if line.key == "removed 2a") == "affirmed"
    moves = [move for _, move in limbs()[1].moves]
    keys = keys_for(log.operation, moves)
    assert keys[:6] == tuple(f"limb move {n}" for n in range(1, 7))
    assert len(set(keys)) == len(moves)
    assert all(isinstance(kept, Kept) for kept in log.kept)
