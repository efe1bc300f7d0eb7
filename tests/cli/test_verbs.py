"""The verbs of the command line as a user types them: exit codes, one sentence, JSON, nothing half-written."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
import typer.main

from cuffwright.start import main

ROOT = Path(__file__).parents[2]
CASE = ROOT / "examples" / "cases" / "small_crescent.toml"
COMMAND = [sys.executable, "-c", "from cuffwright.start.main import run; run()"]

pytestmark = pytest.mark.door


@dataclass(frozen=True)
class Done:
    """How a command ended."""

    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Done]:
    """Run ``cuffwright`` with these arguments in this process; an error that is no refusal is raised."""

    def ran(*arguments: str | Path) -> Done:
        monkeypatch.setattr(sys, "argv", ["cuffwright", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            main.run()
        said = capsys.readouterr()
        return Done(int(ended.value.code or 0), said.out, said.err)

    return ran


def test_hold_answers_in_json(run) -> None:
    """`hold --json` prints one object with verdict, three scenarios, contact, loads and the facts used; exit 0."""
    done = run("hold", CASE, "--draws", "100", "--json")
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)

    assert answer["side"] == "right"
    assert [s["tissue"] for s in answer["scenarios"]] == ["good", "fair", "poor"]
    assert "Time zero, laboratory" in answer["verdict"]
    assert {"hole.capacity", "rule.anchor.spacing"} <= set(answer["facts"])
    assert "tear.tissue" in answer["missing"]


@pytest.mark.req("REQ-002", "REQ-040", "REQ-050")
def test_hold_says_the_same_to_a_person(run) -> None:
    """The printed answer opens with side and verdict and ends with the caution."""
    spoken = run("hold", CASE, "--draws", "100")
    assert spoken.returncode == 0, spoken.stderr
    verdict = json.loads(run("hold", CASE, "--draws", "100", "--json").stdout)["verdict"]
    assert "RIGHT shoulder" in spoken.stdout
    assert verdict in spoken.stdout
    assert "the surgeon decides" in spoken.stdout


@pytest.mark.req("REQ-001", "REQ-013", "REQ-014")
@pytest.mark.parametrize(
    ("change", "code", "words"),
    [
        (("value = 14.0", "value = 90.0"), 2, "more than any human footprint"),
        (('side = "right"', ""), 2, "identity.side"),
        (("value = 14.0", "value = nan"), 2, "finite"),
        (('tendons = ["supraspinatus"]', 'tendons = ["subscapularis"]'), 3, "no pattern of this release"),
        (('"bridging-knotted"', '"triple-row"'), 2, "choose one of"),
        (("value = 14.0", "value = 3.0"), 3, "apart"),
    ],
)
def test_refusal_has_its_exit_code_and_one_sentence(run, tmp_path: Path, change, code: int, words: str) -> None:
    """Bad input exits 2, outside the model's validity 3; one sentence on standard error, no traceback."""
    case = tmp_path / "case.toml"
    case.write_text(CASE.read_text("utf-8").replace(*change, 1), "utf-8")
    done = run("hold", case, "--draws", "100")

    assert done.returncode == code, done.stderr
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@pytest.mark.req("REQ-047")
@pytest.mark.parametrize("content", [b"", os.urandom(4096), b"\x00" * 10_000_000], ids=["empty", "noise", "10 MB"])
def test_nonsense_file_is_one_sentence_for_every_verb(run, tmp_path: Path, content: bytes) -> None:
    """Empty, random and 10 MB files: exit 2 and one sentence from hold, report and ruler alike."""
    path = tmp_path / "thing"
    path.write_bytes(content)
    for arguments in (
        ["hold", path],
        ["report", path, "-o", tmp_path / "out.pdf"],
        ["ruler", path, "--from", "1,1", "--to", "5,5"],
    ):
        done = run(*arguments)
        assert done.returncode == 2, arguments
        assert "Traceback" not in done.stderr
        assert len(done.stderr.strip().splitlines()) == 1
    assert not (tmp_path / "out.pdf").exists()


def test_refusal_as_json(run) -> None:
    """With --json a refusal is one object on standard output."""
    done = run("hold", "nowhere.toml", "--json")
    assert done.returncode == 2
    assert "cannot be read" in json.loads(done.stdout)["error"]


def test_unknown_verb_is_refused(run) -> None:
    """A verb that does not exist exits 2 in one sentence."""
    done = run("mend")
    assert (done.returncode, len(done.stderr.strip().splitlines())) == (2, 1)


def test_stopping_leaves_nothing_half_written(tmp_path: Path) -> None:
    """Ctrl-C in the middle of the draws: no file, no half file, exit 130."""
    out = tmp_path / "report.pdf"
    process = subprocess.Popen(
        [*COMMAND, "report", str(CASE), "-o", str(out), "--draws", "100000"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a shell's background job ignores Ctrl-C
    )
    assert process.stderr is not None
    assert process.stderr.readline() == b"drawing ...\n"
    assert process.stderr.readline().startswith(b"First look")
    process.send_signal(signal.SIGINT)
    try:
        _, said = process.communicate(timeout=60)
    finally:
        process.kill()

    assert process.returncode == 130
    assert b"half-written" in said
    assert list(tmp_path.iterdir()) == []


def test_report_is_written_whole(run, tmp_path: Path) -> None:
    """`report` writes a PDF and says so with the verdict."""
    out = tmp_path / "new folder" / "report.pdf"
    done = run("report", CASE, "-o", out, "--draws", "100")
    assert done.returncode == 0, done.stderr
    assert out.read_bytes().startswith(b"%PDF-")
    assert [p.name for p in out.parent.iterdir()] == ["report.pdf"]


def test_schema_is_the_published_one(run) -> None:
    """`schema` prints docs/case.schema.json."""
    published = json.loads((ROOT / "docs" / "case.schema.json").read_text("utf-8"))
    assert json.loads(run("schema").stdout) == published


def test_every_verb_speaks_json() -> None:
    """Each verb takes --json."""
    commands = typer.main.get_command(main.program([])).commands
    assert {
        name for name, verb in commands.items() if "--json" not in [o for p in verb.params for o in p.opts]
    } == set()
