"""The measures of a case as short sentences, the unknown ones first with what they block."""

from dataclasses import dataclass

from cuffwright.case.measurement import Measurement
from cuffwright.case.sheet import CaseSheet

WORDS: dict[str, tuple[str, str]] = {
    "tear.width_mm": ("Width of the tear, front to back", "the repair"),
    "tear.tissue": ("Tissue quality, felt in theatre", "a single answer; good, fair and poor are shown side by side"),
    "bone.quality": ("Bone quality, felt in theatre", "a single answer; good, fair and poor are shown side by side"),
    "tear.retraction_mm": ("Retraction of the edge", "the repair tension"),
    "tear.thickness_mm": ("Thickness of the tendon", "bearing of the holes; a published mean stands in, marked"),
    "tear.front_mm": ("Front edge of the tear behind the front of the footprint", "the place of the tear on the map"),
    "tear.partial_depth_mm": ("Depth of the partial tear", "a partial repair; does not apply to a full tear"),
    "tear.remaining_tendon_mm": ("Tendon left lateral of the muscle", "how far medially a limb may pass"),
    "tear.mobility": ("Mobility of the tendon", "whether the edge reaches the footprint"),
    "tear.shape": ("Shape of the tear", "the order of closing"),
    "bone.cortex_mm": ("Cortex of the tuberosity", "a finer estimate of anchor strength"),
    "bone.deltoid_tuberosity_index": ("Deltoid tuberosity index", "an estimate of bone before theatre"),
    "patient.age": ("Age", "the odds of a re-tear"),
    "biceps.torn_share": ("Torn share of the biceps", "advice about the biceps"),
    "subscapularis.height_mm": ("Height of the subscapularis tear", "a repair of the subscapularis"),
    "muscle.occupation_ratio": ("Occupation ratio of the supraspinatus", "the odds of a re-tear"),
    "muscle.tangent_positive": ("Tangent sign of the supraspinatus", "one of the reasons against a repair"),
    "footprint.head_radius_mm": ("Radius of the head", "the chart to this patient's size; a published mean stands in"),
    "footprint.ap_mm": ("Footprint, front to back", "the chart to this patient's size; a published mean stands in"),
    "footprint.ml_mm": ("Footprint, joint to wall", "the chart to this patient's size; a published mean stands in"),
    "acromion.critical_shoulder_angle_degrees": ("Critical shoulder angle", "the odds of a re-tear"),
    "acromion.acromiohumeral_interval_mm": ("Acromiohumeral interval", "the room under the acromion"),
    "shoulder.retroversion_degrees": ("Retroversion", "how sure reach is"),
    "judgement.glenoid_rim_mm": ("Distance from insertion to glenoid rim", "the last stage of retraction"),
}
"""What each measure is called, and what stays open without it."""

ORIGINS = {
    "image": "read on an image",
    "probe": "felt with the probe",
    "typed": "typed in",
    "scenario": "set by a scenario",
}

GRADES = ("tear.tissue", "tear.mobility", "tear.shape", "bone.quality")
"""Findings in words, listed with the measures."""


TANGENT = "muscle.tangent_positive"
"""A finding of yes or no, listed once it is known."""


@dataclass(frozen=True)
class Measure:
    """One measure in words: what it is, its value with unit and spread, its origin and trace, what it blocks."""

    path: str
    label: str
    value: str
    origin: str
    trace: str
    blocks: str

    @property
    def known(self) -> bool:
        """Whether there is a value."""
        return bool(self.value)


def measures(sheet: CaseSheet) -> list[Measure]:
    """Every measure of ``sheet``, the unknown ones first."""
    rows = [_measured(path, value) for path, value in sheet.measurements() if _applies(sheet, path)]
    for path in GRADES:
        part, name = path.split(".")
        found = getattr(getattr(sheet, part), name)
        label, blocks = WORDS[path]
        rows.append(Measure(path, label, found or "", "as entered" if found else "", "", blocks))
    sign = sheet.muscle.tangent_positive
    if sign is not None:
        label, blocks = WORDS[TANGENT]
        rows.append(Measure(TANGENT, label, "positive" if sign else "negative", "as entered", "", blocks))
    order = list(WORDS)
    return sorted(rows, key=lambda row: (row.known, order.index(row.path) if row.path in order else len(order)))


def unknown(sheet: CaseSheet) -> int:
    """How many measures are unknown."""
    return sum(not row.known for row in measures(sheet))


def _applies(sheet: CaseSheet, path: str) -> bool:
    """Whether a measure is listed; those of the shoulder that only narrow it are, once they are known."""
    if path.startswith("shoulder."):
        return path.removeprefix("shoulder.").removesuffix("_mm") in dict(sheet.shoulder.measured())
    return not (path == "tear.partial_depth_mm" and sheet.tear.full_thickness)


def _measured(path: str, found: Measurement | None) -> Measure:
    name = path.split(".")[-1]
    label, blocks = WORDS.get(
        path,
        (name.removesuffix("_mm").removesuffix("_degrees").replace("_", " ").capitalize(), "nothing in this release"),
    )
    if found is None:
        return Measure(path, label, "", "", "", blocks)
    unit = " mm" if name.endswith("_mm") else "°" if name.endswith("_degrees") else ""
    spread = f", SD {found.sd:g}{unit}" if found.sd else ", SD not given"
    return Measure(path, label, f"{found.value:g}{unit}{spread}", ORIGINS[found.origin], found.trace, blocks)
