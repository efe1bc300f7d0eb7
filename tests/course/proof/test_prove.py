"""Every row of the validation table is there, honestly marked, and repeatable."""

import json
import re
from dataclasses import replace

import pytest

from cuffwright.case.errors import EvidenceError
from cuffwright.case.fact import Citing
from cuffwright.course.proof.error import measured_errors
from cuffwright.course.proof.null import Null, by_holes
from cuffwright.course.proof.prove import prove

FITTED = re.compile(r"used to fit (?!bridge\.factor)")
SMALL = ("jses2007-tensile", "jses2007-contact")


def some(benches, *names):
    return [b for b in benches if b.study in names]


def test_every_row_of_the_validation_table_and_every_check_is_there(proof):
    """V1 to V15 and Q1 to Q7, each at least once."""
    heads = {re.match(r"[VQ]\d+", row.id)[0] for row in proof.rows if row.id[0] in "VQ"}
    assert {f"V{n}" for n in range(1, 16)} | {f"Q{n}" for n in range(1, 8)} <= heads


@pytest.mark.published
def test_a_row_passes_exactly_when_ours_lies_in_its_band(proof, capsys):
    """Pass is the band and nothing else; a row not computed has no pass and says what it needs. All are printed."""
    for row in proof.rows:
        if row.computed is None:
            assert row.passed is None
            assert row.needs
        else:
            assert row.passed == (row.low <= row.computed <= row.high)
    with capsys.disabled():
        print(f"\n{proof.counts}")


def test_rows_the_model_was_fitted_to_are_called_calibrated(benches, book, proof):
    """A published row whose note says it was used to fit a number is calibrated, and no row is blind by mistake."""
    targets = {t.id: t for b in benches for t in b.targets}
    for row in proof.rows:
        if FITTED.search(book.fact(targets[row.id].row).note):
            assert row.role == "calibrated", row.id


def test_rows_of_the_design_table_are_not_blind(proof):
    """What the prototype was held against was known while choices were made since: seen at best."""
    assert [row.id for row in proof.rows if row.prototype is not None and row.role == "blind"] == []


def test_calibrated_rows_lie_in_their_bands(proof):
    """The rows the model was fitted to are met: a failed fit would show here."""
    assert [row.id for row in proof.rows if row.role == "calibrated" and not row.passed] == []


def test_rows_are_plain_and_have_the_promised_names(proof):
    """Every row is a JSON object without infinities, with the agreed fields first."""
    wanted = ["id", "source", "quantity", "unit", "published", "low", "high", "computed", "null_model", "role", "pass"]
    for row in proof.rows:
        told = json.loads(json.dumps(row.plain, allow_nan=False))
        assert list(told)[: len(wanted)] == wanted


def test_the_contested_factor_moves_bridging_strength_and_no_single_row(proof):
    """On and off differ by the factor for bridging ultimates and not at all without bridging limbs."""
    rows = {row.id: row for row in proof.rows}
    assert rows["V9b"].contested > 1.2 * rows["V9b"].computed
    assert rows["B1"].contested == rows["B1"].computed


def test_same_seed_same_table_whatever_the_threads(benches, book):
    """One thread and two give the same rows, spread over set-ups included; another seed gives other draws."""
    few = some(benches, *SMALL)
    first = prove(few, book, draws=100, setups=2, threads=1)
    assert prove(few, book, draws=100, setups=2, threads=2) == first
    other = prove(few, book, draws=100, setups=0, seed=2)
    assert [r.computed for r in other.rows] != [r.computed for r in first.rows]


def test_the_spread_over_set_ups_holds_the_one_written_down(benches, book):
    """Ours lies between the ends of what the open numbers allow, and the ends differ."""
    found = prove(some(benches, *SMALL), book, draws=100, setups=2)
    for row in found.rows:
        assert row.setup_low <= row.computed <= row.setup_high
    assert any(row.setup_low < row.setup_high for row in found.rows)


def test_null_model_by_hand(benches, book, proof):
    """Four holes bear half of what the eight of the fitted double row bear: 149.5 N; its gap doubles."""
    rows = {row.id: row for row in proof.rows}
    assert rows["V10a"].null_model == pytest.approx(299)
    assert rows["V9a"].null_model == pytest.approx(149.5)
    assert rows["V13a"].null_model == pytest.approx(2 * 1.67)
    assert rows["V1"].null_model == pytest.approx(124.2)
    assert rows["V11a"].null_model == pytest.approx(299 / 8, rel=1e-3)
    bench = some(benches, "jses2007-tensile")[0]
    null = Null.from_facts(Citing(book), by_holes, bench.construct("double"), bench.construct("bridge4"))
    assert null.value(bench.construct("bridge4"), replace(bench.targets[0], quantity="strain")) is None


def test_errors_in_force_are_no_narrower_than_measured(proof, book):
    """Every row of the error holds at least 0.85 of that measured again here with few draws, and no more than 1.2."""
    errors = {e.key: e for e in measured_errors(proof)}
    for key in ("ultimate", "gap", "stiffness", "contact", "contact.laboratory"):
        row = book.fact(f"model.error.{key}")
        assert 0.85 * errors[row.key].value <= row.value <= 1.2 * errors[row.key].value


def test_a_wrong_bench_is_refused_in_a_sentence(benches, book):
    """A doubled id, an unknown reading or construct: one sentence that names the target."""
    bench = some(benches, "jses2007-tensile")[0]
    rest = some(benches, "jses2007-contact")
    for wrong in ({"quantity": "colour"}, {"construct": "nothing"}, {"id": "V10b"}):
        first = replace(bench.targets[0], **wrong)
        broken = replace(bench, targets=(first, *bench.targets[1:]))
        with pytest.raises(EvidenceError, match=r"V9a|V10b|nothing"):
            prove([broken, *rest], book, draws=100, setups=0)
