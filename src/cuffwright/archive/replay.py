"""Fold a case's events into a state, leaving out what was undone."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from cuffwright.archive.event import Event
from cuffwright.archive.undo import UNDO, History
from cuffwright.case.errors import ArchiveError

State = TypeVar("State")


def history(events: Iterable[Event]) -> History:
    """What can be undone and redone after ``events``, all of one case, from its first.

    Raises
    ------
    ArchiveError
        If an event is erased or locked, or an undo names the wrong event.
    """
    found = History()
    for event in events:
        _readable(event)
        found = found.after(event.seq, event.kind, event.payload)
    return found


def in_force(events: Iterable[Event]) -> list[Event]:
    """The events that count: without undos and without what they cancelled, in order.

    Raises
    ------
    ArchiveError
        As :func:`history`.
    """
    kept = list(events)
    struck = history(kept).struck
    return [event for event in kept if event.kind != UNDO and event.seq not in struck]


def fold(events: Iterable[Event], reducer: Callable[[State, Event], State], start: State) -> State:
    """The state after the events in force: ``reducer(state, event)`` from ``start`` on.

    Raises
    ------
    ArchiveError
        As :func:`history`; a state is never folded from a person who was erased.
    """
    state = start
    for event in in_force(events):
        state = reducer(state, event)
    return state


def _readable(event: Event) -> None:
    if event.erased:
        raise ArchiveError(f"case {event.case} was erased with its patient's key; nothing of it can be shown")
    if event.locked:
        raise ArchiveError(
            f"case {event.case} is locked because its patient's key is not in this archive; "
            "restore the keys folder or import a bundle that carries the key"
        )
