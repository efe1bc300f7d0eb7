"""A worn joint whose head touches the acromion."""

from cuffwright.case.fact import Citing
from cuffwright.healing.known import Known
from cuffwright.healing.reasons._reason import Against

NEEDS = ("judgement.joint_arthritis", "judgement.acromion_contact")


def _holds(known: Known, facts: Citing) -> str | None:
    if not all(known.yes(path) for path in NEEDS):
        return None
    year = facts.fact("class.shape.long").source.year
    return (
        f"The joint is worn and the head touches the acromion: the geometric scheme of {year} calls it not repairable."
    )


AGAINST = Against("worn-joint", NEEDS, _holds, "one classification, expert opinion")
