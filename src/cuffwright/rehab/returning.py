"""Back to work and to driving: what is published, which is no permission."""

from cuffwright.case.fact import Citing


def returning(facts: Citing) -> tuple[str, ...]:
    """Sentences for the surgeon and the therapist."""
    share, months = facts.number("rehab.work.share"), facts.fact("rehab.work.months")
    driving = facts.number("rehab.driving.weeks")
    back, same = facts.fact("rehab.sport.back"), facts.fact("rehab.sport.same")
    reviews = facts.number("rehab.sport.reviews")
    overhead = facts.number("rehab.overhead.back"), facts.number("rehab.overhead.same")
    return (
        f"Work as before: {share:.1%}, after {months.value:g} months (SD {months.sd:g}); heavy work less.",
        f"Sport: {back.low:.1%} to {back.high:.1%} back to some sport, {same.low:.1%} to {same.high:.1%} at the same"
        f" level (reviews of 25 and {reviews:g} studies); overhead athletes {overhead[0]:.1%} and {overhead[1]:.1%}.",
        f"Driving: 27 supervised drivers were no worse at {driving:g} weeks than before; law, sling, opioids decide.",
    )
