"""One shoulder made ready: its chart, its strip of tendon, and the model's numbers for each scenario."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import hypot

from cuffwright.anatomy.chart import FootprintChart
from cuffwright.case.errors import CaseError, OutsideValidity
from cuffwright.case.fact import Citing, Fact, FactBook
from cuffwright.case.layout import TUNNEL, Anchor, Layout, TendonStrip
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Caution
from cuffwright.case.sheet import CaseSheet, Plan
from cuffwright.case.tear import Grade
from cuffwright.course.own_shoulder import OwnShoulder, own_shoulder
from cuffwright.course.rules import check_sheet, refusal
from cuffwright.mechanics.parameters import HITCHES, Parameters
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.parameters import ContactParameters
from cuffwright.mechanics.pressure.shelf import PressureShelf
from cuffwright.mechanics.scatter import Spread
from cuffwright.repair.patterns import pattern
from cuffwright.repair.torn import TornStrip

GRADES: tuple[Grade, ...] = ("good", "fair", "poor")


@dataclass(frozen=True)
class Bed:
    """The footprint chart as patterns and rules ask it."""

    chart: FootprintChart

    @property
    def length(self) -> float:
        """Length of the footprint along the margin, mm."""
        return self.chart.length

    def edge(self, u: float) -> float:
        """Lateral edge of the footprint at ``u``, mm; past its back end, that of the back end."""
        return float(self.chart.edge(min(u, self.chart.length)))

    def contains(self, u: float, v: float) -> bool:
        """Whether the chart point lies on the bone of the tuberosity."""
        return bool(self.chart.on_bone(u, v))


@dataclass(frozen=True)
class Scenario:
    """A grade of tissue and bone with the model's numbers, without and with the contested bridging factor."""

    tissue: Grade
    bone: Grade
    parameters: Parameters
    contested: Parameters


@dataclass(frozen=True, eq=False)
class Prepared:
    """One shoulder ready to be laid and held; keep it as long as its sheet stands.

    ``plain`` answers with the plain twin of the kernels, which needs no compiling.
    """

    sheet: CaseSheet
    book: FactBook
    shoulder: OwnShoulder
    bed: Bed
    strip: TendonStrip
    scenarios: tuple[Scenario, ...]
    spread: Spread
    contact: ContactParameters
    layer: LayerProperties
    cautions: tuple[Caution, ...]
    inputs: tuple[tuple[str, Measurement], ...]
    missing: tuple[str, ...]
    facts: Mapping[str, Fact]
    plain: bool = False
    shelf: PressureShelf = field(default_factory=PressureShelf, repr=False)

    @property
    def chart(self) -> FootprintChart:
        """The footprint chart of this humerus."""
        return self.bed.chart

    @property
    def middle(self) -> int:
        """Place of the scenario that pictures and member loads show: the middle one."""
        return len(self.scenarios) // 2


def prepare(sheet: CaseSheet, book: FactBook, *, plain: bool = False) -> Prepared:
    """Make one shoulder ready.

    Raises
    ------
    CaseError
        When the sheet is impossible, its landmarks among it.
    OutsideValidity
        When no pattern of this release repairs this tear.
    EvidenceError
        When a row is missing.
    """
    facts = Citing(book)
    cautions = check_sheet(sheet, facts)
    shoulder = own_shoulder(sheet, book, facts)
    bed = Bed(shoulder.humerus.chart)
    thickness = _thickness(sheet, facts)
    strip = _strip(sheet, bed, thickness, facts)
    known = [(path, m) for path, m in sheet.measurements() if m is not None]
    inputs = dict(known) | {"tear.thickness_mm": thickness}
    return Prepared(
        sheet=sheet,
        book=book,
        shoulder=shoulder,
        bed=bed,
        strip=strip,
        scenarios=tuple(_scenario(tissue, bone, sheet.plan, facts) for tissue, bone in _grades(sheet)),
        spread=_spread(facts, thickness),
        contact=ContactParameters.from_facts(facts),
        layer=LayerProperties.from_facts(facts, thickness.value),
        cautions=cautions,
        inputs=tuple(sorted(inputs.items())),
        missing=_missing(sheet),
        facts=dict(facts.used),
        plain=plain,
    )


def lay(prepared: Prepared, name: str) -> Layout:
    """Lay the pattern called ``name`` on this tear.

    Raises
    ------
    CaseError
        When there is no such pattern.
    OutsideValidity
        When the pattern does not fit this tear, with the reason.
    """
    facts = Citing(prepared.book)
    wanted, torn = pattern(name), TornStrip.of(prepared.strip, prepared.sheet.tear)
    refused = refusal(wanted, prepared.sheet, prepared.strip, prepared.bed, facts)
    if refused:
        raise OutsideValidity(refused)
    layout = wanted.lay(torn, prepared.bed, facts)
    plan = prepared.sheet.plan
    chosen = {"medial": plan.medial_implant, "lateral": plan.lateral_implant}
    for anchor in layout.anchors:
        implant = chosen[anchor.row]
        if implant and anchor.implant != TUNNEL:
            layout = layout.with_anchor(Anchor(anchor.name, anchor.row, anchor.u, anchor.v, anchor.z, implant))
    return layout


def seat(prepared: Prepared, anchor: Anchor, u: float, v: float) -> Anchor:
    """The anchor moved to chart ``u``, ``v`` (mm) on the bone's surface; raises CaseError when that is off the bone."""
    if not prepared.bed.contains(u, v):
        raise CaseError(f"anchor {anchor.name} cannot sit {u:.1f}, {v:.1f}: that is off the bone of the tuberosity")
    return Anchor(anchor.name, anchor.row, u, v, 0.0, anchor.implant)


def _thickness(sheet: CaseSheet, facts: Citing) -> Measurement:
    if sheet.tear.thickness_mm is not None:
        return sheet.tear.thickness_mm
    row = facts.fact("tendon.thickness")
    return Measurement(row.value, row.sd or 0.0, "scenario", f"not measured; {row.key} with its spread stands in")


def _strip(sheet: CaseSheet, bed: Bed, thickness: Measurement, facts: Citing) -> TendonStrip:
    front = sheet.tear.front_mm.value if sheet.tear.front_mm else facts.number("rule.front.mean")
    width = sheet.tear.width_mm.value
    return TendonStrip(front, width, bed.edge(front + width / 2), thickness.value)


def _grades(sheet: CaseSheet) -> tuple[tuple[Grade, Grade], ...]:
    tissue, bone = sheet.tear.tissue, sheet.bone.quality
    if tissue and bone:
        return ((tissue, bone),)
    return tuple((tissue or grade, bone or grade) for grade in GRADES)


def _scenario(tissue: Grade, bone: Grade, plan: Plan, facts: Citing) -> Scenario:
    plain, contested = (
        Parameters.from_facts(
            facts,
            tissue=tissue,
            bone=bone,
            bridging_factor=factor,
            half_hitches=plan.half_hitches or HITCHES,
            insertion=plan.insertion or "standard",
        )
        for factor in (False, True)
    )
    return Scenario(tissue, bone, plain, contested)


def _spread(facts: Citing, thickness: Measurement) -> Spread:
    """The surgeon's spread; that of the thickness adds to the tissue's, since a hole bears in proportion to it."""
    spread = Spread.from_facts(facts, "surgery")
    if thickness.value == 0:
        raise CaseError("the tendon thickness is 0 mm; measure it again or leave it out")
    return replace(spread, tissue=hypot(spread.tissue, thickness.sd / thickness.value))


def _missing(sheet: CaseSheet) -> tuple[str, ...]:
    felt = {
        "tear.tissue": sheet.tear.tissue,
        "bone.quality": sheet.bone.quality,
        "tear.shape": sheet.tear.shape,
        "tear.mobility": sheet.tear.mobility,
        "patient.age": sheet.patient.age,
    }
    unknown = [path for path, value in felt.items() if value is None]
    wanted = ("tear.thickness_mm", "tear.front_mm", "tear.retraction_mm", "footprint.head_radius_mm")
    measured = dict(sheet.measurements())
    return (*unknown, *(path for path in wanted if measured[path] is None))
