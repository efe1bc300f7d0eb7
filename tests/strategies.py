"""One shared shelf of strategies: a new field is added here and every old property test meets it."""

from datetime import date
from typing import get_args

from hypothesis import strategies as st

from cuffwright.case.identity import Identity
from cuffwright.case.judgement import Judgement
from cuffwright.case.layout import TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.patient import Patient
from cuffwright.case.sheet import CaseSheet, Plan
from cuffwright.case.shoulder import Landmark, LandmarkName, Shoulder
from cuffwright.case.tear import Tear
from cuffwright.case.tissues import Bone, Cyst, EarlierAnchor, Footprint, Muscle

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
    long_standing=maybe(st.booleans()),
    operative_tension_newtons=maybe(measured(5, 60)),
    missing_tissue=st.just(()) | st.just(((8.0, 2.0), (10.0, 2.0), (9.0, 5.0))),
)
sides = st.floats(-300, 300)
marks = st.builds(
    Landmark,
    name=st.sampled_from(get_args(LandmarkName)),
    place_mm=st.tuples(sides, sides, st.floats(-500, 1800)),
    sd_mm=st.floats(0.1, 5),
    frame=st.just("patient"),
    origin=st.sampled_from(["image", "probe", "typed"]),
    trace=words,
)
shoulders = st.builds(
    Shoulder,
    landmarks=st.lists(marks, max_size=4, unique_by=lambda mark: mark.name).map(tuple),
    retroversion_degrees=maybe(measured(0, 60)),
    posterior_offset_mm=maybe(measured(0, 5)),
    glenoid_height_mm=maybe(measured(25, 50)),
    arm_length_mm=maybe(measured(250, 380)),
)
earlier = st.builds(
    EarlierAnchor,
    u=st.floats(0, 30),
    v=st.floats(0, 14),
    note=words,
    diameter_mm=maybe(st.floats(2, 7)),
    length_mm=maybe(st.floats(10, 22)),
    lean_degrees=maybe(st.floats(0, 60)),
    towards=st.sampled_from(["anterior", "posterior", "medial", "lateral"]),
    origin=maybe(st.just("image")),
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
            st.builds(
                Cyst,
                u=st.floats(0, 30),
                v=st.floats(0, 14),
                diameter_mm=st.floats(1, 8),
                depth_mm=maybe(st.floats(0, 12)),
                origin=maybe(st.just("image")),
            ),
            max_size=2,
        ).map(tuple),
        earlier_anchors=st.lists(earlier, max_size=2).map(tuple),
    ),
    shoulder=shoulders,
    footprint=st.builds(Footprint, head_radius_mm=maybe(measured(19, 29))),
    patient=st.builds(Patient, age=maybe(st.integers(18, 100)), bone_density_t_score=maybe(st.floats(-5, 3))),
    plan=st.builds(
        Plan,
        pattern=maybe(st.just("double-row")),
        half_hitches=maybe(st.integers(1, 4)),
        insertion=maybe(st.sampled_from(["standard", "deep", "proud"])),
    ),
    judgement=st.builds(
        Judgement,
        retraction_stage=maybe(st.sampled_from([1, 2, 3])),
        glenoid_rim_mm=maybe(measured(20, 50)),
        joint_arthritis=maybe(st.booleans()),
        stiff=maybe(st.booleans()),
        clavicle_reason=maybe(words),
    ),
)
strips = st.builds(
    TendonStrip,
    front=st.floats(0, 10),
    width=st.floats(8, 36),
    edge=st.floats(10, 16),
    thickness=st.floats(3, 6),
)
