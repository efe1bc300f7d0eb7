"""How often tears grew without surgery: partial and full-thickness tears apart, each over its own years."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known


def grown(known: Known, facts: Citing) -> str:
    """The pooled share of tears of this depth that grew, in a sentence."""
    if known.yes("tear.full_thickness"):
        share = facts.number("guideline.grown.full")
        return f"Without surgery {share:.1%} of full-thickness tears grew in about three years."
    share = facts.number("guideline.grown.partial")
    return f"Without surgery {share:.1%} of partial tears grew in about two years."
