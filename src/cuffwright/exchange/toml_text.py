"""Files that a user writes in TOML: read whole, no larger than one can be, refused in one sentence."""

import os
import tomllib
from pathlib import Path
from typing import Any

from cuffwright.case.errors import CaseError, FormatError

LARGEST = 1_000_000
"""Numerical choice: a file of more bytes than this is not read."""


def open_text(path: Path, what: str) -> str:
    """The text of a file that should be ``what``; raises FormatError naming the file."""
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise FormatError(f"{path.name} has {size} bytes, more than {LARGEST}: that is no {what}")
        return path.read_bytes().decode("utf-8")
    except OSError as wrong:
        raise FormatError(f"{path.name} cannot be read: {os.strerror(wrong.errno or 0)}") from None
    except UnicodeDecodeError:
        raise FormatError(f"{path.name} is not UTF-8 text, so it is no {what}; choose a .toml file") from None


def read_toml(text: str, name: str) -> dict[str, Any]:
    """The tables of a TOML text; raises FormatError naming what is wrong."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        raise FormatError(f"{name} is not valid TOML: {wrong}; correct that line") from None


def read_format(text: str, name: str, newest: int) -> dict[str, Any]:
    """As :func:`read_toml`, for a file that says its format; raises CaseError on another one."""
    found = read_toml(text, name)
    if found.get("format") != newest:
        raise CaseError(f"{name} says format = {found.get('format')!r}; write format = {newest} in its first line")
    return found
