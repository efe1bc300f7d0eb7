"""What each measure and finding of a case is called, and what stays open without it."""

SCALE = "the chart to this patient's size; a published mean stands in"
THREE = "a single answer; good, fair and poor are shown side by side"
ODDS = "the odds of a re-tear"
NARROWS = "how sure reach is"
KIND = "which patterns fit"
NOTHING = "nothing in this release"

WORDS: dict[str, tuple[str, str]] = {
    "tear.width_mm": ("Width of the tear, front to back", "the repair"),
    "tear.tissue": ("Tissue quality, felt in theatre", THREE),
    "bone.quality": ("Bone quality, felt in theatre", THREE),
    "tear.retraction_mm": ("Retraction of the edge", "the repair tension"),
    "tear.thickness_mm": ("Thickness of the tendon", "bearing of the holes; a published mean stands in, marked"),
    "tear.front_mm": ("Front edge of the tear behind the front of the footprint", "the place of the tear on the map"),
    "tear.partial_depth_mm": ("Depth of the partial tear", "a partial repair; does not apply to a full tear"),
    "tear.remaining_tendon_mm": ("Tendon left lateral of the muscle", "how far medially a limb may pass"),
    "tear.mobility": ("Mobility of the tendon", "whether the edge reaches the footprint"),
    "tear.shape": ("Shape of the tear", "the order of closing"),
    "tear.operative_tension_newtons": (
        "Pull that brought the edge over its retraction, at surgery",
        "the passive tension of this muscle; a published curve stands in",
    ),
    "bone.cortex_mm": ("Cortex of the tuberosity", NOTHING),
    "bone.deltoid_tuberosity_index": ("Deltoid tuberosity index", NOTHING),
    "patient.age": ("Age", ODDS),
    "biceps.torn_share": ("Torn share of the biceps", "advice about the biceps"),
    "subscapularis.height_mm": ("Height of the subscapularis tear", NOTHING),
    "muscle.occupation_ratio": ("Occupation ratio of the supraspinatus", ODDS),
    "footprint.head_radius_mm": ("Radius of the head", SCALE),
    "footprint.ap_mm": ("Footprint, front to back", SCALE),
    "footprint.ml_mm": ("Footprint, joint to wall", SCALE),
    "acromion.critical_shoulder_angle_degrees": ("Critical shoulder angle", ODDS),
    "acromion.acromiohumeral_interval_mm": ("Acromiohumeral interval", "the room under the acromion"),
    "shoulder.retroversion_degrees": ("Retroversion", NARROWS),
    "judgement.glenoid_rim_mm": ("Distance from insertion to glenoid rim", "the last stage of retraction"),
}
"""Measures that are listed, in the order in which they are asked for: name, and what stays open without it."""

FINDINGS: dict[str, tuple[str, str]] = {
    "tear.tendons": ("Torn tendons", KIND),
    "tear.full_thickness": ("Full thickness", KIND),
    "tear.limb_side": ("Side of the limb of an L-shaped tear", "where side-to-side stitches run"),
    "tear.delaminated": ("Delaminated", NOTHING),
    "tear.long_standing": ("Long standing, months old", "how stiff the muscle is taken"),
    "tear.remeasured_after_debridement": ("Remeasured after debridement", "the note that asks for it"),
    "tear.missing_tissue": ("Missing tissue, drawn", "where there is no tendon even when the edge is brought over"),
    "muscle.supraspinatus_fat": ("Fatty infiltration of supraspinatus, 0 to 4", ODDS),
    "muscle.infraspinatus_fat": ("Fatty infiltration of infraspinatus, 0 to 4", ODDS),
    "muscle.subscapularis_fat": ("Fatty infiltration of subscapularis, 0 to 4", NOTHING),
    "muscle.modality": ("Images the fat was graded on", NOTHING),
    "muscle.tangent_positive": ("Tangent sign, muscle below the tangent", ODDS),
    "biceps.present": ("Long head of biceps present", NOTHING),
    "biceps.unstable": ("Biceps unstable in its groove", NOTHING),
    "biceps.tenderness": ("Biceps tender", NOTHING),
    "subscapularis.torn": ("Subscapularis torn", "the note that no pattern repairs it"),
    "subscapularis.full_thickness": ("Subscapularis torn through", NOTHING),
    "acromion.type": ("Type of the acromion", "the form of the acromion; a flat one stands in"),
    "patient.sex": ("Sex", "a shoulder of its own sex; the mean of both stands in"),
    "patient.smoker": ("Smoker", NOTHING),
    "patient.diabetes": ("Diabetes", NOTHING),
    "patient.bone_density_t_score": ("Bone density, T-score", ODDS),
    "patient.dominant_arm": ("Dominant arm", NOTHING),
    "patient.work": ("Load at work", ODDS),
    "patient.earlier_repair": ("Repaired before", ODDS),
    "identity.operation_date": ("Date of the operation", "days and weeks of everything that follows it"),
    "identity.image_date": ("Date of the images", "how old the images are"),
    "identity.title": ("Title of the case", "a name in the case list"),
    "plan.medial_implant": ("Anchor planned in the medial row", "the pattern's own choice"),
    "plan.lateral_implant": ("Anchor planned in the lateral row", "the pattern's own choice"),
    "plan.half_hitches": ("Reversed half hitches on each knot", "the usual three"),
    "plan.insertion": ("How deep anchors sit", "as intended"),
}
"""Findings by eye and hand, of the patient and of the plan, asked for after the measures."""


def label_of(path: str) -> str:
    """What the field at ``path`` is called."""
    known = WORDS.get(path) or FINDINGS.get(path)
    if known:
        return known[0]
    name = path.split(".")[-1]
    return name.removesuffix("_mm").removesuffix("_degrees").replace("_", " ").capitalize()
