"""An operation followed: its steps, what is entered, what may be, and what stands by it.

Planned is never done: leaving a step says nothing, and every line reads planned until a person affirms it.
"""

from cuffwright.theatre.admitting import admit
from cuffwright.theatre.operation import Operation, fold
from cuffwright.theatre.standing import Line, lines
from cuffwright.theatre.steps import operation_steps

__all__ = ["Line", "Operation", "admit", "fold", "lines", "operation_steps"]
