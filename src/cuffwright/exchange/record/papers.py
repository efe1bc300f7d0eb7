"""All documents of one record at once."""

import json
from dataclasses import dataclass

from cuffwright.case.record import Record
from cuffwright.exchange.fhir.bundle import operation_bundle
from cuffwright.exchange.fhir.checking import check_bundle
from cuffwright.exchange.record.document import document, document_bytes
from cuffwright.exchange.record.page import made_at, write_page
from cuffwright.theatre import Operation


@dataclass(frozen=True)
class Papers:
    """The documents as bytes: JSON, PDF, FHIR bundle."""

    json: bytes
    pdf: bytes
    fhir: bytes

    @property
    def files(self) -> dict[str, bytes]:
        """Each by the name of its file."""
        return {"record.json": self.json, "record.pdf": self.pdf, "record.fhir.json": self.fhir}


def papers(record: Record, operation: Operation, language: str = "en") -> Papers:
    """Make them; equal arguments give equal bytes.

    Raises
    ------
    FormatError
        When a document cannot be made.
    """
    pdf = write_page(record, operation, language)
    bundle = operation_bundle(record, operation, pdf, made_at(record, operation), language)
    check_bundle(bundle)
    fhir = json.dumps(bundle, indent=1, ensure_ascii=False).encode("utf-8") + b"\n"
    return Papers(document_bytes(document(record, operation, language)), pdf, fhir)
