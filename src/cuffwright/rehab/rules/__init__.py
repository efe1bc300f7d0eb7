"""Rules that may delay or caution, found by looking in this folder: add one by adding a file with a ``say``."""

from collections.abc import Callable
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.rehab.repaired import Repaired
from cuffwright.rehab.rules._said import Said

Rule = Callable[[Repaired, Citing], Said]


@cache
def rules() -> tuple[Rule, ...]:
    """All rules by the name of their file."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    return tuple(import_module(f"{__name__}.{page}").say for page in pages)


def say_all(repaired: Repaired, facts: Citing) -> Said:
    """What all rules say of this shoulder."""
    said = [rule(repaired, facts) for rule in rules()]
    return Said(
        tuple(one for each in said for one in each.delays),
        tuple(one for each in said for one in each.cautions),
        tuple(one for each in said for one in each.missing),
    )
