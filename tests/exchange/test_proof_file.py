"""The kept proof: whole, of these benches, and the page of the papers is made from it and from nothing else."""

import json
from pathlib import Path

import pytest

from cuffwright.case.errors import FormatError
from cuffwright.evidence.bench_files import load_benches
from cuffwright.evidence.book import load_book
from cuffwright.exchange.proof_file import kept_proof, proof_text, read_proof
from cuffwright.exchange.proof_page import markdown

PAGE = Path(__file__).resolve().parents[2] / "docs" / "proof.md"


def test_the_page_of_the_papers_is_the_kept_proof_and_not_edited_by_hand():
    """docs/proof.md is word for word what the kept table gives; run make long-prove when not."""
    assert PAGE.read_text("utf-8") == markdown(kept_proof(), load_benches(), load_book())


def test_the_kept_proof_has_every_target_with_its_role_and_published_value():
    """No row of the bench files is missing from the kept table, and none has changed its role or value since."""
    book, rows = load_book(), {row.id: row for row in kept_proof().rows}
    targets = {target.id: target for bench in load_benches() for target in bench.targets}
    assert set(rows) == set(targets)
    for name, target in targets.items():
        assert rows[name].role == target.role
        assert rows[name].published == book.fact(target.row).value


def test_reading_gives_back_what_was_written():
    """Text to proof to text is the same text."""
    text = proof_text(kept_proof())
    assert proof_text(read_proof(text)) == text


@pytest.mark.parametrize("wrong", ["{", '{"format": 99}', "[]"])
def test_a_broken_file_is_refused_in_a_sentence(wrong):
    """Broken JSON, another format, no object: one sentence that says what to run."""
    with pytest.raises(FormatError, match="make long-prove"):
        read_proof(wrong)


def test_a_row_with_other_fields_is_refused():
    """A field too many means another release wrote it."""
    told = json.loads(proof_text(kept_proof()))
    told["rows"][0]["colour"] = "red"
    with pytest.raises(FormatError, match="fields"):
        read_proof(json.dumps(told))
