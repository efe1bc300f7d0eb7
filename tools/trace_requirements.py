"""Trace hazards to requirements to tests, and fail when a link is missing or a control did not pass.

``python tools/trace_requirements.py --collect-only`` checks that the links exist;
``python tools/trace_requirements.py --report build/junit.xml`` also checks that the control tests passed in that
run. Both write the matrix to ``build/traceability.md``. A test proves a requirement by
``@pytest.mark.req("REQ-nnn")``; ``tests/requirement_marks.py`` writes the mark into the report.
"""

import argparse
import ast
import sys
import tomllib
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@dataclass
class Trace:
    """Everything known about the links: requirements, hazards, citing tests, and how those tests ended."""

    requirements: dict[str, dict[str, object]]
    hazards: dict[str, dict[str, object]]
    citing: dict[str, list[str]]
    outcomes: dict[str, str] | None
    failures: list[str] = field(default_factory=list)

    def verdict(self, requirement: str) -> str:
        """How the tests of a requirement ended: passed, failed, skipped, not run, or no test."""
        tests = self.citing.get(requirement, [])
        if not tests:
            return "no test"
        if self.outcomes is None:
            return "has tests"
        ends = {self.outcomes.get(test, "not run") for test in tests}
        return next((bad for bad in ("failed", "skipped", "not run") if bad in ends), "passed")


def marks(node: ast.expr) -> Iterator[str]:
    """Requirement ids in a ``pytest.mark.req(...)`` call, or in a list of such marks."""
    if isinstance(node, ast.List | ast.Tuple):
        for item in node.elts:
            yield from marks(item)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "req":
        yield from (str(a.value) for a in node.args if isinstance(a, ast.Constant))


def cited(body: list[ast.stmt], inherited: tuple[str, ...], prefix: str) -> Iterator[tuple[str, str]]:
    """Pairs of test name and requirement id in a module or class body."""
    for node in body:
        if isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id == "pytestmark" for t in node.targets):
            inherited = (*inherited, *marks(node.value))
    for node in body:
        if not isinstance(node, Definition):
            continue
        own = (*inherited, *(mark for decorator in node.decorator_list for mark in marks(decorator)))
        if isinstance(node, ast.ClassDef):
            yield from cited(node.body, own, f"{prefix}.{node.name}")
        elif node.name.startswith("test"):
            yield from ((f"{prefix}::{node.name}", mark) for mark in own)


def citing_tests(tests: Path) -> dict[str, list[str]]:
    """Citing tests by requirement id, each named as the report names it: dotted module, ``::``, function."""
    found: dict[str, list[str]] = {}
    for path in sorted(tests.rglob("test_*.py")):
        dotted = ".".join((tests.name, *path.relative_to(tests).with_suffix("").parts))
        for test, mark in cited(ast.parse(path.read_text(encoding="utf-8"), str(path)).body, (), dotted):
            if test not in found.setdefault(mark, []):
                found[mark].append(test)
    return found


def outcome(case: ElementTree.Element) -> str:
    """How one reported test case ended."""
    if case.find("failure") is not None or case.find("error") is not None:
        return "failed"
    return "skipped" if case.find("skipped") is not None else "passed"


def outcomes(reports: list[Path]) -> tuple[dict[str, str], dict[str, set[str]]]:
    """The worst end of each test over its parameters, and the requirement marks it carried, from JUnit reports."""
    ends: dict[str, str] = {}
    carried: dict[str, set[str]] = {}
    order = ("passed", "skipped", "failed")
    for report in reports:
        for case in ElementTree.parse(report).getroot().iter("testcase"):
            name = f"{case.get('classname')}::{str(case.get('name')).split('[')[0]}"
            ends[name] = max(ends.get(name, "passed"), outcome(case), key=order.index)
            properties = case.iter("property")
            carried.setdefault(name, set()).update(str(p.get("value")) for p in properties if p.get("name") == "req")
    return ends, carried


def table(path: Path, name: str) -> dict[str, dict[str, object]]:
    """Rows of one TOML array by their id."""
    with path.open("rb") as handle:
        return {str(row["id"]): row for row in tomllib.load(handle)[name]}


def listed(row: dict[str, object], name: str) -> list[str]:
    """A list field of a row; empty when absent."""
    value = row.get(name, [])
    return [str(item) for item in value] if isinstance(value, list) else []


def in_scope(hazard: dict[str, object]) -> bool:
    """Whether this release must control the hazard."""
    return hazard.get("release") != "later"


def requirement_failures(trace: Trace) -> Iterator[str]:
    """Requirements without a test or without a passing one, unknown hazards, and tests citing unknown ids."""
    for name, row in trace.requirements.items():
        verdict = trace.verdict(name)
        if verdict not in {"passed", "has tests"}:
            yield f"{name} is not proved: {verdict} ({row['text']})"
        if not listed(row, "hazards"):
            yield f"{name} names no hazard; say what it controls"
        for hazard in listed(row, "hazards"):
            if hazard not in trace.hazards:
                yield f"{name} names the hazard {hazard}, which is not in the hazard file"
            elif name not in listed(trace.hazards[hazard], "requirements"):
                yield f"{name} names {hazard}, but {hazard} does not list {name}"
    for name, tests in trace.citing.items():
        if name not in trace.requirements:
            yield f"{', '.join(tests)} cites {name}, which is not in the requirement file"


def hazard_failures(trace: Trace) -> Iterator[str]:
    """Hazards in scope without a passing control, and hazards put off without a reason."""
    for name, row in trace.hazards.items():
        wanted = listed(row, "requirements")
        if not in_scope(row):
            if not str(row.get("reason", "")).strip():
                yield f"{name} is put off to a later release without a reason"
            continue
        if not wanted:
            yield f"{name} is in scope but lists no requirement as its control"
        for requirement in wanted:
            if requirement not in trace.requirements:
                yield f"{name} lists {requirement}, which is not in the requirement file"
            elif name not in listed(trace.requirements[requirement], "hazards"):
                yield f"{name} lists {requirement}, but {requirement} does not name {name}"
            elif trace.verdict(requirement) not in {"passed", "has tests"}:
                yield f"{name} has a control that is not proved: {requirement} ({trace.verdict(requirement)})"


def mark_failures(trace: Trace, carried: dict[str, set[str]]) -> Iterator[str]:
    """Tests that ran without carrying into the report the mark they have in the source."""
    for requirement, tests in trace.citing.items():
        for test in tests:
            if test in carried and requirement not in carried[test]:
                yield f"{test} cites {requirement} in its source but not in the report; rerun with tests/conftest.py"


def matrix(trace: Trace) -> str:
    """The traceability matrix as a Markdown page."""
    state = "links only, no run" if trace.outcomes is None else "with the results of one run"
    lines = ["# Traceability matrix", "", f"Made by `tools/trace_requirements.py`, {state}.", ""]
    lines += ["## Hazards in scope", "", "| Hazard | Situation | Controls |", "|---|---|---|"]
    for name, row in trace.hazards.items():
        if in_scope(row):
            controls = ", ".join(f"{r} ({trace.verdict(r)})" for r in listed(row, "requirements"))
            lines.append(f"| {name} | {row['situation']} | {controls} |")
    lines += ["", "## Requirements", "", "| Requirement | Text | Hazards | Tests | Result |", "|---|---|---|---|---|"]
    for name, row in trace.requirements.items():
        tests = "<br>".join(f"`{t}`" for t in trace.citing.get(name, [])) or "none"
        hazards = ", ".join(listed(row, "hazards"))
        lines.append(f"| {name} | {row['text']} | {hazards} | {tests} | {trace.verdict(name)} |")
    lines += ["", "## Hazards left to a later release", "", "| Hazard | Situation | Reason |", "|---|---|---|"]
    later = {name: row for name, row in trace.hazards.items() if not in_scope(row)}
    lines += [f"| {name} | {row['situation']} | {row.get('reason', '')} |" for name, row in later.items()]
    lines += ["", "## Failures", "", *([f"- {failure}" for failure in trace.failures] or ["None."]), ""]
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> int:
    """Trace, write the matrix, print the failures; 1 when there is any."""
    parser = argparse.ArgumentParser(description=__doc__)
    how = parser.add_mutually_exclusive_group(required=True)
    how.add_argument("--report", type=Path, nargs="+", help="JUnit XML of the run")
    how.add_argument("--collect-only", action="store_true", help="check that the links exist, without a run")
    parser.add_argument("--safety", type=Path, default=ROOT / "docs" / "safety")
    parser.add_argument("--tests", type=Path, default=ROOT / "tests")
    parser.add_argument("--out", type=Path, default=ROOT / "build" / "traceability.md")
    chosen = parser.parse_args(arguments)
    ends, carried = outcomes(chosen.report) if chosen.report else (None, {})
    requirements = table(chosen.safety / "requirements.toml", "requirement")
    hazards = table(chosen.safety / "hazards.toml", "hazard")
    trace = Trace(requirements, hazards, citing_tests(chosen.tests), ends)
    trace.failures = [*requirement_failures(trace), *hazard_failures(trace), *mark_failures(trace, carried)]
    chosen.out.parent.mkdir(parents=True, exist_ok=True)
    chosen.out.write_text(matrix(trace), encoding="utf-8")
    for failure in trace.failures:
        print(failure)
    tests = len({test for found in trace.citing.values() for test in found})
    counts = f"{len(requirements)} requirements, {len(hazards)} hazards, {tests} citing tests"
    print(f"{counts}, {len(trace.failures)} failures")
    return 1 if trace.failures else 0


if __name__ == "__main__":
    sys.exit(main())
