"""Load the chores of ``tools/`` as modules, the way they run from the command line."""

import sys
from collections.abc import Callable
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

TOOLS = Path(__file__).resolve().parents[2] / "tools"


@pytest.fixture(scope="session")
def chore() -> Callable[[str], ModuleType]:
    """A tool by its file name, loaded fresh."""

    def load(name: str) -> ModuleType:
        spec = spec_from_file_location(f"chore_{name}", TOOLS / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = module_from_spec(spec)
        sys.modules[spec.name] = module
        spec.loader.exec_module(module)
        return module

    return load
