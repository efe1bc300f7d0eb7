"""Taking off the end of the clavicle: only for a joint that hurts."""

from cuffwright.case.fact import Citing
from cuffwright.healing.bonework._work import Sign, Work, told_yes


def _evidence(facts: Citing) -> tuple[str, ...]:
    trial, review = facts.number("bonework.clavicle.trial"), facts.number("bonework.clavicle.review")
    return (
        f"One trial in {trial:g} painful joints: no difference in scores or pain after two years.",
        f"Review of {review:g} shoulders: no confirmed benefit; instability was seen only after it.",
        "The 2019 guideline supports it in painful joints, moderate strength; trials conflict.",
    )


WORK = Work(
    "distal-clavicle",
    "Resection of the distal clavicle",
    (
        Sign("tender joint", "judgement.clavicle_tender", told_yes("judgement.clavicle_tender")),
        Sign("worn on the radiograph", "judgement.clavicle_worn", told_yes("judgement.clavicle_worn")),
        Sign(
            "an injection helped",
            "judgement.clavicle_injection_helped",
            told_yes("judgement.clavicle_injection_helped"),
        ),
    ),
    "judgement.clavicle_reason",
    _evidence,
)
