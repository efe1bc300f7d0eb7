"""GS1 element strings: fields named by application identifiers, check digit, dates, separators."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from cuffwright.case.errors import FormatError
from cuffwright.case.implant import ImplantLabel
from cuffwright.exchange.implants.label_dates import short_date

SEPARATOR = "\x1d"
"""What scanners send for the separator after a field of variable length."""

STAND_INS = ("<GS>", "\u241d")
"""How the separator is written where it cannot be seen; scanners may be set to send these."""

PREFIXES = ("]d2", "]C1", "]e0", "]Q3")
"""What some scanners send first, to say which kind of code it was."""

ALPHABET = re.compile(r"[!\"%&'()*+,\-./0-9:;<=>?A-Z_a-z]*")
"""The characters a field may hold."""


@dataclass(frozen=True)
class Field:
    """What one application identifier stands for: its longest value, whether that is its only length, digits only."""

    name: str
    longest: int
    fixed: bool = False
    digits: bool = False


FIELDS = {
    "00": Field("container number", 18, fixed=True, digits=True),
    "01": Field("device identifier", 14, fixed=True, digits=True),
    "02": Field("content", 14, fixed=True, digits=True),
    "10": Field("lot", 20),
    "11": Field("production date", 6, fixed=True, digits=True),
    "12": Field("due date", 6, fixed=True, digits=True),
    "13": Field("packaging date", 6, fixed=True, digits=True),
    "15": Field("best before date", 6, fixed=True, digits=True),
    "16": Field("sell by date", 6, fixed=True, digits=True),
    "17": Field("expiry date", 6, fixed=True, digits=True),
    "20": Field("variant", 2, fixed=True, digits=True),
    "21": Field("serial", 20),
    "22": Field("consumer variant", 20),
    "30": Field("count", 8, digits=True),
    "37": Field("count of content", 8, digits=True),
    "240": Field("additional product identification", 30),
    "241": Field("customer part number", 30),
    "250": Field("secondary serial", 30),
    "251": Field("source reference", 30),
    **{str(inner): Field("company's own", 90) for inner in range(91, 100)},
}
"""The fields found on implant labels; a label with any other is refused by name."""

BRACKET = re.compile(r"\((" + "|".join(FIELDS) + r")\)")


def check_digit(body: str) -> str:
    """The check digit of ``body``, digits only: weights 3, 1, 3, 1 from the right.

    Examples
    --------
    >>> check_digit("629104150021")
    '3'
    """
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(body)))
    return str(-total % 10)


def read_gs1(lines: list[str], raw: str, today: date) -> ImplantLabel:
    """Read the codes of one label, one a line; raises FormatError in one sentence."""
    found: dict[str, str] = {}
    open_ended: set[str] = set()
    for line in lines:
        for ai, value, last in _elements(line):
            if found.get(ai, value) != value:
                raise FormatError(f"the label names its {FIELDS[ai].name} twice, differently; scan one label only")
            found[ai] = value
            open_ended |= {ai} if last and not FIELDS[ai].fixed else set()
    _check(found)
    notes: list[str] = []
    made = _dated(found.get("11"), "production date", today, notes)
    expires = _dated(found.get("17"), "expiry date", today, notes)
    if made is not None and made > today:
        notes.append(f"The production date {made.isoformat()} lies in the future; compare it with the print.")
    notes += [note for ai in sorted(open_ended) for note in _runs_on(ai, found, today)]
    return ImplantLabel(
        system="gs1",
        identifier=found["01"],
        raw=raw,
        printed="".join(f"({ai}){value}" for ai, value in found.items()),
        lot=found.get("10"),
        serial=found.get("21"),
        made=made,
        expires=expires,
        quantity=int(found["30"]) if "30" in found else None,
        notes=tuple(notes),
    )


def _elements(line: str) -> Iterator[tuple[str, str, bool]]:
    """Every field with its value, and whether nothing closed it."""
    for prefix in PREFIXES:
        line = line.removeprefix(prefix)
    if BRACKET.match(line):
        yield from _bracketed(line)
        return
    for stand_in in STAND_INS:
        line = line.replace(stand_in, SEPARATOR)
    rest = line.lstrip(SEPARATOR)
    if not rest:
        raise FormatError("the label is empty; scan it again or type what is printed under the code")
    while rest:
        ai = next((rest[:size] for size in (2, 3) if rest[:size] in FIELDS), None)
        if ai is None:
            raise FormatError(
                f"the label has a field that begins with {rest[:4]!r}, which is no field of an implant label; scan it"
                " again or type what is printed under the code"
            )
        rest, field = rest[len(ai) :], FIELDS[ai]
        if field.fixed:
            value, rest = rest[: field.longest], rest[field.longest :].removeprefix(SEPARATOR)
            yield ai, _fit(ai, value), False
        else:
            value, closed, rest = rest.partition(SEPARATOR)
            yield ai, _fit(ai, value), not closed


def _bracketed(line: str) -> Iterator[tuple[str, str, bool]]:
    places = list(BRACKET.finditer(line))
    for place, after in zip(places, [*places[1:], None], strict=True):
        end = after.start() if after else len(line)
        yield place[1], _fit(place[1], line[place.end() : end].strip().removesuffix(SEPARATOR)), False


def _fit(ai: str, value: str) -> str:
    field = FIELDS[ai]
    shown = repr(value[:24])
    if not value or (field.fixed and len(value) != field.longest):
        raise FormatError(f"the {field.name} of the label is cut short: {shown}; scan it again")
    if len(value) > field.longest:
        raise FormatError(
            f"the {field.name} of the label has {len(value)} characters, {field.longest} are allowed: {shown}; scan it"
            " again with a scanner that sends the separator, or type what is printed under the code"
        )
    if field.digits and not (value.isascii() and value.isdigit()):
        raise FormatError(f"the {field.name} of the label must be digits, not {shown}; scan it again")
    if not ALPHABET.fullmatch(value):
        raise FormatError(f"the {field.name} of the label holds a character no label has: {shown}; scan it again")
    return value


def _check(found: dict[str, str]) -> None:
    if "01" not in found:
        raise FormatError("the code names no device identifier (01); scan the other code of the same label as well")
    for ai in ("00", "01", "02"):
        number = found.get(ai)
        if number is not None and check_digit(number[:-1]) != number[-1]:
            raise FormatError(f"the {FIELDS[ai].name} {number} has a wrong check digit; scan it again")


def _dated(value: str | None, what: str, today: date, notes: list[str]) -> date | None:
    if value is None:
        return None
    found, note = short_date(value, what, today)
    notes += [note] if note else []
    return found


def _runs_on(ai: str, found: dict[str, str], today: date) -> Iterator[str]:
    """Notes where the last field may hold another one because a scanner dropped the separator."""
    value, name = found[ai], FIELDS[ai].name
    if FIELDS[ai].digits:
        return
    for start in range(1, len(value)):
        other, rest = value[start : start + 2], value[start + 2 :]
        if other in {"11", "17"} and other not in found and _is_date(rest[:6], today):
            yield (
                f"The {name} {value} may run on into the {FIELDS[other].name} ({other}) {rest[:6]}: the scanner may"
                " drop the separator. Compare it with the print before it is used."
            )
            return
    if ai == "10" and "21" not in found and "21" in value[1:-1]:
        yield f"The lot {value} may run on into a serial (21): compare it with the print."


def _is_date(text: str, today: date) -> bool:
    if len(text) != 6 or not (text.isascii() and text.isdigit()):
        return False
    try:
        short_date(text, "", today)
    except FormatError:
        return False
    return True
