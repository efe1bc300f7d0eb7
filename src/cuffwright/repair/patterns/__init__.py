"""The repair patterns, found by looking in this folder: add one by adding a file with a ``PATTERN``."""

from difflib import get_close_matches
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.errors import CaseError
from cuffwright.repair.patterns._pattern import Pattern


@cache
def patterns() -> dict[str, Pattern]:
    """All patterns by name, fewest anchors and limbs first."""
    pages = [m.name for m in iter_modules(__path__) if not m.name.startswith("_")]
    found: list[Pattern] = [import_module(f"{__name__}.{page}").PATTERN for page in pages]
    return {p.name: p for p in sorted(found, key=lambda p: p.order)}


def pattern(name: str) -> Pattern:
    """The pattern called ``name``; raises CaseError naming the ones that come closest."""
    try:
        return patterns()[name]
    except KeyError:
        raise CaseError(f"there is no repair pattern {name}; choose one of {some_names(name)}") from None


def some_names(wanted: str = "") -> str:
    """The names closest to ``wanted``, or the first ones, and how many there are: all would fill the screen."""
    names = list(patterns())
    shown = get_close_matches(wanted, names) or names[:3]
    return f"{', '.join(shown)} or another of the {len(names)} in the list of patterns"
