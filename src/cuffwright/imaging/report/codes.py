"""What measures, units and scale classes are called in codes.

Anatomy and units use codes of the standard's own subset (PS3.16; UCUM). Measures without a code there carry one of a
private scheme, whose designator begins with 99 (PS3.16, 8.2); its meanings are those of the guides, in docs/images.md.
"""

from pydicom.sr.coding import Code

from cuffwright.case.identity import Side
from cuffwright.imaging.measures.guide import Guide
from cuffwright.imaging.scale import Plane

SCHEME = "99CUFFWRIGHT"

UNITS = {
    "mm": Code("mm", "UCUM", "millimeter"),
    "degrees": Code("deg", "UCUM", "degree"),
    "ratio": Code("1", "UCUM", "no units"),
    "percent": Code("%", "UCUM", "percent"),
    "HU": Code("[hnsf'U]", "UCUM", "Hounsfield unit"),
}
"""Unit of a guide to its UCUM code."""

SHOULDER = Code("16982005", "SCT", "Shoulder")
PROCEDURE = Code("99CUFF-PLAN", SCHEME, "Measurement for planning of a repair of the rotator cuff")
SIDES: dict[Side, Code] = {"right": Code("24028007", "SCT", "Right"), "left": Code("7771000", "SCT", "Left")}

SITES = {
    "tear": Code("245100002", "SCT", "Tendon of rotator cuff of shoulder"),
    "muscle": Code("6423006", "SCT", "Supraspinatus muscle"),
    "footprint": Code("119524001", "SCT", "Proximal humerus"),
    "bone": Code("119524001", "SCT", "Proximal humerus"),
    "acromion": Code("31934006", "SCT", "Acromion process"),
}
"""Part of the case a measure belongs to, to the place it is measured at."""


NAMES = {
    "tear_width": "tear-width",
    "retraction": "retraction",
    "tendon_thickness": "tendon-thickness",
    "footprint_ap": "footprint-ap",
    "footprint_ml": "footprint-ml",
    "head_radius": "head-radius",
    "tuberosity": "tuberosity",
    "occupation_ratio": "occupation-ratio",
    "tangent_sign": "tangent-height",
    "fat_fraction": "fat-percent",
    "critical_shoulder_angle": "shoulder-angle",
    "acromial_index": "acromial-index",
    "lateral_acromial_angle": "lateral-angle",
    "acromiohumeral_interval": "ah-interval",
    "deltoid_tuberosity_index": "deltoid-index",
    "cortical_thickness": "shaft-cortex",
    "tuberosity_cortex": "tub-cortex",
    "bone_density": "bed-density",
}
"""Name of a guide to its code value, at most 16 letters (value representation SH); a value is never used twice."""

METHODS: dict[Plane, str] = {
    "patient": "scale-patient",
    "calibrated-fiducial": "scale-fiducial",
    "calibrated-geometry": "scale-geometry",
    "calibrated-unknown": "scale-confirmed",
    "detector": "scale-detector",
    "unknown": "scale-unknown",
    "none": "scale-none",
}
"""Scale class to its code value."""


def name_code(guide: Guide) -> Code:
    """The code of a measure."""
    return Code(NAMES[guide.name], SCHEME, guide.title)


def site_code(guide: Guide) -> Code:
    """The anatomical place of a measure: that of the field it fills, else the shoulder."""
    return SITES.get(guide.field.split(".")[0], SHOULDER)


def method_code(plane: Plane) -> Code:
    """The scale class as the method of a measurement."""
    return Code(METHODS[plane], SCHEME, f"Scale class: {plane}")
