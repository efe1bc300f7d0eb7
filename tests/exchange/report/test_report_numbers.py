"""The printed numbers are the result's numbers: all of them, unchanged."""

import re
from dataclasses import fields, is_dataclass, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cuffwright.case.contact import Contact
from cuffwright.case.hold import HoldResult, MemberLoad
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Interval
from cuffwright.exchange.report import write_report
from cuffwright.exchange.report.load_words import shown_scenario
from tests.exchange.report import invented_results as invented
from tests.exchange.report.pdf_reading import figures, pages

NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:e[+-]?\d+)?(?![\w])")
FACTS = invented.evidence(12)


def numbers_of(value):
    """Every number held anywhere in ``value``."""
    if isinstance(value, bool | str) or value is None:
        return []
    if isinstance(value, int | float):
        return [float(value)]
    if is_dataclass(value):
        return [n for f in fields(value) for n in numbers_of(getattr(value, f.name))]
    return [n for item in value for n in numbers_of(item)]


def printed_numbers(texts):
    """Every number standing in ``texts``."""
    return {float(found) for text in texts for found in NUMBER.findall(text)}


rounded = st.integers(1001, 99999).map(lambda n: n / 100)
shares = st.integers(1, 9999).map(lambda n: n / 10000)


@st.composite
def intervals(draw, unit):
    """Ordered intervals in ``unit``."""
    low, middle, high = sorted(draw(st.lists(rounded, min_size=3, max_size=3)))
    return Interval(middle, low, high, unit, 0.9)


@st.composite
def contacts(draw):
    """Contacts over two to six thresholds."""
    count = draw(st.integers(2, 6))
    thresholds = tuple(sorted(draw(st.lists(shares, min_size=count, max_size=count, unique=True))))
    over = tuple(sorted(draw(st.lists(shares, min_size=count, max_size=count)), reverse=True))
    single = [draw(rounded) for _ in range(4)]
    return Contact(*single[:3], thresholds, over, draw(shares), draw(shares), single[3], draw(shares), draw(shares))


@st.composite
def results(draw):
    """Invented answers whose every number is drawn."""
    plan = draw(st.sampled_from([invented.layout("single", 2), invented.layout("bridging", 2, 1)]))
    base = invented.result(draw(st.sampled_from(["right", "left"])), plan, facts=tuple(FACTS))

    def member(one):
        loaded = draw(st.none() | intervals("N"))
        return MemberLoad(one.name, one.kind, draw(rounded), loaded, draw(rounded), draw(shares))

    def scenario(one):
        return replace(
            one,
            ultimate=draw(intervals("N")),
            ultimate_contested=draw(st.none() | rounded),
            ultimate_no_scatter=draw(rounded),
            gap=draw(st.none() | intervals("mm")),
            gap_load=draw(rounded),
            reached_share=draw(shares),
            stiffness=draw(st.none() | intervals("N/mm")),
            members=tuple(member(m) for m in one.members),
            failure_shares=tuple((name, draw(shares)) for name, _ in one.failure_shares),
            gap_curve=tuple(sorted((draw(rounded), draw(rounded)) for _ in range(4))),
        )

    return replace(
        base,
        scenarios=tuple(scenario(s) for s in base.scenarios),
        contact=draw(contacts()),
        contact_loaded=draw(st.none() | contacts()),
        inputs=(("tear.width_mm", Measurement(draw(rounded), draw(rounded), "typed", "")),),
        draws=draw(st.integers(100, 5000)),
        seed=draw(st.integers(0, 9999)),
    )


def in_print(result: HoldResult):
    """What must stand in the text of the pages: all but curves, map positions, and the members of other scenarios."""
    shown = shown_scenario(result)
    summaries = [replace(s, members=(), gap_curve=()) for s in result.scenarios]
    return [summaries, shown.members, result.contact, result.contact_loaded, [m for _, m in result.inputs],
            [result.draws, result.seed, result.strip.width]]  # fmt: skip


@pytest.mark.req("REQ-016", "REQ-040")
@given(result=results())
@settings(max_examples=6)
def test_every_number_of_the_result_is_printed_unchanged(result):
    """Text read back by another reader holds each number; curves and positions stand in the described figures."""
    pdf = write_report(invented.sheet(result.side), result, FACTS, invented.TERRAIN, made_at=invented.MADE_AT)
    texts = pages(pdf)
    assert len(texts) == 2
    assert set(numbers_of(in_print(result))) <= printed_numbers(texts)
    drawn = printed_numbers(figures(pdf))
    assert set(numbers_of([s.gap_curve for s in result.scenarios])) <= drawn
    assert set(numbers_of([(spot.u, spot.v) for spot in (*result.layout.anchors, *result.layout.holes)])) <= drawn


def test_a_changed_number_would_be_noticed():
    """The check above is not blind: a number that is not in the result is not found on the pages."""
    result = invented.result(facts=tuple(FACTS))
    pdf = write_report(invented.sheet(), result, FACTS, invented.TERRAIN, made_at=invented.MADE_AT)
    moved = replace(result.scenarios[1].ultimate, middle=290.37)
    assert not set(numbers_of(moved)) <= printed_numbers(pages(pdf))
    assert set(numbers_of(result.scenarios[1].ultimate)) <= printed_numbers(pages(pdf))


def test_numbers_with_many_digits_are_not_rounded_again():
    """A long decimal, a tiny share and a large force are printed digit for digit."""
    result = invented.result(grades=("fair",), facts=tuple(FACTS))
    odd = replace(result.contact, force=1234567.25, clipped_share=0.000012, lifted_share=0.123456789)
    pdf = write_report(
        invented.sheet(), replace(result, contact=odd), FACTS, invented.TERRAIN, made_at=invented.MADE_AT
    )
    assert {1234567.25, 0.000012, 0.123456789} <= printed_numbers(pages(pdf))
