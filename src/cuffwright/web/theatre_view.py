"""An operation as the page sees it: steps, lines with their standing, implants, log; and what is missing."""

from typing import Any, get_args

from cuffwright.case.entry import ImplantEntered, Kept, MishapWord, TheatreOpened
from cuffwright.case.implant import ImplantLabel, Stock
from cuffwright.exchange.plain import to_plain
from cuffwright.exchange.theatre.entries import NAMES
from cuffwright.theatre import Operation, lines
from cuffwright.theatre.standing import limb_ends, planned_day

WORDS = {
    "theatre.opened": "identity and side confirmed",
    "theatre.replanned": "planned anew",
    "theatre.step-left": "step left",
    "theatre.finding": "finding",
    "theatre.remeasured": "measured again",
    "theatre.implant-entered": "implant entered",
    "theatre.implant-wasted": "implant wasted",
    "theatre.implant-removed": "implant removed",
    "theatre.mishap": "something happened",
    "theatre.deviation": "otherwise than planned",
    "theatre.affirmed": "affirmed",
    "theatre.withdrawn": "entry withdrawn",
    "theatre.strength": "strength worked out",
    "record.stated": "stated",
    "record.signed": "record signed",
    "record.addendum": "addendum",
}
"""Each kind of entry as the log names it."""


def theatre_view(seq: int, operation: Operation, plan: TheatreOpened, stock: Stock | None) -> dict[str, Any]:
    """Everything Theatre shows; ``plan`` is the one that stands in Repair."""
    opening = operation.opening or plan
    return {
        "seq": seq,
        "opened": operation.opening is not None,
        "signed": operation.signature is not None,
        "template": f"{opening.template.name}, version {opening.template.version}",
        "steps": [to_plain(step) for step in opening.steps],
        "left": list(operation.left),
        "lines": [to_plain(line) for line in lines(operation)],
        "limbs": limb_ends(operation),
        "places": [anchor.name for anchor in opening.layout.anchors] if opening.layout else [],
        "kinds": {a.name: a.implant for a in opening.layout.anchors} if opening.layout else {},
        "portals": list(opening.template.portals),
        "implants": [
            {
                "implant": i.entered.implant,
                "place": i.entered.place,
                "where": i.where,
                "item": i.entered.item,
                "printed": i.entered.label.printed,
                "raw": i.entered.label.raw,
                "expired_reason": i.entered.expired_reason,
            }
            for i in operation.implants
        ],
        "mishaps": list(get_args(MishapWord)),
        "looks": list(opening.template.looks),
        "log": [log_line(kept, operation) for kept in operation.entries],
        "stock": stock.name if stock else None,
        "plan_differs": operation.opening is not None and not same_plan(operation.opening, plan),
        "other_day": planned_day(opening) if operation.opening else None,
    }


def same_plan(now: TheatreOpened, board: TheatreOpened) -> bool:
    """Whether theatre follows the plan that stands in Repair."""
    return now.layout == board.layout


def log_line(kept: Kept, operation: Operation) -> dict[str, Any]:
    """One entry as the log shows it."""
    return {
        "seq": kept.seq,
        "happened": kept.happened.isoformat(),
        "words": f"{WORDS[NAMES[type(kept.entry)]]}{_said(kept)}",
        "withdrawn": kept.seq in operation.withdrawn,
    }


def _said(kept: Kept) -> str:
    entry = kept.entry
    if isinstance(entry, ImplantEntered):
        place = f"anchor {entry.place}" if entry.place else "only opened"
        return f": {place}, {entry.item or entry.label.identifier}, serial {entry.label.serial or 'not named'}"
    parts = [getattr(entry, name, "") for name in ("step", "about", "kind", "line", "field", "name", "place")]
    parts += [getattr(entry, name, "") for name in ("text", "words", "reason", "person", "confirmed_by")]
    parts += [f"{getattr(entry, 'value', '')} {getattr(entry, 'unit', '')}".strip()]
    parts += [", ".join(getattr(entry, "lines", ()))]
    told = ", ".join(str(part) for part in parts if part)
    return f": {told}" if told else ""


def label_view(label: ImplantLabel, stock: Stock | None, shelf: str) -> dict[str, Any]:
    """A label as read, with the item of the stock it belongs to and whether it may be used."""
    item = stock.of(label) if stock else None
    return {**to_plain(label), "shelf": shelf, "item": to_plain(item) if item else None, "stock": bool(stock)}
