"""The verdict of Access: one sentence of askable numbers, the worst news first."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cuffwright.case.quantity import Caution
from cuffwright.case.reach import NerveMargin, Pose, Reach, best_way

Part = tuple[str, str]


@dataclass(frozen=True)
class Found:
    """What a verdict is made of, the arm at ``pose``; ``margins`` and ``cautions`` are empty while nothing is drawn."""

    pose: Pose
    rows: Sequence[Reach]
    moves: int
    lost: tuple[str, ...]
    hidden: float
    margins: Sequence[NerveMargin]
    cautions: Sequence[Caution]


def verdict(found: Found) -> list[Part]:
    """Words, each with the name by which it is asked (empty for plain words)."""
    parts: list[Part] = []
    for caution in found.cautions:
        if caution.severity == "stop":
            parts.append((f"{caution.text} ", ""))
    parts += _out_of_reach(found)
    parts += _least_sure(found)
    parts += _moves(found)
    parts += _nerve(found)
    if found.hidden:
        parts += [(percent(found.hidden), "hidden"), (" of the footprint lies under the acromion.", "")]
    return parts


def _bests(found: Found) -> list[Reach]:
    """The way to plan with to each site."""
    sites = dict.fromkeys(row.site for row in found.rows)
    return [best_way((row for row in found.rows if row.site == site), found.pose) for site in sites]


def _out_of_reach(found: Found) -> list[Part]:
    parts: list[Part] = []
    if found.lost:
        parts += [
            (listed(found.lost), f"unreached.{found.lost[0]}"),
            (" out of reach in every arm position tried. ", ""),
        ]
    bests = _bests(found)
    waits = [best for best in bests if best.answer == "moved"]
    if not waits:
        return parts
    if len(waits) == 1:
        way = waits[0]
        parts += [
            (f"{named(way).capitalize()} not in reach with the arm here, only at ", ""),
            (f"{way.pose.words}, from {way.portal}: ", ""),
            (_chance(way), asked(way)),
            (". ", ""),
        ]
        return parts
    names = ", ".join(way.site for way in waits)
    parts += [
        (f"{len(waits)} of {len(bests)} sites", asked(waits[0])),
        (f" ({names}) wait for another arm position. ", ""),
    ]
    return parts


def _least_sure(found: Found) -> list[Part]:
    bests = _bests(found)
    here = [best for best in bests if best.answer == "yes"]
    if not here:
        return []
    if not np.isfinite(here[0].probability):
        return [(f"{len(here)} of {len(bests)} sites in reach here. ", "")]
    least = min(here, key=lambda row: row.probability)
    return [
        (
            f"{len(here)} of {len(bests)} in reach here, least sure {named(least)} from {least.portal}: ",
            "",
        ),
        (percent(least.probability), asked(least)),
        (" of drawn shoulders. ", ""),
    ]


def _moves(found: Found) -> list[Part]:
    count = "One arm position reaches" if found.moves == 1 else f"{found.moves} arm positions reach"
    rest = "all that can be done. " if found.lost else "all. "
    return [(count, "moves"), (f" {rest}", "")]


def _nerve(found: Found) -> list[Part]:
    if not found.margins:
        return []
    near = min(found.margins, key=lambda one: one.floor)
    return [
        (f"Nearest nerve: {near.nerve}, ", ""),
        (f"{near.floor:g} mm", f"margin.{near.portal}"),
        (f" from the {near.portal} portal at the shortest distance published. ", ""),
    ]


def asked(row: Reach) -> str:
    """The name by which one answer of the table is asked."""
    return f"reach.{row.portal}.{row.site}"


def named(row: Reach) -> str:
    """A site with what it is."""
    return f"{'hole' if row.kind == 'hole' else 'anchor'} {row.site}"


def percent(share: float) -> str:
    """A share as the page writes it."""
    return f"{100 * share:.0f} %"


def listed(names: Sequence[str]) -> str:
    """Names in a row."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _chance(row: Reach) -> str:
    return percent(row.probability) if np.isfinite(row.probability) else "not drawn yet"
