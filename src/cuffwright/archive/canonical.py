"""Payloads as canonical JSON: one value, one string of bytes."""

import json
import math
from collections.abc import Mapping
from typing import Any

from cuffwright.case.errors import ArchiveError

DEEPEST = 40
"""Levels of nesting a payload may have; a deeper one is a mistake of the caller."""


def canonical(value: object) -> bytes:
    """Write ``value`` as canonical JSON: sorted keys, no spaces, UTF-8, no NaN.

    Parameters
    ----------
    value
        Text, whole and decimal numbers, true, false, null, and lists and dictionaries of these.

    Raises
    ------
    ArchiveError
        If a number is not finite, a key is not text, or something cannot be written and read back.

    Examples
    --------
    >>> canonical({"u": 1.5, "a": [True, None]})
    b'{"a":[true,null],"u":1.5}'
    """
    _check(value, "payload", 0)
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        raise ArchiveError("the payload holds a broken character, so it is not kept; type that text again") from None


def parsed(text: bytes, what: str) -> dict[str, Any]:
    """Read a JSON object from ``text``.

    Raises
    ------
    ArchiveError
        Naming ``what``, if the bytes are no JSON object.
    """
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        value = None
    if not isinstance(value, dict):
        raise ArchiveError(f"{what} cannot be read; it was altered, take it from a backup")
    return value


def _check(value: object, where: str, depth: int) -> None:
    if depth > DEEPEST:
        raise ArchiveError(f"{where} is nested more than {DEEPEST} deep, so it is not kept; flatten it")
    if isinstance(value, Mapping):
        for key, inner in value.items():
            if not isinstance(key, str):
                raise ArchiveError(f"{where} has the key {key!r}, which is not text; name it in words")
            _check(inner, f"{where}.{key}", depth + 1)
    elif isinstance(value, list | tuple):
        for place, inner in enumerate(value):
            _check(inner, f"{where}[{place}]", depth + 1)
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise ArchiveError(f"{where} is {value}, which is no number; leave it out or measure it again")
    elif not (value is None or isinstance(value, str | int)):
        raise ArchiveError(f"{where} is a {type(value).__name__}, which cannot be kept; give text or a plain number")
