"""The proof as it was last worked out, kept as a file: pages are made from it without working it out again."""

import json
from dataclasses import asdict, fields
from importlib.resources import files

from cuffwright.case.errors import FormatError
from cuffwright.course.proof.row import Proof, ProofRow

FORMAT = 1
"""Format of the kept proof."""

KEPT = "proof.json"
"""Name of the packaged file, beside the benches it was worked out from."""


def proof_text(proof: Proof) -> str:
    """The proof as JSON text; raises ValueError when a number in it is no number."""
    told = {"format": FORMAT, **asdict(proof)}
    return json.dumps(told, indent=1, allow_nan=False) + "\n"


def read_proof(text: str) -> Proof:
    """The proof that :func:`proof_text` wrote.

    Raises
    ------
    FormatError
        On broken JSON, another format, or fields that are not those of a row.
    """
    try:
        told = json.loads(text)
    except json.JSONDecodeError as wrong:
        raise FormatError(f"the kept proof is no JSON: {wrong}; run make long-prove") from None
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise FormatError(f"the kept proof is not of format {FORMAT}; run make long-prove")
    known = {field.name for field in fields(ProofRow)}
    if any(set(row) != known for row in told["rows"]):
        raise FormatError("a row of the kept proof has other fields than this release; run make long-prove")
    rows = tuple(ProofRow(**row) for row in told["rows"])
    return Proof(rows, told["draws"], told["seed"], told["version"], told["edition"])


def kept_proof() -> Proof:
    """The packaged proof; raises FormatError when it is not whole."""
    return read_proof((files("cuffwright.evidence") / KEPT).read_text("utf-8"))
