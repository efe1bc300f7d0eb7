"""Turn stored rows into events: check the chain, unlock the payload, bring it up to date."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from cuffwright.archive.canonical import canonical, parsed
from cuffwright.archive.chain import GENESIS, Raw, digest, walk
from cuffwright.archive.event import ERASED, LOCKED, Command, Event
from cuffwright.archive.keys import KeyRing, PatientKey
from cuffwright.archive.rows import number, text
from cuffwright.archive.seal import Place, lock, unlock
from cuffwright.archive.upcasters import Upcasters
from cuffwright.archive.utc import utc_moment, utc_text
from cuffwright.case.errors import ArchiveError


@dataclass(frozen=True)
class Reader:
    """Reads and writes events with the keys and the upcasters of one archive."""

    keys: KeyRing
    upcasters: Upcasters

    def events(self, case: str, rows: Sequence[Raw], brought: Iterable[PatientKey] = ()) -> list[Event]:
        """The events of ``case`` from its first row on, unlocked with the archive's keys and those ``brought``.

        Raises
        ------
        ArchiveError
            If the chain is broken, or an event is of a newer format: an altered case is never shown as a plan.
        """
        verdict = walk(case, rows)
        if not verdict.intact:
            raise ArchiveError(f"{verdict.sentence}; take the case from a backup or a bundle")
        held = {name: self.keys.find(name) for name in {text(raw["key"]) for raw in rows}}
        held |= {key.name: key for key in brought}
        return [self._event(raw, held[text(raw["key"])]) for raw in rows]

    def event(self, raw: Raw) -> Event:
        """One event by itself; its own hash is checked, its place in the chain is not."""
        if digest(raw) != text(raw["hash"]):
            raise ArchiveError(
                f"event {text(raw['seq'])} of case {text(raw['case'])} was altered: its columns and its hash "
                "disagree; take the case from a backup or a bundle"
            )
        return self._event(raw, self.keys.find(text(raw["key"])))

    def _event(self, raw: Raw, key: PatientKey | None) -> Event:
        schema, kind, erased = number(raw["schema"]), text(raw["kind"]), self.keys.erased(text(raw["key"]))
        if key is None:
            payload = dict(ERASED if erased else LOCKED)
        else:
            what = f"event {text(raw['seq'])} of case {text(raw['case'])}"
            payload = parsed(unlock(key, raw["payload"], _place(raw), what), what)
            payload = self.upcasters.upcast(kind, schema, payload)
        return Event(
            case=text(raw["case"]),
            seq=number(raw["seq"]),
            schema=schema,
            id=text(raw["id"]),
            at=utc_moment(text(raw["at"])),
            by=text(raw["by"]),
            role=text(raw["role"]),
            kind=kind,
            payload=payload,
            prev_hash=text(raw["prev_hash"]),
            hash=text(raw["hash"]),
            erased=key is None and erased,
            locked=key is None and not erased,
        )

    def row(self, command: Command, key: PatientKey, last: Raw | None) -> Raw:
        """The row that adds ``command`` after ``last``, locked with ``key`` and chained."""
        seq = number(last["seq"]) + 1 if last else 1
        raw: Raw = {
            "case": command.case.encode(),
            "seq": str(seq).encode(),
            "schema": str(self.upcasters.current).encode(),
            "id": command.id.encode(),
            "at": utc_text(command.at).encode(),
            "by": command.by.encode(),
            "role": command.role.encode(),
            "kind": command.kind.encode(),
            "key": key.name.encode(),
            "prev_hash": last["hash"] if last else GENESIS.encode(),
        }
        raw["payload"] = lock(key, canonical(command.payload), _place(raw))
        raw["hash"] = digest(raw).encode()
        return raw


def _place(raw: Raw) -> Place:
    return tuple(text(raw[column]) for column in ("case", "seq", "schema", "id", "kind", "key"))
