"""The record as one FHIR R4 bundle."""

import base64
import hashlib
from datetime import datetime

from cuffwright.case.record import Record
from cuffwright.exchange.fhir.devices import device, uses
from cuffwright.exchange.fhir.naming import PATIENT_KEY, Resource, coded, name, reference, site, text
from cuffwright.exchange.fhir.observations import condition, observations
from cuffwright.exchange.record.wording import wording
from cuffwright.theatre import Operation

UNNAMED = "rotator cuff repair, name of the procedure not stated"
AGENT = "http://terminology.hl7.org/CodeSystem/provenance-participant-type"


def operation_bundle(
    record: Record, operation: Operation, pdf: bytes, moment: datetime, language: str = "en"
) -> Resource:
    """Patient, Procedure, implants with their UDI and use, findings, diagnosis, document and provenance.

    Parameters
    ----------
    pdf
        The record as print, for its digest and size.
    moment
        The moment the record is of.
    """
    case, signed = record.case, operation.signature is not None
    patient, procedure, paper = (name(case, what) for what in ("patient", "procedure", "document"))
    named = {i.entered.implant: name(case, "device", i.entered.implant) for i in operation.implants}
    entries: list[tuple[str, Resource]] = [(patient, _patient(record))]
    diagnosis = condition(operation, patient, record.side)
    diagnosed = name(case, "condition") if diagnosis else None
    entries.append((procedure, _procedure(record, operation, patient, paper, diagnosed, named, language)))
    if diagnosis and diagnosed:
        entries.append((diagnosed, diagnosis))
    entries += [(named[i.entered.implant], device(i, patient)) for i in operation.implants]
    entries += [(name(case, "use", key), use) for key, use in uses(operation, named, patient, record.side)]
    seen = observations(operation, patient, record.side)
    entries += [(name(case, "observation", key), found) for key, found in seen]
    entries.append((paper, _document(record, pdf, moment, patient, signed=signed)))
    entries.append((name(case, "provenance"), _provenance(operation, [procedure, paper], moment)))
    return {
        "resourceType": "Bundle",
        "type": "collection",
        "timestamp": moment.isoformat(),
        "entry": [{"fullUrl": full, "resource": found} for full, found in entries],
    }


def _patient(record: Record) -> Resource:
    return {"resourceType": "Patient", "identifier": [{"system": PATIENT_KEY, "value": record.patient}]}


def procedure_status(operation: Operation) -> str:
    """In preparation before theatre, under way until signed, completed then; never completed without a signature."""
    if operation.signature is not None:
        return "completed"
    opening = operation.opening
    return "in-progress" if opening is not None and opening.confirmed_by else "preparation"


def _procedure(
    record: Record,
    operation: Operation,
    patient: str,
    paper: str,
    diagnosed: str | None,
    named: dict[str, str],
    language: str,
) -> Resource:
    words = wording(language)
    said = operation.stated.get("procedure")
    found: Resource = {
        "resourceType": "Procedure",
        "status": procedure_status(operation),
        "subject": reference(patient),
        "code": coded(operation, "procedure", said[1] if said else UNNAMED),
        "bodySite": [site(record.side)],
        "report": [reference(paper)],
        "note": [
            {"text": f"[{words.standing(line.standing)}] {words.line(line)}"}
            for key in ("construct", "course")
            for line in record.section(key).lines
        ],
    }
    if record.day is not None:
        found["performedDateTime"] = record.day.isoformat()
    if diagnosed is not None:
        found["reasonReference"] = [reference(diagnosed)]
    inside = [i.entered.implant for i in operation.implants if i.where == "inside"]
    if inside:
        found["focalDevice"] = [{"action": text("implanted"), "manipulated": reference(named[i])} for i in inside]
    if operation.mishaps:
        found["complication"] = [text(f"{entry.kind} {entry.name}".strip()) for _, entry in operation.mishaps]
    return found


def _document(record: Record, pdf: bytes, moment: datetime, patient: str, *, signed: bool) -> Resource:
    return {
        "resourceType": "DocumentReference",
        "status": "current",
        "docStatus": "final" if signed else "preliminary",
        "type": text("operative record"),
        "subject": reference(patient),
        "date": moment.isoformat(),
        "content": [
            {
                "attachment": {
                    "contentType": "application/pdf",
                    "url": "record.pdf",
                    "size": len(pdf),
                    "hash": base64.b64encode(hashlib.sha1(pdf, usedforsecurity=False).digest()).decode("ascii"),
                    "title": f"operative record, {record.side} shoulder",
                }
            }
        ],
    }


def _provenance(operation: Operation, targets: list[str], moment: datetime) -> Resource:
    signed, opening = operation.signature, operation.opening
    who = signed[1].person if signed else (opening.confirmed_by if opening else "")
    kind = {"coding": [{"system": AGENT, "code": "verifier" if signed else "author"}]}
    return {
        "resourceType": "Provenance",
        "target": [reference(full) for full in targets],
        "recorded": moment.isoformat(),
        "agent": [{"type": kind, "who": {"display": who or "nobody yet"}}],
    }
