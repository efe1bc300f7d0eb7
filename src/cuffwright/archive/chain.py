"""The chain of hashes: each event's hash covers all its columns and the hash before it.

The hash is taken over the bytes as stored, ciphertext included, so it can be checked without any key.
It finds a changed, missing or moved event. It cannot find a forger who recomputes the whole chain and the
list of cases; only a bundle or a hash kept elsewhere can.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

GENESIS = "0" * 64
"""The hash before the first event of a case."""

HASHED = ("case", "seq", "schema", "id", "at", "by", "role", "kind", "key", "payload", "prev_hash")
"""The columns a hash covers, in order."""

Raw = dict[str, bytes]
"""An event's columns as the bytes stored; whole numbers in decimal digits."""


@dataclass(frozen=True)
class Fault:
    """Where a chain is broken: at event ``seq``, in ``column``, and a sentence.

    ``column`` is ``content`` when any of the hashed columns may be the altered one.
    """

    seq: int
    column: str
    text: str


@dataclass(frozen=True)
class Verdict:
    """What a walk along the chain of ``case`` found: how many ``events``, the last hash, and the faults."""

    case: str
    events: int
    head: str
    faults: tuple[Fault, ...]

    @property
    def intact(self) -> bool:
        """Whether nothing was found."""
        return not self.faults

    @property
    def sentence(self) -> str:
        """The finding in one sentence."""
        if self.intact:
            return f"case {self.case}: {self.events} events, chain intact"
        return f"case {self.case}: {self.faults[0].text}"


def digest(raw: Raw) -> str:
    """The hash of an event: SHA-256 over each column's length and bytes, in hexadecimal."""
    sha = hashlib.sha256()
    for column in HASHED:
        sha.update(len(raw[column]).to_bytes(8, "big"))
        sha.update(raw[column])
    return sha.hexdigest()


def walk(case: str, rows: Sequence[Raw], last: int | None = None, head: str | None = None) -> Verdict:
    """Walk the chain of ``case`` from its first event.

    Parameters
    ----------
    rows
        The case's events as stored, by ascending sequence number.
    last, head
        The last sequence number and hash named elsewhere (the list of cases, a bundle's first line), if any.

    Returns
    -------
    The verdict, with a fault for every event that is missing, altered, or does not follow the one before.
    """
    faults = list(_faults(rows, head))
    end = len(rows)
    if last is not None and last != end and not faults:
        said = f"the ledger ends at event {end}, and event {last} is named as the last; events were taken away or added"
        faults.append(Fault(min(last, end) + 1, "seq", said))
    if head is not None and not faults and rows and head != _text(rows[-1]["hash"]):
        faults.append(Fault(end, "head", f"event {end} is not the last event named elsewhere"))
    return Verdict(case, end, _text(rows[-1]["hash"]) if rows else GENESIS, tuple(faults))


def _faults(rows: Sequence[Raw], head: str | None) -> Iterator[Fault]:
    expected, links = 1, {GENESIS}
    after = [*(_text(raw["prev_hash"]) for raw in rows[1:]), head][: len(rows)]
    for raw, following in zip(rows, after, strict=True):
        seq, computed, stored = _number(raw["seq"]), digest(raw), _text(raw["hash"])
        if seq != expected:
            yield Fault(expected, "seq", f"event {expected} is missing or its number was altered")
        elif _text(raw["prev_hash"]) not in links:
            said = f"event {seq} does not follow the event before it: prev_hash or that event was altered"
            yield Fault(seq, "prev_hash", said)
        elif computed != stored:
            column = "hash" if following == computed else "content"
            yield Fault(seq, column, f"event {seq} was altered: its columns and its hash disagree ({column})")
        expected, links = (seq if seq > 0 else expected) + 1, {stored, computed}


def _text(stored: bytes) -> str:
    return stored.decode("utf-8", "replace")


def _number(stored: bytes) -> int:
    return int(stored) if stored.isdigit() and len(stored) < 19 else -1
