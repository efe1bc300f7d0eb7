"""Shape of the tear as seen: asked, never computed."""

from cuffwright.case.fact import Citing
from cuffwright.healing.classes._rule import ClassRule
from cuffwright.healing.classes.size_by_width import full
from cuffwright.healing.deciding import Domain, Given

SHAPES = ("crescent", "U", "L", "reverse L", "massive contracted")


def _domain(_facts: Citing) -> Domain:
    return {"tear.shape": SHAPES}


def _decide(given: Given, _facts: Citing) -> str:
    return str(given["tear.shape"])


def _rule(_facts: Citing) -> str:
    return "by which leaf of the tear moves where; asked"


RULES = (
    ClassRule(
        "shape-in-theatre",
        "Shape as seen",
        "What shape has the tear?",
        _domain,
        _decide,
        _rule,
        "Authors do not name L and reverse L alike: the side of the limb is kept apart.",
        full,
    ),
)
