"""How far can I trust this? The kept proof as a drawn page: published, accepted, ours and the null model beside it."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import log

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from cuffwright.case.fact import FactBook
from cuffwright.course.proof.error import measured_errors
from cuffwright.course.proof.row import Proof, ProofRow
from cuffwright.exchange.proof_file import kept_proof
from cuffwright.exchange.proof_page import band, error_words, mark, number, skill_words
from cuffwright.web.rendering import page

trust = APIRouter(include_in_schema=False)

WIDTH, INSET = 360, 14
"""Numerical choice: width of a row's drawing and its margin, CSS pixels."""
FURTHEST = 4.0
"""Numerical choice: the drawing ends at this many times the published value and at as small a part of it."""
TICKS = ((0.25, "¼"), (0.5, "½"), (1.0, "published"), (2.0, "2×"), (4.0, "4×"))

GROUPS: dict[str, tuple[str, ...]] = {
    "Strength": ("ultimate", "yield", "ultimate-per-limb"),
    "Gap, stiffness and strain": (
        *("gap", "gap-cycled", "gap-front-over-back", "gap-per-limb"),
        *("stiffness", "elongation", "strain", "cycles-to-gap"),
    ),
    "Contact of tendon and bone": ("area", "pressure", "force"),
    "What gives way": ("first-in-tendon",),
}
"""Readings drawn under each heading; every other row is a direction or an order and is told in words."""

ROLES = ("blind", "seen", "calibrated")


@dataclass(frozen=True)
class Drawn:
    """A row on the common scale, CSS pixels; None where there is no number, ``beyond`` where one is off the scale."""

    row: ProofRow
    words: str
    low: float
    high: float
    ours: float | None
    null: float | None
    beyond: tuple[str, ...]


def place(share: float) -> float:
    """Where a value of ``share`` times the published one stands, clipped to the scale."""
    clipped = min(max(share, 1 / FURTHEST), FURTHEST)
    return round(WIDTH / 2 + (WIDTH / 2 - INSET) * log(clipped) / log(FURTHEST), 1)


def drawn(row: ProofRow) -> Drawn:
    """Put one row on the scale; its ``words`` say all that the drawing shows."""
    shares = {name: value / row.published for name, value in _values(row).items() if value is not None}
    beyond = tuple(n for n, share in shares.items() if not 1 / FURTHEST <= share <= FURTHEST)
    places = {name: place(share) for name, share in shares.items()}
    low, high = sorted((places["low"], places["high"]))
    words = f"Published {number(row.published)}, accepted {band(row)}, model {number(row.computed)}"
    words += f", null model {number(row.null_model)}" if row.null_model is not None else ", no null model"
    return Drawn(
        row, f"{words} {row.unit if row.unit != '-' else ''}".strip() + f": {mark(row)}.",
        low, high, places.get("model"), places.get("null model"), beyond,
    )  # fmt: skip


def _values(row: ProofRow) -> dict[str, float | None]:
    return {"low": row.low, "high": row.high, "model": row.computed, "null model": row.null_model}


def groups(proof: Proof) -> Iterator[tuple[str, list[Drawn]]]:
    """The drawn rows by heading, blind ones first."""
    for title, measures in GROUPS.items():
        rows = sorted((r for r in proof.rows if r.measure in measures), key=lambda r: ROLES.index(r.role))
        yield title, [drawn(row) for row in rows]


def told(proof: Proof) -> list[ProofRow]:
    """The rows that are directions or orders, blind ones first."""
    drawn_measures = {measure for measures in GROUPS.values() for measure in measures}
    return sorted((r for r in proof.rows if r.measure not in drawn_measures), key=lambda r: ROLES.index(r.role))


@cache
def _kept() -> Proof:
    return kept_proof()


def sums(proof: Proof, book: FactBook) -> dict[str, list[str]]:
    """The sums of the table and the measured errors, in sentences."""
    counts = [
        f"{role}: {within} within the accepted band, {outside} missed, {left} not computed"
        for role, (within, outside, left) in proof.counts.items()
    ]
    errors = [error_words(error, book) for error in measured_errors(proof)]
    return {"counts": counts, "skills": [skill_words(skill) for skill in proof.skills], "errors": errors}


def beside_counting(proof: Proof) -> str:
    """Whether the mechanics or a count of limbs misses the blind values by less, in one sentence with both numbers."""
    found = [s for s in proof.skills if s.other == "null model by limbs" and s.name.startswith("blind")]
    if not found or found[0].theirs is None:
        return "There is no blind value on which the model and a count of limbs can be compared."
    one, theirs = found[0], found[0].theirs
    how = "less" if one.ours < theirs else "more"
    return (
        f"On the {one.count} blind values that both give, the model is off by {how} than a bare count of the limbs on"
        f" the tendon: {one.ours:.1f} against {theirs:.1f} squared published SDs in the mean."
    )


@trust.get("/trust")
def how_far(request: Request) -> HTMLResponse:
    """The page."""
    proof, book = _kept(), request.app.state.bench.book
    ticks = [(place(share), words) for share, words in TICKS]
    return page(
        request, "trust.html", groups=list(groups(proof)), told=told(proof), mark=mark, ticks=ticks, width=WIDTH,
        proof=proof, beside=beside_counting(proof), stale=proof.edition != book.edition, **sums(proof, book),
    )  # fmt: skip
