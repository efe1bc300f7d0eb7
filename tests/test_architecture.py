"""The shape of the package: who may import whom, what the core may touch, how long a file may be."""

import subprocess
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "src" / "cuffwright"


@pytest.fixture(scope="module")
def layout() -> ModuleType:
    """The layout chore as a module."""
    spec = spec_from_file_location("house_layout", ROOT / "tools" / "check_layout.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def test_imports_point_down_only():
    """The import contracts in pyproject.toml hold: layers, a pure core, patterns that know nothing of each other."""
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()", "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_core_holds_no_numbers_and_touches_nothing(layout):
    """No published number hides in core code, and no core code opens, prints, asks or runs text."""
    assert list(layout.core_breaches(PACKAGE)) == []


def test_every_core_folder_is_scanned(layout):
    """The scan would see each core folder: all of them exist and hold code."""
    empty = [folder for folder in layout.CORE if not list((PACKAGE / folder).rglob("*.py"))]
    assert empty == []


def test_names_come_from_the_trade(layout):
    """No file or folder has a name that says nothing."""
    assert list(layout.name_breaches(PACKAGE)) == []


def test_files_stay_short(layout):
    """No file above 400 lines, in package, tests and tools; the median of the package about 100."""
    assert list(layout.length_breaches(PACKAGE, (ROOT / "tests", ROOT / "tools"))) == []


def test_every_public_name_is_explained(layout):
    """Every public name has a docstring, and no file holds too many public names."""
    assert list(layout.docstring_breaches(PACKAGE)) == []


def test_no_promise_of_later_work_stands_in_code():
    """Nothing in package, tests or tools is left half done or passed over."""
    halves = (("TO", "DO"), ("FIX", "ME"), ("NotImplemented", "Error"), ("mark.", "xfail"), ("mark.", "skip"))
    words = ["".join(pair) for pair in halves]
    files = [path for folder in ("src", "tests", "tools") for path in sorted((ROOT / folder).rglob("*.py"))]
    found = [f"{path}: {word}" for path in files for word in words if word in path.read_text(encoding="utf-8")]
    assert found == []
