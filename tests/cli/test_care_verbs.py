"""The verbs of judgement and care as a user types them: words, JSON, refusals, files."""

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from cuffwright.case.errors import CaseError, FormatError
from cuffwright.cli import consent, followup, odds, practice, pressures, rehab, score
from cuffwright.course.general import GENERAL, GENERAL_PLAIN
from tests.exchange.sheets.test_printed_sheets import PROTOCOL
from tests.outcome.test_followup import TEXT

CASES = Path(__file__).parents[2] / "examples" / "cases"
LARGE = CASES / "large_l_shaped.toml"
CARE = CASES.parent / "care"

pytestmark = pytest.mark.door


def ran(verb, *arguments):
    """One verb on its own little program."""
    app = typer.Typer()
    verb.register(app)
    return CliRunner().invoke(app, [str(a) for a in arguments])


@pytest.fixture
def files(tmp_path):
    """A protocol, answers, and a follow-up on disk."""
    (tmp_path / "protocol.toml").write_text(PROTOCOL, "utf-8")
    (tmp_path / "ases.toml").write_text("pain = 3\nfunction = [2, 2, 2, 2, 2, 2, 2, 2, 3, 3]\n", "utf-8")
    (tmp_path / "followup.toml").write_text(TEXT, "utf-8")
    (tmp_path / "many").mkdir()
    (tmp_path / "many" / "one.toml").write_text(TEXT, "utf-8")
    (tmp_path / "many" / "two.toml").write_text(TEXT.replace('"demo"', '"=demo"').replace('"III"', '"V"'), "utf-8")
    return tmp_path


@pytest.mark.req("REQ-151")
def test_the_cautions_stand_in_every_verb(files):
    """Odds, rehabilitation, score, follow-up and pressures print all five; the consent sheet its plain ones."""
    for verb, arguments in (
        (odds, (LARGE,)),
        (rehab, (LARGE,)),
        (score, ("ases", files / "ases.toml")),
        (followup, (files / "followup.toml", "--today", "2025-10-01")),
        (pressures, ()),
        (practice, (files / "many", "--today", "2026-11-25")),
    ):
        done = ran(verb, *arguments)
        assert done.exit_code == 0, done.output
        assert all(words in done.output for words in GENERAL), verb
    done = ran(consent, LARGE)
    text = " ".join(done.output.split())
    assert all(words in text for words in GENERAL_PLAIN)


@pytest.mark.req("REQ-142")
def test_odds_in_words_names_side_sources_and_what_is_unknown():
    """Side, range, source ids, unverified marks, rivals, what was not asked; the tool decides nothing."""
    done = ran(odds, LARGE)
    for part in ("LEFT shoulder", "not blended", "ajsm2019-index", "[unverified]", "Not asked yet", "not a decision"):
        assert part in done.output
    assert "By consensus" in done.output
    crescent = ran(odds, CASES / "small_crescent.toml").output
    assert "outside of the people studied: Logistic retear model\n" in crescent


def test_odds_as_json_is_the_same_answer():
    """JSON carries structure apart from benefit, and every class."""
    found = json.loads(ran(odds, LARGE, "--json").output)
    assert found["side"] == "left"
    assert found["structure"][0] < found["structure_read"][0]
    assert {one["name"] for one in found["odds"]} >= {"healing-index", "logistic-retear", "age-band", "reparability"}
    assert found["benefit"]


def test_consent_writes_a_pdf(tmp_path):
    """The sheet is written whole, in large print too."""
    for flags in ((), ("--large-print",)):
        done = ran(consent, LARGE, "-o", tmp_path / "sheet.pdf", *flags)
        assert done.exit_code == 0, done.output
        assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
        assert "Reading grade" in done.output
    found = json.loads(ran(consent, LARGE, "--json").output)
    assert (found["side"], found["written"]) == ("left", None)
    assert found["grade"] <= 8


def test_rehab_words_and_json_agree_and_name_the_missing_hold(files):
    """Text and JSON give the same days; without --hold the gap over many pulls is named as missing."""
    text = ran(rehab, LARGE, "--protocol", files / "protocol.toml").output
    found = json.loads(ran(rehab, LARGE, "--protocol", files / "protocol.toml", "--json").output)
    for one in found["milestones"]:
        assert f"{one['step']}: not before week {one['proposed_week']:g}, {one['day']}" in text
    assert "Gap over many pulls not computed, needs" in text
    assert text.index("not known") < text.index("sling ends")


@pytest.mark.req("REQ-149")
def test_rehab_sheets_only_after_the_release(files):
    """Refused before; after the release by name both sheets are written."""
    sheets = ("--patient", files / "p.pdf", "--therapist", files / "t.pdf", "--call", "the ward")
    common = (LARGE, "--protocol", files / "protocol.toml", "--as-planned", *sheets)
    refused = ran(rehab, *common)
    assert isinstance(refused.exception, CaseError)
    assert not (files / "p.pdf").exists()
    done = ran(rehab, *common, "--release", "surgeon", "--json")
    assert done.exit_code == 0, done.output
    assert len(json.loads(done.output)["written"]) == 2
    assert (files / "p.pdf").read_bytes().startswith(b"%PDF")
    assert (files / "t.pdf").read_bytes().startswith(b"%PDF")


def test_score_words_json_and_refusals(files):
    """71.6667 at both doors; an unknown score, a part of words and a missing file are refused in a sentence."""
    assert "71.6667" in ran(score, "ases", files / "ases.toml").output
    assert json.loads(ran(score, "ases", files / "ases.toml", "--json").output)["value"] == 71.6667
    assert isinstance(ran(score, "smile", files / "ases.toml").exception, CaseError)
    assert isinstance(ran(score, "ases", files / "none.toml").exception, FormatError)
    (files / "bad.toml").write_text('pain = "much"\n', "utf-8")
    assert "ases.pain" in str(ran(score, "ases", files / "bad.toml").exception)
    (files / "few.toml").write_text("pain = 3\nfunction = [2]\n", "utf-8")
    assert "no score" in ran(score, "ases", files / "few.toml").output


def test_follow_up_words_json_and_table(files):
    """Due visits, change and healing at both doors; the table is written whole."""
    common = (files / "followup.toml", "--today", "2025-10-01")
    done = ran(followup, *common, "--csv", files / "out.csv")
    for part in ("6 months: done", "+26.6667", "type III on MR: healed", "pass 78", "complication, stiffness"):
        assert part in done.output
    assert (files / "out.csv").read_text("utf-8").startswith("patient,side")
    found = json.loads(ran(followup, *common, "--json").output)
    assert (found["today"], found["integrity"][0]["said"]) == ("2025-10-01", "healed")


def test_the_examples_run():
    """The invented protocol and follow-up that come with the project are read and worked out."""
    done = ran(rehab, LARGE, "--protocol", CARE / "protocol.toml")
    assert "protocol week 6" in done.output, done.output
    done = ran(followup, CARE / "followup.toml", "--today", "2026-11-25")
    assert done.exit_code == 0, done.output
    assert "type II on MR: healed" in done.output


def test_pressures_show_both_numbers():
    """110, 80 and 36 cm: 61 and 52.3 to 53.5 mmHg, no set-point; JSON the same."""
    flags = ("--systolic", 110, "--mean", 80, "--height-cm", 36, "--arm-cuff")
    text = ran(pressures, *flags).output
    assert "61 mmHg" in text
    assert "52.3 to 53.5" in text
    assert "no set-point" in text
    assert json.loads(ran(pressures, *flags, "--json").output)["space"] == 61


def test_practice_words_json_and_chart(files):
    """1 of 2 torn at both doors; 61 years is a risk of 15 %; the chart is written whole; no folder is refused."""
    common = (files / "many", "--today", "2026-11-25")
    done = ran(practice, *common, "--csv", files / "chart.csv", "--reviewed", "2024-01-01")
    for part in ("Torn again: 1 of 2, 0 lost.", "every lost one torn 50.0%", "false alarm", "no verdict"):
        assert part in done.output
    found = json.loads(ran(practice, *common, "--json").output)
    assert [one["risk"] for one in found["chart"]] == [0.15, 0.15]
    rows = (files / "chart.csv").read_text("utf-8").splitlines()
    assert rows[0].startswith("patient,side,operation,risk,failed")
    assert rows[1].startswith("'=demo,right,2025-03-01,0.15,yes")
    assert isinstance(ran(practice, files / "none").exception, FormatError)
    assert ran(practice, *common, "--limit", "0").exit_code != 0
