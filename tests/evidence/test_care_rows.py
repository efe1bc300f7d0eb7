"""The rows of judgement, operation, rehabilitation and follow-up, entered a second time from the dossier."""

import pytest

from cuffwright.evidence.book import load_book

CLASSES = {
    "class.size.medium": 1,
    "class.size.large": 3,
    "class.size.massive": 5,
    "class.twofour.2": 2,
    "class.twofour.3": 4,
    "class.massive.tendons": 2,
    "class.massive.uncovered": 0.67,
    "class.shape.long": 2,
    "class.depth.half": 0.5,
    "class.angle.35": 35,
    "class.angle.38": 38,
    "class.angle.odds": (5.35, 2.02, 14.15),
}
"""Surg Gynecol Obstet 1982; Clin Orthop 1990; J Shoulder Elbow Surg 2020; Arthroscopy 2010; Arch Orthop 2022."""

ODDS = {
    "retear.dominance.wide": 0.314,
    "retear.dominance.long": 0.044,
    "retear.dominance.ratio": 1.5,
    "retear.weeks.mean": 19.2,
    "retear.weeks.sure": 26,
    "reparable.cut": 2,
    "retear.tension.medium": 26,
    "retear.tension.large": 35,
    "retear.tension.massive": 35.6,
    "construct.double.any.2019": (0.58, 0.43, 0.78),
    "construct.double.full.2019": (0.71, 0.45, 1.11),
    "construct.double.partial.2025": (0.50, 0.28, 0.89),
    "construct.double.full.2025": (0.76, 0.36, 1.60),
}
"""A cohort of 80 tears; J Bone Joint Surg Am 2013; World J Orthop 2022; Arthroscopy 2019, 2021; guidelines."""

JUDGEMENT = {
    "against.fat": 3,
    "against.tangent.repairable": 0.029,
    "against.tangent.irreparable": 0.611,
    "against.pseudoparalysis.repairable": 0.065,
    "against.pseudoparalysis.irreparable": 0.368,
    "guideline.constant": (9.6, 3.6, 15.7),
    "guideline.ases": (15.7, 9.3, 22.1),
    "guideline.grown.full": 0.549,
    "guideline.grown.partial": 0.267,
    "bonework.acromion.later": (1.20, 1.09, 1.34),
    "bonework.acromion.ases": 2.93,
    "bonework.clavicle.trial": 58,
    "bonework.clavicle.review": 1572,
    "risk.months6.any": 0.185,
    "risk.months6.stiffness": 0.076,
    "risk.months6.pain": 0.034,
    "risk.months6.cuff": 0.031,
    "risk.months6.nerve": 0.017,
    "risk.months6.infection": 0.008,
    "risk.months6.device": 0.007,
    "risk.stiff.weeks12": 0.073,
    "risk.stiff.year": 0.016,
    "risk.revision": 0.0838,
    "risk.clot": (0.0026, 0, 0.0571),
}
"""Arthroscopy 2018, 2020, 2021 (1661 repairs); JBJS Open Access 2024; guideline of 2025; JSES Int 2021."""

OPERATION = {
    "view.difference": 49,
    "view.epinephrine": 0.33,
    "view.fluid": 205,
    "brain.drop.2013": 0.77,
    "brain.drop.page": 0.735,
    "brain.concern": (80, 70, 80),
    "brain.ear": (11, 10, 12),
    "brain.fall": 0.2,
}
"""Arthroscopy 1995; J Shoulder Elbow Surg 2024; Orthop J Sports Med 2018; self-test of 2013; newsletters."""

REHAB = {
    "rehab.early.allowed": 3,
    "rehab.early.blocked": 5,
    "rehab.early.large.early": 0.522,
    "rehab.early.large.late": 0.226,
    "rehab.early.trials": (1.05, 0.64, 1.75),
    "rehab.early.week": (3, 3, 6),
    "rehab.work.share": 0.623,
    "rehab.work.months": 8.15,
    "rehab.driving.weeks": 2,
    "rehab.sport.back": (0.84, 0.84, 0.886),
    "rehab.sport.same": (0.66, 0.66, 0.779),
    "rehab.sport.reviews": 10,
    "rehab.overhead.back": 0.754,
    "rehab.overhead.same": 0.625,
}
"""Am J Sports Med 2015, 2016, 2021; Korean J Sports Med 2019; J Orthop Traumatol 2023; PLoS One 2021; JBJS 2022."""

PRACTICE = {
    "practice.errors.inner": 1.96,
    "practice.errors.outer": 3.09,
    "practice.tail.inner": 0.025,
    "practice.tail.outer": 0.001,
    "practice.exact.below": 100,
    "practice.target.hospitals": 0.4378,
    "practice.target.expert": (0.17, 0.13, 0.17),
    "practice.odds": 2,
    "practice.limit": 4.5,
    "practice.better.odds": 0.5,
    "practice.better.limit": 4,
    "practice.limit.quick": 3,
    "practice.limit.middle": 3.5,
    "practice.calibrate": (50, 50, 100),
    "practice.followup.claim": 0.8,
    "practice.followup.warn": 0.6,
    "practice.followup.year1": 0.58,
    "practice.followup.year2": 0.51,
}
"""Stat Med 2005; Biostatistics 2000; Acta Orthop 2017; JBJS 2017; Arthroscopy 2020; Arthrosc Sports Med 2023."""

MONTHS = {
    "recovery.ases": (5.77, 6.22, 7.23),
    "recovery.sane": (6.25, 7.05, 9.26),
    "recovery.constant": (6.94, 7.13, 8.66),
}
"""Mean months until mcid, scb, pass in 203 repairs (Am J Sports Med 2020)."""

NORMS = {
    "1986": (
        (21, 31, 41, 51, 61, 71, 81, 91),
        (98, 93, 92, 90, 83, 75, 66, 56),
        (97, 90, 80, 73, 70, 69, 64, 52),
    ),
    "2005a": ((21, 31, 41, 51, 61, 71), (94, 94, 93, 91, 90, 86), (86, 86, 85, 83, 82, 81)),
    "2005b": ((18, 30, 40, 50, 60, 70), (95, 95, 96, 94, 92, 88), (88, 87, 86, 84, 83, 81)),
}
"""First age of each band, men, women (thesis of 1986; two tables of J Shoulder Elbow Surg 2005), from memory."""


@pytest.mark.parametrize(
    "table", [CLASSES, ODDS, JUDGEMENT, OPERATION, REHAB, PRACTICE], ids=["a", "b", "c", "f", "e", "h"]
)
def test_each_row_says_what_its_source_says(table):
    """Value, low and high of every row stand as entered a second time from the dossier."""
    book = load_book()
    for key, told in table.items():
        row = book.fact(key)
        if isinstance(told, tuple):
            assert (row.value, row.low, row.high) == told, key
        else:
            assert row.value == told, key


def test_the_months_of_recovery_and_the_norms_stand_as_published():
    """Nine means of months and forty normal values with the ages from which they hold."""
    book = load_book()
    for score, months in MONTHS.items():
        assert tuple(book.fact(f"{score}.{kind}").value for kind in ("mcid", "scb", "pass")) == months
    for table, columns in NORMS.items():
        for name, values in zip(("from", "male", "female"), columns, strict=True):
            assert tuple(book.fact(f"norm.{table}.{name}.{band}").value for band in range(len(values))) == values
