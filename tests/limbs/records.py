"""The shortest list of two double-loaded anchors, written out by hand."""

from cuffwright.case.limbs import Move


def carried(source: str, to: str, *limbs: str) -> Move:
    """A retrieval."""
    return Move("retrieve", limbs, source, to)


def pair(suture: str) -> tuple[str, str]:
    """Both limbs of a suture."""
    return f"{suture}F", f"{suture}B"


def by_hand() -> list[Move]:
    """36 moves: anchors first, limbs passed from the front, tied from the back, two lateral anchors."""
    moves = [Move("insert", to="S", anchor="1"), Move("insert", to="S", anchor="2")]
    for suture in ("1a", "1b", "2a", "2b"):
        for limb in pair(suture):
            moves += [carried("S", "L", limb), Move("pass", (limb,), "L", "A")]
    for suture in ("2b", "2a", "1b"):
        moves += [carried("A", "L", *pair(suture)), Move("tie", pair(suture), to="L"), carried("L", "S", *pair(suture))]
    moves += [carried("A", "L", *pair("1a")), Move("tie", pair("1a"), to="L"), carried("L", "S", "1aB")]
    moves += [carried("S", "L", "1bF", "2aF"), carried("S", "L", "2bF")]
    moves += [Move("seat", ("1aF", "1bF", "2aF", "2bF"), to="L", anchor="L1")]
    moves += [carried("S", "L", "1aB", "1bB"), carried("S", "L", "2aB", "2bB")]
    return [*moves, Move("seat", ("1aB", "1bB", "2aB", "2bB"), to="L", anchor="L2")]
