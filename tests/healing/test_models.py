"""Published odds against the worked examples of the clinical dossier, section b."""

import pytest

from cuffwright.healing import double_row
from cuffwright.healing.models import models, odds
from cuffwright.healing.models.area_band import area_rate
from cuffwright.healing.models.healing_index import index_points
from cuffwright.healing.models.logistic import chance, retear_logit
from cuffwright.healing.models.reparability import reparability_points
from tests.healing.shoulders import facts, told


def found(name: str, **values):
    """One model's answer for one shoulder."""
    return next(one for one in odds(told(**values), facts()) if one.name == name)


def index_case(age, width_cm, retraction_cm, fat, bone, work):
    """Inputs of the healing index from the units of the dossier."""
    return {
        "patient__age": age,
        "tear__width_mm": width_cm * 10,
        "tear__retraction_mm": retraction_cm * 10,
        "muscle__infraspinatus_fat": fat,
        "patient__bone_density_t_score": bone,
        "patient__work": work,
    }


@pytest.mark.parametrize(
    ("case", "points", "span"),
    [
        ((60, 2.0, 1.5, 1, -1.0, "low"), 1, (0.06, 0.06)),
        ((72, 3.0, 2.5, 2, -2.7, "high"), 13, (0.862, 0.862)),
        ((71, 2.5, 0.9, 2, -2.4, "low"), 5, (0.06, 0.862)),
        ((70, 2.6, 3.0, 0, -1.0, "low"), 6, (0.06, 0.862)),
    ],
)
def test_healing_index(case, points, span):
    """1, 13, 5 and 6 points; 6.0 % up to 4, 86.2 % from 10, between them the whole range (Am J Sports Med 2019)."""
    one = found("healing-index", **index_case(*case))
    assert one.points == (points, points)
    assert (one.low, one.high) == span
    given = {path.replace("__", "."): value for path, value in index_case(*case).items()}
    assert index_points(given, facts()) == points


def test_healing_index_at_its_most_is_15():
    """Every sign together gives 15 points (2 + 2 + 4 + 3 + 2 + 2)."""
    assert found("healing-index", **index_case(80, 4, 4, 4, -3, "high")).points == (15, 15)


@pytest.mark.req("REQ-141")
def test_healing_index_without_bone_density_is_a_range_and_stays_off_patient_sheets():
    """Missing bone density is 0 or its full 2 points; rows from memory never reach a patient's sheet."""
    case = index_case(65, 3.0, 2.5, 2, None, "medium")
    one = found("healing-index", **case)
    assert one.points == (7, 9)
    assert "patient.bone_density_t_score" in one.over_all_values_of
    assert (one.verified, one.for_patients) == (False, False)


@pytest.mark.parametrize(
    ("inputs", "logit", "probability"),
    [
        ((60, 100, 2, 2, 20), -1.460, 0.1885),
        ((65, 100, 3, 3, 25), -0.265, 0.4341),
        ((45, 50, 1, 1, 15), -4.735, 0.0087),
        ((72, 100, 3.5, 3, 30), 0.343, 0.5849),
    ],
)
def test_logistic_model(inputs, logit, probability):
    """Four worked examples, coefficients of Am J Sports Med 2014, tolerance 0.0005."""
    assert retear_logit(*inputs, facts()) == pytest.approx(logit, abs=5e-4)
    assert chance(retear_logit(*inputs, facts())) == pytest.approx(probability, abs=5e-4)


def test_logistic_model_is_clamped_at_five_centimetres():
    """Above 5 cm both sizes stand still, so the model does not fall again."""
    at, above = (retear_logit(60, 100, size, size, 20, facts()) for size in (5.0, 8.0))
    assert above == at
    assert retear_logit(60, 100, 4.9, 4.9, 20, facts()) < at


def test_logistic_model_holds_the_short_times_of_its_series():
    """Its range is that of 20 to 25 minutes, whatever the operation takes."""
    one = found("logistic-retear", patient__age=60, tear__width_mm=20.0, tear__retraction_mm=20.0)
    ends = [chance(retear_logit(60, 100, 2, 2, minutes, facts())) for minutes in (20, 25)]
    assert [one.low, one.high] == pytest.approx(ends, abs=1e-4)


def test_logistic_model_says_who_lies_outside():
    """A double row lies outside a single-row series; an unknown pattern is not known."""
    sizes = {"patient__age": 60, "tear__width_mm": 20.0, "tear__retraction_mm": 20.0, "patient__earlier_repair": False}
    assert found("logistic-retear", **sizes, plan__pattern="double-row").inside == "outside"
    assert found("logistic-retear", **sizes, plan__pattern="single-row-simple").inside == "inside"
    assert found("logistic-retear", **sizes).inside == "not known"


@pytest.mark.parametrize(("age", "rate"), [(49, 0.05), (50, 0.10), (60, 0.15), (70, 0.25), (79, 0.25), (80, 0.34)])
def test_rate_by_age(age, rate):
    """5, 10, 15, 25, 34 % (J Bone Joint Surg Am 2017, 1600 repairs of one surgeon)."""
    assert found("age-band", patient__age=age).low == rate


@pytest.mark.parametrize(("width", "healed"), [(5, 66), (20, 68), (40, 47), (50, 27)])
def test_rate_by_size(width, healed):
    """66, 68, 47, 27 % healed at 12 months in 47 hospitals (Acta Orthop 2017)."""
    assert found("size-band", tear__width_mm=float(width)).low == pytest.approx(1 - healed / 100)


@pytest.mark.parametrize(
    ("area", "rate"), [(2, 0.10), (2.1, 0.16), (4, 0.16), (6, 0.31), (7, None), (8, None), (8.1, 0.57)]
)
def test_rate_by_area(area, rate):
    """Up to 2, 4, 6, above 8 cm2; the band from 6 to 8 is not in the source and gives nothing (2012 report)."""
    assert area_rate(area, facts()) == rate


def test_wide_against_long_tears_of_equal_area():
    """31.4 % in wide, 4.4 % in long tears, nothing where neither size is 1.5 times the other."""
    assert found("dominance", tear__width_mm=30.0, tear__retraction_mm=15.0).low == 0.314
    assert found("dominance", tear__width_mm=15.0, tear__retraction_mm=30.0).low == 0.044
    assert found("dominance", tear__width_mm=20.0, tear__retraction_mm=20.0).low is None


@pytest.mark.parametrize(
    ("age", "interval", "width", "points"), [(66, 5, 20, 2), (64, 7, 30, 1), (65, 6, 22, 3), (64, 6.1, 21.9, 0)]
)
def test_reparability_score(age, interval, width, points):
    """66 y, 5 mm, 20 mm: 2; 64 y, 7 mm, 30 mm: 1; edges count (World J Orthop 2022)."""
    assert reparability_points(age, interval, width, facts()) == points
    one = found(
        "reparability", patient__age=age, acromion__acromiohumeral_interval_mm=interval, tear__width_mm=float(width)
    )
    assert one.low == pytest.approx((0 / 24, 2 / 33, 7 / 17, 5 / 6)[points], abs=1e-4)


def test_double_row_against_a_baseline():
    """30 % of any retear with a ratio of 0.58 (0.43 to 0.78) is 17.4 % (12.9 to 23.4); full retear is not proven."""
    found = double_row.with_double_row(0.30, "any.2019", facts())
    assert (found.middle, found.low, found.high) == pytest.approx((0.174, 0.129, 0.234))
    assert "not proven" in double_row.words("full.2019", facts())
    assert "not proven" in double_row.words("full.2025", facts())
    assert "not proven" not in double_row.words("any.2019", facts())


@pytest.mark.req("REQ-142")
def test_every_answer_names_people_year_imaging_time_and_source():
    """Beside every rate stand population, year, imaging and whether this patient lies inside."""
    for one in odds(told(), facts()):
        assert all((one.population.people, one.population.imaging, one.population.when, one.population.source))
        assert one.inside in {"inside", "outside", "not known"}
        assert one.population.year or one.name == "dominance"
    assert len(models()) == 7


@pytest.mark.parametrize(("width", "length", "rate"), [(15, 10, 0.314), (14.9, 10, None), (10, 15, 0.044)])
def test_one_size_must_be_half_again_the_other(width, length, rate):
    """1.5 times counts (cohort of equal areas of about 522 mm2)."""
    assert found("dominance", tear__width_mm=float(width), tear__retraction_mm=float(length)).low == rate


def test_who_lies_in_the_studied_groups():
    """Partial tears are in the series by age; a second repair is in none; large areas were not compared."""
    first = {"patient__age": 60, "patient__earlier_repair": False}
    assert found("age-band", **first, tear__full_thickness=False).inside == "inside"
    assert found("age-band", patient__age=60, tear__full_thickness=False).inside == "not known"
    again = {"patient__age": 60, "patient__earlier_repair": True, "tear__retraction_mm": 10.0}
    for name in ("age-band", "size-band", "area-band", "healing-index", "logistic-retear", "dominance"):
        assert found(name, **again).inside == "outside", name
    partial = {**first, "tear__full_thickness": False, "tear__retraction_mm": 10.0}
    assert found("area-band", **partial).inside == "outside"
    for length, inside in ((14.9, "inside"), (20.0, "not known")):
        sizes = {"tear__width_mm": 1.5 * length, "tear__retraction_mm": length}
        assert found("dominance", **first, **sizes).inside == inside


def test_the_reparability_score_says_what_it_expects():
    """Two points of three: expect a partial repair; one: complete was usual; one to three: open."""
    age, gap = "patient__age", "acromion__acromiohumeral_interval_mm"
    assert "expect a partial repair" in found("reparability", **{age: 66, gap: 5.0}, tear__width_mm=20.0).words
    assert "a complete repair was usual" in found("reparability", **{age: 64, gap: 7.0}, tear__width_mm=30.0).words
    assert "counted in 7 of 17" in found("reparability", **{age: 66, gap: 5.0}, tear__width_mm=20.0).words
    one = found("reparability", tear__width_mm=30.0)
    assert "counted in 2 of 33 to 5 of 6" in one.words
    assert one.points == (1, 3)
    assert "open" in one.words
    assert (one.low, one.high) == pytest.approx((2 / 33, 5 / 6), abs=1e-4)
