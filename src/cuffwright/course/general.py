"""The cautions that stand on every screen and sheet about odds, rehabilitation and outcome."""

GENERAL = (
    "Decision support for a surgeon: it does not diagnose and does not replace imaging, examination or consent.",
    "Every rate stands with its source, year, people and imaging. Rates of one expert and of many hospitals differ by a"
    " factor of three.",
    "A rate of a group is not the risk of this patient. Where sources disagree a range is shown.",
    "Measures are kept as they were taken; classes are worked out from them and never stand alone.",
    "Structure and benefit are different: a retear does not always mean a poor score.",
)
"""For the surgeon and the therapist."""

GENERAL_PLAIN = (
    "This sheet helps you talk with your surgeon. It is no diagnosis. It does not replace scans, an exam or consent.",
    "The numbers come from groups of people. They are not your own risk.",
    "Studies do not agree. Numbers from one expert can be far better than numbers from many hospitals.",
    "A tendon that does not heal on a scan can still feel good. A healed tendon can still hurt.",
)
"""The same for patients, in plain words."""
