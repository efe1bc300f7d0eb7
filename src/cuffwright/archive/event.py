"""What happened to a case, as read back from the store."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from cuffwright.archive.canonical import canonical
from cuffwright.archive.utc import utc_text
from cuffwright.case.errors import ArchiveError

ERASED: Mapping[str, Any] = {"erased": True}
"""The payload of an event whose patient's key was destroyed."""

LOCKED: Mapping[str, Any] = {"locked": True}
"""The payload of an event whose key is not in this store."""

LONGEST = 200
"""Characters a name, role, kind or identifier may have."""


@dataclass(frozen=True)
class Event:
    """One event of a case.

    ``seq`` counts from 1 within the case. ``schema`` is the format number the event was written with; the
    payload has already been brought up to today's format. ``id`` is the client's own command id, ``by`` and
    ``role`` say who acted and as what, ``at`` is UTC. When ``erased`` or ``locked`` the payload is only a mark.
    """

    case: str
    seq: int
    schema: int
    id: str
    at: datetime
    by: str
    role: str
    kind: str
    payload: dict[str, Any]
    prev_hash: str
    hash: str
    erased: bool = False
    locked: bool = False


@dataclass(frozen=True)
class Command:
    """What a client asks to be added: its own id, the kind and payload, who, as what, and when.

    Raises
    ------
    ArchiveError
        At birth, when a name is empty, too long or unprintable, the payload cannot be kept, or the time has no zone.
    """

    case: str
    id: str
    kind: str
    payload: Mapping[str, Any]
    by: str
    role: str
    at: datetime

    def __post_init__(self) -> None:
        for what in ("case", "id", "kind", "by", "role"):
            named(getattr(self, what), what)
        if not isinstance(self.payload, Mapping):
            raise ArchiveError(f"the payload of {self.kind} is no dictionary, so it is not kept; name its parts")
        canonical(self.payload)
        utc_text(self.at)


def named(text: object, what: str) -> None:
    """Check a name kept in clear; raises ArchiveError when it is empty, too long or unprintable."""
    if not isinstance(text, str) or not 0 < len(text) <= LONGEST or not text.isprintable():
        raise ArchiveError(f"the {what} of an event must be 1 to {LONGEST} printable characters, not {text!r:.60}")
