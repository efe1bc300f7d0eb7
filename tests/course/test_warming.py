"""Warming: after it no repair waits for a compiler."""

import sys

from numba.core.dispatcher import Dispatcher

from cuffwright.case.fact import Citing
from cuffwright.course.hold import warm
from cuffwright.course.prepared import lay, prepare
from cuffwright.course.pulling import ramp_scenario
from cuffwright.course.rules import refusal
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases
from cuffwright.mechanics.scatter import draw
from cuffwright.repair.patterns import patterns
from tests.sampling import of

LAST = of(1, 99)
"""Patterns of a tear that are also drawn with scatter, counted from the last one."""


def kernels() -> dict[str, Dispatcher]:
    """Every kernel by its name."""
    return {
        f"{one.py_func.__module__}.{one.py_func.__name__}": one
        for name, module in list(sys.modules.items())
        if name.startswith("cuffwright.")
        for one in vars(module).values()
        if isinstance(one, Dispatcher)
    }


def compiled() -> dict[str, int]:
    """How many kinds of arguments each kernel is ready for in this process."""
    return {name: len(one.signatures) for name, one in kernels().items()}


def test_after_warming_no_pattern_compiles_anything() -> None:
    """Every pattern that fits one of the invented tears is pulled, the last of each drawn too: no kernel is compiled
    for anything it was not compiled for before."""
    book = load_book()
    for kernel in kernels().values():
        kernel._reset_overloads()  # as in a process that has just begun
    assert not any(compiled().values())
    warm(book)
    before, pulled = compiled(), set()
    assert any(before.values())
    for sheet in demo_cases().values():
        prepared = prepare(sheet, book)
        scenario = prepared.scenarios[prepared.middle]
        fitting = [
            name
            for name, wanted in patterns().items()
            if refusal(wanted, sheet, prepared.strip, prepared.bed, Citing(book)) is None
        ]
        for name in fitting:
            one = ramp_scenario(prepared, lay(prepared, name), scenario)
            if name in fitting[-LAST:]:
                draw(one.woven, prepared.spread, seed=1, chunk=0, load=100.0)
        pulled |= set(fitting)
    assert len(pulled) > 10
    assert compiled() == before
