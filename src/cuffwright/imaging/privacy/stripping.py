"""One data set stripped: every attribute of the profile, at every depth, and what no profile can know.

Beyond the table: private and unknown attributes, whole overlay and curve groups, padding and every date or name the
table does not list are removed; every UID that is not one of the standard's own is replaced; and text that repeats
an identifier of this patient in an attribute the table leaves alone is removed as well.
"""

import hashlib
import hmac
from collections.abc import Iterator, MutableSequence
from dataclasses import dataclass, field

from pydicom.datadict import dictionary_has_tag
from pydicom.dataset import Dataset
from pydicom.tag import BaseTag
from pydicom.uid import UID

from cuffwright.imaging.header import PIXEL_KEYWORDS
from cuffwright.imaging.privacy.profile import RETAINED_CHARACTERISTICS, Deed, deed_for

OWN_ROOT = "1.2.840.10008."
"""UIDs of the standard itself, which name kinds of things and no patient."""

UID_BYTES = 16
"""Numerical choice: bytes of the digest that make a UID under 2.25 (PS3.5, B.2)."""

LEAST_LETTERS = 4
"""Numerical choice: identifiers shorter than this are not searched for in other text; they occur by chance."""

REPEATING_GROUPS = (0x5000, 0x6000)
"""Curve and overlay groups, which are removed whole."""

IDENTIFIERS = (
    "PatientName",
    "PatientID",
    "PatientBirthDate",
    "OtherPatientIDs",
    "OtherPatientNames",
    "PatientBirthName",
    "PatientMotherBirthName",
    "PatientAddress",
    "PatientTelephoneNumbers",
    "AccessionNumber",
    "ReferringPhysicianName",
    "PerformingPhysicianName",
    "OperatorsName",
    "InstitutionName",
    "InstitutionAddress",
    "RequestingPhysician",
)
"""Attributes whose words are looked for in all text that is left."""

CALIBRATION_TEXT = "PixelSpacingCalibrationDescription"
"""Free text that the profile's table leaves alone; it is removed wherever it stands."""

DUMMIES = {
    "PN": "REMOVED",
    "DA": "19000101",
    "TM": "000000",
    "DT": "19000101000000",
    "AS": "000Y",
    "IS": "0",
    "DS": "0",
    "CS": "REMOVED",
    "AE": "REMOVED",
    "LO": "REMOVED",
    "SH": "REMOVED",
    "LT": "REMOVED",
    "ST": "REMOVED",
    "UT": "REMOVED",
    "UC": "REMOVED",
    "UR": "removed:",
}
"""What stands in for a value that must be there, by value representation; anything else is emptied."""


@dataclass
class Stripper:
    """Strips data sets of one import alike, so that references between them still resolve.

    ``key`` makes the new UIDs: the same key and UID give the same one, and without the key there is no way back.
    ``link`` fills with new and old UID when ``keep_link`` is set, else it stays empty.
    """

    key: bytes
    keep_characteristics: bool = False
    keep_link: bool = False
    link: dict[str, str] = field(default_factory=dict)

    def strip(self, dataset: Dataset) -> None:
        """Strip ``dataset`` in place, at every depth."""
        spoken = identifying_words(dataset)
        self._strip(dataset)
        _remove_spoken(dataset, spoken)

    def new_uid(self, old: str) -> str:
        """The UID that stands for ``old``; the standard's own stay as they are."""
        if not old or old.startswith(OWN_ROOT):
            return old
        digest = hmac.new(self.key, old.encode(), hashlib.sha256).digest()[:UID_BYTES]
        made = f"2.25.{int.from_bytes(digest, 'big')}"
        if self.keep_link:
            self.link[made] = old
        return made

    def _strip(self, dataset: Dataset) -> None:
        for tag in list(dataset.keys()):
            # damaged values raise nearly anything when they are read; such an element is not kept
            try:
                self._treat(dataset, BaseTag(tag))
            except Exception:
                dataset._dict.pop(BaseTag(tag), None)

    def _treat(self, dataset: Dataset, tag: BaseTag) -> None:
        if _not_kept(tag):
            del dataset[tag]
            return
        element = dataset[tag]
        deed = self._deed(element.keyword, tag, element.VR)
        if element.VR == "UN" or deed == "remove":
            del dataset[tag]
        elif element.VR == "SQ":
            self._sequence(dataset, tag, deed)
        elif deed == "new uid" or element.VR == "UI":
            element.value = self._uids(element.value)
        elif deed == "dummy":
            element.value = DUMMIES.get(element.VR)
        elif deed == "empty":
            element.value = None

    def _deed(self, keyword: str, tag: BaseTag, vr: str) -> Deed | None:
        if self.keep_characteristics and keyword in RETAINED_CHARACTERISTICS:
            return None
        found = deed_for(tag)
        if keyword == CALIBRATION_TEXT or (found is None and vr in {"PN", "DA", "DT", "TM"}):
            return "remove"
        return found

    def _sequence(self, dataset: Dataset, tag: BaseTag, deed: Deed | None) -> None:
        if deed in {"dummy", "empty"}:
            dataset[tag].value = []
            return
        for item in dataset[tag].value:
            self._strip(item)

    def _uids(self, value: object) -> object:
        if isinstance(value, str):
            return UID(self.new_uid(value))
        if isinstance(value, MutableSequence):
            return [UID(self.new_uid(str(one))) for one in value]
        return value


def _not_kept(tag: BaseTag) -> bool:
    """Private, unknown, group lengths, padding, curves and overlays."""
    if tag.is_private or tag.element == 0 or tag.group == 0xFFFC:
        return True
    if any(first <= tag.group <= first + 0xFF for first in REPEATING_GROUPS):
        return True
    return not dictionary_has_tag(tag)


def identifying_words(dataset: Dataset) -> frozenset[str]:
    """The words of this patient's identifiers, in small letters, that are long enough to be searched for."""
    found: set[str] = set()
    for keyword in IDENTIFIERS:
        try:
            value = str(dataset.get(keyword, "") or "")
        except Exception:
            # a damaged identifier cannot be searched for; the element itself is removed with the profile
            continue
        whole = value.strip().lower()
        parts = whole.replace("^", " ").replace("=", " ").replace("\\", " ").split()
        found |= {word for word in (whole, *parts) if len(word) >= LEAST_LETTERS}
    return frozenset(found)


def _remove_spoken(dataset: Dataset, words: frozenset[str]) -> None:
    for holder, tag in list(_texts(dataset)):
        text = str(holder[tag].value).lower()
        if any(word in text for word in words):
            del holder[tag]


def _texts(dataset: Dataset) -> Iterator[tuple[Dataset, BaseTag]]:
    """Every text element at every depth."""
    for element in dataset:
        if element.VR == "SQ":
            for item in element.value:
                yield from _texts(item)
        elif element.keyword not in PIXEL_KEYWORDS and element.VR in {"LO", "SH", "LT", "ST", "UT", "UC", "CS", "AE"}:
            yield dataset, element.tag
