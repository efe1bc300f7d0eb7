"""Where the pictures of cases lie: a folder beside the archive, one for each case, nothing in it but stripped files.

What a browser hands over lies in a folder of its own until it is stripped or refused, and is gone after either; what a
crash left there is removed at the next start, as are the pictures of a case whose patient's key was destroyed.
"""

import re
import secrets
import shutil
from collections.abc import Iterable
from pathlib import Path

FOLDER = "images"
INCOMING = "incoming"
IMPORT = re.compile(r"^import-[0-9a-f]{10}$")
"""What the folder of an import is called."""

PRIVATE = 0o700
"""Numerical choice: access for nobody but who runs the program."""


class ImageStore:
    """The folder of pictures beside the archive in ``data``."""

    def __init__(self, data: Path) -> None:
        self._root = data / FOLDER

    def prepare(self, erased: Iterable[str]) -> None:
        """Remove what a crash left half taken in, and the pictures of erased cases."""
        shutil.rmtree(self._root / INCOMING, ignore_errors=True)
        for case in erased:
            shutil.rmtree(self._root / case, ignore_errors=True)

    def fresh(self) -> str:
        """A name for an import."""
        return f"import-{secrets.token_hex(5)}"

    def incoming(self, name: str) -> Path:
        """Where the files of an import are laid until they are stripped; made now."""
        return self._made(self._root / INCOMING / name)

    def kept(self, case: str, name: str) -> Path:
        """Where the stripped files of an import lie; made now."""
        return self._made(self._root / case / name)

    def folders(self, case: str, imports: Iterable[str]) -> list[Path]:
        """Where the stripped files of these imports of a case lie, in order, as far as they are there."""
        folders = [self._root / case / name for name in imports if IMPORT.match(name)]
        return [folder for folder in folders if folder.is_dir()]

    def forget(self, name: str) -> None:
        """Remove what lies there of an import that was not yet stripped."""
        shutil.rmtree(self._root / INCOMING / name, ignore_errors=True)

    def drop(self, case: str, name: str) -> None:
        """Remove the stripped files of an import."""
        shutil.rmtree(self._root / case / name, ignore_errors=True)

    def _made(self, folder: Path) -> Path:
        folder.mkdir(parents=True, exist_ok=True)
        for place in (self._root, folder.parent, folder):
            place.chmod(PRIVATE)
        return folder
