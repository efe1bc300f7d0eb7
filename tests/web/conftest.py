"""A door to an app with a quick made-up strength."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.door import Door, opened
from tests.web.invented_exam import Exam, write_exam
from tests.web.quick_course import QUICK


@pytest.fixture
def door(tmp_path: Path) -> Iterator[Door]:
    """An app over an empty folder."""
    with opened(tmp_path / "cases", QUICK) as one:
        yield one


@pytest.fixture(scope="session")
def exam(tmp_path_factory: pytest.TempPathFactory) -> Exam:
    """The invented examination of a right shoulder, written once a run."""
    return write_exam(tmp_path_factory.mktemp("exam"))
