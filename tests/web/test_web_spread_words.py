"""Numbers shown no finer than their spread."""

import pytest

from cuffwright.web.spread_words import by_spread


@pytest.mark.parametrize(
    ("value", "sd", "words"),
    [
        (14.219, 1.08, ("14.2", "1.1")),
        (10.81, 0.704, ("10.81", "0.7")),
        (0.8123, 0.0312, ("0.812", "0.031")),
        (238.4, 12.6, ("238", "13")),
        (1284.0, 130.0, ("1280", "130")),
        (18.0, 1.0, ("18", "1")),
        (62.0, 0.0, ("62", "")),
    ],
)
def test_no_number_is_finer_than_its_spread(value: float, sd: float, words: tuple[str, str]) -> None:
    """By hand: the SD to two figures at most, the value to that place; without an SD the value stays as it is."""
    assert by_spread(value, sd) == words
