"""The shape of a class rule, and how it answers when something is missing."""

from collections.abc import Callable
from dataclasses import dataclass

from cuffwright.case.fact import Citing
from cuffwright.case.odds import ClassAnswer
from cuffwright.healing.deciding import Domain, Given, deciding, possible, within_spread
from cuffwright.healing.known import Known


@dataclass(frozen=True)
class ClassRule:
    """One scheme: its inputs with the values that stand for all others, and how it decides once all are given.

    ``rivals`` is the question that this and other schemes answer; ``only_if`` tells whether the scheme applies.
    """

    name: str
    title: str
    rivals: str
    domain: Callable[[Citing], Domain]
    decide: Callable[[Given, Citing], str]
    rule: Callable[[Citing], str]
    caution: str = ""
    only_if: Callable[[Known], bool] = lambda _: True


def judge(one: ClassRule, known: Known, facts: Citing) -> ClassAnswer:
    """The class that the known inputs decide, or what is still possible and what would decide it."""
    citing = Citing(facts.book)
    domain = one.domain(citing)

    def decide(given: Given) -> str:
        return one.decide(given, citing)

    left = possible(known, domain, decide)
    wide = within_spread(known, domain, decide)
    words = one.rule(citing)
    facts.used.update(citing.used)
    return ClassAnswer(
        name=one.name,
        title=one.title,
        rivals=one.rivals,
        value=left[0] if len(left) == 1 else None,
        possible=tuple(left),
        near=tuple(other for other in wide if other not in left),
        rule=words,
        missing=deciding(known, domain, decide),
        facts=tuple(citing.used),
        verified=all(row.verified for row in citing.used.values()),
        caution=one.caution,
    )
