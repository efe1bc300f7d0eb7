"""Published models and rates, found by looking in this folder: add one by adding a file with a ``MODEL``."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.case.odds import OddsAnswer
from cuffwright.healing.known import Known
from cuffwright.healing.models._model import NOT_HEALED, Model, answer

__all__ = ["NOT_HEALED", "models", "odds"]


@cache
def models() -> tuple[Model, ...]:
    """All models and rates in the order in which they are shown."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    found: list[Model] = [import_module(f"{__name__}.{page}").MODEL for page in pages]
    return tuple(sorted(found, key=lambda model: model.order))


def odds(known: Known, facts: Citing) -> tuple[OddsAnswer, ...]:
    """What each of them says of this shoulder, side by side and never blended."""
    return tuple(answer(model, known, facts) for model in models() if model.only_if(known))
