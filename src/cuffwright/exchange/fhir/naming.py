"""Names used throughout a bundle: addresses of systems, stable names of resources, references."""

import uuid
from typing import Any

Resource = dict[str, Any]

SNOMED = "http://snomed.info/sct"
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
