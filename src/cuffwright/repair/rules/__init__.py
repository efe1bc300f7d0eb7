"""Rules with sources, one a file, found by looking in this folder: add one by adding a file with a ``judge``.

Each warns by name at the place it is broken; none refuses.
"""

from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed

Judge = Callable[[Placed, Citing], Iterator[Caution]]


@cache
def judges() -> tuple[Judge, ...]:
    """All rules, by the name of their file."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    return tuple(import_module(f"{__name__}.{page}").judge for page in pages)


def warnings(placed: Placed, facts: Citing) -> tuple[Caution, ...]:
    """Every warning of every rule about the places of this repair."""
    return tuple(caution for judge in judges() for caution in judge(placed, facts))
