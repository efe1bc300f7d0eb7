"""Series built from pictures by geometry: what lies parallel in one space is one series, whatever the files say."""

from collections.abc import Sequence
from dataclasses import dataclass

from cuffwright.imaging.intake.stack import Stack, same_orientation, stack_of
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.scale import MEASURABLE, Plane
from cuffwright.imaging.slice_plane import letters


@dataclass(frozen=True)
class Series:
    """One series: pictures by index, in the order of their place, and how far they can be measured.

    ``stack`` is there when the pictures lie parallel in the patient; ``letters`` name right edge, bottom edge and
    normal then. ``number`` counts from 1 over the import. ``notes`` say what is odd, in words.
    """

    number: int
    uid: str
    modality: str
    pictures: tuple[Picture, ...]
    stack: Stack | None
    notes: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.pictures)

    def __getitem__(self, index: int) -> Picture:
        return self.pictures[index]

    @property
    def plane(self) -> Plane:
        """The scale class of the series: that of its least trusted picture."""
        order: tuple[Plane, ...] = (
            "none",
            "unknown",
            "detector",
            "calibrated-unknown",
            "calibrated-geometry",
            "calibrated-fiducial",
            "patient",
        )
        return min((picture.plane for picture in self.pictures), key=order.index)

    @property
    def measurable(self) -> bool:
        """Whether lengths in mm can be given on every picture."""
        return self.plane in MEASURABLE

    @property
    def letters(self) -> tuple[str, str, str] | None:
        """Letters of the right edge, the bottom edge and the normal, or nothing without a place in the patient."""
        plane = self.pictures[0].slice_plane
        return None if plane is None else (letters(plane.along_row), letters(plane.along_column), letters(plane.normal))

    @property
    def can_measure(self) -> str:
        """In words: what the scale of the series allows."""
        if self.plane == "patient":
            return "lengths, angles and ratios"
        if self.plane in MEASURABLE:
            return "lengths at the depth of its calibration, angles and ratios"
        if self.modality in {"CR", "DX", "RF", "XA", "RG"}:
            return "angles and ratios; lengths only after an object of known size is marked"
        return "cannot be measured"


def series_of(pictures: Sequence[Picture]) -> tuple[Series, ...]:
    """Sort pictures into series; a series whose pictures lie in several orientations or sizes is split, and says so."""
    by_uid: dict[tuple[str, str], list[Picture]] = {}
    for picture in pictures:
        by_uid.setdefault((picture.study_uid, picture.series_uid), []).append(picture)
    found: list[Series] = []
    for (_, uid), together in by_uid.items():
        groups = _groups(together)
        for group in groups:
            found.append(_series(len(found) + 1, uid, group, len(groups)))
    return tuple(found)


def _groups(pictures: Sequence[Picture]) -> list[list[Picture]]:
    """Pictures alike in space, size, spacing and orientation."""
    groups: list[list[Picture]] = []
    for picture in pictures:
        for group in groups:
            if _alike(group[0], picture):
                group.append(picture)
                break
        else:
            groups.append([picture])
    return groups


def _alike(one: Picture, other: Picture) -> bool:
    size = (one.rows, one.columns, one.modality, one.frame_of_reference_uid, one.sop_class_uid, one.plane)
    if size != (
        other.rows,
        other.columns,
        other.modality,
        other.frame_of_reference_uid,
        other.sop_class_uid,
        other.plane,
    ):
        return False
    if one.slice_plane is None or other.slice_plane is None:
        return one.slice_plane is other.slice_plane and (one.scale.row_mm, one.scale.col_mm) == (
            other.scale.row_mm,
            other.scale.col_mm,
        )
    spacing = (one.slice_plane.row_mm, one.slice_plane.col_mm) == (other.slice_plane.row_mm, other.slice_plane.col_mm)
    return spacing and same_orientation(one.slice_plane, other.slice_plane)


def _series(number: int, uid: str, pictures: list[Picture], parts: int) -> Series:
    notes = []
    if parts > 1:
        notes.append(f"the files call {parts} groups of different orientation, size or spacing one series; split")
    stack = None
    if pictures[0].slice_plane is not None:
        stack = stack_of(pictures)
        pictures = list(stack.pictures)
        notes.extend(stack.notes)
    elif len(pictures) > 1 and pictures[0].modality in {"CT", "MR"}:
        notes.append("its slices carry no place in the patient: they are shown in the order read, and not stacked")
    notes.extend(_shared_warnings(pictures))
    return Series(number, uid, pictures[0].modality, tuple(pictures), stack, tuple(notes))


def _shared_warnings(pictures: Sequence[Picture]) -> list[str]:
    """The warnings of the pictures, each once, with how many carry it where not all do."""
    counts: dict[str, int] = {}
    for picture in pictures:
        for note in dict.fromkeys(picture.warnings):
            counts[note] = counts.get(note, 0) + 1
    every = len(pictures)
    return [note if count == every else f"{note} (on {count} of {every})" for note, count in counts.items()]
