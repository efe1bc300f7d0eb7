"""The verdict on a plan of limbs: one sentence of askable numbers, the worst news first."""

from cuffwright.case.limb_plan import LimbPlan

Part = tuple[str, str]


def verdict(plan: LimbPlan, done: int = 0) -> list[Part]:
    """Words, each with the name by which it is asked (empty for plain words); ``done`` moves lie behind."""
    proven, counts = plan.certificate, plan.counts
    parts: list[Part] = []
    if proven.trouble:
        parts += [("Not sound: ", ""), (proven.trouble[0], "tangle"), (". ", "")]
    if done:
        parts += [(f"{done} {_many('move', done)} made; ", "")]
    parts += [(f"{counts.moves} {_many('move', counts.moves)}", "moves"), (" to go, " if done else ", ", "")]
    parts += [(_proof(plan), "bound")]
    clean = "no tangle" if proven.tangle_free else "not free of tangles"
    parts += [("; ", ""), (clean, "tangle"), (" if instruments go where the list says. ", "")]
    for number, words, name in (
        (counts.retrievals, "retrieval", "retrievals"),
        (counts.pulls, "pull through tendon", "pulls"),
        (counts.scope_moves, "change of view", "scope"),
    ):
        parts += [(f"{number} {_many(words, number)}", name), (", ", "")]
    parts += [("at most ", ""), (f"{counts.most_parked} limbs", "parked"), (" outside at once. ", "")]
    time = f"{plan.minutes:g} min" if plan.minutes is not None else "not computed"
    parts += [("Time: ", ""), (time, "minutes")]
    parts += [("." if plan.minutes is not None else f", needs {plan.minutes_needs}.", "")]
    return parts


def _proof(plan: LimbPlan) -> str:
    proven = plan.certificate
    if proven.proof == "gap":
        return f"at most {proven.gap} above the least possible ({proven.bound})"
    return f"the fewest possible, proven by {'counting' if proven.proof == 'bound' else 'search'}"


def _many(words: str, number: int) -> str:
    first, _, rest = words.partition(" ")
    return words if number == 1 else f"{first}s{' ' if rest else ''}{rest}"
