"""Page one and the frame of both pages in words: who, which side, what mode, the verdict, the scenarios."""

from datetime import datetime

from cuffwright.case.hold import HoldResult, ScenarioHold
from cuffwright.case.identity import Identity
from cuffwright.case.quantity import Interval
from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.report.printed import NOT_COMPUTED, NOT_REACHED, number, plain, quantity

SURGEON_DECIDES = "Planning and teaching support; the surgeon decides"
VALIDITY = (
    "Time zero, laboratory: the repair as tied, pulled on a bench. No healing, no rehabilitation, no activity of daily "
    "life is in these numbers. Contact pressures differ widely between laboratories: compare layouts, not absolute "
    "values. Positions are planned; what was done is recorded elsewhere."
)

Plain = dict[str, object]
"""Strings, numbers and lists only: what the page template is given."""


def frame_words(sheet: CaseSheet, result: HoldResult, made_at: datetime, mode: str) -> Plain:
    """Identity, side, dates, mode, verdict and footer."""
    who = sheet.identity
    side = f"{result.side.upper()} shoulder"
    return {
        "title": plain(f"Planned cuff repair, {side}, patient {who.patient}"),
        "side": side,
        "patient": plain(who.patient),
        "case_title": plain(who.title),
        "case": plain(result.case),
        "dates": _dates(who),
        "invented": "Invented demonstration case: no such patient." if who.invented else "",
        "pattern": plain(result.layout.pattern),
        "made_at": made_at.isoformat(timespec="minutes"),
        "mode": plain(mode),
        "verdict": plain(result.verdict),
        "validity": VALIDITY,
        "decides": SURGEON_DECIDES,
        "run": f"{result.draws} draws, seed {result.seed}",
        "footer": [
            plain(f"patient {who.patient} · {side} · Cuffwright {result.version} · evidence {result.edition}"),
            plain(f"inputs {result.input_hash}"),
        ],
    }


def _dates(who: Identity) -> str:
    operation = who.operation_date.isoformat() if who.operation_date else "date not given"
    images = f"images {who.image_date.isoformat()}" if who.image_date else "images: date not given"
    return f"operation {operation}, {images}"


def scenario_words(result: HoldResult) -> Plain:
    """One row per grade of tissue and bone, with the reach of the drawn intervals."""
    strengths = [s.ultimate for s in result.scenarios]
    gaps = [s.gap for s in result.scenarios if s.gap]
    stiffness = [s.stiffness for s in result.scenarios if s.stiffness]
    return {
        "rows": [_scenario(s, _contested(s, result)) for s in result.scenarios],
        "reach": {"ultimate": _top(strengths), "gap": _top(gaps), "stiffness": _top(stiffness)},
    }


def _contested(one: ScenarioHold, result: HoldResult) -> str:
    if one.ultimate_contested is not None:
        return f"{number(one.ultimate_contested)} N"
    bridged = any(stitch.kind == "bridge" for stitch in result.layout.stitches)
    return NOT_COMPUTED if bridged else "no bridge"


def _scenario(one: ScenarioHold, contested: str) -> Plain:
    shares = "; ".join(f"{plain(name)} {number(share)}" for name, share in one.failure_shares)
    return {
        "grade": f"{one.tissue} tissue, {one.bone} bone",
        "settled": "" if one.settled else "estimate, not settled",
        "ultimate": interval_words(one.ultimate, NOT_COMPUTED),
        "contested": contested,
        "no_scatter": f"{number(one.ultimate_no_scatter)} N",
        "gap": interval_words(one.gap, NOT_REACHED),
        "gap_load": f"at {number(one.gap_load)} N, share reaching it {number(one.reached_share)}",
        "stiffness": interval_words(one.stiffness, f"{NOT_COMPUTED}, the repair is too weak for it"),
        "weakest": plain(one.weakest),
        "shares": shares or NOT_COMPUTED,
    }


def interval_words(interval: Interval | None, absent: str) -> Plain:
    """An interval for the page: its words and its three numbers to draw; ``absent`` where there is none."""
    if interval is None:
        return {"text": absent}
    return {"text": quantity(interval), "drawn": [interval.low, interval.middle, interval.high]}


def caution_words(result: HoldResult) -> list[Plain]:
    """All cautions, stops first."""
    order = ("stop", "caution", "note")
    return [
        {
            "severity": c.severity,
            "text": plain(c.text),
            "where": plain(c.where),
            "code": plain(c.code),
            "fact": plain(c.fact),
        }
        for c in sorted(result.cautions, key=lambda c: order.index(c.severity))
    ]


def _top(intervals: list[Interval]) -> float:
    return max([i.high for i in intervals] + [i.middle for i in intervals], default=1.0) or 1.0


def body_page_words(result: HoldResult) -> Plain:
    """The repair in the body and over time, in sentences; none where it was not worked out."""
    body = result.body
    if body is None:
        return {"grade": "", "sentences": []}
    return {
        "grade": f"{body.tissue} tissue, {body.bone} bone",
        "sentences": [plain(words) for words, _ in body.sentences],
    }
