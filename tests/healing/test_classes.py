"""Classes against the worked examples of the clinical dossier (sections a) and against their own edges."""

from dataclasses import replace

import pytest

from cuffwright.anatomy.tear_size import size_class
from cuffwright.healing.classes import class_rules, classify
from cuffwright.healing.classes.partial_depth import depth_grade
from cuffwright.healing.known import Known
from tests.healing.shoulders import facts, told


def answer(name: str, known: Known):
    """One class of one shoulder."""
    return next(one for one in classify(known, facts()) if one.name == name)


@pytest.mark.parametrize(
    ("width_cm", "wanted"), [(0.9, "small"), (1.0, "medium"), (2.99, "medium"), (3.0, "large"), (5.0, "massive")]
)
def test_size_by_width(width_cm, wanted):
    """0.9 small, 1.0 and 2.99 medium, 3.0 large, 5.0 massive (Surg Gynecol Obstet 1982; half-open edges)."""
    assert size_class(width_cm * 10, facts()) == wanted
    assert answer("size-by-width", told(tear__width_mm=width_cm * 10)).value == wanted


@pytest.mark.parametrize(("bare", "wanted"), [(24.0, "not massive"), (24.2, "massive")])
def test_massive_by_consensus(bare, wanted):
    """24 of 36 mm bare is 0.667, below 0.67; 24.2 of 36 is 0.672 (J Shoulder Elbow Surg 2020)."""
    known = told(tear__width_mm=bare, footprint__ap_mm=36.0, judgement__retraction_stage=1)
    assert answer("massive-by-consensus", known).value == wanted


def test_massive_definitions_disagree_in_one_patient_and_all_are_shown():
    """Two tendons at 31 mm: massive by tendons, not by width, open by consensus."""
    known = told(tear__width_mm=31.0, tear__tendons=2.0)
    found = {one.name: one.value for one in classify(known, facts()) if one.rivals == "Is the tear massive?"}
    assert found == {"massive-by-width": "not massive", "massive-by-tendons": "massive", "massive-by-consensus": None}


@pytest.mark.parametrize(("length", "width", "wanted"), [(1.2, 1.8, "type 1"), (2.4, 1.1, "type 2"), (3, 3, "type 3")])
def test_geometric_type(length, width, wanted):
    """L 1.2 W 1.8 type 1; L 2.4 W 1.1 type 2; L 3 W 3 type 3 (Arthroscopy 2010)."""
    known = told(
        tear__retraction_mm=length * 10,
        tear__width_mm=width * 10,
        judgement__acromion_contact=False,
        judgement__joint_arthritis=False,
    )
    assert answer("shape-on-mr", known).value.startswith(wanted)
    worn = told(judgement__acromion_contact=True, judgement__joint_arthritis=True)
    assert answer("shape-on-mr", worn).value.startswith("type 4")


def test_geometric_type_stays_open_while_the_joint_is_unknown():
    """Without a look at the joint type 4 stays possible: nothing is taken as normal."""
    found = answer("shape-on-mr", told(tear__retraction_mm=30.0, tear__width_mm=30.0))
    assert found.value is None
    assert len(found.possible) == 2
    assert set(found.missing) == {"judgement.acromion_contact", "judgement.joint_arthritis"}


@pytest.mark.parametrize(("ratio", "wanted"), [(412 / 980, "moderate"), (380 / 980, "severe"), (0.6, "mild")])
def test_occupation_ratio(ratio, wanted):
    """412 of 980 mm2 is 0.420, moderate; 380 of 980 is 0.388, severe (reference page, 1996 paper)."""
    assert answer("occupation-ratio", told(muscle__occupation_ratio=ratio)).value == wanted


def test_occupation_cut_off_needs_both_signs():
    """Below 43 % counts only with infraspinatus grade 2 or more (Am J Sports Med 2018)."""
    for ratio, fat, wanted in ((0.42, 2, "beyond"), (0.43, 2, "not beyond"), (0.42, 1, "not beyond")):
        known = told(muscle__occupation_ratio=ratio, muscle__infraspinatus_fat=fat)
        assert answer("occupation-cut-off", known).value.startswith(wanted)
    assert answer("occupation-cut-off", told(muscle__occupation_ratio=0.5)).value == "not beyond the cut-off"


@pytest.mark.parametrize(("depth", "wanted"), [(2.9, 1), (3.0, 2), (6.0, 2), (6.1, 3)])
def test_partial_depth(depth, wanted):
    """Below 3 mm 1, 3 to 6 mm 2, above 6 mm 3 (Clin Orthop 1990)."""
    assert depth_grade(depth, facts()) == f"grade {wanted}"
    known = told(tear__full_thickness=False, tear__partial_depth_mm=depth)
    assert answer("depth-grade", known).value == f"grade {wanted}"
    assert answer("depth-share", known).value is None


@pytest.mark.parametrize(
    ("interval", "eye", "wanted"),
    [
        (6.0, (False, False, False), "grade 1"),
        (5.5, (False, False, False), "edge 1/2"),
        (5.0, (False, False, False), "grade 2"),
        (4.0, (True, False, False), "grade 3"),
        (4.0, (False, True, False), "grade 4a"),
        (4.0, (True, True, False), "grade 4b"),
        (4.0, (True, True, True), "grade 5"),
    ],
)
def test_arthropathy(interval, eye, wanted):
    """d >= 6 is 1, d <= 5 is 2, between them the edge is printed; an eye decides the rest (reference page)."""
    hollowed, worn, collapsed = eye
    known = told(
        acromion__acromiohumeral_interval_mm=interval,
        judgement__acromion_hollowed=hollowed,
        judgement__joint_arthritis=worn,
        judgement__head_collapsed=collapsed,
    )
    assert answer("arthropathy", known).value == wanted


@pytest.mark.parametrize(
    ("grade", "wanted"), [(0, "normal"), (1, "normal"), (2, "moderate"), (3, "advanced"), (4, "advanced")]
)
def test_fat_groups(grade, wanted):
    """Grades 0 and 1, 2, 3 and 4 make the three groups (J Shoulder Elbow Surg 1999); from memory, so unverified."""
    found = answer("fat-infraspinatus", told(muscle__infraspinatus_fat=grade))
    assert (found.value, found.verified) == (wanted, False)


def test_both_lines_of_the_shoulder_angle_stand_side_by_side():
    """36 degrees is high by one line and not by the other (35 and 38 degrees, both in use)."""
    known = told(acromion__critical_shoulder_angle_degrees=36.0)
    assert answer("angle-lower-line", known).value == "high"
    assert answer("angle-upper-line", known).value == "not high"


def test_the_glenoid_decides_the_last_stage_and_the_eye_the_others():
    """A stump at the rim is stage 3; short of it the eye must say; without the rim nothing is said."""
    far, near = told(tear__retraction_mm=35.0, judgement__glenoid_rim_mm=35.0), told(tear__retraction_mm=20.0)
    assert answer("retraction-to-glenoid", far).value == "stage 3"
    assert answer("retraction-to-glenoid", near).value is None
    assert answer("retraction-to-glenoid", near).missing == ("judgement.glenoid_rim_mm",)


def test_a_measure_near_an_edge_names_the_other_class():
    """29 mm with an SD of 2 mm is medium, and large lies within its spread."""
    known = replace(told(tear__width_mm=29.0), spread={"tear.width_mm": 2.0})
    found = answer("size-by-width", known)
    assert (found.value, found.near) == ("medium", ("large",))


@pytest.mark.req("REQ-140")
def test_every_class_names_its_rule_and_a_row_with_a_source():
    """Each class says its rule in words; every number of it is a row."""
    for one in classify(told(), facts()):
        assert one.rule
        assert one.facts or one.name == "shape-in-theatre"
    assert len(class_rules()) > 15


@pytest.mark.parametrize(("width", "wanted"), [(19.9, 1), (20.0, 2), (40.0, 2), (40.1, 3)])
def test_size_by_the_edges_of_two_and_four_centimetres(width, wanted):
    """Below 2 cm grade 1, 2 to 4 cm grade 2, above 4 cm grade 3 (Clin Orthop 1990)."""
    assert answer("size-two-four", told(tear__width_mm=width)).value.startswith(f"grade {wanted}")


@pytest.mark.parametrize(("angle", "lower", "upper"), [(34.9, 0, 0), (35.0, 1, 0), (38.0, 1, 0), (38.1, 1, 1)])
def test_the_edges_of_the_shoulder_angle(angle, lower, upper):
    """High from 35 degrees on by one line (Front Med 2024), above 38 by the other (J Clin Med 2026)."""
    known = told(acromion__critical_shoulder_angle_degrees=angle)
    for name, high in (("angle-lower-line", lower), ("angle-upper-line", upper)):
        assert answer(name, known).value == ("high" if high else "not high")


def test_type_3_needs_both_sizes_above_two_centimetres():
    """20 mm is not above 2 cm; 20.1 mm in both is (Arthroscopy 2010)."""
    sound = {"judgement__acromion_contact": False, "judgement__joint_arthritis": False}
    for size, wanted in ((20.0, "type 1"), (20.1, "type 3")):
        known = told(tear__retraction_mm=size, tear__width_mm=size, **sound)
        assert answer("shape-on-mr", known).value.startswith(wanted)


@pytest.mark.parametrize(("depth", "wanted"), [(2.4, "less than half"), (2.5, "half or more")])
def test_half_of_the_thickness_counts_as_half(depth, wanted):
    """2.5 of 5 mm is half (the usual line for repair, a convention)."""
    known = told(tear__full_thickness=False, tear__partial_depth_mm=depth, tear__thickness_mm=5.0)
    assert answer("depth-share", known).value == wanted


def test_a_class_beyond_the_spread_is_not_near():
    """28 mm with an SD of 1.5 mm does not reach large at 30 mm, with 2 mm it does."""
    for sd, near in ((1.5, ()), (2.0, ("large",))):
        known = replace(told(tear__width_mm=28.0), spread={"tear.width_mm": sd})
        assert answer("size-by-width", known).near == near
