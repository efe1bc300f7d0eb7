"""Lock and unlock what the store keeps of a person: AES-256 in Galois counter mode.

What is locked is tied to its place (case, number, kind), so that a payload moved to another event does not open.
"""

import secrets

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from cuffwright.archive.canonical import canonical
from cuffwright.archive.keys import PatientKey
from cuffwright.case.errors import ArchiveError

NONCE = 12
"""Bytes of the random number in front of each ciphertext."""

Place = tuple[str | int, ...]
"""What a ciphertext is tied to."""


def lock(key: PatientKey, text: bytes, place: Place) -> bytes:
    """Encrypt ``text`` with ``key``, tied to ``place``; a fresh random number makes each result different."""
    nonce = secrets.token_bytes(NONCE)
    return nonce + AESGCM(key.secret).encrypt(nonce, text, canonical(place))


def unlock(key: PatientKey, locked: bytes, place: Place, what: str) -> bytes:
    """Decrypt what :func:`lock` made; ``what`` names it in the refusal.

    Raises
    ------
    ArchiveError
        If it was altered, moved to another place, or locked with another key.
    """
    try:
        return AESGCM(key.secret).decrypt(locked[:NONCE], locked[NONCE:], canonical(place))
    except (InvalidTag, ValueError):
        raise ArchiveError(f"{what} does not open with its key; it was altered, take the case from a backup") from None
