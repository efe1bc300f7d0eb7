"""Sign a record: lock it with the digests of what was signed, and find out later whether it is still that."""

import hashlib
from collections.abc import Callable
from datetime import datetime

from cuffwright import __version__
from cuffwright.case.entry import Addendum, Kept, Signed
from cuffwright.case.errors import CaseError
from cuffwright.case.record import Record
from cuffwright.exchange.record.document import record_sha256
from cuffwright.exchange.record.papers import papers
from cuffwright.exchange.record.wording import wording
from cuffwright.theatre import Operation, fold

LANGUAGE = "en"
"""The language of the documents whose digests a signature keeps."""


def signed(record: Record, operation: Operation, person: str, at: datetime) -> Signed:
    """The signature of ``person`` at the moment ``at`` under the record as it stands.

    Raises
    ------
    CaseError
        When something is missing that signing waits for, or nobody is named.
    """
    if not person.strip():
        raise CaseError("nobody is named who signs; name the person")
    if record.blocking:
        words = [wording(LANGUAGE).missing(key) for key in record.blocking]
        raise CaseError(f"the record cannot be signed yet; it needs: {'; '.join(words)}")
    before = Signed(person, record_sha256(record), "", "", __version__)
    return _with_papers(record, operation, before, at)


def signature_faults(compose: Callable[[Operation], Record], operation: Operation) -> list[str]:
    """What of a signed record is not as it was signed, each in a sentence; none for a draft.

    Parameters
    ----------
    compose
        Makes the record of an operation.
    """
    if operation.signature is None:
        return []
    kept, was = operation.signature
    before = fold(tuple(k for k in operation.entries if not isinstance(k.entry, Signed | Addendum)))
    record = compose(before)
    other = "" if was.version == __version__ else f"; it was made by version {was.version}, look at it there"
    faults = []
    if record_sha256(record) != was.record_sha256:
        faults.append(f"the record that the log gives is not the one that was signed{other}")
    again = _with_papers(record, before, Signed(was.person, record_sha256(record), "", "", was.version), kept.at)
    for name, found, wanted in (
        ("page", again.pdf_sha256, was.pdf_sha256),
        ("bundle", again.fhir_sha256, was.fhir_sha256),
    ):
        if found != wanted:
            faults.append(f"the {name} made from the log is not the one that was signed{other}")
    return faults


def _with_papers(record: Record, operation: Operation, signature: Signed, at: datetime) -> Signed:
    last = max((k.seq for k in operation.entries), default=0)
    made = papers(record, fold((*operation.entries, Kept(last + 1, at, at, "surgeon", signature))), LANGUAGE)
    return Signed(
        signature.person,
        signature.record_sha256,
        hashlib.sha256(made.pdf).hexdigest(),
        hashlib.sha256(made.fhir).hexdigest(),
        signature.version,
    )
