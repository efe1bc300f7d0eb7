"""What was acknowledged in theatre survives a killed program, and the record still equals the log."""

from pathlib import Path

import pytest

from tests.theatre.killed_operation import run

OPERATIONS, KILLS = 2, 4


@pytest.mark.req("REQ-238")
def test_random_operations_killed_at_random_moments(tmp_path: Path) -> None:
    """Nothing acknowledged is lost, implants of the record are those inside, every limb has one end."""
    found = run(tmp_path / "archive", OPERATIONS, KILLS, seed=3)
    assert found.wrong == []
    assert found.acknowledged >= KILLS
    assert found.kills == OPERATIONS * KILLS
