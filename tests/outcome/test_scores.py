"""Scores against hand calculations from their published formulas, edges and missing answers included (dossier, d)."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.errors import CaseError, EvidenceError
from cuffwright.evidence.book import load_book
from cuffwright.evidence.score_files import load_scores, read_scores, score_table
from tests.outcome.answers import answers, scored, total

CONSTANT = {
    "pain": 12,
    "work": 3,
    "recreation": 3,
    "sleep": 2,
    "hand_level": 8,
    "forward_degrees": 150,
    "lateral_degrees": 120,
    "external_positions": 4,
    "internal_level": 8,
    "strength_newtons": 58.8,
}


@pytest.mark.parametrize(("pain", "function", "wanted"), [(3, 22, 71.6667), (0, 30, 100), (10, 0, 0)])
def test_ases(pain, function, wanted):
    """5 x (10 - pain) + 5/3 x sum: 71.6667, 100, 0 (J Shoulder Elbow Surg 1994)."""
    assert scored("ases", pain=pain, function=total(function)).value == pytest.approx(wanted, abs=1e-3)


@settings(max_examples=30)
@given(st.floats(0, 10), st.lists(st.integers(0, 3), min_size=10, max_size=10))
def test_ases_is_its_formula_for_every_answer(pain, items):
    """Any answers give 5 x (10 - pain) + 5/3 x their sum."""
    assert scored("ases", pain=pain, function=items).value == pytest.approx(
        5 * (10 - pain) + 5 / 3 * sum(items), abs=1e-3
    )


def test_constant_worked_example():
    """12 + 16 + 30 + 13 is 71; 6 kg are 58.8 N, 13.2 lb, 13 points (method of 2008)."""
    found = scored("constant", **CONSTANT)
    points = dict(found.parts)
    assert points["pain"] == 12
    assert sum(points[name] for name in ("work", "recreation", "sleep", "hand_level")) == 16
    motion = ("forward_degrees", "lateral_degrees", "external_positions", "internal_level")
    assert sum(points[name] for name in motion) == 30
    assert points["strength_newtons"] == 13
    assert found.value == 71
    assert not found.verified


@pytest.mark.parametrize(
    ("degrees", "points"),
    [(0, 0), (30, 0), (31, 2), (60, 2), (61, 4), (90, 4), (91, 6), (120, 6), (121, 8), (150, 8), (151, 10), (180, 10)],
)
def test_constant_elevation_edges(degrees, points):
    """0-30 0, 31-60 2, 61-90 4, 91-120 6, 121-150 8, 151-180 10, forward and lateral alike."""
    found = dict(scored("constant", **{**CONSTANT, "forward_degrees": degrees, "lateral_degrees": degrees}).parts)
    assert found["forward_degrees"] == found["lateral_degrees"] == points


@pytest.mark.parametrize(("newtons", "points"), [(0, 0), (111.2, 25), (200, 25), (44.48, 10)])
def test_constant_strength(newtons, points):
    """One point a pound of 4.448 N, 25 at the most; 0 when 90 degrees cannot be reached."""
    assert dict(scored("constant", **{**CONSTANT, "strength_newtons": newtons}).parts)["strength_newtons"] == points


def test_sst_nine_of_twelve_is_75_percent():
    """Nine yes of twelve: 9, which is 75.0 percent (1993)."""
    found = scored("sst", yes=[1] * 9 + [0] * 3)
    assert (found.value, 100 * found.value / found.top) == (9, 75.0)


def test_worc():
    """840 of 2100 mm is 60.0 percent (2003)."""
    assert scored("worc", marks_mm=[40.0] * 21).value == 60.0


@pytest.mark.parametrize(("raw", "wanted"), [([1] * 12, 48), ([5] * 12, 0), ([2] * 6 + [3] * 6, 30)])
def test_oss_old_version_is_turned(raw, wanted):
    """New is 60 minus old."""
    assert scored("oss", "1996", answers=raw).value == wanted == 60 - sum(raw)


def test_oss_old_mean_of_a_series():
    """An old 36.7 is a new 23.3 (series of 2011, converted by 60 - old)."""
    assert scored("oss", "1996", answers=total(36.7)).value == pytest.approx(23.3)


@pytest.mark.req("REQ-145")
def test_oss_without_its_version_is_refused():
    """The direction flipped in 2009: no value without the version."""
    with pytest.raises(CaseError, match="name its version"):
        scored("oss", answers=[2] * 12)


def test_oss_up_to_two_missing_take_the_mean_and_three_give_none():
    """Ten answers of 3 stand for 36 of 48, and it is said; nine give no score."""
    found = scored("oss", "2009", answers=[3] * 10 + [None, None])
    assert found.value == 36
    assert "2 of 12 left out" in found.notes[0]
    assert scored("oss", "2009", answers=[3] * 9 + [None] * 3).value is None


@pytest.mark.parametrize(("given", "wanted"), [(total(31, 11), 45.4545), (total(28, 10), 45.0), (total(20, 9), None)])
def test_quickdash(given, wanted):
    """31 of 11 is 45.4545, 28 of 10 is 45.0, nine answers give none (2006 rule)."""
    value = scored("quickdash", answers=given).value
    assert value == (None if wanted is None else pytest.approx(wanted, abs=1e-3))


@pytest.mark.parametrize(
    ("degrees", "points"), [(29, 0), (30, 1), (44, 1), (45, 2), (90, 3), (120, 4), (149, 4), (150, 5)]
)
def test_ucla_worked_example_and_flexion_edges(degrees, points):
    """8 + 8 + 4 + 4 + 5 is 29 at 130 degrees; lower edges count (Clin Orthop 1981)."""
    parts = {"pain": 8, "function": 8, "strength_grade": 4, "satisfaction": 5}
    assert scored("ucla", "", "after", **parts, flexion_degrees=130).value == 29
    assert scored("ucla", "", "after", **parts, flexion_degrees=degrees).value == 25 + points


def test_ucla_has_no_satisfaction_before_surgery():
    """Before an operation the most is 30, and an answer to satisfaction is refused; the moment must be said."""
    parts = {"pain": 4, "function": 4, "flexion_degrees": 100, "strength_grade": 4}
    found = scored("ucla", "", "before", **parts)
    assert (found.value, found.top) == (15, 30)
    assert "30 of 35" in found.notes[0]
    with pytest.raises(CaseError, match="before the operation"):
        scored("ucla", "", "before", **parts, satisfaction=5)
    with pytest.raises(CaseError, match="before or after"):
        scored("ucla", **parts, satisfaction=5)


@pytest.mark.parametrize(("name", "part", "value"), [("sane", "rating", 80), ("vas", "pain", 3.5)])
def test_single_numbers_are_themselves(name, part, value):
    """SANE and pain are the number given."""
    assert scored(name, **{part: value}).value == value


FULL = {
    "ases": {"pain": 2, "function": [2] * 10},
    "constant": CONSTANT,
    "sst": {"yes": [1] * 12},
    "sane": {"rating": 50},
    "vas": {"pain": 2},
    "worc": {"marks_mm": [10] * 21},
    "oss": {"answers": [3] * 12},
    "quickdash": {"answers": [2] * 11},
    "ucla": {"pain": 4, "function": 4, "flexion_degrees": 100, "strength_grade": 4, "satisfaction": 0},
}
EXTRA = {"oss": {"version": "2009"}, "ucla": {"moment": "after"}}


@pytest.mark.req("REQ-143")
@pytest.mark.parametrize("name", sorted(FULL))
def test_a_missing_answer_is_never_silent(name):
    """Each answer left out alone gives no score with the rule named, or a score that says what was left out."""
    for part, told in FULL[name].items():
        for place in range(len(told)) if isinstance(told, list) else (0,):
            less = [None if n == place else one for n, one in enumerate(told if isinstance(told, list) else [told])]
            found = scored(name, **EXTRA.get(name, {}), **{**FULL[name], part: less})
            if found.value is None:
                assert found.why.startswith("no score")
                assert score_table(name).missing_rule in found.why
            else:
                assert any("left out" in note for note in found.notes)
        found = scored(name, **EXTRA.get(name, {}), **{p: g for p, g in FULL[name].items() if p != part})
        assert found.value is None


@pytest.mark.parametrize("name", sorted(FULL))
def test_every_score_stays_in_its_range_and_refuses_what_cannot_be(name):
    """A full set lies in the range; an answer above its highest, an unknown part and too many answers are refused."""
    found = scored(name, **EXTRA.get(name, {}), **FULL[name])
    assert found.low <= found.value <= found.top
    part, given = next(iter(FULL[name].items()))
    many = len(given) if isinstance(given, list) else 1
    for wrong in ([9999.0] * many, [*([given[0]] * many if isinstance(given, list) else [given]), 1]):
        with pytest.raises(CaseError):
            scored(name, **EXTRA.get(name, {}), **{**FULL[name], part: wrong})
    with pytest.raises(CaseError, match="has no part"):
        scored(name, **EXTRA.get(name, {}), **FULL[name], smile=1)


def test_every_score_is_tried():
    """The list above holds every score there is, and an unknown one is refused with the list."""
    assert set(FULL) == set(load_scores())
    with pytest.raises(CaseError, match="ases, constant"):
        score_table("smile")


def test_no_score_ships_the_wording_of_a_question():
    """A score file holds no question: no part has more words than its name."""
    for table in load_scores().values():
        assert all(" " not in part.name for part in table.parts)
        assert "?" not in repr(table)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("format = 2", "format 2"),
        ("format = 1", "lacks title"),
        ('format = 1\ntitle="a"\nunit="b"\nformula="c"\nmissing_rule="d"\nlicence="e"\nbest="highest"', "worth 0"),
        (
            'format = 1\ntitle="a"\nunit="b"\nformula="c"\nmissing_rule="d"\nlicence="e"\nbest="highest"\n'
            "[[part]]\nsmile=1",
            "no field of a part",
        ),
    ],
)
def test_a_wrong_score_file_is_refused(tmp_path, text, words):
    """Another format, a missing word, a range that does not fit its parts, an unknown field: refused by name."""
    (tmp_path / "ases.toml").write_text(text, "utf-8")
    with pytest.raises(EvidenceError, match=words):
        read_scores(tmp_path, load_book())


def test_a_total_that_cannot_be_reached_is_refused():
    """31 points of ten items up to 3 cannot be; nor can a total beside answers."""
    with pytest.raises(CaseError, match="cannot be reached"):
        scored("ases", pain=1, function=total(31))
    assert "missing answer cannot be seen" in scored("ases", pain=1, function=total(30)).notes[0]
    assert answers("ases", pain=1).parts[0][1].values == (1,)


PAGES = Path(__file__).resolve().parents[2] / "docs" / "scores"


@pytest.mark.parametrize("name", sorted(FULL))
def test_the_page_of_a_score_lists_its_parts_and_its_limits(name):
    """Parts, points, limits, years and sources of the page are those of the score; so is its formula."""
    table, page = score_table(name), (PAGES / f"{name}.md").read_text("utf-8")
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in page.splitlines() if line[:1] == "|"]
    limits = [row for row in rows if len(row) == 5 and row[0].split()[0] in {"mcid", "scb", "pass"}]
    assert limits == [
        [f"{o.kind} (default)" if o.default else o.kind, f"{o.value:g}", str(o.year), o.source, row[4]]
        for o, row in zip(table.thresholds, limits, strict=True)
    ]
    parts = [row for row in rows if row[0].startswith("`")]
    for part, row in zip(table.parts, parts, strict=True):
        assert row[0].startswith(f"`{part.name}`")
        assert (int(re.match(r"\d+", row[1])[0]), float(row[2]), float(row[4])) == (part.items, part.low, part.worth)
    assert table.formula in page
    assert table.missing_rule in page
