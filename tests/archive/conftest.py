"""An open archive in a fresh folder."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from cuffwright.archive import Archive, open_archive


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that does not exist yet."""
    return tmp_path / "data"


@pytest.fixture
def archive(folder: Path) -> Iterator[Archive]:
    """An open, empty archive."""
    with open_archive(folder) as opened:
        yield opened
