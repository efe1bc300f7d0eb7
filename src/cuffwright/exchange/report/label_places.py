"""Find free places for labels on a drawing, so that none hides another."""

from collections.abc import Iterable
from dataclasses import dataclass

from cuffwright.exchange.report.svg import ADVANCE, TEXT_SIZE, Point


@dataclass(frozen=True)
class Box:
    """A box on paper by its middle and size, mm."""

    x: float
    y: float
    width: float
    height: float

    def overlap(self, other: "Box") -> float:
        """The shared area with ``other``, mm2 of paper."""
        wide = min(self.x + self.width / 2, other.x + other.width / 2) - max(
            self.x - self.width / 2, other.x - other.width / 2
        )
        high = min(self.y + self.height / 2, other.y + other.height / 2) - max(
            self.y - self.height / 2, other.y - other.height / 2
        )
        return max(wide, 0.0) * max(high, 0.0)


def label_box(x: float, y: float, text: str) -> Box:
    """The box that ``text`` fills around ``x``, ``y`` (mm)."""
    return Box(x, y, len(text) * ADVANCE * TEXT_SIZE + 0.8, TEXT_SIZE * 1.12)


FREE = 1e-6
"""Crowding (mm2) that counts as none."""


class LabelPlaces:
    """What is taken already inside ``left, top, right, bottom`` (mm of paper)."""

    def __init__(self, inside: tuple[float, float, float, float]) -> None:
        self._inside = inside
        self._taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Mark ``box`` as taken."""
        self._taken.append(box)

    def crowding(self, box: Box) -> float:
        """How much of ``box`` (mm2) is taken already or lies outside."""
        left, top, right, bottom = self._inside
        room = Box((left + right) / 2, (top + bottom) / 2, right - left, bottom - top)
        outside = box.width * box.height - box.overlap(room)
        return outside * 4 + sum(box.overlap(t) for t in self._taken)

    def place(self, text: str, candidates: Iterable[Point]) -> Box:
        """The first free of ``candidates`` (middles, mm) for ``text``, else the least crowded; it is then taken."""
        boxes = [label_box(x, y, text) for x, y in candidates]
        crowded = [self.crowding(box) for box in boxes]
        best = boxes[crowded.index(min(crowded))]
        self.take(best)
        return best

    def free_place(self, text: str, candidates: Iterable[Point]) -> Box | None:
        """The first candidate that is quite free for ``text``, or None."""
        for x, y in candidates:
            box = label_box(x, y, text)
            if self.crowding(box) < FREE:
                self.take(box)
                return box
        return None
