"""Reasons to think twice, found by looking in this folder: add one by adding a file with an ``AGAINST``.

A reason is never a verdict: each stands with its strength and with the other ways there are.
"""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.case.odds import Reason
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against, reason


@cache
def all_against() -> tuple[Against, ...]:
    """All reasons by the name of their file."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    return tuple(import_module(f"{__name__}.{page}").AGAINST for page in pages)


def reasons(known: Known, facts: Citing) -> tuple[Reason, ...]:
    """Every reason that holds for this shoulder."""
    found = (reason(one, known, facts) for one in all_against())
    return tuple(one for one in found if one is not None)


def unasked(known: Known) -> tuple[str, ...]:
    """The missing inputs without which a reason may be overlooked."""
    return tuple(dict.fromkeys(path for one in all_against() for path in one.unknown(known)))
