"""Bring the payload of an old event up to today's format, step by step, by pure functions.

A change of an event's payload raises :data:`EVENT_FORMAT` by one and adds, for each kind it touches, a step
from the format before. Stored events are never rewritten: the step runs each time an old one is read.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from cuffwright.case.errors import ArchiveError

EVENT_FORMAT = 1
"""The format number this release writes on every event."""

Step = Callable[[dict[str, Any]], dict[str, Any]]
"""A pure function from the payload of one format to that of the next."""


@dataclass(frozen=True)
class Upcasters:
    """Today's format number, and the steps by kind and the format they start from."""

    current: int
    steps: Mapping[tuple[str, int], Step] = field(default_factory=dict)

    def upcast(self, kind: str, schema: int, payload: dict[str, Any]) -> dict[str, Any]:
        """The payload of an event of ``kind`` written with format ``schema``, in today's format.

        A format that did not touch ``kind`` has no step for it and leaves the payload as it is.

        Raises
        ------
        ArchiveError
            If the event was written by a newer release, or its format number is below 1.
        """
        if schema > self.current:
            raise ArchiveError(
                f"this case holds a {kind} event of format {schema}, and this release reads up to {self.current}; "
                "open it with a newer release"
            )
        if schema < 1:
            raise ArchiveError(f"a {kind} event claims format {schema}; it was altered, take the case from a backup")
        for start in range(schema, self.current):
            step = self.steps.get((kind, start))
            payload = step(dict(payload)) if step else payload
        return payload


UPCASTERS = Upcasters(EVENT_FORMAT)
"""The steps of this release; format 1 is the first, so there is none yet."""
