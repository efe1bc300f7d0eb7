"""Write each requirement a test proves into the report, where the tracing tool reads it."""

from collections.abc import Sequence

import pytest


def pytest_collection_modifyitems(items: Sequence[pytest.Item]) -> None:
    """Write each ``@pytest.mark.req("REQ-nnn")`` into the JUnit report."""
    for item in items:
        for mark in item.iter_markers("req"):
            item.user_properties.extend(("req", str(name)) for name in mark.args)
