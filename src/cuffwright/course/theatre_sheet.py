"""The theatre sheet of the evening before, for the assistant: what to lay out, what to keep closed until called."""

from collections.abc import Iterator, Sequence

from cuffwright import __version__
from cuffwright.case.fact import FactBook
from cuffwright.case.implant import Stock, StockItem
from cuffwright.case.layout import TUNNEL, Anchor, Layout
from cuffwright.case.operation import OperationStep, OperationTemplate
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.sheets import PrintedSheet, SheetSection
from cuffwright.theatre import operation_steps
from cuffwright.theatre.middle import PlannedStep, repair_steps
from cuffwright.theatre.steps import portals_of

GENERAL = (
    "A plan of the evening before. The surgeon decides in theatre.",
    "Identity, side, allergies and counts are the hospital's own checklist, not this sheet.",
    "Implants are entered by their labels; nothing on this sheet is recorded as used.",
)
NO_LAYOUT = "No repair pattern is chosen, so no implant is named; choose one in Repair or with --pattern."


def theatre_sheet(
    sheet: CaseSheet,
    layout: Layout | None,
    template: OperationTemplate,
    stock: Stock | None,
    book: FactBook,
    planned: Sequence[PlannedStep] | None = None,
) -> PrintedSheet:
    """The sheet for one case.

    Parameters
    ----------
    layout
        The repair that is planned; None leaves the implants open.
    stock
        What the theatre keeps; None says so.
    planned
        The steps of the plan of limbs; None where none is planned.
    """
    repair = repair_steps(layout, planned)
    identity = sheet.identity
    day = identity.operation_date.isoformat() if identity.operation_date else "not dated"
    return PrintedSheet(
        reader="theatre",
        title=f"Theatre sheet: cuff repair, {identity.side.upper()} shoulder, operation {day}",
        patient=identity.patient,
        side=identity.side,
        invented=identity.invented,
        sections=(
            SheetSection("Position", (template.position or "Not said in the template.",)),
            SheetSection("Portals, in this order", (), portals_of(template, repair)),
            SheetSection("Instruments", (), template.instruments or ("Not said in the template.",)),
            SheetSection("Cannulas", (), template.cannulas or ("Not said in the template.",)),
            SheetSection("Implants", (), tuple(_implants(layout, stock))),
            SheetSection("Do not open until called", (), tuple(_closed(layout, stock))),
            SheetSection("Mind", (), tuple(_cautions(layout, stock)) or ("No caution was raised by what is known.",)),
            SheetSection(
                "Steps", (f"Template {template.name}, version {template.version}.",), _steps(sheet, repair, template)
            ),
        ),
        sources=(),
        general=GENERAL,
        grade=None,
        version=__version__,
        edition=book.edition,
    )


def _by_kind(layout: Layout) -> dict[str, list[Anchor]]:
    found: dict[str, list[Anchor]] = {}
    for anchor in layout.anchors:
        found.setdefault(anchor.implant, []).append(anchor)
    return {kind: anchors for kind, anchors in found.items() if kind != TUNNEL}


def _items(stock: Stock | None, kind: str) -> list[StockItem]:
    return [item for item in stock.items if item.kind == kind] if stock else []


def _implants(layout: Layout | None, stock: Stock | None) -> Iterator[str]:
    if layout is None:
        yield NO_LAYOUT
        return
    for kind, anchors in _by_kind(layout).items():
        items = "; ".join(_item(item) for item in _items(stock, kind))
        names = ", ".join(anchor.name for anchor in anchors)
        yield f"{len(anchors)} of {kind}, for anchor {names}. " + (f"In stock: {items}." if items else "")
    if any(anchor.implant == TUNNEL for anchor in layout.anchors):
        yield "Bone tunnels are planned: no implant for them."


def _item(item: StockItem) -> str:
    size = "" if item.size_mm is None else f", {item.size_mm:g} mm"
    sutures = "" if item.sutures is None else f", {item.sutures} sutures"
    eyelet = "" if item.eyelet_limit is None else f", eyelet for {item.eyelet_limit}"
    typed = "".join(f", typed strength {s.newtons:g} N ({s.source})" for s in item.strengths)
    return f"{item.key}{size}{sutures}{eyelet}{typed}"


def _closed(layout: Layout | None, stock: Stock | None) -> Iterator[str]:
    if stock is None:
        yield "Spares: not known, needs the stock of implants."
        return
    planned = _by_kind(layout) if layout else {}
    for item in stock.items:
        if item.kind in planned and item.spares > 0:
            yield f"{item.spares} spare of {item.key}."
        if item.kind not in planned:
            yield f"{item.key}: not in the plan, kept for rescue."


def _cautions(layout: Layout | None, stock: Stock | None) -> Iterator[str]:
    for kind, anchors in (_by_kind(layout) if layout else {}).items():
        items = _items(stock, kind)
        if stock is not None and not items:
            yield f"The stock {stock.name} has no {kind}; {len(anchors)} are planned."
        for anchor in anchors:
            loaded = _sutures(layout, anchor)
            for item in items:
                if item.eyelet_limit is not None and loaded > item.eyelet_limit:
                    yield f"Anchor {anchor.name} takes {loaded} sutures, the eyelet of {item.key} {item.eyelet_limit}."


def _sutures(layout: Layout | None, anchor: Anchor) -> int:
    """How many sutures leave an anchor, by the names of its limbs."""
    stitches = layout.stitches if layout else ()
    return len({hole[:-1] for stitch in stitches if stitch.anchor == anchor.name for hole in stitch.holes})


def _steps(sheet: CaseSheet, repair: Sequence[OperationStep], template: OperationTemplate) -> tuple[str, ...]:
    bone_work = bool(sheet.judgement.acromioplasty_reason)
    return tuple(step.title for step in operation_steps(template, repair, bone_work=bone_work))
