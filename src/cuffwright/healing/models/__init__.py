"""Published models and rates, found by looking in this folder: add one by adding a file with a ``MODEL``."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from cuffwright.case.fact import Citing
from cuffwright.case.odds import OddsAnswer
from cuffwright.healing.deciding import Domain
from cuffwright.healing.known import Known
from cuffwright.healing.models._model import NOT_HEALED, Model, answer

__all__ = ["NOT_HEALED", "again", "inputs", "models", "odds"]


@cache
def models() -> tuple[Model, ...]:
    """All models and rates in the order in which they are shown."""
    pages = sorted(m.name for m in iter_modules(__path__) if not m.name.startswith("_"))
    found: list[Model] = [import_module(f"{__name__}.{page}").MODEL for page in pages]
    return tuple(sorted(found, key=lambda model: model.order))


def odds(known: Known, facts: Citing) -> tuple[OddsAnswer, ...]:
    """What each of them says of this shoulder, side by side and never blended."""
    return tuple(answer(model, known, facts) for model in models() if model.only_if(known))


def inputs(name: str, known: Known, facts: Citing) -> Domain:
    """The inputs that the model called ``name`` reads in this shoulder, each with the values that stand for all.

    Raises StopIteration when there is no such model.
    """
    one = next(model for model in models() if model.name == name)
    return dict.fromkeys((*one.required, *one.more(known)), ()) | dict(one.domain(facts))


def again(name: str, known: Known, facts: Citing) -> OddsAnswer:
    """What one model says of this shoulder; raises StopIteration when there is no such model."""
    return answer(next(model for model in models() if model.name == name), known, facts)
