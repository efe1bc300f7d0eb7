"""How much of a long check the test command takes; ``make long-tests`` takes the whole."""

import os


def of(sample: int, whole: int) -> int:
    """The ``sample`` that gates, or the ``whole`` when ``CUFFWRIGHT_LONG`` is set."""
    return whole if os.environ.get("CUFFWRIGHT_LONG") else sample
