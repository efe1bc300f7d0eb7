"""The shape of a decision on added work on bone."""

from collections.abc import Callable
from dataclasses import dataclass

from cuffwright.case.fact import Citing
from cuffwright.case.odds import BoneWork
from cuffwright.healing.known import Known


@dataclass(frozen=True)
class Sign:
    """One thing that would speak for the work: its words, where it is told, what counts."""

    words: str
    path: str
    counts: Callable[[Known, Citing], bool]


@dataclass(frozen=True)
class Work:
    """One kind of work on bone: not routine; it needs a written reason at ``reason`` and its signs."""

    name: str
    title: str
    signs: tuple[Sign, ...]
    reason: str
    evidence: Callable[[Citing], tuple[str, ...]]


def weigh(work: Work, known: Known, facts: Citing) -> BoneWork:
    """What speaks for it, what does not, what is not known, and whether a reason is written."""
    citing = Citing(facts.book)
    missing = known.missing(tuple(sign.path for sign in work.signs))
    told = [sign for sign in work.signs if sign.path not in missing]
    met = tuple(sign.words for sign in told if sign.counts(known, citing))
    written = known.values.get(work.reason)
    reason = written.strip() if isinstance(written, str) else ""
    words = "Not routine. " + ("The written reason stands beside it." if reason else "No reason is written.")
    if not met and not missing:
        words += " None of its signs is present."
    evidence = work.evidence(citing)
    facts.used.update(citing.used)
    return BoneWork(
        name=work.name,
        title=work.title,
        met=met,
        not_met=tuple(sign.words for sign in told if sign.words not in met),
        missing=tuple(dict.fromkeys(missing)),
        reason=reason,
        words=words,
        evidence=evidence,
        facts=tuple(citing.used),
    )


def told_yes(path: str) -> Callable[[Known, Citing], bool]:
    """A sign that counts when it is told to be there."""
    return lambda known, _: known.yes(path)
