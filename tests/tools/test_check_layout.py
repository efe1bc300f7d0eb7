"""The layout check finds every breach of the house limits, on small invented packages."""

import pytest

GOOD = """\"\"\"One thing.\"\"\"

LIMIT = 20
\"\"\"Numerical choice: rounds of the search.\"\"\"


def half(x):
    \"\"\"Half.\"\"\"
"""


@pytest.fixture
def check(tmp_path, chore):
    """Run the check over one invented file; returns the breaches."""
    tool = chore("check_layout")

    def run(text, place="mechanics/pull.py"):
        path = tmp_path / "package" / place
        path.parent.mkdir(parents=True)
        path.write_text(text)
        return tool.breaches(tmp_path / "package")

    return run


def test_a_good_file_has_no_breach(check):
    """Docstrings, a named numerical choice and small numbers pass."""
    assert check(GOOD + "    return 0.5 * x - 1\n") == []


@pytest.mark.parametrize("number", ["5", "0.1", "-7", "1e-6", "300.0", "5j"])
def test_a_bare_number_in_the_core_is_found(check, number):
    """A number that could be a published value cannot hide in core code."""
    assert any("stands in core code" in line for line in check(GOOD + f"    return {number} * x\n"))


@pytest.mark.parametrize("line", ["LIMIT = 20\n", "limit = 20\n", 'LIMIT = 20\n"""Rounds."""\n'])
def test_a_constant_without_its_reason_is_found(check, line):
    """A constant must be in capitals and say that it is a numerical choice."""
    assert any("the number 20" in found for found in check(f'"""One thing."""\n\n{line}'))


def test_the_same_number_outside_the_core_passes(check):
    """Shells may hold sizes of pages and ports."""
    assert check(GOOD + "    return 5 * x\n", place="web/page.py") == []


@pytest.mark.parametrize("call", ["open", "print", "input", "eval", "exec"])
def test_a_call_that_touches_the_outside_is_found(check, call):
    """The core neither reads, writes, asks nor runs text."""
    assert any(f"core code calls {call}" in line for line in check(GOOD + f"    return {call}(x)\n"))


@pytest.mark.parametrize("name", ["utils", "common", "helpers", "managers", "core", "services"])
def test_a_name_that_says_nothing_is_found(check, name):
    """Files are named from the trade."""
    assert any("says nothing" in line for line in check(GOOD, place=f"web/{name}.py"))


@pytest.mark.parametrize(
    "text",
    [
        "LIMIT = 1\n",
        '"""One thing."""\n\n\ndef half(x):\n    return x\n',
        '"""One thing."""\n\n\nclass Half:\n    """Half."""\n\n    def of(self):\n        return 1\n',
    ],
)
def test_a_public_name_without_docstring_is_found(check, text):
    """Module, function and method each need a docstring."""
    assert any("has no docstring" in line for line in check(text))


def test_a_private_name_needs_no_docstring(check):
    """What starts with an underscore is the file's own affair."""
    assert check('"""One thing."""\n\n\ndef _half(x):\n    return x\n') == []


def test_a_long_file_is_found(check):
    """No file has more than 400 lines, and the median stays small."""
    found = check(GOOD + "# why\n" * 400, place="web/page.py")
    assert any("split it" in line for line in found)
    assert any("the median file" in line for line in found)


def test_too_many_public_names_are_found(check):
    """A file with nine public functions holds more than one thing."""
    many = "".join(f'\n\ndef part_{"x" * n}():\n    """Part."""\n' for n in range(1, 10))
    assert any("9 public functions" in line for line in check('"""Things."""\n' + many))


def test_plain_values_and_protocols_do_not_count_as_functions(check):
    """A family of small values may share a file."""
    many = "".join(f'\n\n@dataclass(frozen=True)\nclass Part{"x" * n}:\n    """Part."""\n' for n in range(1, 12))
    assert check('"""Values."""\n\nfrom dataclasses import dataclass\n' + many) == []


def test_one_docstring_serves_all_overloads(check):
    """Overloads share the docstring of the function they belong to."""
    overloads = "\n\n@overload\ndef half(x: int) -> int: ...\n\n\n@overload\ndef half(x: float) -> float: ...\n"
    whole = '\n\ndef half(x):\n    """Half of x."""\n    return x / 2\n'
    assert check('"""Halves."""\n\nfrom typing import overload\n' + overloads + whole) == []


def test_a_private_module_may_hold_many_building_blocks(check):
    """What members of a family share may stand together in a module of their own folder."""
    many = "".join(f'\n\ndef part_{"x" * n}():\n    """Part."""\n' for n in range(1, 12))
    assert check('"""Things."""\n' + many, place="repair/_shape.py") == []
