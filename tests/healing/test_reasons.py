"""Reasons against and work on bone: what they say, and what they never say."""

import re

import pytest

from cuffwright.case.errors import EvidenceError
from cuffwright.course.judging import judged
from cuffwright.evidence.book import load_book
from cuffwright.evidence.statements import read_statements, statements
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.healing.bonework import bone_work
from cuffwright.healing.reasons import all_against, reasons, unasked
from tests.healing.shoulders import facts, told

ADVICE = re.compile(
    r"\b(operate on|should be (operated|repaired)|must be (operated|repaired)|we recommend|indicated|is safe)\b", re.I
)


def names(**values):
    """Names of the reasons that hold."""
    return {one.name for one in reasons(told(**values), facts())}


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ({"judgement__joint_arthritis": True, "judgement__acromion_contact": True}, "worn-joint"),
        ({"judgement__infection_suspected": True}, "infection"),
        ({"judgement__stiff": True}, "stiffness"),
        ({"judgement__can_follow_rehabilitation": False}, "rehabilitation"),
        ({"muscle__supraspinatus_fat": 3, "muscle__infraspinatus_fat": 0}, "fat"),
        ({"muscle__tangent_positive": True}, "tangent"),
        ({"judgement__pseudoparalysis": True}, "pseudoparalysis"),
        ({"tear__operative_tension_newtons": 26.1}, "tension"),
        ({"tear__full_thickness": False, "tear__partial_depth_mm": 1.0, "tear__thickness_mm": 5.0}, "shallow"),
        ({"tear__width_mm": 29.9}, "size-and-therapy"),
        (
            {"patient__age": 66, "acromion__acromiohumeral_interval_mm": 5.0, "tear__width_mm": 20.0},
            "expected-partial",
        ),
    ],
)
def test_each_reason_holds_where_it_should_and_not_elsewhere(values, name):
    """Each reason is given for its own sign; a large tear of which nothing else is known has none."""
    assert name in names(**values)
    assert names(tear__width_mm=40.0) == set()


def test_every_reason_is_tried():
    """The list above holds every reason there is."""
    assert len(all_against()) == 11


@pytest.mark.parametrize(("pull", "limits"), [(26.0, 0), (26.1, 1), (35.1, 2), (35.7, 3)])
def test_tension_limits_compete_and_none_stops(pull, limits):
    """26, 35 and 35.6 N of different series are each named when exceeded; a warning, not a stop."""
    found = [one for one in reasons(told(tear__width_mm=40.0, tear__operative_tension_newtons=pull), facts())]
    assert sum(len(re.findall(r"\d N, ", one.words)) for one in found) == limits
    assert all("no stop" in one.words for one in found)


@pytest.mark.req("REQ-144")
@pytest.mark.parametrize("case", demo_cases().values(), ids=lambda sheet: sheet.identity.patient)
def test_nothing_ever_advises_an_operation(case):
    """No word of the whole judgement advises an operation; other ways stand in the order of the alphabet."""
    found = judged(case, load_book(), benefit=statements("benefit"), statements=statements("guideline"))
    assert ADVICE.findall(repr(found)) == []
    for one in found.reasons:
        assert list(one.others) == sorted(one.others)
    assert len(found.general) == 5


def test_structure_is_a_range_of_sources_and_benefit_stands_apart():
    """The range runs from the lowest to the highest source; no benefit statement holds a rate of healing."""
    found = judged(demo_cases()["large_l_shaped"], load_book(), benefit=statements("benefit"))
    ends = [(o.low, o.high) for o in found.odds if o.outcome.startswith("not healed") and o.low is not None]
    assert found.structure == (min(low for low, _ in ends), max(high for _, high in ends))
    assert found.structure_read is not None
    assert found.structure_read[0] > found.structure[0]
    assert not [one for one in found.benefit if "%" in one.words]


def test_bone_work_is_never_routine_and_wants_a_written_reason():
    """Acromioplasty and clavicle: signs are listed, a reason is shown as written, nothing is decided."""
    plain = bone_work(told(), facts())
    assert [one.name for one in plain] == ["acromioplasty", "distal-clavicle"]
    assert all("No reason is written." in one.words for one in plain)
    known = told(
        judgement__acromioplasty_reason="spur that frays the ligament",
        acromion__critical_shoulder_angle_degrees=36.0,
        judgement__clavicle_tender=False,
        judgement__clavicle_worn=False,
        judgement__clavicle_injection_helped=False,
    )
    acromion, clavicle = bone_work(known, facts())
    assert acromion.reason == "spur that frays the ligament"
    assert len(acromion.met) == 1
    assert "None of its signs is present." in clavicle.words


def test_statements_carry_edition_strength_and_source_and_fill_numbers_from_rows():
    """9.6 (3.6 to 15.7) and 15.7 (9.3 to 22.1) points come from guideline.constant and guideline.ases."""
    said = next(one for one in statements("benefit") if one.name == "ten-years")
    assert said.facts == ("guideline.constant", "guideline.ases")
    assert "9.6 (3.6 to 15.7)" in said.words
    assert all(
        one.edition and one.strength and one.source for kind in ("benefit", "guideline") for one in statements(kind)
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("format = 2\n", "format 2"),
        ('format = 1\n[[statement]]\nname = "a"\nkind = "benefit"\n', "lacks words"),
        (
            'format = 1\n[[statement]]\nname = "a"\nwords = "b"\nedition = "c"\nstrength = "d"\nsource = "nowhere"\n'
            'read = true\nkind = "benefit"\n',
            "no file lists",
        ),
    ],
)
def test_a_statement_nobody_could_trace_is_refused(text, words):
    """Another format, a missing part or an unknown source is refused in a sentence."""
    with pytest.raises(EvidenceError, match=words):
        read_statements(text, "benefit")


def test_a_sign_that_is_there_counts_though_another_is_not_known():
    """Much fat in one muscle, two points of three: said, while what is missing stays in the list of the unasked."""
    fat = {"tear__width_mm": 40.0, "muscle__supraspinatus_fat": 4}
    assert names(**fat) == {"fat"}
    assert "muscle.infraspinatus_fat" in unasked(told(**fat))
    assert names(tear__width_mm=40.0, muscle__supraspinatus_fat=2, muscle__infraspinatus_fat=2) == set()
    two = reasons(told(tear__width_mm=40.0, patient__age=65), facts())
    assert [one.name for one in two] == ["expected-partial"]
    assert "score 2 to 3 of 3: 41.2% to 83.3%" in two[0].words


def test_the_partial_tear_is_asked_for_its_depth_and_the_full_one_is_not():
    """Without its depth nothing is said of a partial tear and the depth is asked; half of it is not shallow."""
    partial = {"tear__full_thickness": False, "tear__thickness_mm": 5.0, "tear__width_mm": 40.0}
    assert "shallow" not in names(**partial)
    assert "tear.partial_depth_mm" in unasked(told(**partial))
    assert "tear.partial_depth_mm" not in unasked(told())
    assert "shallow" not in names(**partial, tear__partial_depth_mm=2.5)
    assert "shallow" in names(**partial, tear__partial_depth_mm=2.4)


def test_the_reparability_score_is_of_large_full_thickness_tears():
    """A partial tear gets no such reason; a tear below large is told that the series had larger ones."""
    signs = {"patient__age": 66, "acromion__acromiohumeral_interval_mm": 5.0, "tear__width_mm": 22.0}
    assert "expected-partial" not in names(**signs, tear__full_thickness=False)
    (one,) = (one for one in reasons(told(**signs), facts()) if one.name == "expected-partial")
    assert "the series is of large to massive tears" in one.words


@pytest.mark.parametrize(("full", "words"), [(True, "54.9% of full-thickness"), (False, "26.7% of partial tears")])
def test_growth_without_surgery_is_that_of_its_own_depth(full, words):
    """54.9 % of full-thickness tears in three years, 26.7 % of partial ones in two (JBJS Open Access 2024)."""
    (one,) = (o for o in reasons(told(tear__full_thickness=full), facts()) if o.name == "size-and-therapy")
    assert words in one.words


def test_a_high_angle_speaks_for_acromioplasty_from_35_degrees_on():
    """35 degrees is high by the lower line, 34.9 is not."""
    for angle, count in ((34.9, 0), (35.0, 1)):
        (acromion, _) = bone_work(told(acromion__critical_shoulder_angle_degrees=angle), facts())
        assert len(acromion.met) == count
