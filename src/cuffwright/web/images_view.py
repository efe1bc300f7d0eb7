"""Images as the browser sees them: series, slices, imports under way."""

from typing import Any

from cuffwright.case.identity import Side
from cuffwright.imaging.identity import check
from cuffwright.imaging.intake.series import Series
from cuffwright.imaging.measures.all_guides import possible
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.slice_plane import Vector, letters
from cuffwright.web.images_desk import Shelf
from cuffwright.web.images_import import Import

NO_DATE = "it carries no date"
"""What every stripped picture says of itself; the page says once that dates are removed."""

OPPOSITE = dict(zip("LRPAHF", "RLAPFH", strict=True))


def series_view(shelf: Shelf, side: Side) -> list[dict[str, Any]]:
    """Every series of a shelf with its pictures, what it can measure, and what is odd about it."""
    return [_series(number, one, side) for number, one in enumerate(shelf.series)]


def _series(number: int, one: Series, side: Side) -> dict[str, Any]:
    first = one[0]
    clues = {clue.source: clue.side for picture in one.pictures for clue in check(picture, side).clues}
    return {
        "number": number,
        "modality": one.modality,
        "plane": _plane(one),
        "edges": _edges(first),
        "rows": first.rows,
        "columns": first.columns,
        "aspect": first.pixel_aspect,
        "spacing": [first.scale.row_mm, first.scale.col_mm],
        "scale": one.plane,
        "scale_words": first.scale.source,
        "step": one.stack.step_mm if one.stack else None,
        "space": first.frame_of_reference_uid,
        "can_measure": one.can_measure,
        "guides": list(possible(one.modality, one.plane)),
        "notes": [note for note in one.notes if note != NO_DATE],
        "side": sorted(f"{said} by its {source}" for source, said in clues.items()),
        "side_fits": all(said == side for said in clues.values()),
        "pictures": [_picture(picture) for picture in one.pictures],
    }


def _picture(picture: Picture) -> dict[str, Any]:
    plane = picture.slice_plane
    return {
        "image": picture.sop_instance_uid,
        "frame": picture.frame,
        "name": picture.short_uid,
        "place": {
            "position": plane.position,
            "row": plane.along_row,
            "column": plane.along_column,
            "row_mm": plane.row_mm,
            "col_mm": plane.col_mm,
            "normal": plane.normal,
        }
        if plane
        else None,
    }


def _plane(one: Series) -> str:
    """The plane in words: the axis letters, since an oblique plane is not named by its largest component."""
    if one.letters is None:
        return "no place in the patient" if one.modality in {"MR", "CT"} else "projection"
    right, bottom, normal = one.letters
    return f"rows to {right}, columns to {bottom}, slices along {normal}"


def _edges(picture: Picture) -> dict[str, str]:
    """Letters on the four edges; empty where the file does not say."""
    right, bottom = "", ""
    if picture.slice_plane is not None:
        right, bottom = letters(picture.slice_plane.along_row), letters(picture.slice_plane.along_column)
    elif len(picture.patient_orientation) == 2:
        right, bottom = picture.patient_orientation
    return {"right": right, "bottom": bottom, "left": turned(right), "top": turned(bottom)}


def turned(word: str) -> str:
    """The letters of the opposite direction; empty when a letter is none of a direction."""
    return "".join(OPPOSITE[letter] for letter in word) if all(letter in OPPOSITE for letter in word) else ""


def import_view(job: Import) -> dict[str, Any]:
    """An import under way."""
    return {
        "name": job.name,
        "state": job.state,
        "done": job.done,
        "count": job.count,
        "words": job.words,
        "asks": list(job.asks),
        "aside": [{"name": one.name, "reason": one.reason} for one in job.aside],
        "notes": list(job.notes),
        "warnings": list(job.warnings),
    }


def rounded(vector: Vector) -> list[float]:
    """A place in the patient to the tenth of a mm."""
    return [round(v, 1) for v in vector]
