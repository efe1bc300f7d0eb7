"""HIBCC codes: primary, secondary and joined, with their check character.

Their dates come in many forms, so a reading carries a note that asks for a look at the print, and the raw text stays.
"""

import re
from datetime import date

from cuffwright.case.errors import FormatError
from cuffwright.case.implant import ImplantLabel
from cuffwright.exchange.implants.label_dates import calendar_date, day_of_year, full_year, short_date

VALUES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"
"""The characters of the code, each worth its place."""

PRIMARY = re.compile(r"\+([A-Z][A-Z0-9]{3})([A-Z0-9]{1,18})([0-9])")
QUANTITIES = {"8": 2, "9": 5}
"""Digits of a quantity after its flag."""

LONGEST = 18
"""Characters a lot or a serial may have."""

COMPARE = "Dates and lots of this kind of code come in many forms: compare the reading with the print."


def check_character(body: str) -> str:
    """The check character of ``body``: the sum of its values modulo 43; raises FormatError on a strange character.

    Examples
    --------
    >>> check_character("+A123BJC5D6E71")
    'G'
    """
    try:
        return VALUES[sum(VALUES.index(c) for c in body) % len(VALUES)]
    except ValueError:
        raise FormatError("the label holds a character that its kind of code does not have; scan it again") from None


def is_hibcc(line: str) -> bool:
    """Whether a line is of this kind."""
    return line.strip("*").startswith("+")


def read_hibcc(lines: list[str], raw: str, today: date) -> ImplantLabel:
    """Read a primary code, alone, joined to its secondary part, or followed by that on a line of its own.

    Raises
    ------
    FormatError
        On a wrong check character, a primary code cut short, or a secondary code of another label.
    """
    first, *others = [line.strip("*") for line in lines]
    body = _checked(first)
    head, *parts = body.split("/")
    found = PRIMARY.fullmatch(head)
    if found is None:
        raise FormatError("the label has no primary code, with maker and product; scan that one first")
    for other in others:
        link = _checked(other)
        if not link.startswith("+") or link[-1] != first[-1]:
            raise FormatError("the second code belongs to another label; scan both codes of the same one")
        parts.append(link[1:-1])
    fields: dict[str, str | int | date] = {}
    notes = [COMPARE] if parts else []
    for part in parts:
        _secondary(part, fields, notes, today)
    return ImplantLabel(
        system="hibcc",
        identifier=found[0][1:],
        raw=raw,
        printed=" ".join(f"*{line}*" for line in (first, *others)),
        notes=tuple(notes),
        **fields,  # type: ignore[arg-type]
    )


def _checked(line: str) -> str:
    body, last = line[:-1], line[-1:]
    if not body or check_character(body) != last:
        raise FormatError("the label has a wrong check character; scan it again")
    return body


def _secondary(part: str, fields: dict[str, str | int | date], notes: list[str], today: date) -> None:
    if part.startswith("$$"):
        rest = part[2:]
        serial = rest.startswith("+")
        rest = _quantity(rest.removeprefix("+"), fields)
        rest = _expiry(rest, fields, notes, today)
        _put(fields, "serial" if serial else "lot", rest)
    elif part.startswith("$+"):
        _put(fields, "serial", part[2:])
    elif part.startswith("$"):
        _put(fields, "lot", part[1:])
    elif part.startswith("S"):
        _put(fields, "serial", part[1:])
    elif part[:3] in {"14D", "16D"} and len(part) == 11 and part[3:].isdigit():
        name = "expires" if part[:3] == "14D" else "made"
        _put(fields, name, calendar_date(int(part[3:7]), int(part[7:9]), int(part[9:]), "date")[0])
    elif part[:1] == "Q" and part[1:].isdigit():
        _put(fields, "quantity", int(part[1:]))
    elif part[:5].isdigit() and len(part) > 4:
        _put(fields, "expires", day_of_year(full_year(int(part[:2]), today), int(part[2:5]), "expiry date"))
        _put(fields, "lot", part[5:])
    else:
        notes.append(f"The part {part[:24]!r} is not read; see the print.")


def _quantity(rest: str, fields: dict[str, str | int | date]) -> str:
    digits = QUANTITIES.get(rest[:1])
    if digits is None:
        return rest
    count = rest[1 : 1 + digits]
    if len(count) < digits or not count.isdigit():
        raise FormatError("the quantity of the label is cut short; scan it again")
    _put(fields, "quantity", int(count))
    return rest[1 + digits :]


def _expiry(rest: str, fields: dict[str, str | int | date], notes: list[str], today: date) -> str:
    flag, note = rest[:1], ""
    digits = {"2": 6, "3": 6, "4": 8, "5": 5, "6": 7}.get(flag, 0)
    text = rest[1 : 1 + digits]
    if digits and (len(text) < digits or not text.isdigit()):
        raise FormatError("the expiry date of the label is cut short; scan it again")
    if flag == "7":
        return rest[1:]
    if digits == 0:
        if not (rest[:4].isdigit() and len(rest) > 3 and flag in {"0", "1"}):
            return rest
        found, note = calendar_date(full_year(int(rest[2:4]), today), int(rest[:2]), 0, f"expiry date {rest[:4]}")
        rest = rest[4:]
    else:
        if flag == "2":
            found, note = short_date(text[4:] + text[:4], "expiry date", today)
        elif flag in {"3", "4"}:
            found, note = short_date(text[:6], "expiry date", today)
        else:
            found = day_of_year(full_year(int(text[:2]), today), int(text[2:5]), "expiry date")
        rest = rest[1 + digits :]
    _put(fields, "expires", found)
    notes += [note] if note else []
    return rest


def _put(fields: dict[str, str | int | date], name: str, value: str | int | date) -> None:
    if value == "":
        return
    if isinstance(value, str) and len(value) > LONGEST:
        raise FormatError(f"the {name} of the label has {len(value)} characters, {LONGEST} are allowed; scan it again")
    if fields.get(name, value) != value:
        raise FormatError("the label says one thing twice, differently; scan one label only")
    fields[name] = value
