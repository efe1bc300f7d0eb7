"""``cuffwright limbs`` as a user types it: steps, JSON, cards, minutes from a site's own log, refusals."""

import json
from pathlib import Path

import numpy as np
import pytest
import typer
from typer.testing import CliRunner

from cuffwright.case.errors import FormatError
from cuffwright.cli.limbs import register
from cuffwright.exchange.limb_records import read_records
from cuffwright.exchange.minutes_log import read_minutes
from cuffwright.limbs.counts import TIMED, calibrated

CASES = Path(__file__).parents[2] / "examples" / "cases"
CRESCENT = CASES / "small_crescent.toml"
HEAD = ",".join((*TIMED, "minutes"))
EACH = {
    "insert": 2.0,
    "retrieve": 0.5,
    "pass": 1.5,
    "penetrate": 2.5,
    "tie": 3.0,
    "cut": 0.2,
    "scope": 1.0,
    "seat": 4.0,
}

pytestmark = pytest.mark.door


def ran(*arguments: str | Path):
    """The verb on its own little program."""
    app = typer.Typer()
    register(app)
    return CliRunner().invoke(app, [str(a) for a in arguments])


def log(path: Path, operations: int) -> Path:
    """A log of invented operations whose minutes are exactly those of EACH."""
    lines = [HEAD]
    made = np.random.default_rng(5).integers(1, 12, (operations, len(TIMED)))
    for row in made:
        counts = {kind: int(count) for kind, count in zip(TIMED, row, strict=True)}
        minutes = sum(EACH[kind] * count for kind, count in counts.items())
        lines.append(",".join(str(x) for x in (*counts.values(), minutes)))
    path.write_text("\n".join(lines), "utf-8")
    return path


def test_the_words_hold_side_every_step_and_what_is_not_computed():
    """Text names side and that it is a plan, numbers every move, and says what looks and minutes need."""
    done = ran(CRESCENT)
    assert done.exit_code == 0, done.output
    for words in ("RIGHT shoulder", "a plan, not done", "20 moves, shortest, proven by counting", " 20 Seat lateral"):
        assert words in done.output
    assert "Minutes not computed, needs minutes logged at this site" in done.output
    assert "Thread looks not computed, needs the implants as opened" in done.output
    assert "assumed: unverified" in done.output


def test_json_holds_as_many_moves_as_it_counts():
    """JSON is one object; its moves, apart from pull tests, are as many as its certificate says."""
    found = json.loads(ran(CRESCENT, "--json", "--pattern", "bridging-3-2-knotted").output)
    plan = found["plan"]
    assert len([move for move in plan["moves"] if move["kind"] != "test"]) == plan["certificate"]["moves"]
    assert plan["minutes"] is None


@pytest.mark.req("REQ-173")
def test_minutes_come_from_ten_logged_operations_and_not_from_nine(tmp_path):
    """With ten operations the fit gives back the minutes they were made of; with nine it says what it needs."""
    known = calibrated(read_minutes(log(tmp_path / "ten.csv", 10)), 10)
    assert known.each == pytest.approx(EACH, abs=1e-6)
    few = ran(CRESCENT, "--minutes", log(tmp_path / "nine.csv", 9))
    assert "Minutes not computed, needs 10 operations logged at this site" in few.output
    many = ran(CRESCENT, "--minutes", tmp_path / "ten.csv")
    by_hand = 2 * 2.0 + 10 * 0.5 + 4 * 1.5 + 2 * 3.0 + 2 * 4.0
    assert f"Time by this site's own log: {by_hand:g} min." in many.output


@pytest.mark.parametrize("line", ["1,2", "1,1,1,1,1,1,1,1,-3", "a,1,1,1,1,1,1,1,9", "-1,1,1,1,1,1,1,1,9"])
def test_a_log_that_makes_no_sense_is_refused_with_its_line(tmp_path, line):
    """Missing columns, words for numbers, negative counts and minutes are refused, naming the line."""
    path = tmp_path / "log.csv"
    path.write_text(f"{HEAD}\n{line}\n", "utf-8")
    with pytest.raises(FormatError, match="line 2"):
        read_minutes(path)


def test_cards_are_written_beside_the_words(tmp_path):
    """``--card`` writes a PDF and says where."""
    card = tmp_path / "card.pdf"
    done = ran(CRESCENT, "--card", card)
    assert card.read_bytes().startswith(b"%PDF")
    assert "Wrote" in done.output


def test_a_repair_without_an_order_of_work_is_refused_by_name():
    """A pattern that is not laid on this tear is named in the refusal, which is no answer."""
    done = ran(CRESCENT, "--pattern", "margin-convergence-u")
    assert done.exception is not None
    assert "margin-convergence-u is not laid on this tear" in str(done.exception)


def record(path: Path, moves: list[dict], *more: str) -> Path:
    """A record of moves as a CSV file, with further lines."""
    lines = ["move,limbs,from,to,anchor"]
    lines += [f"{m['kind']},{' '.join(m['limbs'])},{m['source']},{m['to']},{m['anchor']}" for m in moves]
    path.write_text("\n".join([*lines, *more]), "utf-8")
    return path


@pytest.mark.req("REQ-166")
def test_a_record_is_followed_each_mistake_named_and_the_rest_planned(tmp_path):
    """The plan as recorded is clean; a step left out is named where it shows; a count answers what cannot have been."""
    moves = json.loads(ran(CRESCENT, "--json").output)["plan"]["moves"]
    clean = ran(CRESCENT, "--check", record(tmp_path / "clean.csv", moves[:9]))
    assert "First move against the rules: none." in clean.output
    assert f"From here: {len(moves) - 9} moves" in clean.output
    gap = next(k for k, move in enumerate(moves) if move["kind"] == "retrieve")
    left_out = record(tmp_path / "gap.csv", moves[:gap] + moves[gap + 1 : 9])
    told = json.loads(ran(CRESCENT, "--check", left_out, "--json").output)
    first = next(f for f in told["findings"] if f["severity"] == "illegal")
    assert (first["step"], first["rule"]) == (gap + 1, "where")
    assert "which limbs hang out of which portal" in told["asked"]
    lost = "retrieve,1aF,PO,LA,"
    count = ["census,1a,,anterior,", "census,2a,,SL,"]
    found = ran(CRESCENT, "--check", record(tmp_path / "count.csv", moves[:2], lost, *count)).output
    assert "step 3" in found
    assert "cannot have been made" not in found
    assert "anterior: 1aF 1aB; accessory superolateral: 2aF 2aB" in found


@pytest.mark.parametrize(
    ("line", "why"), [("dance,,,,", "no move"), ("pass,1a,LA,AN,", "one limb"), ("tie,,,LA,", "name them")]
)
def test_a_record_that_makes_no_sense_is_refused_with_its_line(tmp_path, line, why):
    """An unknown move, two limbs in one pass, a knot of nothing: the line and what is wrong with it."""
    with pytest.raises(FormatError, match=f"line 2.*{why}"):
        read_records(record(tmp_path / "record.csv", [], line), ["1aF", "1aB"])
