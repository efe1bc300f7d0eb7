"""Right patient, right side: compare a picture with the case before anything is stripped from it.

Three clues tell the side (the tag, the place in the patient, a marker burned into the picture) and can disagree.
A contradiction blocks; silence is asked, never assumed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cuffwright.case.identity import Side
from cuffwright.imaging.fingerprint import Fingerprint
from cuffwright.imaging.picture import Picture

Source = Literal["laterality tag", "position in the patient", "burned-in marker"]


@dataclass(frozen=True)
class Clue:
    """One thing that speaks of the side, and which side it names."""

    source: Source
    side: Side


@dataclass(frozen=True)
class IdentityCheck:
    """The clues to the side, what contradicts the case, and what a person must still answer.

    ``blocked`` when anything contradicts; ``settled`` when nothing contradicts and nothing is left to ask.
    """

    clues: tuple[Clue, ...]
    contradictions: tuple[str, ...]
    asks: tuple[str, ...]

    @property
    def blocked(self) -> bool:
        """Whether the picture must not be used for this case."""
        return bool(self.contradictions)

    @property
    def settled(self) -> bool:
        """Whether the picture fits the case with nothing left to ask."""
        return not self.contradictions and not self.asks


def check(
    picture: Picture, side: Side, expected: Fingerprint | None = None, *, marker: Side | None = None
) -> IdentityCheck:
    """Compare a picture with the case.

    Parameters
    ----------
    picture
        As read, hashed with the same salt as ``expected``.
    side
        Side of the case.
    expected
        Fingerprint of the case's patient; when not given, the three identifiers are asked.
    marker
        The side a person reads in a marker burned into the picture.
    """
    clues = _side_clues(picture, marker)
    contradictions = [f"the {clue.source} says {clue.side}, the case {side}" for clue in clues if clue.side != side]
    asks = []
    if len({clue.side for clue in clues}) > 1:
        contradictions.append("the clues to the side disagree with one another")
    # a place in the patient depends on how the patient was laid, so it may contradict but never settles the side
    if not any(clue.source != "position in the patient" for clue in clues):
        asks.append("the image names no side; confirm which shoulder it shows")
    for label, found, wanted in _identifiers(picture, expected):
        if found is None:
            asks.append(f"the image carries no {label}; confirm that it is this patient's")
        elif wanted is None:
            asks.append(f"the case has no {label} to compare with; confirm that the image is this patient's")
        elif found != wanted:
            contradictions.append(f"the {label} of the image is not that of the case")
    return IdentityCheck(clues, tuple(contradictions), tuple(asks))


def mixtures(pictures: Sequence[Picture]) -> tuple[str, ...]:
    """What differs between pictures that are imported together: patients, or sides. Empty when nothing does."""
    found = []
    labels = ("name", "identifier", "birth date")
    fields = ("name", "identifier", "birth_date")
    for label, attribute in zip(labels, fields, strict=True):
        values = {v for picture in pictures if (v := getattr(picture.patient, attribute)) is not None}
        if len(values) > 1:
            found.append(f"the images carry {len(values)} values of the {label}; import one patient at a time")
    if len({picture.side_tag for picture in pictures if picture.side_tag}) > 1:
        found.append("the images name both sides; import one shoulder at a time")
    return tuple(found)


def _side_clues(picture: Picture, marker: Side | None) -> tuple[Clue, ...]:
    named: tuple[tuple[Source, Side | None], ...] = (
        ("laterality tag", picture.side_tag),
        ("position in the patient", picture.side_by_position),
        ("burned-in marker", marker),
    )
    return tuple(Clue(source, side) for source, side in named if side is not None)


def _identifiers(picture: Picture, expected: Fingerprint | None) -> tuple[tuple[str, str | None, str | None], ...]:
    wanted = expected or Fingerprint(None, None, None)
    return (
        ("name", picture.patient.name, wanted.name),
        ("identifier", picture.patient.identifier, wanted.identifier),
        ("birth date", picture.patient.birth_date, wanted.birth_date),
    )
