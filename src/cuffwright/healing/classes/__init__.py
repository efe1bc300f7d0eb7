"""Schemes of classes, found by looking in this folder: add one by adding a file with ``RULES``."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.case.odds import ClassAnswer
from cuffwright.healing.classes._rule import ClassRule, judge
from cuffwright.healing.deciding import Domain
from cuffwright.healing.known import Known


@cache
def class_rules() -> tuple[ClassRule, ...]:
    """All schemes, rivals beside each other."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    found = [rule for page in pages for rule in import_module(f"{__name__}.{page}").RULES]
    return tuple(sorted(found, key=lambda rule: (rule.rivals, rule.name)))


def classify(known: Known, facts: Citing) -> tuple[ClassAnswer, ...]:
    """Every class of every scheme that applies."""
    return tuple(judge(rule, known, facts) for rule in class_rules() if rule.only_if(known))


def inputs(name: str, facts: Citing) -> Domain:
    """The inputs that the scheme called ``name`` reads, each with the values that stand for all.

    Raises StopIteration when there is no such scheme.
    """
    return next(rule for rule in class_rules() if rule.name == name).domain(facts)
