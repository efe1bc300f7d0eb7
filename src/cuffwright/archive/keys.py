"""One key per patient, each in a file of its own that only its owner may read.

Destroying the file makes every payload of that patient unreadable for good, here and in every copy of the
database; the chain over the ciphertext still verifies. A copy of the key kept elsewhere (a backup of the
keys folder, a bundle with its key) must be destroyed there. Events name a key by a random word, so what
stays behind in clear does not name the patient.
"""

import json
import os
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cuffwright.archive.canonical import canonical
from cuffwright.archive.utc import utc_text
from cuffwright.case.errors import ArchiveError

KEY_FORMAT = 1
NAME = re.compile(r"[0-9a-f]{32}")


@dataclass(frozen=True)
class PatientKey:
    """A key: its random ``name``, the local ``patient`` key it belongs to, and the 32 secret bytes.

    ``own`` is False for a key that came with a bundle: others know it, so new cases are not locked with it.
    """

    name: str
    patient: str
    secret: bytes
    own: bool = False

    def __repr__(self) -> str:
        return f"PatientKey({self.name!r})"


@dataclass(frozen=True)
class KeyRing:
    """The keys of an archive, in ``folder``. Writers hold the archive's write lock meanwhile."""

    folder: Path

    def prepare(self) -> None:
        """Make the folder (mode 700), close every key to others, and finish what a crash left half done."""
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.folder.chmod(0o700)
        for left in self.folder.glob("*.new"):
            self._shred(left)
        for file in self.folder.glob("*.key"):
            file.chmod(0o600)
            if self.erased(file.stem):
                self._shred(file)

    def erased(self, name: str) -> bool:
        """Whether the key called ``name`` was destroyed here."""
        return NAME.fullmatch(name) is not None and (self.folder / f"{name}.erased").exists()

    def find(self, name: str) -> PatientKey | None:
        """The key called ``name``, or None when it was destroyed or never here; raises ArchiveError when unreadable."""
        if NAME.fullmatch(name) is None or self.erased(name):
            return None
        try:
            text = (self.folder / f"{name}.key").read_bytes()
        except FileNotFoundError:
            return None
        return _read(name, text)

    def of_patient(self, patient: str) -> list[PatientKey]:
        """All keys of ``patient``, by name; several when bundles brought their own."""
        return [key for key in self._all() if key.patient == patient]

    def key_for(self, patient: str) -> PatientKey:
        """The key new cases of ``patient`` are locked with, made now when there is none."""
        own = [key for key in self.of_patient(patient) if key.own]
        if own:
            return own[0]
        key = PatientKey(secrets.token_hex(16), patient, secrets.token_bytes(32), own=True)
        self.keep(key)
        return key

    def keep(self, key: PatientKey) -> None:
        """Store ``key`` so that it survives a power cut.

        Raises
        ------
        ArchiveError
            If that key was destroyed here, or another one has its name.
        """
        if self.erased(key.name):
            raise ArchiveError("the patient of this key was erased from this archive, so the key is not taken back")
        held = self.find(key.name)
        if held is not None and (held.patient, held.secret) == (key.patient, key.secret):
            return
        if held is not None:
            raise ArchiveError(f"another key named {key.name} is already here; the bundle was altered")
        if NAME.fullmatch(key.name) is None or len(key.secret) != 32:
            raise ArchiveError("a key is malformed; the bundle was altered, ask for it again")
        text = {"format": KEY_FORMAT, "patient": key.patient, "secret": key.secret.hex(), "own": key.own}
        self._write(f"{key.name}.key", canonical(text))

    def destroy(self, patient: str, by: str | None, at: datetime | None) -> list[str]:
        """Destroy all keys of ``patient``, leaving a mark without the patient; returns their names.

        The mark comes first: if the power fails in between, the key counts as destroyed and its file goes at
        the next opening.

        Raises
        ------
        ArchiveError
            If there is no key of that patient.
        """
        held = self.of_patient(patient)
        if not held:
            raise ArchiveError("there is no key of that patient in this archive; check the local patient key")
        mark = canonical({"format": KEY_FORMAT, "by": by, "at": at if at is None else utc_text(at)})
        for key in held:
            self._write(f"{key.name}.erased", mark)
            self._shred(self.folder / f"{key.name}.key")
        return [key.name for key in held]

    def _all(self) -> Iterator[PatientKey]:
        for file in sorted(self.folder.glob("*.key")):
            key = self.find(file.stem)
            if key is not None:
                yield key

    def _write(self, name: str, text: bytes) -> None:
        fresh = self.folder / f"{name}.new"
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(self.folder / name)
        self._settle()

    def _shred(self, file: Path) -> None:
        with file.open("r+b") as content:
            content.write(bytes(file.stat().st_size))
            content.flush()
            os.fsync(content.fileno())
        file.unlink()
        self._settle()

    def _settle(self) -> None:
        if os.name != "posix":
            return
        handle = os.open(self.folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _read(name: str, text: bytes) -> PatientKey:
    try:
        held = json.loads(text)
        newer = held["format"] > KEY_FORMAT
        key = PatientKey(name, str(held["patient"]), bytes.fromhex(held["secret"]), held["own"] is True)
    except (ValueError, KeyError, TypeError):
        raise ArchiveError(f"the key file {name}.key is damaged; restore the keys folder from a backup") from None
    if newer:
        raise ArchiveError(f"the key file {name}.key is of a newer format; open the archive with a newer release")
    return key
