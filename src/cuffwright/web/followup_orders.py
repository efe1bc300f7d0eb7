"""What the forms of Follow-up say, read field by field, as changes of the record."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any
from urllib.parse import parse_qs

from cuffwright.case.care import Care
from cuffwright.case.followup import Complication, Seen
from cuffwright.case.rehab import Protocol
from cuffwright.case.score import Answers, Part, ScoreTable
from cuffwright.course.caring import (
    WriteCare,
    with_answers,
    with_complication,
    with_image,
    without_complication,
    without_visit,
)
from cuffwright.evidence.score_files import score_table
from cuffwright.exchange.followup_file import answers_table
from cuffwright.exchange.plain import read_plain
from cuffwright.exchange.protocol_file import read_protocol
from cuffwright.web.refusal import Refusal

MOST_FIELDS = 60
"""Numerical choice: fields of one form; the longest score asks for fewer."""

LONGEST = 4000
"""Numerical choice: characters of one answer; a protocol is the longest."""

WEEKS = ("sling_ends_week", "passive_week", "active_week", "strengthening_week")


class Form:
    """One form as it was sent: every field a text, stripped."""

    def __init__(self, body: bytes) -> None:
        try:
            self._fields = parse_qs(body.decode("utf-8"), keep_blank_values=True, max_num_fields=MOST_FIELDS)
        except (UnicodeDecodeError, ValueError):
            raise Refusal(422, "the form cannot be read; open the page again and try once more") from None

    def text(self, name: str) -> str:
        """The field ``name``, "" where it is empty or not there."""
        found = self._fields.get(name, [""])[0].strip()
        if len(found) > LONGEST:
            raise Refusal(422, f"{name} has more than {LONGEST} characters; write it shorter")
        return found

    def number(self, name: str, called: str) -> float | None:
        """The field as a number, None where it is empty."""
        told = self.text(name)
        if not told:
            return None
        try:
            return float(told)
        except ValueError:
            raise Refusal(422, f"{called}: {told[:20]!r} is no number; write it with a point, such as 2.5") from None

    def day(self) -> date:
        """The day of the form."""
        try:
            return date.fromisoformat(self.text("day"))
        except ValueError:
            raise Refusal(422, "the day is missing or no date; choose the day it took place") from None

    def yes_no(self, name: str) -> bool | None:
        """A yes or no, None where it is not answered."""
        return {"yes": True, "no": False}.get(self.text(name))


def wanted(what: str, form: Form, care: Care, operation: date) -> WriteCare:
    """The record as the form called ``what`` changes it.

    Raises
    ------
    Refusal
        When there is no such form, or a field of it cannot be read.
    CaseError
        When what it says is impossible.
    """
    if what not in FORMS:
        raise Refusal(422, f"there is no form {what[:30]!r} on Follow-up; open the page again")
    return FORMS[what](form, care, operation)


def _score(form: Form, care: Care, operation: date) -> WriteCare:
    table, day = score_table(form.text("score")), form.day()
    version = form.text("version")
    told: dict[str, Any] = {}
    for part in asked_parts(table, version):
        if part.after_only and day <= operation:
            continue
        values = [form.number(f"{part.name}.{place}", part.name) for place in range(part.items)]
        if any(value is not None for value in values):
            told[part.name] = ["" if value is None else value for value in values]
    if not told:
        raise Refusal(422, f"{table.title}: no answer was given; fill at least one")
    if version:
        told["version"] = version
    if table.how and form.text("how"):
        told["how"] = form.text("how")
    if any(part.after_only for part in table.parts):
        told["moment"] = "before" if day <= operation else "after"
    plain = answers_table(table.name, told, "the form")
    return WriteCare(with_answers(care, day, read_plain(Answers, plain, "the form")), f"{table.name} of {day} entered")


def asked_parts(table: ScoreTable, version: str) -> tuple[Part, ...]:
    """The parts of a score that its version asks for."""
    return tuple(part for part in table.parts if part.version in ("", version))


def _image(form: Form, care: Care, _: date) -> WriteCare:
    day = form.day()
    plain = {"imaging": form.text("imaging"), "mr_type": form.text("mr_type") or None, "whole": form.yes_no("whole")}
    seen = read_plain(Seen, {name: told for name, told in plain.items() if told is not None}, "the image")
    return WriteCare(with_image(care, day, seen), f"imaging of {day} entered")


def _complication(form: Form, care: Care, _: date) -> WriteCare:
    plain = {"kind": form.text("kind"), "day": form.day(), "words": form.text("words")}
    event = read_plain(Complication, plain, "the complication")
    return WriteCare(with_complication(care, event), f"{event.kind} of {event.day} entered")


def _without_visit(form: Form, care: Care, _: date) -> WriteCare:
    day = form.day()
    return WriteCare(without_visit(care, day), f"visit of {day} taken out")


def _without_complication(form: Form, care: Care, _: date) -> WriteCare:
    place = form.text("place")
    left = without_complication(care, int(place) if place.isdigit() else len(care.complications))
    return WriteCare(left, "complication taken out")


def _as_planned(form: Form, care: Care, _: date) -> WriteCare:
    said = form.yes_no("as_planned")
    words = {None: "not known whether done as planned", True: "done as planned", False: "not done as planned"}[said]
    return WriteCare(replace(care, as_planned=said), words)


def _protocol(form: Form, care: Care, _: date) -> WriteCare:
    protocol = read_plain(Protocol, {**_weeks(form), "name": form.text("name"), "version": form.text("version")}, "it")
    return WriteCare(replace(care, protocol=protocol), f"protocol {protocol.name} {protocol.version} set")


def _weeks(form: Form) -> dict[str, float]:
    weeks = {name: form.number(name, name.replace("_", " ")) for name in WEEKS}
    return {name: week for name, week in weeks.items() if week is not None}


def _protocol_file(form: Form, care: Care, _: date) -> WriteCare:
    protocol = read_protocol(form.text("toml"), "the protocol")
    return WriteCare(replace(care, protocol=protocol), f"protocol {protocol.name} {protocol.version} set")


FORMS: dict[str, Callable[[Form, Care, date], WriteCare]] = {
    "score": _score,
    "image": _image,
    "complication": _complication,
    "without-visit": _without_visit,
    "without-complication": _without_complication,
    "as-planned": _as_planned,
    "protocol": _protocol,
    "protocol-file": _protocol_file,
}
"""Every form that changes the record, by its name."""
