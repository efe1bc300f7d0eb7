"""Which inputs move a number of a repair most: each raised by a tenth, one at a time, without scatter."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace

from cuffwright.case.errors import OutsideValidity
from cuffwright.case.layout import Layout
from cuffwright.course.contact import press
from cuffwright.course.prepared import Prepared
from cuffwright.course.pulling import thread
from cuffwright.course.rounding import rounded
from cuffwright.mechanics.parameters import Parameters
from cuffwright.mechanics.pressure.contact import ContactMap
from cuffwright.mechanics.pressure.shelf import PressureShelf
from cuffwright.mechanics.pull import Ramp, pull

NUDGE = 1.1
"""Numerical choice: an input is raised by this factor to see how far it moves a result."""

HOW = "Each raised by a tenth, one at a time, without scatter."
STILL = "No input raised by a tenth moves it, without scatter."


@dataclass(frozen=True, eq=False)
class Run:
    """One run without scatter: the shoulder and the layout, and the repair pulled with one set of numbers."""

    prepared: Prepared
    layout: Layout
    ramp: Ramp

    @property
    def tied(self) -> ContactMap:
        """The contact as tied."""
        return press(self.prepared, self.layout, self.ramp.tied)


@dataclass(frozen=True)
class Moved:
    """A number that inputs move: its unit, how it reads off a run, and whether it is one of contact.

    ``instead`` says what is moved where the number asked about has no value without scatter.
    """

    unit: str
    read: Callable[[Run], float | None]
    contact: bool = False
    instead: str = ""


Movers = tuple[tuple[str, float], ...]


def movers(prepared: Prepared, layout: Layout, numbers: Parameters, moved: Moved) -> Movers:
    """The two inputs that move a number most, each with the change in its unit for a rise of a tenth.

    Inputs that do not move it are left out, and those whose rise leaves the model's validity.
    """
    base = _read(prepared, layout, numbers, moved)
    if base is None:
        return ()
    changes = []
    for words, shoulder, raised in _raised(prepared, numbers, contact=moved.contact):
        with suppress(OutsideValidity):
            found = _read(shoulder, layout, raised, moved)
            changes += [] if found is None else [(f"{words}, 10 % more", rounded(found - base, moved.unit))]
    return tuple(sorted((one for one in changes if one[1]), key=lambda one: -abs(one[1]))[:2])


def _read(prepared: Prepared, layout: Layout, numbers: Parameters, moved: Moved) -> float | None:
    return moved.read(Run(prepared, layout, pull(thread(prepared, layout, numbers), plain=prepared.plain)))


def _raised(prepared: Prepared, numbers: Parameters, *, contact: bool) -> Iterator[tuple[str, Prepared, Parameters]]:
    """Each input by its words, with the shoulder and the numbers in which it is raised."""
    tension = {kind: force * NUDGE for kind, force in numbers.tension.items()}
    yield "tension as tied", prepared, replace(numbers, tension=tension)
    if contact:
        layer, film = prepared.layer, prepared.contact
        for words, soft in (
            ("thickness of the tendon", replace(layer, thickness=layer.thickness * NUDGE)),
            ("stiffness of the tendon in depth", replace(layer, compressive=layer.compressive * NUDGE)),
        ):
            yield words, replace(prepared, layer=soft, shelf=PressureShelf()), numbers
        wide = replace(film, width=film.width * NUDGE)
        yield "width of the suture", replace(prepared, contact=wide, shelf=PressureShelf()), numbers
        return
    holds = {kind: force * NUDGE for kind, force in numbers.holds.items()}
    strength = {kind: force * NUDGE for kind, force in numbers.strength.items()}
    for words, raised in (
        ("what a hole bears (tissue, thickness)", replace(numbers, capacity=numbers.capacity * NUDGE)),
        ("how stiff a hole is", replace(numbers, bearing=numbers.bearing * NUDGE)),
        ("what an anchor holds", replace(numbers, holds=holds)),
        ("what a limb bears", replace(numbers, strength=strength)),
        ("stiffness of the suture", replace(numbers, thread=numbers.thread * NUDGE)),
        ("friction of tendon on bone", replace(numbers, friction=numbers.friction * NUDGE)),
    ):
        yield words, prepared, raised
