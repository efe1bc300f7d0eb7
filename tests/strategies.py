"""One shared shelf of strategies: a new field is added here and every old property test meets it."""

from datetime import date

from hypothesis import strategies as st

from cuffwright.case.identity import Identity
from cuffwright.case.layout import TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.patient import Patient
from cuffwright.case.sheet import CaseSheet, Plan
from cuffwright.case.tear import Tear
from cuffwright.case.tissues import Bone, Cyst, Footprint, Muscle

words = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=30)
dates = st.dates(date(2000, 1, 1), date(2099, 12, 31))


def measured(low: float, high: float) -> st.SearchStrategy[Measurement]:
    """Measurements between two bounds."""
    return st.builds(
        Measurement,
        value=st.floats(low, high),
        sd=st.floats(0, 3),
        origin=st.sampled_from(["image", "probe", "typed", "scenario"]),
        trace=words,
    )


def maybe(strategy: st.SearchStrategy) -> st.SearchStrategy:
    """The value, or unknown."""
    return st.none() | strategy


grades = maybe(st.sampled_from(["good", "fair", "poor"]))
identities = st.builds(
    Identity,
    patient=words.filter(lambda s: s.strip()),
    side=st.sampled_from(["right", "left"]),
    operation_date=maybe(dates),
    image_date=maybe(dates),
    title=words,
    invented=st.just(True),
)
tears = st.builds(
    Tear,
    width_mm=measured(8, 36),
    tendons=st.sampled_from([("supraspinatus",), ("supraspinatus", "infraspinatus")]),
    shape=maybe(st.sampled_from(["crescent", "U", "L", "reverse L", "massive contracted"])),
    retraction_mm=maybe(measured(0, 50)),
    thickness_mm=maybe(measured(3, 6)),
    front_mm=maybe(measured(0, 10)),
    remaining_tendon_mm=maybe(measured(0, 40)),
    tissue=grades,
    mobility=grades,
)
sheets = st.builds(
    CaseSheet,
    identity=identities,
    tear=tears,
    muscle=st.builds(Muscle, supraspinatus_fat=maybe(st.sampled_from([0, 1, 2, 3, 4]))),
    bone=st.builds(
        Bone,
        quality=grades,
        cysts=st.lists(
            st.builds(Cyst, u=st.floats(0, 30), v=st.floats(0, 14), diameter_mm=st.floats(1, 8)), max_size=2
        ).map(tuple),
    ),
    footprint=st.builds(Footprint, head_radius_mm=maybe(measured(19, 29))),
    patient=st.builds(Patient, age=maybe(st.integers(18, 100)), bone_density_t_score=maybe(st.floats(-5, 3))),
    plan=st.builds(Plan, pattern=maybe(st.just("double-row"))),
)
strips = st.builds(
    TendonStrip,
    front=st.floats(0, 10),
    width=st.floats(8, 36),
    edge=st.floats(10, 16),
    thickness=st.floats(3, 6),
)
