"""Work the whole proof out and keep it: the packaged table, the page of the papers, and the record of the run.

Run by ``make long-prove``; a few minutes.
"""

import argparse
import sys
from dataclasses import asdict
from pathlib import Path

from cuffwright.course.proof.error import measured_errors
from cuffwright.course.proof.prove import DRAWS, prove
from cuffwright.evidence.bench_files import load_benches
from cuffwright.evidence.book import load_book
from cuffwright.exchange.proof_file import KEPT, proof_text
from cuffwright.exchange.proof_page import markdown
from long_record import ROOT, write_record

SOURCE = "src/cuffwright/"
COVERS = (
    f"{SOURCE}mechanics",
    f"{SOURCE}course/proof",
    f"{SOURCE}course/wrapping.py",
    f"{SOURCE}evidence/benches",
    f"{SOURCE}evidence/rows/contact.csv",
    f"{SOURCE}evidence/rows/mechanics.csv",
    f"{SOURCE}evidence/rows/proof.csv",
)


def tick(done: int, of: int) -> None:
    """Say how far it is."""
    print(f"{done} of {of} benches", file=sys.stderr, flush=True)


def main() -> int:
    """Work out, write, and print the sums."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--draws", type=int, default=DRAWS)
    given = options.parse_args()
    book, benches = load_book(), load_benches()
    proof = prove(benches, book, draws=given.draws, progress=tick)
    (Path(ROOT) / SOURCE / "evidence" / KEPT).write_text(proof_text(proof), "utf-8")
    (Path(ROOT) / "docs" / "proof.md").write_text(markdown(proof, benches, book), "utf-8")
    errors = {error.key: asdict(error) for error in measured_errors(proof)}
    found = {"draws": proof.draws, "edition": proof.edition, "counts": proof.counts, "errors": errors}
    found["sums"] = [asdict(skill) for skill in proof.skills]
    write_record("prove", COVERS, found, proof.seed)
    return 0


if __name__ == "__main__":
    sys.exit(main())
