"""The repair in the body and over time, said in sentences; each with the name under which it can be asked."""

from collections.abc import Iterator

from cuffwright.case.body import ArmLoad, BodyHold, CyclicGap, JunctionShare, LaterContact, Reduction, Relief
from cuffwright.case.quantity import Interval

Sentence = tuple[str, str]
"""Words, and the name under which they can be asked ("" when they cannot)."""


def body_sentences(body: BodyHold, stated: float) -> tuple[Sentence, ...]:
    """Everything worked out, worst news first where there is an order, then what is missing.

    ``stated`` (N) is the stated load.
    """
    said: list[Sentence] = []
    if body.reduction:
        said += _reach(body.reduction, body.reliefs)
    said += [(arm_words(arm), "body.arms") for arm in body.arms]
    said.append((_carried(body.carried_share, stated), "body.carried"))
    if body.cycles:
        said.append((_cycles(body.cycles), "body.cycles"))
    if body.junction:
        said.append((_junction(body.junction), "body.junction"))
    if body.later:
        said.append((_later(body.later), "body.later"))
    return (*said, *((f"{words[0].upper()}{words[1:]}.", "") for words in body.missing))


def _reach(found: Reduction, reliefs: tuple[Relief, ...]) -> Iterator[Sentence]:
    more = f" {found.over_high:.1%} of shoulders like this one pull harder than {found.torn_at:g} N."
    turn = f" The tendon turns by {abs(found.turn_degrees):g} degrees to lie down." if found.turn_degrees else ""
    done = [
        f"{mm:g} mm {words}"
        for mm, words in ((found.nearer, "of medialised insertion"), (found.closed, "closed side to side"))
        if mm
    ]
    layout = f" Counted in: {' and '.join(done)} by this layout." if done else ""
    yield f"With the arm at the side {found.words}.{more}{turn}{layout}", "body.reduction"
    for relief in reliefs:
        if found.verdict != "reducible":
            yield f"{relief.words[0].upper()}{relief.words[1:]}.", "body.reduction"


def arm_words(arm: ArmLoad) -> str:
    """One arm position: tension, gap, the most used member, contact."""
    rest = f"At rest, {posture(arm)}: passive tension {_span(arm.tension)}"
    if not arm.most_used:
        return f"{rest}, which this repair does not bear."
    borne = (
        f"gap {_span(arm.gap)}, {arm.most_used} gives {_share(arm.used)} of its strength"
        if arm.gap and arm.used
        else f"{arm.most_used} is used most; the upper end is not borne"
    )
    pressed = "contact withheld" if arm.contact_area_share is None else f"{arm.contact_area_share:.1%} pressed"
    return f"{rest}; {borne}; {pressed}."


def posture(arm: ArmLoad) -> str:
    """The arm's position in words."""
    if arm.abduction_degrees:
        return f"arm {arm.abduction_degrees:g} degrees abducted"
    if arm.rotation_degrees:
        way = "outward" if arm.rotation_degrees > 0 else "inward"
        return f"arm at the side, {abs(arm.rotation_degrees):g} degrees rotated {way}"
    return "arm at the side"


def _carried(share: float, stated: float) -> str:
    if share == 1:
        return f"No intact tendon beside the repair helps it: the sutures carry every newton up to {stated:g} N."
    return (
        f"Of each newton the muscle adds up to {stated:g} N the sutures carry {share:.1%} where sound tendon beside the"
        " repair holds it, all where it does not."
    )


def _cycles(found: CyclicGap) -> str:
    held = [(n, gap) for n, gap in zip(found.counts, found.gaps, strict=True) if gap is not None]
    if found.final is not None:
        return f"Gap after {found.counts[-1]} pulls to {found.load:g} N: {_span(found.final)}; {_lost(found)}."
    if not held:
        return f"The first pull to {found.load:g} N is not borne with middle values; {_lost(found)}."
    count, gap = held[-1]
    return f"Pulls to {found.load:g} N are borne {count} times, then with a gap of {gap:g} mm; {_lost(found)}."


def _lost(found: CyclicGap) -> str:
    return f"{found.lost} gives way first" if found.lost else "nothing gives way"


def _junction(found: JunctionShare) -> str:
    return (
        f"Limb {found.limb} passes {found.distance:g} mm lateral of the musculotendinous junction: of repairs with"
        f" passes so near, {_share(found.share)} failed there."
    )


def _later(found: LaterContact) -> str:
    contact = found.contact
    return (
        f"{found.minutes:g} min after fixation {found.left:.1%} of the tension is left: contact {contact.force:g} N,"
        f" {contact.area_share:.1%} of the torn footprint at {contact.threshold:g} MPa or more."
    )


def _span(found: Interval) -> str:
    return f"{found.middle:g} {found.unit} ({found.low:g} to {found.high:g})"


def _share(found: Interval) -> str:
    return f"{found.middle:.1%} ({found.low:.1%} to {found.high:.1%})"
