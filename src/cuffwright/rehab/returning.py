"""Back to work and to driving: what is published, which is no permission."""

from cuffwright.case.fact import Citing


def returning(facts: Citing) -> tuple[str, ...]:
    """Sentences for the surgeon and the therapist."""
    share, months = facts.number("rehab.work.share"), facts.fact("rehab.work.months")
    driving = facts.number("rehab.driving.weeks")
    return (
        f"Work as before: {share:.1%}, after {months.value:g} months (SD {months.sd:g}); heavy work less.",
        f"Driving: 27 supervised drivers were no worse at {driving:g} weeks than before; law, sling, opioids decide.",
    )
