"""The case's own shoulder: population, measures and landmarks made one, for chart, access and pictures alike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType

from cuffwright.access.fitting import fit_population
from cuffwright.access.landmarks import checked
from cuffwright.anatomy.humerus import HumerusShape
from cuffwright.anatomy.measures import Population, ShoulderMeasures
from cuffwright.anatomy.scale import Fit, FittedHumerus
from cuffwright.anatomy.shoulder import Shoulder, ShoulderForms, build_shoulder
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, Fact, FactBook
from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.shoulder import Landmark

SURE = 0.01
"""Numerical choice: a measure given without spread gets this share of the population's."""

NOTHING: Mapping[str, Measurement] = MappingProxyType({})
"""No further measures."""

ELSEWHERE: dict[str, tuple[str, str]] = {
    "head_radius": ("footprint", "head_radius_mm"),
    "shoulder_angle_degrees": ("acromion", "critical_shoulder_angle_degrees"),
}
"""Measures of the shoulder that stand in another section of the case: section and field."""


@dataclass(frozen=True, eq=False)
class OwnShoulder:
    """The people this shoulder may belong to, the forms shared by all, and its one humerus with the footprint on it.

    ``facts`` are the rows read for it, whether or not an answer rests on them.
    """

    people: Population
    forms: ShoulderForms
    humerus: FittedHumerus
    facts: Mapping[str, Fact]

    @cached_property
    def mean(self) -> Shoulder:
        """The likeliest shoulder; its humerus is the one of the chart."""
        return build_shoulder(ShoulderMeasures.from_vector(self.people.mean), self.forms, self.humerus.shape)


def own_shoulder(sheet: CaseSheet, book: FactBook, facts: Citing) -> OwnShoulder:
    """Fit the shoulder to what the case has; ``facts`` remembers the rows its chart rests on.

    Raises
    ------
    CaseError
        When landmarks are wrong, measures contradict each other, or the footprint does not fit the bone.
    EvidenceError
        When a row is missing.
    """
    aside = Citing(book)
    forms = ShoulderForms.from_facts(aside, sheet.acromion.type)
    people = Population.from_facts(aside, sheet.patient)
    base = HumerusShape.from_facts(facts)
    measured = _measured(sheet, people, aside)
    landmarks = sheet.shoulder.landmarks
    if landmarks:
        mean = build_shoulder(ShoulderMeasures.from_vector(people.mean), forms, base)
        landmarks = checked(landmarks, mean.landmarks, sheet.identity.side)
    fitted = fit_population(people, forms, base, landmarks, measured)
    if landmarks or dict(sheet.shoulder.measured()):
        facts.used.update(aside.used)
    humerus = _humerus(sheet, fitted, forms, facts)
    return OwnShoulder(fitted, forms, humerus, dict(aside.used))


def told_more(sheet: CaseSheet, landmarks: Sequence[Landmark], measures: Mapping[str, Measurement]) -> CaseSheet:
    """The sheet with further landmarks and measures, the latter by their names without the unit mm.

    Raises
    ------
    CaseError
        When there is no such measure, or a landmark stands twice.
    """
    for name, measured in measures.items():
        section, entry = ELSEWHERE.get(name, ("shoulder", name if name.endswith("_degrees") else f"{name}_mm"))
        part = getattr(sheet, section)
        if not hasattr(part, entry):
            raise CaseError(f"there is no measure {name} of a shoulder; the fields are those of [shoulder] in the case")
        sheet = replace(sheet, **{section: replace(part, **{entry: measured})})
    if not landmarks:
        return sheet
    return replace(sheet, shoulder=replace(sheet.shoulder, landmarks=(*sheet.shoulder.landmarks, *landmarks)))


def _measured(sheet: CaseSheet, people: Population, facts: Citing) -> dict[str, tuple[float, float]]:
    """What the sheet says of the shoulder, with SD; a film's acromiohumeral interval brought to space."""
    film = facts.number("acromion.distance.film") - facts.number("acromion.distance")
    given = {name: (measured, 0.0) for name, measured in sheet.shoulder.measured()} | {
        "head_radius": (sheet.footprint.head_radius_mm, 0.0),
        "shoulder_angle_degrees": (sheet.acromion.critical_shoulder_angle_degrees, 0.0),
        "acromion_distance": (sheet.acromion.acromiohumeral_interval_mm, film),
    }
    spreads = people.spreads()
    return {
        name: (measured.value - bias, max(measured.sd, spreads[name] * SURE))
        for name, (measured, bias) in given.items()
        if measured is not None
    }


def _humerus(sheet: CaseSheet, people: Population, forms: ShoulderForms, facts: Citing) -> FittedHumerus:
    """The humerus of the likeliest shoulder; the mean one, to the last bit, where nothing is known of it."""
    head, size = sheet.footprint.head_radius_mm, sheet.footprint
    if head or sheet.shoulder.landmarks or dict(sheet.shoulder.measured()):
        measures = ShoulderMeasures.from_vector(people.mean)
        shape = build_shoulder(measures, forms, HumerusShape.from_facts(facts, measures.head_radius)).humerus
        fitted = FittedHumerus(shape, _fits(head, measures.head_radius, people.spreads()["head_radius"]))
    else:
        fitted = FittedHumerus(HumerusShape.from_facts(facts))
    if size.ap_mm:
        fitted = fitted.with_length(size.ap_mm)
    if size.ml_mm:
        fitted = fitted.with_breadth(size.ml_mm)
    return fitted


def _fits(head: Measurement | None, radius: float, spread: float) -> tuple[Fit, ...]:
    if head is None:
        return ()
    how = "weighed with all that is known of the shoulder"
    trace = f"{head.trace}; {how}" if head.trace else how
    return (Fit("head radius", head, replace(head, value=radius, sd=spread, trace=trace)),)
