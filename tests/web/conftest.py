"""A door to an app with a quick made-up strength."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.door import Door, opened
from tests.web.quick_course import QUICK


@pytest.fixture
def door(tmp_path: Path) -> Iterator[Door]:
    """An app over an empty folder."""
    with opened(tmp_path / "cases", QUICK) as one:
        yield one
