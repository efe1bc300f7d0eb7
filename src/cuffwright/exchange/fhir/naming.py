"""Names used throughout a bundle: addresses of systems, stable names of resources, references."""

import uuid
from typing import Any

from cuffwright.theatre import Operation
from cuffwright.theatre.codes import ICD

Resource = dict[str, Any]

SNOMED = "http://snomed.info/sct"
ICD_ADDRESS = "http://hl7.org/fhir/sid/icd-10-cm"
UCUM = "http://unitsofmeasure.org"
PATIENT_KEY = "urn:x-cuffwright:patient-key"
SHOULDER, RIGHT, LEFT = "16982005", "24028007", "7771000"
"""Codes of the subset that may be used by implementers of DICOM."""

SPACE = uuid.UUID("6f9d1d5e-9d3c-5a55-8a66-0d2f3b8f9a10")
"""The space in which names of resources are made, so that the same record gives the same names."""


def name(*parts: str) -> str:
    """The stable name of a resource."""
    return f"urn:uuid:{uuid.uuid5(SPACE, '/'.join(parts))}"


def reference(full: str) -> Resource:
    """A reference to a resource of the same bundle."""
    return {"reference": full}


def text(words: str) -> Resource:
    """A concept in words, without a code."""
    return {"text": words}


def coded(operation: Operation, about: str, words: str) -> Resource:
    """A concept in words, with the codes that a person chose for it; a hospital's own system is named in words."""
    found: list[Resource] = []
    for (of, system), (_, entry) in operation.codes.items():
        if of == about:
            named: Resource = {"system": ICD_ADDRESS} if system == ICD else {"display": f"{system} {entry.code}"}
            found.append({**named, "code": entry.code})
    return {"coding": found, "text": words} if found else text(words)


def site(side: str) -> Resource:
    """The shoulder with its side."""
    code, words = (RIGHT, "Right") if side == "right" else (LEFT, "Left")
    return {
        "coding": [
            {"system": SNOMED, "code": SHOULDER, "display": "Shoulder"},
            {"system": SNOMED, "code": code, "display": words},
        ],
        "text": f"{side} shoulder",
    }
