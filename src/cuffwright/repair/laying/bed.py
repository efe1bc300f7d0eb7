"""The footprint as a pattern asks it."""

from typing import Protocol


class Bed(Protocol):
    """What a pattern asks of the footprint chart."""

    def edge(self, u: float) -> float:
        """Lateral edge of the footprint (chart v, mm) at ``u`` (mm)."""
        ...

    def contains(self, u: float, v: float) -> bool:
        """Whether the chart point lies on the bone of the tuberosity."""
        ...
