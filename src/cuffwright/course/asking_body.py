"""What stands behind the numbers of the repair in the body and over time: meaning, formula, rows, limits."""

REST = (
    "From shape and greatest retraction only; the profile of the edge between them is taken from the meaning of the"
    " shape. Tensions of single shoulders differ as widely as the interval says."
)

BODY_TITLES = {
    "reduction": "Bringing the edge to bone",
    "arms": "At rest, by arm position",
    "carried": "What neighbours take",
    "cycles": "Gap over many pulls",
    "junction": "Musculotendinous junction",
    "later": "Contact after tension was lost",
}
"""Title of each number of the repair in the body, by the second half of its name."""

BODY: dict[str, tuple[str, str, tuple[str, ...], str]] = {
    "reduction": (
        "The passive tension of the muscle once the torn edge lies on its target, and whether the edge gets there.",
        "Independent columns: force per width grows exponentially with retraction and falls with abduction; the"
        " straight part of the retraction is taken by a turn, the rest must not bend faster than a limit.",
        ("tension.",),
        REST,
    ),
    "arms": (
        "Gap, most used member and contact under the passive tension alone, the arm held still.",
        "The repair is pulled with the muscle end free, the tendon uneven and the pull turned with the arm; the"
        " tendon's own pull round the bone is added to the contact: force per width times curvature.",
        ("tension.", "tendon.region", "tendon.modulus", "hole.", "suture."),
        REST
        + " Nothing of an active muscle is in it; the ends are those of the tension alone, without the model's error.",
    ),
    "carried": (
        "How far sound tendon beside the repair shares the load, at most.",
        "Sides held along the fibres as a sound sheet holds them (shear lag: thickness x pi / (2 length) x root of"
        " modulus times shear modulus).",
        ("tendon.modulus", "tendon.region"),
        "An upper bound: tendon beside a tear is often thin or torn under the surface.",
    ),
    "cycles": (
        "How far the edge has moved after many equal pulls.",
        "Every hole tears a slot that grows with load over capacity and number of pulls; a hole is lost when the slot"
        " reaches the edge. Without scatter; the ends are the error of the model.",
        ("cyclic.", "rule.load.", "model.error.gap"),
        "Pulls of a laboratory within hours; says nothing about healing tissue.",
    ),
    "junction": (
        "How often repairs fail beside the muscle instead of at the sutures, by where the most medial limb passes.",
        "A straight line from the published share at the junction to none at the distance that was spared; ends are"
        " exact bounds from few specimens.",
        ("junction.",),
        "Nine pairs of one bridging repair.",
    ),
    "later": (
        "Contact after sutures and tendon have relaxed.",
        "Tension times what two exponentials leave of it, then the contact as for the repair just tied.",
        ("relaxation.", "contact.", "layer."),
        "The loss is recalled from general tendon mechanics and unverified for the cuff.",
    ),
}
"""Meaning, formula, first letters of the rows it rests on, and limits, by the second half of its name."""
