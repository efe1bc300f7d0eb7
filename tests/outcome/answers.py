"""Answers to scores in short."""

from cuffwright.case.score import Answers, PartAnswer
from cuffwright.evidence.score_files import score_table
from cuffwright.outcome.scoring import score


def total(value: float, answered: int | None = None) -> PartAnswer:
    """A sum over items."""
    return PartAnswer(total=value, answered=answered)


def answers(name: str, version: str = "", moment=None, **parts) -> Answers:
    """Answers by part: a number, a list, or a total."""
    told = []
    for part, given in parts.items():
        if not isinstance(given, PartAnswer):
            given = PartAnswer(tuple(given) if isinstance(given, list) else (given,))
        told.append((part, given))
    return Answers(name, tuple(told), version, moment)


def scored(name: str, version: str = "", moment=None, **parts):
    """The score of these answers."""
    return score(score_table(name), answers(name, version, moment, **parts))
