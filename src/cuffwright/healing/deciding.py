"""What is still possible while inputs are missing: every value that could decide is tried, none is assumed."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from math import inf
from typing import TypeVar

from cuffwright.healing.known import Known, Value

Outcome = TypeVar("Outcome")
Given = Mapping[str, Value]
Domain = Mapping[str, Sequence[Value]]
"""For each input the values that stand for all its values."""

Decide = Callable[[Given], Outcome]

BESIDE = 1e-6
"""Numerical choice: how far beside an edge a value is tried, in the unit of the edge."""

TRUTHS: tuple[Value, ...] = (True, False)


def around(*edges: float) -> tuple[Value, ...]:
    """Values that stand for every number of 0 or more: nothing, without end, and below, at and above each edge."""
    return tuple(sorted({max(0.0, edge + step) for edge in edges for step in (-BESIDE, 0.0, BESIDE)} | {0.0, inf}))


def about(*edges: float) -> tuple[Value, ...]:
    """As :func:`around` for numbers that may be negative."""
    return tuple(sorted({edge + step for edge in edges for step in (-BESIDE, 0.0, BESIDE)} | {-inf, inf}))


def completions(known: Known, domain: Domain) -> Iterator[Given]:
    """Every way to complete the inputs named in ``domain``: known ones as they are, missing ones over their values."""
    choices = [[known.values[p]] if known.values.get(p) is not None else list(domain[p]) for p in domain]
    for chosen in product(*choices):
        yield dict(zip(domain, chosen, strict=True))


def possible(known: Known, domain: Domain, decide: Decide[Outcome]) -> list[Outcome]:
    """The outcomes that remain, each once, in the order in which they are met."""
    return list(dict.fromkeys(decide(given) for given in completions(known, domain)))


def within_spread(known: Known, domain: Domain, decide: Decide[Outcome]) -> list[Outcome]:
    """The outcomes that remain when each measure may also lie one SD lower or higher."""
    choices: dict[str, Sequence[Value]] = {}
    for path, values in domain.items():
        value, sd = known.number(path), known.spread.get(path, 0.0)
        if value is not None and sd > 0:
            inner = [v for v in values if isinstance(v, float) and value - sd <= v <= value + sd]
            choices[path] = [max(0.0, value - sd), value, value + sd, *inner]
        else:
            found = known.values.get(path)
            choices[path] = values if found is None else [found]
    wide = (dict(zip(choices, one, strict=True)) for one in product(*choices.values()))
    return list(dict.fromkeys(decide(given) for given in wide))


def deciding(known: Known, domain: Domain, decide: Decide[Outcome]) -> tuple[str, ...]:
    """The missing inputs whose value could still change the outcome."""
    found = []
    for path in known.missing(tuple(domain)):
        others = {p: v for p, v in domain.items() if p != path}
        for given in completions(known, others):
            if len({decide({**given, path: value}) for value in domain[path]}) > 1:
                found.append(path)
                break
    return tuple(found)
