"""What moves a number most, held against a shoulder made ready anew from changed rows."""

from collections.abc import Callable

import pytest

from cuffwright.case.fact import FixedBook
from cuffwright.case.layout import Layout
from cuffwright.course.asking import PRESSED
from cuffwright.course.contact import press
from cuffwright.course.moving import NUDGE, Moved, movers
from cuffwright.course.prepared import Prepared, lay, prepare
from cuffwright.course.pulling import ramp_scenario
from cuffwright.evidence.book import load_book
from cuffwright.exchange.demo_cases import demo_cases

PATTERN = "bridging-2-1-knotted"


def ready(book: FixedBook) -> tuple[Prepared, Layout]:
    """The large L-shaped tear, bridged, with these rows."""
    prepared = prepare(demo_cases()["large_l_shaped"], book)
    return prepared, lay(prepared, PATTERN)


def raised(start: str) -> FixedBook:
    """The evidence with every row that begins so raised by a tenth."""
    book = FixedBook(dict(load_book().rows))
    return book.scaled([key for key in book.rows if key.startswith(start)], NUDGE)


def force(prepared: Prepared, layout: Layout) -> float:
    """The ultimate load without scatter in the middle scenario, N."""
    return ramp_scenario(prepared, layout, prepared.scenarios[prepared.middle], contested=False).ramp.ultimate


def pressed(prepared: Prepared, layout: Layout) -> float:
    """The share of the footprint above the threshold as tied, %."""
    ramp = ramp_scenario(prepared, layout, prepared.scenarios[prepared.middle], contested=False).ramp
    tension = dict(zip(ramp.woven.limbs, ramp.curve.tension[0].tolist(), strict=True))
    return 100 * press(prepared, layout, tension).share_above()


@pytest.mark.req("REQ-221")
@pytest.mark.parametrize(
    ("name", "read", "words", "row"),
    [
        ("ultimate", force, "friction of tendon on bone", "friction.tendon-bone"),
        ("contact.area", pressed, "stiffness of the tendon in depth", "layer.modulus.compressive"),
    ],
)
def test_what_moves_a_number_is_what_changed_rows_move_it_by(
    name: str,
    read: Callable[[Prepared, Layout], float],
    words: str,
    row: str,
) -> None:
    """The change told for an input is that of a shoulder made ready anew with its row a tenth larger."""
    prepared, layout = ready(FixedBook(dict(load_book().rows)))
    moved = PRESSED["area"] if name == "contact.area" else Moved("N", lambda run: run.ramp.ultimate)
    told = movers(prepared, layout, prepared.scenarios[prepared.middle].parameters, moved)
    assert len(told) == 2
    assert abs(told[0][1]) >= abs(told[1][1])
    other = read(ready(raised(row))[0], layout)
    assert dict(told)[f"{words}, 10 % more"] == pytest.approx(other - read(prepared, layout), abs=0.06)


def test_an_input_that_moves_nothing_is_not_named() -> None:
    """A number that no input changes has no movers."""
    prepared, layout = ready(FixedBook(dict(load_book().rows)))
    numbers = prepared.scenarios[prepared.middle].parameters
    assert movers(prepared, layout, numbers, Moved("N", lambda _: 1.0)) == ()
    assert movers(prepared, layout, numbers, Moved("N", lambda _: None)) == ()
