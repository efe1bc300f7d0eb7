"""The record of an operation, composed from its log alone: nothing is invented, what nobody said is listed."""

from cuffwright.course.record.compose import compose
from cuffwright.course.record.construct import done_layout

__all__ = ["compose", "done_layout"]
