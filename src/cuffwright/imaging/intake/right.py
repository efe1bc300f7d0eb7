"""Right patient and right side over a whole import, judged before anything is stripped from it.

Name, identifier, birth date and side are compared between all objects and with the case. A mixture or a
contradiction refuses the import; where the files are silent a person is asked, and the answer is kept with it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side
from cuffwright.imaging.fingerprint import Fingerprint
from cuffwright.imaging.identity import check, mixtures
from cuffwright.imaging.picture import Picture


@dataclass(frozen=True)
class Admission:
    """An import compared with the case: what refuses it, and what a person must still confirm.

    ``confirmed`` are the questions a person has answered with yes.
    """

    refusals: tuple[str, ...]
    asks: tuple[str, ...]
    confirmed: tuple[str, ...] = ()

    @property
    def admitted(self) -> bool:
        """Whether the import may be used for this case."""
        return not self.refusals and not self.asks


def admit(
    pictures: Sequence[Picture],
    side: Side,
    expected: Fingerprint | None = None,
    *,
    marker: Side | None = None,
    confirmed: Sequence[str] = (),
) -> Admission:
    """Compare every picture of an import with the others and with the case.

    Parameters
    ----------
    pictures
        As read, hashed with the same salt as ``expected``.
    side, expected
        Of the case; without fingerprint the identifiers are asked.
    marker
        The side a person reads in a marker burned into the pictures.
    confirmed
        Questions of an earlier answer to which a person said yes; a contradiction cannot be confirmed away.

    Raises
    ------
    ImageError
        When there is no picture.
    """
    if not pictures:
        raise ImageError("the import holds no picture; choose a folder, a zip file or images")
    refusals = list(mixtures(pictures))
    places = {picture.side_by_position for picture in pictures if picture.side_by_position}
    if len(places) > 1:
        refusals.append("the images lie on both sides of the body; import one shoulder at a time")
    asks: list[str] = []
    for picture in pictures:
        found = check(picture, side, expected, marker=marker)
        refusals.extend(word for word in found.contradictions if word not in refusals)
        asks.extend(word for word in found.asks if word not in asks)
    answered = tuple(word for word in asks if word in confirmed)
    return Admission(tuple(refusals), tuple(word for word in asks if word not in answered), answered)


def require_admitted(admission: Admission) -> None:
    """Refuse what contradicts and what is not yet confirmed; raises ImageError with the first reason."""
    if admission.refusals:
        raise ImageError(f"the import is refused: {'; '.join(admission.refusals)}")
    if admission.asks:
        raise ImageError(f"the import waits for an answer: {'; '.join(admission.asks)}")
