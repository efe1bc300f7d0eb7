"""The whole shoulder: what people measure, what goes together, and where the acromion lands."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import NAMES, Population, ShoulderMeasures
from cuffwright.anatomy.shoulder import ShoulderForms, build_shoulder
from cuffwright.anatomy.turning import LATERAL
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.patient import Patient
from cuffwright.evidence.book import load_book

BOOK = Citing(load_book())
PEOPLE = Population.from_facts(BOOK)
FORMS = ShoulderForms.from_facts(BOOK)
BASE = HumerusShape.from_facts(BOOK)


def shoulders(count: int, seed: int = 5, people: Population = PEOPLE):
    """Shoulders drawn from the population; those that contradict themselves are left out."""
    rng = np.random.default_rng(seed)
    found = []
    while len(found) < count:
        try:
            found.append(build_shoulder(people.draw(rng), FORMS, BASE))
        except CaseError:
            continue
    return found


def test_drawn_measures_have_the_rows_means_spreads_and_correlations():
    """4,000 draws: means within 0.1 SD, SDs within 6 %, the read correlation -0.502 of CSA and coronal angle."""
    rng = np.random.default_rng(1)
    drawn = np.array([PEOPLE.draw(rng).vector for _ in range(4000)])
    assert np.all(np.abs(drawn.mean(axis=0) - PEOPLE.mean) < 0.1 * PEOPLE.spread)
    ratio = drawn.std(axis=0) / PEOPLE.spread
    assert np.all(np.abs(ratio - 1) < 0.06)
    i, j = NAMES.index("shoulder_angle_degrees"), NAMES.index("lateral_angle_degrees")
    assert np.corrcoef(drawn[:, i], drawn[:, j])[0, 1] == pytest.approx(-0.502, abs=0.05)


@given(st.integers(0, 10_000))
@settings(max_examples=15)
def test_every_shoulder_has_the_angle_and_the_distance_it_was_given(seed):
    """On any drawn shoulder the acromion's underside lies the acromiohumeral distance off and the CSA is met."""
    (shoulder,) = shoulders(1, seed)
    m, acromion = shoulder.measures, shoulder.acromion
    low = acromion.corner("lateral") - acromion.normal * m.acromion_thickness / 2
    assert acromion.normal @ (low - shoulder.head) == pytest.approx(m.head_radius + m.acromion_distance)
    assert acromion.shoulder_angle_degrees(m.glenoid_height) == pytest.approx(m.shoulder_angle_degrees)


def test_patient_of_one_sex_narrows_the_acromion():
    """Men 48.5 mm, women 40.6 (420 scapulae); of unknown sex the mean, and wider than either."""
    place = NAMES.index("acromion_length")
    men, women, both = (Population.from_facts(BOOK, Patient(sex=s)) for s in ("male", "female", None))
    assert (men.mean[place], women.mean[place]) == (48.5, 40.6)
    assert both.mean[place] == pytest.approx(44.55)
    assert both.spread[place] > max(men.spread[place], women.spread[place])


@pytest.mark.published
def test_acromial_index_beside_print():
    """A check value not used to build: acromial index 0.64 SD 0.06."""
    drawn = shoulders(200)
    index = np.array([s.acromion_index for s in drawn])
    row = BOOK.fact("acromion.index")
    print(f"\nacromial index {index.mean():.2f} SD {index.std():.2f}, published {row.value} SD {row.sd}, from memory")
    assert abs(index.mean() - row.value) < 2 * row.sd


def acromioglenoid_degrees(shoulder) -> float:
    """From the glenoid's line to the outermost acromion, seen at the glenoid's middle."""
    edge = max(shoulder.acromion.outline, key=lambda point: point[LATERAL])
    return float(np.degrees(np.arctan2(edge[LATERAL], edge[1])))


def notch_to_corner(shoulder) -> float:
    """From the notch behind the glenoid, under the spine, to the acromion's posterolateral corner."""
    away = BOOK.number("nerve.suprascapular.spine_notch")
    notch = np.array([-shoulder.measures.glenoid_width / 2, shoulder.under_spine(-away), -away])
    return float(np.linalg.norm(notch - shoulder.acromion.corner("posterolateral")))


def arc_over_the_head(shoulder) -> float:
    """From the top of the glenoid over the head to the tuberosity's lateral edge, along head and tuberosity."""
    h, top = shoulder.humerus, shoulder.landmarks["glenoid top"] - shoulder.head
    lateral, below = h.outer_edge
    return float(
        h.head_radius * np.arctan2(-top[LATERAL], top[1])
        + h.insertion_radius * np.arctan2(lateral, h.head_radius - below)
    )


OTHER_PEOPLE = {
    "check.acromion.glenoid_angle": acromioglenoid_degrees,
    "check.acromion.offset": lambda s: s.acromion.reach,
    "check.acromion.coracoid": lambda s: np.linalg.norm(s.landmarks["acromion tip"] - s.coracoid),
    "check.acromion.glenoid_distance": lambda s: min(
        np.linalg.norm(s.acromion.outline - s.landmarks["glenoid top"], axis=1)
    ),
    "check.coracoid.humerus": lambda s: np.linalg.norm(s.coracoid - s.head) - s.measures.head_radius,
    "check.spine_notch.corner": notch_to_corner,
    "check.glenoid.top_edge": arc_over_the_head,
}
"""Check values of populations the prior knows nothing of, and how each is measured on the model."""

KNOWN_MISS = frozenset({"check.coracoid.humerus"})
"""Outside 2 SD: the coracoid is measured to the head, print to the lesser tuberosity, which the model lacks."""


@pytest.mark.published
def test_the_population_beside_people_it_was_not_built_from():
    """Angles and distances of other series: the means lie within 2 SD of both spreads, the one known miss beyond."""
    drawn = shoulders(200)
    for key, measure in OTHER_PEOPLE.items():
        ours, row = np.array([float(measure(s)) for s in drawn]), BOOK.fact(key)
        spread = np.hypot(ours.std(), row.sd or ((row.high or row.value) - (row.low or row.value)) / 4)
        off = (ours.mean() - row.value) / (row.sd or spread)
        print(f"\n{key}: {ours.mean():.1f} SD {ours.std():.1f}, published {row.value:g}: {off:+.1f} of their SD")
        assert (abs(ours.mean() - row.value) < 2 * spread) or key in KNOWN_MISS
        assert abs(ours.mean() - row.value) < 3 * spread


@pytest.mark.published
def test_glenoid_of_the_population_beside_other_people():
    """Chinese glenoids 35.1 SD 4.1 by 26.0 SD 3.4 mm lie within 1.5 SD of our American prior (printed)."""
    for name, mean in (("glenoid_height", 35.1), ("glenoid_width", 26.0)):
        place = NAMES.index(name)
        off = (PEOPLE.mean[place] - mean) / PEOPLE.spread[place]
        print(f"\n{name}: ours {PEOPLE.mean[place]:g}, theirs {mean:g}: {off:+.1f} SD")
        assert abs(off) < 1.5


def test_a_hooked_acromion_comes_down_in_front_only():
    """Type III lowers the tip against the flat form and leaves the posterolateral corner's shape alone."""
    measures = ShoulderMeasures.from_vector(PEOPLE.mean)
    flat = build_shoulder(measures, FORMS, BASE).acromion
    hooked = build_shoulder(measures, ShoulderForms.from_facts(BOOK, "III"), BASE).acromion
    assert (flat.corner("tip") - flat.corner("lateral")) @ flat.normal > (
        hooked.corner("tip") - hooked.corner("lateral")
    ) @ hooked.normal + 2
    shift = hooked.outline - flat.outline
    assert np.allclose(shift[0], shift[7])


def test_arm_at_rest_hangs_along_the_body():
    """The body's axes are square to each other and the glenoid looks forwards of the side by its protraction."""
    shoulder = build_shoulder(ShoulderMeasures.from_vector(PEOPLE.mean), FORMS, BASE)
    assert np.allclose(shoulder.body @ shoulder.body.T, np.eye(3))
    outward = shoulder.body.T @ np.eye(3)[LATERAL]
    assert np.degrees(np.arctan2(outward[0], outward[2])) == pytest.approx(shoulder.measures.rest_protraction_degrees)
    assert np.degrees(np.arcsin(outward[1])) == pytest.approx(shoulder.measures.rest_face_degrees)
