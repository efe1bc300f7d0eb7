"""A cleft closed side to side: what the mechanics does not know about it."""

from collections.abc import Iterator

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Caution
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, _facts: Citing) -> Iterator[Caution]:
    """Say that the closed cleft is computed as whole tendon."""
    sides = [stitch.name for stitch in placed.layout.stitches if stitch.kind == "side-to-side"]
    if sides:
        yield Caution(
            "cleft-as-whole",
            "The closed cleft is computed as whole tendon, tied together with the rest: the loads of the side-to-side"
            f" stitches {', '.join(sides)} are those of tying, and a cleft that opens again is not seen.",
            sides[0],
        )
