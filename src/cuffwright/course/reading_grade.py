"""The school grade that a text asks of its reader, by the published formula of 1975."""

import re
from collections.abc import Iterable

from cuffwright.case.fact import Citing

WORD = re.compile(r"[A-Za-z']+|\d[\d.,:/-]*")
SENTENCE = re.compile(r"[.!?]+(?=\s|$)|\n+")
VOWELS = re.compile(r"[aeiouy]+")
SILENT = re.compile(r"[^aeiouyl]e$|[^aeiouytd]ed$|[^aeiouyscxzh]es$")
LEAST_LETTERS = 4
"""Numerical choice: a word shorter than this has no silent ending."""

DECIMALS = 1
"""Numerical choice: decimals of a grade."""


def syllables(word: str) -> int:
    """Syllables of an English word by its groups of vowels; a number counts as one for each digit."""
    plain = word.lower().strip("'")
    if plain and plain[0].isdigit():
        return sum(letter.isdigit() for letter in plain)
    groups = len(VOWELS.findall(plain))
    if len(plain) >= LEAST_LETTERS and SILENT.search(plain):
        groups -= 1
    return max(1, groups)


def reading_grade(lines: Iterable[str], facts: Citing) -> float:
    """The grade of a text given as lines; a line ends a sentence."""
    text = "\n".join(lines)
    sentences = [part for part in SENTENCE.split(text) if part and WORD.search(part)]
    words = WORD.findall(text)
    if not words:
        return 0.0
    counted = sum(syllables(word) for word in words)
    per_sentence, per_word = len(words) / len(sentences), counted / len(words)
    return round(
        facts.number("reading.sentence") * per_sentence
        + facts.number("reading.word") * per_word
        + facts.number("reading.base"),
        DECIMALS,
    )
