"""A door to an app with a quick made-up strength."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.door import Door, opened
from tests.web.invented_exam import Exam, write_exam
from tests.web.quick_course import QUICK
from tests.web.taking_images import read, take


@pytest.fixture
def door(tmp_path: Path) -> Iterator[Door]:
    """An app over an empty folder."""
    with opened(tmp_path / "cases", QUICK) as one:
        yield one


@pytest.fixture(scope="session")
def exam(tmp_path_factory: pytest.TempPathFactory) -> Exam:
    """The invented examination of a right shoulder, written once a run."""
    return write_exam(tmp_path_factory.mktemp("exam"))


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the cases."""
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module")
def one(data: Path) -> Iterator[Door]:
    """One app for the file; every test opens a case of its own."""
    with opened(data, QUICK) as door:
        yield door


@pytest.fixture(scope="module")
def measured(one: Door, exam: Exam) -> str:
    """A case with the whole examination."""
    key = one.open()
    files = read(*exam.mr, exam.film, exam.secondary, *exam.ct)
    assert take(one, key, files)["state"] == "done"
    return key
