"""Controls of hazards that no single folder owns: what one whole answer must say, leave out, or refuse."""

import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict, fields, is_dataclass, replace
from functools import cache
from pathlib import Path

import pytest

from cuffwright import __version__
from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.fact import Citing, FixedBook
from cuffwright.case.hold import HoldResult
from cuffwright.case.layout import Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.reach import Approach, PortalPlace, Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.course import settling
from cuffwright.course.hold import glance, hold, input_hash, lay, prepare
from cuffwright.course.rules import refusal
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import read_case
from cuffwright.repair.patterns import patterns
from tests.sampling import of

ROOT = Path(__file__).resolve().parent.parent
CASE = ROOT / "examples" / "cases" / "small_crescent.toml"
UNITS = ("_mm", "_degrees", "_share", "_ratio", "_index", "_newtons")
PATTERN = "bridging-knotted"
DRAWS = 100
CLOSER_MM = 4.0
FAR_OFF_MM = 60.0


def case() -> CaseSheet:
    """The small invented case."""
    return read_case(CASE.read_text("utf-8"))


def fitting() -> list[str]:
    """The patterns that fit this case."""
    ready = prepare(case(), load_book())
    facts = Citing(load_book())
    return [n for n, p in patterns().items() if refusal(p, ready.sheet, ready.strip, ready.bed, facts) is None]


def typed(value: float) -> Measurement:
    """A value as a user types it."""
    return Measurement(value, 0.0, "typed", "invented")


@cache
def answer(
    side: str = "right", tissue: str | None = None, bone: str | None = None, pattern: str = PATTERN
) -> HoldResult:
    """The settled answer for the invented case with these changes."""
    sheet = case()
    sheet = replace(sheet, identity=replace(sheet.identity, side=side), tear=replace(sheet.tear, tissue=tissue))
    return hold(replace(sheet, bone=replace(sheet.bone, quality=bone)), load_book(), pattern=pattern, draws=DRAWS)


def measured_fields(kind: type, path: str = "") -> dict[str, str]:
    """Path and name of each measured field of the case sheet, found in the classes themselves."""
    found: dict[str, str] = {}
    for item in fields(kind):
        if "Measurement" in str(item.type):
            found[f"{path}{item.name}"] = item.name
        elif is_dataclass(item.type) and isinstance(item.type, type):
            found |= measured_fields(item.type, f"{path}{item.name}.")
    return found


@pytest.mark.req("REQ-011")
def test_every_measured_field_ends_in_its_unit():
    """Millimetres, degrees, newtons, a share, ratio or index: the last word of each measured field says which."""
    found = measured_fields(CaseSheet)
    assert len(found) > len(UNITS)
    assert {path for path, name in found.items() if not name.endswith(UNITS)} == set()


@pytest.mark.req("REQ-011")
@pytest.mark.parametrize("unit", ["width_cm", "width", "width_inch", "width_m"])
def test_a_width_in_another_unit_is_refused(unit):
    """A field in another unit is no field: the case is refused, never converted."""
    text = CASE.read_text("utf-8")
    assert read_case(text).tear.width_mm.value > 0
    with pytest.raises(CaseError, match=r"tear\.width"):
        read_case(text.replace("[tear.width_mm]", f"[tear.{unit}]"))


@pytest.mark.req("REQ-003")
def test_a_left_shoulder_holds_what_its_mirrored_right_one_holds():
    """Side and input hash apart, the answers are equal to the last digit."""
    right, left = (asdict(answer(side)) for side in ("right", "left"))
    told = ("side", "input_hash")
    assert [right.pop(name) for name in told] != [left.pop(name) for name in told]
    assert right == left


@pytest.mark.req("REQ-019")
@pytest.mark.parametrize(
    ("tissue", "bone", "expected"),
    [
        (None, None, [("good", "good"), ("fair", "fair"), ("poor", "poor")]),
        ("fair", None, [("fair", "good"), ("fair", "fair"), ("fair", "poor")]),
        (None, "poor", [("good", "poor"), ("fair", "poor"), ("poor", "poor")]),
        ("fair", "poor", [("fair", "poor")]),
    ],
)
def test_what_only_theatre_can_tell_gives_three_scenarios(tissue, bone, expected):
    """Unknown tissue or bone: good, fair and poor stand together; once both are known, one answer."""
    assert [(one.tissue, one.bone) for one in answer(tissue=tissue, bone=bone).scenarios] == expected


@pytest.mark.req("REQ-020")
@pytest.mark.parametrize("path", ["tear.thickness_mm", "tear.front_mm"])
def test_what_stands_in_for_a_missing_measure_is_said(path):
    """Without the measure it is listed as missing and a caution at its place says what stands in; with it, neither."""
    sheet, field = case(), path.split(".")[1]
    without = prepare(replace(sheet, tear=replace(sheet.tear, **{field: None})), load_book())
    with_it = prepare(sheet, load_book())
    assert path in without.missing
    assert path in {caution.where for caution in without.cautions}
    assert path not in with_it.missing
    assert path not in {caution.where for caution in with_it.cautions}


@pytest.mark.req("REQ-016", "REQ-017")
@pytest.mark.parametrize("pattern", fitting()[:: of(4, 1)])
def test_every_strength_is_an_interval_and_the_verdict_says_what_it_is(pattern):
    """Low, middle and high in order with a share of draws; the sentence says time zero, laboratory."""
    result = answer(pattern=pattern)
    for one in result.scenarios:
        assert one.tissue == "poor" or one.stiffness
        for interval in (one.ultimate, *filter(None, (one.stiffness, one.gap))):
            assert 0 <= interval.low <= interval.middle <= interval.high
            assert interval.low < interval.high
            assert 0.5 < interval.share < 1
    assert "time zero, laboratory" in result.verdict.lower()


@pytest.mark.req("REQ-018")
def test_the_contested_factor_is_beside_the_answer_and_never_in_it():
    """Made larger in the rows, the contested factor moves the value beside and leaves the default as it was."""
    book = load_book()
    other = FixedBook(book.rows, book.edition).scaled(["bridge.factor.contested"], 2)
    changed = hold(case(), other, pattern=PATTERN, draws=DRAWS)
    for before, after in zip(answer().scenarios[:1], changed.scenarios[:1], strict=True):
        assert before.ultimate == after.ultimate
        assert before.ultimate_contested is not None
        assert before.ultimate_contested != after.ultimate_contested


@pytest.mark.req("REQ-022", "REQ-027")
def test_an_answer_names_its_rows_its_version_and_its_edition():
    """Every row it lists exists, the rows it must rest on are among them, and it says version and edition."""
    result, book = answer(), load_book()
    assert set(result.facts) <= set(book.rows)
    assert {"hole.capacity", "bridge.factor", "rule.anchor.spacing"} <= set(result.facts)
    assert (result.version, result.edition) == (__version__, book.edition)


def changed_hashes(monkeypatch) -> dict[str, str]:
    """The hash of the same answer with one thing changed at a time."""
    sheet, book = case(), load_book()
    prepared = prepare(sheet, book)
    layout = lay(prepared, PATTERN)
    moved = layout.with_anchor(replace(layout.anchors[0], u=layout.anchors[0].u + 0.5))
    wider = prepare(replace(sheet, tear=replace(sheet.tear, width_mm=typed(14.5))), book)
    edition = prepare(sheet, FixedBook(book.rows, "another"))
    found = {
        "nothing": input_hash(prepared, layout, DRAWS, 1),
        "seed": input_hash(prepared, layout, DRAWS, 2),
        "draws": input_hash(prepared, layout, DRAWS + 100, 1),
        "layout": input_hash(prepared, moved, DRAWS, 1),
        "width": input_hash(wider, layout, DRAWS, 1),
        "edition": input_hash(edition, layout, DRAWS, 1),
        "arm": input_hash(prepared, layout, DRAWS, 1, Approach(Pose(40.0))),
        "portal": input_hash(prepared, layout, DRAWS, 1, Approach(None, (PortalPlace("lateral", along=0.4),))),
    }
    monkeypatch.setattr(settling, "__version__", "9.9.9")
    return found | {"version": input_hash(prepared, layout, DRAWS, 1)}


@pytest.mark.req("REQ-023")
def test_the_input_hash_names_the_exact_inputs(monkeypatch):
    """Seed, draws, layout, measure, arm, portal, edition, version each change the hash; the same inputs do not."""
    found = changed_hashes(monkeypatch)
    assert len(set(found.values())) == len(found)
    assert found["nothing"] == answer().input_hash


@pytest.mark.req("REQ-026")
def test_the_same_inputs_give_the_same_answer():
    """A second run with the same seed is equal; with another seed it is not."""
    again = hold(case(), load_book(), pattern=PATTERN, draws=DRAWS, seed=1)
    other = hold(case(), load_book(), pattern=PATTERN, draws=DRAWS, seed=2)
    assert again == answer()
    assert other.scenarios != again.scenarios


@pytest.mark.req("REQ-030", "REQ-056")
@pytest.mark.parametrize("pattern", fitting()[:: of(4, 1)])
def test_contact_says_its_threshold_and_what_was_clipped(pattern):
    """The area share belongs to a listed threshold; the clipped pressure stays below 1 percent of the peak."""
    contact = answer(pattern=pattern).contact
    shares = dict(zip(contact.thresholds, contact.area_shares, strict=True))
    assert contact.threshold > 0
    assert shares[contact.threshold] == contact.area_share
    assert 0 <= contact.clipped_share < 0.01


def relaid(change: Callable[[Layout], Layout]) -> HoldResult:
    """The quick answer to a changed layout."""
    prepared = prepare(case(), load_book())
    return glance(prepared, change(lay(prepared, PATTERN)), answer())


@pytest.mark.req("REQ-052")
def test_anchors_too_close_are_warned_of_and_anchors_off_bone_refused():
    """At 4 mm beside its neighbour an anchor brings a caution that names both; off the bone it is refused."""

    def beside(layout: Layout) -> Layout:
        one, two = layout.row("medial")
        return layout.with_anchor(replace(two, u=one.u + CLOSER_MM, v=one.v))

    def off(layout: Layout) -> Layout:
        return layout.with_anchor(replace(layout.anchors[0], u=layout.anchors[0].u - FAR_OFF_MM))

    assert "1,2" not in {c.where for c in answer().cautions if c.code == "spacing-under-rule"}
    close = [c for c in relaid(beside).cautions if c.code == "spacing-under-rule" and c.where == "1,2"]
    assert [c.fact for c in close] == ["rule.anchor.spacing"]
    with pytest.raises(CaseError, match=r"off the bone|outside the bone"):
        relaid(off)


@pytest.mark.req("REQ-055")
def test_an_estimate_says_that_it_is_not_settled():
    """While something moves each scenario is marked as an estimate; a settled answer is not."""
    assert all(one.settled for one in answer().scenarios)
    assert not any(one.settled for one in relaid(lambda layout: layout).scenarios)


@pytest.mark.req("REQ-053")
@pytest.mark.parametrize(("width", "warned"), [(22.0, False), (24.0, True), (40.0, True)])
def test_a_tear_wider_than_the_supraspinatus_is_computed_with_a_warning(width, warned):
    """Above 23 mm (Arthroscopy 2006, greatest AP length of the insertion) a caution stands at the width."""
    sheet = case()
    prepared = prepare(replace(sheet, tear=replace(sheet.tear, width_mm=typed(width))), load_book())
    assert ("tear-wider-than-supraspinatus" in {c.code for c in prepared.cautions}) is warned


@pytest.mark.req("REQ-013")
@pytest.mark.parametrize(
    "change", [{"tendons": ("subscapularis",)}, {"full_thickness": False}], ids=["subscapularis", "partial"]
)
def test_a_tear_that_no_pattern_repairs_gets_a_reason_and_no_result(change):
    """Subscapularis alone, and partial thickness: withheld with what to do, not answered by the nearest model."""
    sheet = case()
    with pytest.raises(OutsideValidity, match="by hand"):
        hold(replace(sheet, tear=replace(sheet.tear, **change)), load_book(), pattern=PATTERN, draws=DRAWS)


@pytest.mark.req("REQ-015")
def test_a_strength_above_intact_tendon_is_reported_as_beyond_its_capacity():
    """With tendon of a hundredth of its strength in the rows the answer is capped and a caution says why."""
    book = load_book()
    weak = FixedBook(book.rows, "weak").scaled([key for key in book.rows if key.startswith("tendon.capacity.")], 0.01)
    result = hold(case(), weak, pattern=PATTERN, draws=DRAWS)
    assert any("beyond tendon capacity" in caution.text for caution in result.cautions)
    assert not any("beyond tendon capacity" in caution.text for caution in answer().cautions)
    for one, whole in zip(result.scenarios, answer().scenarios, strict=True):
        assert one.ultimate.middle < whole.ultimate.middle


@pytest.mark.req("REQ-002", "REQ-021", "REQ-027", "REQ-050", "REQ-051", "REQ-054")
def test_the_printed_answer_says_whose_what_and_by_which_release():
    """On the command line: side, patient key, version, edition, plan, not for care, invented, and unverified rows."""
    command = [
        sys.executable,
        "-c",
        "from cuffwright.start.main import run; run()",
        "hold",
        str(CASE),
        "--draws",
        "100",
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    said = done.stdout.lower()
    wanted = ("right shoulder", "demo-crescent", __version__, load_book().edition, "plan", "not for care", "invented")
    assert [word for word in (*wanted, "unverified") if word not in said] == []
