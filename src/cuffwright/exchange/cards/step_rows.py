"""Steps and phases as rows of short words, as the printed cards carry them."""

from collections.abc import Sequence
from itertools import groupby
from string import ascii_uppercase

from cuffwright.case.limb_plan import LimbStep, PhaseRow
from cuffwright.case.limbs import LimbField, Move
from cuffwright.exchange.cards.limb_names import folded, folded_words
from cuffwright.exchange.cards.threads import thread_of
from cuffwright.exchange.report.printed import plain
from cuffwright.limbs.words import shortened

Plain = dict[str, object]
"""Strings, numbers and lists only: what the card's template is given."""

PARTS = 2
"""Steps at most in one row: a limb fetched and passed."""


def verb(field: LimbField, move: Move) -> str:
    """What is done, in the fewest words."""
    match move.kind:
        case "insert":
            thing = {"anchor": "insert anchor", "tunnel": "make tunnel", "free suture": "bring in suture"}
            return f"{thing[field.carrier(move.anchor).kind]} {move.anchor}"
        case "test":
            return f"pull on anchor {move.anchor}"
        case "retrieve":
            return "retrieve together" if len(move.limbs) > 1 else "retrieve"
        case "tie":
            knot = "sliding knot" if field.suture(move.limbs[0]).slides else "knot that does not slide"
            return f"tie, {knot}"
        case "seat":
            return f"seat lateral anchor {move.anchor}"
        case "scope":
            return "arthroscope"
        case "cannula":
            return "place working cannula"
        case "penetrate":
            return "pierce"
        case "unpass":
            return "take back out of its hole"
        case _:
            return move.kind


def arms(steps: Sequence[LimbStep]) -> list[str]:
    """Every position of the arm that the steps ask for, in their order."""
    return list(dict.fromkeys(plain(step.arm) for step in steps if step.arm))


def step_rows(field: LimbField, steps: Sequence[LimbStep], *, lettered: bool = False) -> list[Plain]:
    """Every step in a row; a limb fetched and at once passed shares one row with two numbers and two boxes.

    ``lettered`` names arm positions by a letter, for plans that change the arm so often that the words find no room.
    """
    rows: list[Plain] = []
    letters = dict(zip(arms(steps), ascii_uppercase, strict=False)) if lettered else {}
    arm, phase = "", ""
    for pair in joined(steps):
        last = pair[-1]
        verbs = [verb(field, step.move) for step in pair]
        rows.append(
            {
                "numbers": [step.number for step in pair],
                "what": plain(", ".join(verbs)),
                "threads": threads(field, last.limbs),
                "way": way(field, pair),
                "scope": field.portal(last.scope).code,
                "compartment": last.compartment,
                "arm": "same"
                if rows and last.arm == arm
                else letters.get(plain(last.arm), plain(last.arm or "not known")),
                "parked": parked(field, last),
                "caution": plain("; ".join(dict.fromkeys(s.caution for s in pair if s.caution))),
                "bold": last.phase != phase,
            }
        )
        arm, phase = last.arm, last.phase
    return rows


def joined(steps: Sequence[LimbStep]) -> list[tuple[LimbStep, ...]]:
    """Steps in the rows they share."""
    rows: list[tuple[LimbStep, ...]] = []
    for step in steps:
        before = rows[-1][-1] if rows else None
        fetched = before is not None and before.move.kind == "retrieve" and len(rows[-1]) < PARTS
        if fetched and before and step.move.kind == "pass" and step.limbs == before.limbs and before.to == step.source:
            rows[-1] = (before, step)
        else:
            rows.append((step,))
    return rows


def way(field: LimbField, pair: Sequence[LimbStep]) -> str:
    """Codes of the portals a limb or an instrument takes, in order."""
    names = [name for step in pair for name in (step.source, step.to) if name]
    return " → ".join(code for code, _ in groupby(field.portal(name).code for name in names))


def threads(field: LimbField, limbs: Sequence[str]) -> list[Plain]:
    """The limbs a step is about with their threads; limbs whose look is not known are named together."""
    found: list[Plain] = []
    unknown: list[str] = []
    for name in shortened(limbs):
        suture = field.suture(name)
        thread = thread_of(suture.look)
        if suture.look is None:
            unknown.append(name)
        else:
            found.append({"name": name, "words": plain(thread.words), "hue": thread.hue, "pattern": thread.pattern})
    if unknown:
        found.append({"name": " ".join(unknown), "words": thread_of(None).words, "hue": "", "pattern": ""})
    return found


def parked(field: LimbField, step: LimbStep) -> list[tuple[str, str]]:
    """What hangs out of which portal after a step: code and limbs."""
    return [(field.portal(name).code, folded(limbs)) for name, limbs in step.parked]


def phase_rows_of(field: LimbField, rows: Sequence[PhaseRow], steps: Sequence[LimbStep]) -> list[Plain]:
    """The rows of the phase card, with what stands when the phase is over in a small second line."""
    after = {step.number: step for step in steps}
    found: list[Plain] = []
    for row in rows:
        last = after[row.last]
        cautions = dict.fromkeys(after[n].caution for n in range(row.first, row.last + 1) if after[n].caution)
        waiting = "; ".join(f"{code}: {limbs}" for code, limbs in parked(field, last)) or "nothing"
        small = [f"parked after it {waiting}", f"{last.compartment} space", last.arm and f"arm {last.arm}", *cautions]
        found.append(
            {
                "steps": str(row.first) if row.first == row.last else f"{row.first}-{row.last}",
                "what": plain(row.what),
                "limbs": folded_words(row.limbs),
                "portals": row.portals,
                "scope": row.scope,
                "small": plain(" · ".join(word for word in small if word)),
            }
        )
    return found
