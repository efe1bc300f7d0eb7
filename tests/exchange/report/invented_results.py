"""Invented cases, answers and evidence for the report: shaped like real ones, computed by nothing."""

import math
from datetime import UTC, date, datetime

from cuffwright.case.contact import Contact, PressureMap
from cuffwright.case.fact import Fact, Source
from cuffwright.case.hold import HoldResult, MemberLoad, ScenarioHold
from cuffwright.case.identity import Identity
from cuffwright.case.layout import Anchor, Hole, Layout, Stitch, TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Caution, Interval
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.tear import Tear
from cuffwright.case.tissues import Bone

MADE_AT = datetime(2026, 3, 1, 18, 30, tzinfo=UTC)
EDGE = 12.4
ABOUT_BEDS = ("anchors 1 and 2", "stop", "anchor.spacing")
TERRAIN = {
    "articular margin": [(float(u), 0.3 * math.sin(u / 9)) for u in range(-10, 41, 2)],
    "lateral edge": [(float(u), EDGE + 0.4 * math.cos(u / 8)) for u in range(-10, 41, 2)],
    "biceps groove": [(-1.5, -4.0), (-2.5, 4.0), (-3.0, 16.0)],
    "supraspinatus facet": [(22.5, 0.2), (21.0, 6.0), (19.0, 12.4)],
}


def sheet(side="right", title="Invented demonstration", **measures):
    """A case sheet with a typed width and whatever measures are given."""
    tear = Tear(
        Measurement(18.0, 1.5, "image", "coronal 12, points (41, 88) and (97, 86)"), shape="crescent", **measures
    )
    identity = Identity("P-0417", side, date(2026, 3, 9), date(2026, 2, 2), title, invented=True)
    return CaseSheet(identity, tear, bone=Bone())


def layout(kind="bridging", anchors=2, sutures=1):
    """A layout: ``bridging`` with medial knots, or ``single`` with simple stitches; two limbs per suture."""
    us = [4.0 + (22.0 - 6.0) * (i + 0.5) / anchors for i in range(anchors)]
    if kind == "single":
        row = tuple(Anchor(str(i + 1), "medial", u, 9.5, 0.0, "threaded-5.0") for i, u in enumerate(us))
        holes = [Hole(f"{a.name}{'ab'[k]}{'FB'[k]}", a.u - 2.4 + 4.8 * k, 2.0) for a in row for k in range(2)]
        stitches = tuple(Stitch("simple", h.name[0], (h.name,), 0) for h in holes)
        return Layout("single-row-simple", row, tuple(holes), stitches)
    row = tuple(Anchor(str(i + 1), "medial", u, 1.5, 0.0, "all-suture-2.5") for i, u in enumerate(us))
    wall = tuple(Anchor(f"L{i + 1}", "lateral", u, 16.5, 0.0, "push-in-4.5") for i, u in enumerate(us))
    holes, stitches = [], []
    for i, a in enumerate(row):
        for k in range(sutures):
            spread = 2.0 + 1.1 * k
            pair = [Hole(f"{a.name}{'abc'[k]}{s}", a.u + d * spread, 1.5 - 2.4 * k) for s, d in (("F", -1), ("B", 1))]
            holes += pair
            stitches.append(Stitch("mattress", a.name, (pair[0].name, pair[1].name), 0))
            ends = (wall[max(i - 1, 0) if anchors > 2 else 0], wall[min(i + 1, anchors - 1)])
            stitches += [Stitch("bridge", a.name, (h.name,), 1, True, e.name) for h, e in zip(pair, ends, strict=True)]
    return Layout("bridging-knotted", (*row, *wall), tuple(holes), tuple(stitches))


def scenario(plan, grade="fair", factor=1.0):
    """One grade's answer with a member for every limb, hole and anchor."""
    members = []
    names = [("limb", h.name) for h in plan.holes] + [("hole", h.name) for h in plan.holes]
    names += [("anchor", a.name) for a in plan.anchors]
    for i, (kind, name) in enumerate(names):
        load = round(24 + 7.3 * (i % 5) * factor, 1)
        loaded = Interval(load, round(load * 0.7, 1), round(load * 1.4, 1), "N", 0.9) if i % 7 != 6 else None
        members.append(MemberLoad(name, kind, 15 + i % 3, loaded, round(61 * factor + i, 1), round(0.02 + 0.01 * i, 2)))
    curve = tuple((20.0 * k, round(0.1 * k + 0.02 * k * k / factor, 2)) for k in range(11))
    return ScenarioHold(
        grade,
        grade,
        Interval(round(290 * factor), round(152 * factor), round(463 * factor), "N", 0.9),
        round(413 * factor),
        round(331 * factor),
        Interval(round(3.3 / factor, 1), round(2.1 / factor, 1), round(5.2 / factor, 1), "mm", 0.9)
        if factor > 0.7
        else None,
        180.0,
        round(min(0.97 * factor, 1.0), 2),
        Interval(round(64 * factor, 1), round(51 * factor, 1), round(80 * factor, 1), "N/mm", 0.9),
        f"hole {plan.holes[-1].name}",
        tuple(members),
        (("tendon at a hole", 0.71), ("anchor", 0.21), ("suture", 0.08)),
        curve,
        settled=grade != "good",
    )


def pressure(plan, strip):
    """A smooth invented field with a bump under every hole and lateral edge."""
    us = tuple(strip.front - 4 + 0.5 * i for i in range(int(2 * (strip.width + 8)) + 1))
    vs = tuple(-6 + 0.5 * i for i in range(int(2 * (strip.edge + 6)) + 1))
    seats = [(h.u, h.v, 0.3) for h in plan.holes] + [
        (a.u, strip.edge, 0.55) for a in plan.anchors if a.row == "lateral"
    ]

    def at(u, v):
        return round(sum(p * math.exp(-((u - x) ** 2 + (v - y) ** 2) / 14) for x, y, p in seats) / 1.3, 4)

    return PressureMap(us, vs, tuple(tuple(at(u, v) for u in us) for v in vs))


def result(side="right", plan=None, grades=("good", "fair", "poor"), facts=(), **changes):
    """A whole invented answer."""
    plan = plan or layout()
    strip = TendonStrip(4.0, 18.0, EDGE, 4.1)
    field = pressure(plan, strip)
    factors = {"good": 1.25, "fair": 1.0, "poor": 0.62}
    peak = max(max(row) for row in field.pressure)
    thresholds = (0.05, 0.1, 0.18, 0.25, 0.4)
    tied, pulled = (0.97, 0.9, 0.79, 0.52, 0.11), (0.99, 0.95, 0.88, 0.7, 0.33)
    values = {
        "case": "P-0417",
        "side": side,
        "layout": plan,
        "strip": strip,
        "scenarios": tuple(scenario(plan, g, factors[g]) for g in grades),
        "contact": Contact(46.2, 0.26, peak, thresholds, tied, 0.18, 0.79, 223.2, 0.03, 0.004),
        "contact_loaded": Contact(71.5, 0.39, 0.93, thresholds, pulled, 0.18, 0.88, 223.2, 0.01, 0.002),
        "pressure": field,
        "cautions": (
            Caution("spacing", "Two anchor beds lie 4.1 mm apart, the rule asks for 6.", *ABOUT_BEDS),
            Caution("tension", "Repair tension was not measured; published limits compete.", "tear", "caution", ""),
            Caution("model", "The interval holds the error of the model on rows it never saw.", "", "note", ""),
        ),
        "verdict": "4.1 mm between two anchor beds, rule 6. 2 + 2 bridging, knotted, fair tissue: weakest at the "
        "posterior medial hole; time zero, laboratory: 290 N (9 in 10 between 152 and 463).",
        "inputs": (
            ("tear.width_mm", Measurement(18.0, 1.5, "image", "coronal 12, points (41, 88) and (97, 86)")),
            ("tear.thickness_mm", Measurement(4.1, 0.6, "image", "sagittal 7")),
            ("footprint.head_radius_mm", Measurement(24.6, 0.8, "typed", "typed by the operator")),
        ),
        "missing": ("tear.retraction_mm", "bone.cortex_mm"),
        "facts": facts,
        "draws": 1000,
        "seed": 1,
        "version": "0.1.0",
        "edition": "e41c07b2",
        "input_hash": "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
    }  # fmt: skip
    return HoldResult(**{**values, **changes})


def evidence(count=12):
    """``count`` invented rows from a few invented sources, every fourth unverified."""
    words = ("read", "derived", "memory", "calibrated", "measured", "assumed", "read", "read")
    rows = {}
    for i in range(count):
        source = Source(
            f"s{i % 7}",
            f"Invented Journal of Shoulders {2001 + i % 7}; {i % 7}:1-9",
            2001 + i % 7,
            f"https://doi.org/10.0000/invented.{i % 7}",
        )
        key = ("anchor.spacing", "tendon.modulus", "suture.stiffness", "knot.tension.middle")[i % 4] + f".{i}"
        rows[key] = Fact(
            key,
            round(1.7 * i + 0.4, 1),
            ("mm", "MPa", "N", "N/mm")[i % 4],
            None,
            None,
            None,
            source,
            "Table 2",
            words[i % 8],
        )
    return rows
