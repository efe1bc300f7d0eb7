"""The short path to a first plan: side, width, retraction, age and shape, and whose shoulder it is."""

from datetime import date
from typing import Any, Literal
from urllib.parse import parse_qs

from pydantic import Field, ValidationError

from cuffwright.case.identity import Identity, Side
from cuffwright.case.measurement import Measurement
from cuffwright.case.patient import Patient
from cuffwright.case.sheet import CaseSheet, Plan
from cuffwright.case.tear import Shape, Tear
from cuffwright.web.refusal import Refusal
from cuffwright.web.strict import Strict

TRACE = "typed on the short path"
OLDEST = 120
"""Numerical choice: years nobody has passed."""

LARGEST = 200.0
"""Numerical choice: no tear is as wide or as retracted as this, mm; the rules refuse far below it."""


class ShortPath(Strict):
    """Five measures, a local patient key, and, where known, spreads, the date and a pattern to begin with."""

    patient: str = Field(min_length=1, max_length=60)
    side: Side
    width_mm: float = Field(gt=0, le=LARGEST)
    width_sd_mm: float = Field(default=0.0, ge=0, le=LARGEST)
    retraction_mm: float = Field(ge=0, le=LARGEST)
    retraction_sd_mm: float = Field(default=0.0, ge=0, le=LARGEST)
    age: int = Field(ge=0, le=OLDEST)
    shape: Shape
    operation_date: str | None = Field(default=None, pattern=r"^\d{4}-\d{2}-\d{2}$")
    pattern: str | None = Field(default=None, max_length=60)

    @property
    def sheet(self) -> CaseSheet:
        """The case that these measures begin; all else is unknown. Raises Refusal when the date is none."""
        try:
            day = date.fromisoformat(self.operation_date) if self.operation_date else None
        except ValueError:
            raise Refusal(422, f"{self.operation_date} is no day; write it as year-month-day") from None
        return CaseSheet(
            identity=Identity(self.patient, self.side, operation_date=day),
            tear=Tear(
                width_mm=Measurement(self.width_mm, self.width_sd_mm, "typed", TRACE),
                retraction_mm=Measurement(self.retraction_mm, self.retraction_sd_mm, "typed", TRACE),
                shape=self.shape,
            ),
            patient=Patient(age=self.age),
            plan=Plan(pattern=self.pattern),
        )


NUMBERS = ("width_mm", "width_sd_mm", "retraction_mm", "retraction_sd_mm", "age")
WORDS: dict[Literal["side", "shape", "age"], str] = {
    "side": "the side is missing; choose right or left, there is no default",
    "shape": "the shape of the tear is missing; choose one",
    "age": "the age is missing; give whole years",
}


def short_form(body: bytes) -> ShortPath:
    """The short path as the plain form sends it; raises Refusal 422 naming the first field that is wrong."""
    try:
        form = parse_qs(body.decode("utf-8"), max_num_fields=20)
    except (UnicodeDecodeError, ValueError):
        raise Refusal(422, "the form cannot be read; go back to the case list and try again") from None
    plain: dict[str, Any] = {name: values[0].strip() for name, values in form.items() if values[0].strip()}
    try:
        for name in NUMBERS:
            if name in plain:
                plain[name] = int(plain[name]) if name == "age" else float(plain[name])
        return ShortPath.model_validate(plain)
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        place = str(first["loc"][0]) if first["loc"] else "the form"
        words = {str(name): told for name, told in WORDS.items()}.get(place) if first["type"] == "missing" else None
        raise Refusal(422, words or f"{place}: {first['msg']}; go back and correct it") from None
    except ValueError:
        raise Refusal(422, f"{name}: {str(plain[name])[:20]!r} is no number; go back and correct it") from None
