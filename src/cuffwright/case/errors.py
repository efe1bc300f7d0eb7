"""The errors a surgeon may see, each one sentence: what, where, what to do.

::

    CuffError
      CaseError        the case sheet contradicts itself or lacks what a rule needs
      EvidenceError    a published row is missing, doubled, or has no source
      ImageError       a picture cannot be measured
      FormatError      a record cannot be written or read in a format
      ArchiveError     the store refuses: stale, altered, or unknown
      OutsideValidity  the input lies where the model must not answer
"""


class CuffError(ValueError):
    """Anything a shell shows as one sentence; everything else is a bug and must be seen."""


class CaseError(CuffError):
    """The case sheet is impossible, contradicts itself, or lacks what a rule needs."""


class EvidenceError(CuffError):
    """A published row is missing, doubled, malformed, or has no source."""


class ImageError(CuffError):
    """A picture cannot be read or cannot be measured."""


class FormatError(CuffError):
    """A file or record cannot be read or written in a format."""


class ArchiveError(CuffError):
    """The store refuses: the sequence is stale, the chain is broken, or the case is unknown."""


class OutsideValidity(CuffError):
    """The input lies outside the range in which the model may answer; the result is withheld."""
