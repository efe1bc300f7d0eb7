"""A surgeon's own template of the operation: TOML, ``format = 1``, with its name and version."""

from functools import cache
from importlib.resources import files
from pathlib import Path

from cuffwright.case.operation import OperationTemplate
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.toml_text import open_text, read_format

FORMAT = 1
"""The newest template format this release reads."""


@cache
def usual_template() -> OperationTemplate:
    """The template that comes with the program, to be replaced by a surgeon's own."""
    place = files("cuffwright.exchange.theatre") / "usual.toml"
    return read_template(place.read_text("utf-8"), "usual.toml")


def open_template(path: Path) -> OperationTemplate:
    """Read a template from disk; raises FormatError or CaseError in one sentence naming the file."""
    return read_template(open_text(path, "template of the operation"), path.name)


def read_template(text: str, name: str = "the template") -> OperationTemplate:
    """Read a template from TOML text; raises FormatError when it is no TOML, CaseError when it makes no sense."""
    return read_plain(OperationTemplate, read_format(text, name, FORMAT), name)
