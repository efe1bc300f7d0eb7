"""Real files of the packages pydicom and pydicom-data, and altered copies of them. No network."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import data_store
import pydicom
import pytest
from pydicom.dataset import Dataset

from cuffwright.evidence.book import Book, load_book

FOLDERS = (Path(data_store.__file__).parent / "data", Path(pydicom.__file__).parent / "data" / "test_files")

Alter = Callable[..., Path]


def real(name: str) -> Path:
    """A packaged file by its name or path within the package."""
    return next(folder / name for folder in FOLDERS if (folder / name).is_file())


@pytest.fixture
def altered(tmp_path: Path) -> Alter:
    """Write a copy of a real file with elements changed; a value of None removes the element."""

    def write(name: str, **changes: Any) -> Path:
        dataset = pydicom.dcmread(real(name))
        apply(dataset, changes)
        place = tmp_path / f"altered_{len(list(tmp_path.iterdir()))}.dcm"
        dataset.save_as(place)
        return place

    return write


def apply(dataset: Dataset, changes: dict[str, Any]) -> None:
    """Set or remove elements of a dataset."""
    for keyword, value in changes.items():
        if value is None:
            if keyword in dataset:
                delattr(dataset, keyword)
        else:
            setattr(dataset, keyword, value)


@pytest.fixture(scope="session")
def book() -> Book:
    """The packaged evidence."""
    return load_book()


@pytest.fixture(name="real")
def _real() -> Callable[[str], Path]:
    return real
