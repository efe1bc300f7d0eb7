"""The demo cases that come with the program: invented, of our own, one file each."""

from functools import cache
from importlib.resources import files

from cuffwright.case.sheet import CaseSheet
from cuffwright.exchange.case_file import read_case

DEFAULT = "small_crescent"
"""The case on which ``cuffwright demo`` runs the main job."""


@cache
def demo_cases() -> dict[str, CaseSheet]:
    """Every demo case by the name of its file, without its ending."""
    folder = files("cuffwright.exchange") / "demo"
    pages = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return {page.name.removesuffix(".toml"): read_case(page.read_text("utf-8")) for page in pages}
