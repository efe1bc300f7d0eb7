"""The record as documents: JSON, PDF and a FHIR bundle, in a language, sealed and checked."""

from cuffwright.exchange.record.contents_file import usual_contents
from cuffwright.exchange.record.document import document, record_sha256
from cuffwright.exchange.record.folder import check_folder, write_folder
from cuffwright.exchange.record.papers import Papers, papers
from cuffwright.exchange.record.signing import signature_faults, signed

__all__ = [
    "Papers",
    "check_folder",
    "document",
    "papers",
    "record_sha256",
    "signature_faults",
    "signed",
    "usual_contents",
    "write_folder",
]
