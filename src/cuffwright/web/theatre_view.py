"""An operation as the page sees it: steps, lines with their standing, implants, log; and what is missing."""

from typing import Any, get_args

from cuffwright.case.entry import ImplantEntered, Kept, MishapWord, Replanned, StepLeft, TheatreOpened
from cuffwright.case.implant import ImplantLabel, Stock
from cuffwright.case.layout import Layout
from cuffwright.course.limbs_in_theatre import LimbsNow, limbs_now
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
    "record.coded": "coded",
    "record.signed": "record signed",
    "record.addendum": "addendum",
}
"""Each kind of entry as the log names it."""


SAID = ("step", "about", "kind", "line", "field", "name", "limb", "place", "choice", "system", "code")
"""What the log says of an entry first, in this order, where it has it."""

ADDED = ("text", "words", "reason", "person", "confirmed_by")
"""And then."""


def theatre_view(
    seq: int, operation: Operation, opening: TheatreOpened, repair: Layout | None, stock: Stock | None
) -> dict[str, Any]:
    """Everything Theatre shows: ``opening`` is what it follows or would open on, ``repair`` what stands in Repair."""
    here = limbs_now(operation)
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
        "plan_differs": operation.from_repair is not None and operation.from_repair.layout != repair,
        "anew": anew_view(operation, here),
        "happened_to": names_view(operation, here),
        "other_day": planned_day(opening) if operation.opening else None,
    }


def anew_view(operation: Operation, here: LimbsNow | None) -> dict[str, Any] | None:
    """Whether the limbs wait to be planned anew, and what the last new plan changed; None without a plan of limbs."""
    if here is None:
        return None
    known = [(kept, entry) for kept, entry in operation.of(Replanned)]
    kept, last = known[-1] if known and known[-1][1].made == "in theatre" else (None, None)
    return {
        "waits": here.waits and operation.signature is None,
        "refused": [{"seq": seq, "why": why} for seq, why in (*here.refused, *here.doubts)],
        "fresh": [{"seq": seq, "change": change} for seq, change in zip(here.because, here.changes, strict=True)],
        "seq": kept.seq if kept else 0,
        "first": last.first if last else "",
        "because": list(last.because) if last else [],
        "changes": list(last.changes) if last else [],
        "words": last.words if last else "",
    }


def names_view(operation: Operation, here: LimbsNow | None) -> dict[str, Any]:
    """What something can happen to, by name."""
    opening = operation.opening
    layout = opening.layout if opening else None
    limbs = [hole.name for hole in layout.holes] if layout else []
    found = {
        "anchors": [anchor.name for anchor in layout.anchors] if layout else [],
        "limbs": limbs,
        "sutures": list(dict.fromkeys(limb[:-1] for limb in limbs)),
        "portals": list(opening.template.portals) if opening else [],
        "at": {anchor.name: round(anchor.u, 1) for anchor in layout.anchors} if layout else {},
    }
    if here is not None:
        gone = {limb.limb for limb in here.state.limbs if limb.stage == "removed"}
        found["sutures"] = [s.name for s in here.field.sutures if not gone >= set(s.limbs)]
        found["limbs"] = [x for s in here.field.sutures for x in s.limbs if x not in gone]
        found["portals"] = [portal.name for portal in here.field.portals]
    return found


def log_line(kept: Kept, operation: Operation) -> dict[str, Any]:
    """One entry as the log shows it."""
    entry = kept.entry
    step = operation.every_step.get(entry.step) if isinstance(entry, StepLeft) else None
    return {
        "seq": kept.seq,
        "happened": kept.happened.isoformat(),
        "words": f"{WORDS[NAMES[type(kept.entry)]]}{f': {step.title}' if step else _said(kept)}",
        "withdrawn": kept.seq in operation.withdrawn,
    }


def _said(kept: Kept) -> str:
    entry = kept.entry
    if isinstance(entry, ImplantEntered):
        place = f"anchor {entry.place}" if entry.place else "only opened"
        return f": {place}, {entry.item or entry.label.identifier}, serial {entry.label.serial or 'not named'}"
    if isinstance(entry, Replanned) and entry.made == "in theatre":
        return f": limbs, {'; '.join(entry.changes) or 'from where they are'}. {entry.words}"
    parts = [getattr(entry, name, "") for name in (*SAID, *ADDED)]
    parts += [f"{getattr(entry, 'value', '')} {getattr(entry, 'unit', '')}".strip()]
    parts += [", ".join(getattr(entry, "lines", ()))]
    told = ", ".join(str(part) for part in parts if part)
    return f": {told}" if told else ""


def label_view(label: ImplantLabel, stock: Stock | None, shelf: str) -> dict[str, Any]:
    """A label as read, with the item of the stock it belongs to and whether it may be used."""
    item = stock.of(label) if stock else None
    return {**to_plain(label), "shelf": shelf, "item": to_plain(item) if item else None, "stock": bool(stock)}
