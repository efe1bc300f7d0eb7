"""How far can I trust this? The proof as a page of the papers and as a plain HTML fragment."""

from collections.abc import Iterator, Sequence
from html import escape

from cuffwright.case.fact import FactBook
from cuffwright.course.proof.bench import Bench
from cuffwright.course.proof.error import MeasuredError, measured_errors
from cuffwright.course.proof.row import Proof, ProofRow, Skill

TITLE = "How far can I trust this?"
LEGEND = (
    "Calibrated: a number of the model was fitted to it, so it proves nothing. Seen: known while choices were made, so"
    " it proves little; all rows of the design's own table count as seen, even those it called blind. Blind: neither."
    " Set-ups: ours over what the source leaves open, where it can be read. Factor on: ours with the"
    " contested bridging factor. Null: strength = holes x a constant, area = limbs x a constant."
)
INTRODUCTION = (
    "Each published bench is set up again and pulled, cycled or pressed by the model, with laboratory scatter, an"
    " intact donor tendon and one strength for all anchors. A row passes when ours lies in the band stated before."
    " Where ours misses, the miss is printed. The set-ups are data, with ranges where the source is silent:"
    " `src/cuffwright/evidence/benches`."
)
HEADS = ("", "Quantity", "Unit", "Published", "Band", "Ours", "Set-ups", "Factor on", "Null", "Role", "Result")
SIGNS = "Unit sign: 1 up, or as the words say; -1 down, or the contrary; 0 neither."


def number(value: float | None) -> str:
    """A number with three digits, or a dash."""
    return "-" if value is None else f"{value:.3g}"


def band(row: ProofRow) -> str:
    """The accepted band."""
    return span(row.low, row.high) if row.low != row.high else number(row.low)


def span(low: float | None, high: float | None) -> str:
    """Two ends, or a dash."""
    return "-" if low is None or high is None else f"{low:.3g} to {high:.3g}"


def mark(row: ProofRow) -> str:
    """Within or missed by how much; not computed and why."""
    if row.passed is None or row.computed is None:
        return f"not computed, needs {row.needs}"
    off = row.misfit(row.computed)
    size = f", {off:+.1f} SD" if off is not None else ""
    return f"within{size}" if row.passed else f"MISSED{size}"


def skill_words(skill: Skill) -> str:
    """One sum at the foot in words."""
    theirs = "" if skill.theirs is None else f"; {skill.other} {skill.theirs:.2f}"
    return f"mean squared misfit, {skill.name} ({skill.count}): ours {skill.ours:.2f}{theirs} published SDs squared"


def error_words(error: MeasuredError, book: FactBook) -> str:
    """One measured error beside the row in force, in words."""
    blind = "no blind row" if error.blind is None else f"{error.blind:.2f} on blind rows"
    return (
        f"{error.key}: {blind}, {error.unfitted:.2f} on all rows not fitted ({', '.join(error.rows)});"
        f" in force {book.fact(error.key).value:g}"
    )


def _cells(row: ProofRow) -> tuple[str, ...]:
    return (
        row.id,
        row.quantity,
        row.unit,
        number(row.published),
        band(row),
        number(row.computed),
        span(row.setup_low, row.setup_high),
        number(row.contested),
        number(row.null_model),
        row.role,
        mark(row),
    )


def _groups(proof: Proof, benches: Sequence[Bench]) -> Iterator[tuple[Bench, list[ProofRow]]]:
    known = {row.id: row for row in proof.rows}
    for bench in benches:
        yield bench, [known[target.id] for target in bench.targets]


def _remarks(rows: Sequence[ProofRow]) -> Iterator[str]:
    for row in rows:
        if row.note:
            yield f"{row.id}: {row.note}."
        if row.apart:
            yield f"{row.id} is kept out of some sums: {row.apart}."


def _counts(proof: Proof) -> Iterator[str]:
    for role, (within, outside, open_) in proof.counts.items():
        yield f"{role}: {within} within the band, {outside} outside, {open_} not computed"


def _foot(proof: Proof) -> str:
    return (
        f"Made by `cuffwright prove --page docs/proof.md` with {proof.draws} draws, seed {proof.seed}, version"
        f" {proof.version}, evidence edition {proof.edition}."
    )


def markdown(proof: Proof, benches: Sequence[Bench], book: FactBook) -> str:
    """The page of the papers, whole."""
    lines = [f"# {TITLE}", "", INTRODUCTION, "", LEGEND, "", SIGNS, "", "## The sums", ""]
    lines += [f"- {words}" for words in _counts(proof)]
    lines += [f"- {skill_words(skill)}" for skill in proof.skills]
    lines += ["", "The error of the model, as SD of ln(ours / published):", ""]
    lines += [f"- {error_words(error, book)}" for error in measured_errors(proof)]
    for bench, rows in _groups(proof, benches):
        lines += ["", f"## {bench.title}", "", bench.protocol, ""]
        lines += [f"- {construct.name}: {construct.title}" for construct in bench.constructs]
        lines += ["", f"| {' | '.join(HEADS)} |", f"|{'---|' * len(HEADS)}"]
        lines += [f"| {' | '.join(_cells(row))} |" for row in rows]
        remarks = list(_remarks(rows))
        lines += ["", *remarks] if remarks else []
    return "\n".join([*lines, "", _foot(proof), ""])


def html(proof: Proof, benches: Sequence[Bench], book: FactBook) -> str:
    """The same as a plain HTML fragment without styles, for a page to hold."""
    parts = [f"<h2>{escape(TITLE)}</h2>", *(f"<p>{escape(words)}</p>" for words in (INTRODUCTION, LEGEND, SIGNS))]
    sums = [*_counts(proof), *map(skill_words, proof.skills)]
    sums += [error_words(error, book) for error in measured_errors(proof)]
    parts.append(f"<ul>{''.join(f'<li>{escape(words)}</li>' for words in sums)}</ul>")
    for bench, rows in _groups(proof, benches):
        parts += [f"<h3>{escape(bench.title)}</h3>", f"<p>{escape(bench.protocol)}</p>", _table(rows)]
        parts += [f"<p>{escape(words)}</p>" for words in _remarks(rows)]
    return "\n".join([*parts, f"<p>{escape(_foot(proof))}</p>"])


def _table(rows: Sequence[ProofRow]) -> str:
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in HEADS)
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in _cells(row))}</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
