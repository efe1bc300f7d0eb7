"""Undo and redo as events: nothing is taken back, an undo is added.

An ``undo`` event carries ``undoes``, the number of the event it cancels. Undoing a change names the change;
redoing it names the undo. Both work across reloads, since they are read from the stream alone. Any new
change, other than an entry of a log, closes the way to redo what was undone before it, as it does on paper.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from cuffwright.case.errors import ArchiveError

UNDO = "undo"
"""The kind of an event that cancels another."""

PERMANENT = frozenset({"case.opened", "images.taken", "images.dropped"})
"""Kinds that cannot be undone."""

LOGGED = ("theatre.", "record.")
"""Beginnings of kinds that are a log: corrected by a further entry, outside undo and redo altogether."""


@dataclass(frozen=True)
class History:
    """What can be undone and redone after some events of one case.

    ``done`` are the changes in force that may be undone, oldest first; ``undone`` the pairs of undo event and
    cancelled change that may be redone, oldest first; ``struck`` every change not in force.
    """

    done: tuple[int, ...] = ()
    undone: tuple[tuple[int, int], ...] = ()
    struck: frozenset[int] = frozenset()

    @property
    def undo(self) -> int | None:
        """The event that would be undone next, or None."""
        return self.done[-1] if self.done else None

    @property
    def redo(self) -> int | None:
        """The undo event that would be undone next to redo its change, or None."""
        return self.undone[-1][0] if self.undone else None

    def after(self, seq: int, kind: str, payload: Mapping[str, Any]) -> "History":
        """The history once the event numbered ``seq`` is added.

        Raises
        ------
        ArchiveError
            If it is an undo of anything but the undo or redo head.
        """
        if kind.startswith(LOGGED):
            return self
        if kind != UNDO:
            done = self.done if kind in PERMANENT else (*self.done, seq)
            return History(done, (), self.struck)
        undoes = payload.get("undoes")
        if type(undoes) is int and undoes == self.undo:
            return History(self.done[:-1], (*self.undone, (seq, undoes)), self.struck | {undoes})
        if type(undoes) is int and undoes == self.redo:
            change = self.undone[-1][1]
            return History((*self.done, change), self.undone[:-1], self.struck - {change})
        raise ArchiveError(
            f"event {undoes} cannot be undone now; what can be undone is {self._said(self.undo)}, "
            f"and redone {self._said(self.redo)}"
        )

    @staticmethod
    def _said(seq: int | None) -> str:
        return "nothing" if seq is None else f"event {seq}"
