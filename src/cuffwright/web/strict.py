"""The ground of everything the browser may send."""

from pydantic import BaseModel, ConfigDict


class Strict(BaseModel):
    """A model without guesses: no unknown fields, no conversions, no infinities."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, frozen=True)
