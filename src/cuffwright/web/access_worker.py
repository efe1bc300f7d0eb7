"""The draws of Access in a process of their own, at low priority, so that the page follows the hand meanwhile."""

import contextlib
import os
import signal

from cuffwright.case.fact import FactBook
from cuffwright.case.layout import Layout
from cuffwright.case.reach import AccessResult, PortalPlace, Pose
from cuffwright.case.sheet import CaseSheet
from cuffwright.course.access import access

GENTLE = 10
"""Numerical choice: how far the worker steps back behind everything else on this machine (Unix niceness)."""

_book: list[FactBook] = []


def begin(book: FactBook) -> None:
    """Make this process ready: it keeps the evidence and leaves Ctrl-C to the server."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(OSError, AttributeError):
        os.nice(GENTLE)
    _book[:] = [book]


def draw(
    sheet: CaseSheet, layout: Layout, pose: Pose, places: tuple[PortalPlace, ...], draws: int, seed: int
) -> AccessResult:
    """The whole answer of one case; raises what the course raises."""
    return access(sheet, _book[0], layout=layout, pose=pose, places=places, draws=draws, seed=seed)
