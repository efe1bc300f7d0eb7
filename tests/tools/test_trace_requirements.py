"""The tracing tool finds every broken link, on small invented trees."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
REQUIREMENT = '[[requirement]]\nid = "REQ-001"\ntext = "A case without a side is refused."\nhazards = ["H-01"]\n'
HAZARD = '[[hazard]]\nid = "H-01"\nsituation = "wrong side"\nrelease = "0.1"\nrequirements = ["REQ-001"]\n'
SIDE = 'import pytest\nSIDES = {"right": 1, "left": -1}\n'
CHECK = 'assert SIDES["left"] == -SIDES["right"]'
UNMARKED = f"{SIDE}def test_side():\n    {CHECK}\n"
PROVING = f'{SIDE}@pytest.mark.req("REQ-001")\ndef test_side():\n    {CHECK}\n'


class Tree:
    """An invented project: two safety files, one test file, and the tool run over them."""

    def __init__(self, folder, main):
        self.folder, self.main = folder, main
        (folder / "safety").mkdir()
        (folder / "tests").mkdir()
        self.write()

    def write(self, requirements=REQUIREMENT, hazards=HAZARD, tests=PROVING):
        (self.folder / "safety" / "requirements.toml").write_text(requirements)
        (self.folder / "safety" / "hazards.toml").write_text(hazards)
        (self.folder / "tests" / "test_side.py").write_text(tests)

    def report(self):
        """Run the invented tests with the mark writer of the house and return the JUnit file."""
        (self.folder / "tests" / "conftest.py").write_text((ROOT / "tests" / "requirement_marks.py").read_text())
        (self.folder / "pytest.ini").write_text("[pytest]\nmarkers = req(id): a requirement\n")
        report = self.folder / "junit.xml"
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", f"--junit-xml={report}"]
        bare = {**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
        subprocess.run(command, cwd=self.folder, capture_output=True, check=False, env=bare)
        return report

    def trace(self, *how):
        paths = ["--safety", self.folder / "safety", "--tests", self.folder / "tests", "--out", self.folder / "m.md"]
        return self.main([str(part) for part in (*(how or ("--collect-only",)), *paths)])

    @property
    def matrix(self):
        return (self.folder / "m.md").read_text()


@pytest.fixture
def tree(tmp_path, chore):
    return Tree(tmp_path, chore("trace_requirements").main)


def test_a_whole_chain_passes(tree):
    """Hazard, requirement and citing test in place: exit 0, and the matrix names all three."""
    assert tree.trace() == 0
    assert "| REQ-001 | A case without a side is refused. | H-01 | `tests.test_side::test_side` |" in tree.matrix


def test_a_passing_run_proves_the_hazard_controlled(tree):
    """With the report of a passing run the matrix says passed."""
    assert tree.trace("--report", tree.report()) == 0
    assert "REQ-001 (passed)" in tree.matrix


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tests": UNMARKED}, "REQ-001 is not proved: no test"),
        ({"tests": PROVING.replace("REQ-001", "REQ-999")}, "cites REQ-999, which is not in the requirement file"),
        ({"hazards": HAZARD.replace('["REQ-001"]', "[]")}, "H-01 is in scope but lists no requirement"),
        ({"hazards": HAZARD.replace("REQ-001", "REQ-777")}, "H-01 lists REQ-777, which is not in the requirement"),
        ({"requirements": REQUIREMENT.replace("H-01", "H-55")}, "the hazard H-55, which is not in the hazard file"),
        ({"requirements": REQUIREMENT.replace('["H-01"]', "[]")}, "REQ-001 names no hazard"),
        ({"hazards": HAZARD.replace('"0.1"', '"later"')}, "H-01 is put off to a later release without a reason"),
    ],
)
def test_a_broken_link_fails(tree, capsys, change, words):
    """Each way in which a link can be missing ends with exit 1 and a line that names it."""
    tree.write(**change)
    assert tree.trace() == 1
    assert words in capsys.readouterr().out


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (PROVING.replace('"left": -1', '"left": 1'), "not proved: failed"),
        (PROVING.replace(CHECK, 'raise __import__("unittest").SkipTest'), "not proved: skipped"),
        (PROVING.replace(CHECK, "raise RuntimeError"), "not proved: failed"),
    ],
)
def test_a_control_that_did_not_pass_fails_its_hazard(tree, capsys, body, words):
    """A failed, broken or passed-over test proves nothing, and the hazard says so too."""
    tree.write(tests=body)
    assert tree.trace("--report", tree.report()) == 1
    printed = capsys.readouterr().out
    assert words in printed
    assert "H-01 has a control that is not proved" in printed


def test_a_control_that_did_not_run_fails(tree, capsys):
    """A citing test that is absent from the report proves nothing."""
    report = tree.report()
    tree.write(tests=PROVING.replace("test_side", "test_other_side"))
    assert tree.trace("--report", report) == 1
    assert "not proved: not run" in capsys.readouterr().out


def test_one_failed_case_among_many_fails(tree, capsys):
    """A parametrised test counts as its worst case."""
    cases = '@pytest.mark.parametrize("n", [1, 2, 3])\ndef test_side(n):\n    assert n != 2\n'
    tree.write(tests=f'import pytest\n\n@pytest.mark.req("REQ-001")\n{cases}')
    assert tree.trace("--report", tree.report()) == 1
    assert "not proved: failed" in capsys.readouterr().out


def test_a_mark_missing_from_the_report_fails(tree, capsys):
    """A report made before the mark was written does not count for it."""
    tree.write(tests=UNMARKED)
    report = tree.report()
    tree.write()
    assert tree.trace("--report", report) == 1
    assert "but not in the report" in capsys.readouterr().out


@pytest.mark.parametrize(
    "tests",
    [
        UNMARKED.replace("def ", 'pytestmark = pytest.mark.req("REQ-001")\ndef '),
        UNMARKED.replace("def ", 'pytestmark = [pytest.mark.req("REQ-001")]\ndef '),
        f'{SIDE}@pytest.mark.req("REQ-001")\nclass TestSide:\n    def test_side(self):\n        {CHECK}\n',
    ],
)
def test_marks_on_modules_and_classes_count(tree, tests):
    """A mark on a whole file or class covers its tests, in the source and in the report."""
    tree.write(tests=tests)
    assert tree.trace("--report", tree.report()) == 0


def test_the_project_files_are_consistent(chore):
    """Every hazard and requirement of the project names the other side, and every hazard put off has a reason."""
    tool = chore("trace_requirements")
    safety = Path(ROOT / "docs" / "safety")
    requirements = tool.table(safety / "requirements.toml", "requirement")
    hazards = tool.table(safety / "hazards.toml", "hazard")
    every = {name: ["some test"] for name in requirements}
    trace = tool.Trace(requirements, hazards, every, None)
    assert [*tool.requirement_failures(trace), *tool.hazard_failures(trace)] == []
