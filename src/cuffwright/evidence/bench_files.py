"""Load the published benches: one TOML file a study, its set-up as data, checked on the way in."""

import tomllib
from dataclasses import fields
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, TypeVar, get_args

from cuffwright.case.errors import EvidenceError
from cuffwright.course.proof.bench import Bench, Construct, Given, Lateral, Role, Target

FORMAT = 1
"""Format of a bench file."""

Made = TypeVar("Made", Construct, Target)


@cache
def load_benches() -> tuple[Bench, ...]:
    """The packaged benches by name; raises EvidenceError naming the file that is wrong."""
    return read_benches(files("cuffwright.evidence") / "benches")


def read_benches(folder: Traversable) -> tuple[Bench, ...]:
    """Read every ``*.toml`` of ``folder``.

    Raises
    ------
    EvidenceError
        On broken TOML, another format, an unknown field, role or stitch, or a value outside its own range.
    """
    tables = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return tuple(_bench(table) for table in tables)


def _bench(table: Traversable) -> Bench:
    try:
        found = tomllib.loads(table.read_text("utf-8"))
    except tomllib.TOMLDecodeError as wrong:
        raise EvidenceError(f"{table.name} is no TOML: {wrong}; correct it") from None
    if found.get("format") != FORMAT:
        raise EvidenceError(f"{table.name} has format {found.get('format')}, this release reads {FORMAT}")
    constructs = tuple(_made(Construct, one, table.name) for one in found.get("construct", ()))
    targets = tuple(_made(Target, one, table.name) for one in found.get("target", ()))
    _check_words(table.name, constructs, targets)
    setup = {name: _given(table.name, name, one) for name, one in found.get("setup", {}).items()}
    study = table.name.removesuffix(".toml")
    return Bench(study, str(found.get("title", "")), str(found.get("protocol", "")), setup, constructs, targets)


def _made(kind: type[Made], table: dict[str, Any], file: str) -> Made:
    known = {f.name for f in fields(kind)}
    strange = set(table) - known
    if strange:
        raise EvidenceError(f"{file}: {min(strange)} is no field of a {kind.__name__.lower()}; take it out")
    try:
        listed: dict[str, Any] = {name: tuple(one) if isinstance(one, list) else one for name, one in table.items()}
        return kind(**listed)
    except TypeError as wrong:
        raise EvidenceError(f"{file}: a {kind.__name__.lower()} lacks a field: {wrong}") from None


def _check_words(file: str, constructs: tuple[Construct, ...], targets: tuple[Target, ...]) -> None:
    for construct in constructs:
        if construct.lateral_stitch not in get_args(Lateral):
            raise EvidenceError(f"{file}: {construct.lateral_stitch!r} is no lateral stitch of a construct")
    for target in targets:
        if target.role not in get_args(Role):
            raise EvidenceError(f"{file}: {target.role!r} is no role; use calibrated, seen or blind")


def _given(file: str, name: str, one: dict[str, float]) -> Given:
    try:
        given = Given(**one)
    except TypeError:
        raise EvidenceError(f"{file}: set-up {name} needs a value, with low and high when it is open") from None
    if (given.low is None) != (given.high is None):
        raise EvidenceError(f"{file}: set-up {name} has one end of a range; give both or none")
    if given.low is not None and given.high is not None and not given.low <= given.value <= given.high:
        raise EvidenceError(f"{file}: set-up {name} = {given.value:g} lies outside {given.low:g} to {given.high:g}")
    return given
