"""Added work on bone, found by looking in this folder: add one by adding a file with a ``WORK``."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.case.odds import BoneWork
from cuffwright.healing.bonework._work import Work, weigh
from cuffwright.healing.known import Known


@cache
def all_work() -> tuple[Work, ...]:
    """All kinds by the name of their file."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    return tuple(import_module(f"{__name__}.{page}").WORK for page in pages)


def bone_work(known: Known, facts: Citing) -> tuple[BoneWork, ...]:
    """Each kind of work on bone as a decision with its reason."""
    return tuple(weigh(work, known, facts) for work in all_work())
