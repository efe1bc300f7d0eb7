"""The view against pressure beside the pressure at the brain (dossier, section f)."""

import pytest

from cuffwright.case.errors import CaseError
from cuffwright.course.general import GENERAL
from cuffwright.course.perioperative import perioperative
from cuffwright.evidence.book import load_book


@pytest.mark.parametrize(("systolic", "space"), [(110, 61), (95, 46), (40, 0)])
def test_pressure_for_the_view(systolic, space):
    """Systolic minus 49: 110 gives 61, 95 gives 46 (Arthroscopy 1995, average of 22 cases)."""
    assert perioperative(load_book(), systolic=systolic).space == space


def test_pressure_at_the_brain_by_both_corrections():
    """80 at 36 cm: 52.3 by 0.77 and 53.5 by 0.735 mmHg a cm (self-test of 2013, teaching page)."""
    found = perioperative(load_book(), mean=80, height_cm=36).brain
    assert (found.low, found.high) == (52.3, 53.5)


@pytest.mark.req("REQ-152")
def test_both_numbers_stand_in_one_line_without_a_set_point():
    """View and brain stand side by side; the anaesthetist decides; drugs, skin and clots are the hospital's."""
    found = perioperative(load_book(), systolic=110, mean=80, height_cm=36)
    assert "61 mmHg" in found.beside
    assert "52.3 to 53.5 mmHg" in found.beside
    assert "The anaesthetist decides" in found.decides
    assert "no set-point" in found.decides
    assert all("hospital's own policy" in words for words in found.policy)
    assert found.order[-1] == "pressure last"
    assert found.general == GENERAL


@pytest.mark.req("REQ-143")
def test_what_is_missing_is_named():
    """Each missing input is named and its half is not computed; an unknown cuff is not taken for the arm's."""
    found = perioperative(load_book(), systolic=110)
    assert found.brain is None
    assert found.missing == ("mean pressure", "height of the ear")
    assert "not computed, needs mean pressure" in found.beside
    assert any("is not known" in words for words in found.cautions)
    assert perioperative(load_book()).space is None


def test_concern_and_ankle_are_said_and_the_impossible_refused():
    """Below 80 mmHg at the brain and a cuff at the ankle caution; a mean above the systolic is refused."""
    low, high = (perioperative(load_book(), mean=mean, height_cm=20) for mean in (90, 120))
    assert any("region of concern" in words for words in low.cautions)
    assert not any("region of concern" in words for words in high.cautions)
    assert "ankle" in perioperative(load_book(), ankle_cuff=True).cautions[0]
    with pytest.raises(CaseError, match="exceeds the systolic"):
        perioperative(load_book(), systolic=90, mean=100)
    with pytest.raises(CaseError, match="give mmHg"):
        perioperative(load_book(), mean=-1)


def test_a_height_in_other_units_and_the_ear_are_said():
    """360 (mm) would leave no pressure: refused; 10 to 12 cm from ear to the base of the brain are named."""
    with pytest.raises(CaseError, match="give cm"):
        perioperative(load_book(), mean=80, height_cm=360)
    found = perioperative(load_book(), mean=80, height_cm=20)
    assert any("10 to 12 cm more to the base of the brain" in words for words in found.cautions)
    assert not any("base of the brain" in words for words in perioperative(load_book(), systolic=110).cautions)


@pytest.mark.parametrize(("mean", "concern"), [(95.3, True), (95.5, False)])
def test_the_region_of_concern_ends_at_80_mmhg(mean, concern):
    """At 20 cm the lower correction takes 15.4 mmHg: 79.9 is of concern, 80.1 is not (newsletter of 2016)."""
    found = perioperative(load_book(), mean=mean, height_cm=20).cautions
    assert any("region of concern, 70 to 80 mmHg" in words for words in found) == concern


@pytest.mark.req("REQ-244")
def test_what_a_cuff_at_the_ankle_reads_gives_no_pressure():
    """The ankle cuff is forbidden in the beach chair (newsletter of 2016): neither number is worked out of it."""
    found = perioperative(load_book(), systolic=110, mean=80, height_cm=36, ankle_cuff=True)
    assert (found.space, found.brain) == (None, None)
    assert found.missing == ("systolic pressure at the arm", "mean pressure at the arm")
    assert "needs mean pressure at the arm" in found.beside
    assert "do not use it" in found.cautions[0]


def test_the_other_correction_of_its_source():
    """120/80 at the cuff is 102/62 at a height of 25 cm by 1.36 cm of water a mmHg (teaching page)."""
    for cuff, brain in ((120, 102), (80, 62)):
        assert perioperative(load_book(), mean=cuff, height_cm=25).brain.high == pytest.approx(brain, abs=0.5)
