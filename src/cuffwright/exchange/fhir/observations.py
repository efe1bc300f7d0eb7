"""Findings, measures and the strength by the model as Observation; the diagnosis as Condition."""

from collections.abc import Iterator

from cuffwright.exchange.fhir.naming import UCUM, Resource, coded, reference, site, text
from cuffwright.theatre import Operation

SIMULATED = "simulated by a model on time zero, laboratory; not measured on this patient"
CLINICAL = "http://terminology.hl7.org/CodeSystem/condition-clinical"
VERIFIED = "http://terminology.hl7.org/CodeSystem/condition-ver-status"


def observations(operation: Operation, patient: str, side: str) -> Iterator[tuple[str, Resource]]:
    """Every finding, measure and strength, named by its entry; only what a person entered is ever final."""
    status = "final" if operation.signature else "preliminary"
    start: Resource = {"resourceType": "Observation", "subject": reference(patient), "bodySite": site(side)}
    for look, found in operation.findings.items():
        for kept, words in found:
            more: Resource = {"effectiveDateTime": kept.happened.isoformat(), "valueString": words}
            yield f"{kept.seq}", {**start, "status": status, "code": text(f"arthroscopic finding: {look}"), **more}
    for kept, measure in operation.remeasured.values():
        value: Resource = {"value": measure.value, "unit": measure.unit}
        value |= {"system": UCUM, "code": measure.unit} if measure.unit in {"mm", "N", "deg"} else {}
        more = {"effectiveDateTime": kept.happened.isoformat(), "valueQuantity": value}
        yield f"{kept.seq}", {**start, "status": status, "code": text(f"measured in theatre: {measure.field}"), **more}
    for which in ("planned", "done"):
        strength = operation.strength(which)
        if strength is not None:
            kept, entry = strength
            ends = {"low": _newtons(entry.low_newtons), "high": _newtons(entry.high_newtons)}
            yield (
                f"{kept.seq}",
                {
                    **start,
                    "status": "preliminary",
                    "category": [text("simulation")],
                    "code": text(f"ultimate load of the repair, {which}"),
                    "method": text(SIMULATED),
                    "valueQuantity": _newtons(entry.middle_newtons),
                    "referenceRange": [{**ends, "text": "interval of the model, no range of healthy people"}],
                },
            )


def condition(operation: Operation, patient: str, side: str) -> Resource | None:
    """The diagnosis as stated after the operation, or before it and provisional; None when nobody stated one."""
    for field, code in (("diagnosis after", "confirmed"), ("diagnosis before", "provisional")):
        said = operation.stated.get(field)
        if said is not None:
            return {
                "resourceType": "Condition",
                "clinicalStatus": {"coding": [{"system": CLINICAL, "code": "active"}]},
                "verificationStatus": {"coding": [{"system": VERIFIED, "code": code}]},
                "code": coded(operation, "diagnosis", said[1]),
                "bodySite": [site(side)],
                "subject": reference(patient),
            }
    return None


def _newtons(value: float) -> Resource:
    return {"value": value, "unit": "N", "system": UCUM, "code": "N"}
