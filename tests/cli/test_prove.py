"""The verb prove: list of objects on standard output, sums beside it, and the page on request."""

import json

import pytest
import typer
from typer.testing import CliRunner

from cuffwright.cli import prove as verb
from cuffwright.evidence.bench_files import load_benches

WANTED = ["id", "source", "quantity", "unit", "published", "low", "high", "computed", "null_model", "role", "pass"]
FEW = tuple(b for b in load_benches() if b.study in ("jses2007-tensile", "jses2007-contact"))


@pytest.fixture
def run(monkeypatch):
    """The verb on two benches."""
    app = typer.Typer()
    app.callback()(lambda: None)
    verb.register(app)
    monkeypatch.setattr(verb, "load_benches", lambda: FEW)
    monkeypatch.setattr(verb, "prove", lambda *a, **k: prove_few(*a, **k))
    return lambda *words: CliRunner().invoke(app, ["prove", "--draws", "100", *words])


def prove_few(*benches_and_book, **choices):
    from cuffwright.course.proof.prove import prove

    return prove(*benches_and_book, **choices, setups=0)


def test_json_is_a_list_of_objects_and_the_sums_go_beside(run):
    """Standard output holds one JSON list; misfits of ours and null stand on standard error."""
    done = run("--json")
    assert done.exit_code == 0
    rows = json.loads(done.stdout)
    assert list(rows[0])[: len(WANTED)] == WANTED
    assert "mean squared misfit" in done.stderr
    assert "model.error.ultimate" in done.stderr


def test_the_table_prints_misses_and_the_page_is_written(run, tmp_path):
    """Without --json the table, its legend and the sums are printed; --page writes the page whole."""
    page = tmp_path / "proof.md"
    done = run("--page", str(page))
    assert done.exit_code == 0
    assert "MISSED" in done.stdout
    assert "Calibrated: a number of the model was fitted to it" in done.stdout
    assert page.read_text("utf-8").startswith("# How far can I trust this?\n")
