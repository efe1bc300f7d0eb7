"""What each limb is worth: pressure lost when it is removed and the others keep their tension."""

from collections.abc import Sequence
from dataclasses import dataclass

from cuffwright.case.errors import CaseError
from cuffwright.mechanics.pressure.contact import ContactMap, contact_map
from cuffwright.mechanics.pressure.field import Grid
from cuffwright.mechanics.pressure.material import LayerProperties
from cuffwright.mechanics.pressure.parameters import ContactParameters
from cuffwright.mechanics.pressure.shelf import PressureShelf
from cuffwright.mechanics.pressure.span import Span


@dataclass(frozen=True)
class LimbLoss:
    """What the window loses without limb ``name``: force N, mean and peak MPa, area mm2 and its share (-).

    ``without`` is the map of the remaining limbs.
    """

    name: str
    force: float
    mean: float
    peak: float
    area: float
    share: float
    without: ContactMap


def without_limb(
    name: str,
    spans: Sequence[Span],
    whole: ContactMap,
    grid: Grid,
    layer: LayerProperties,
    parameters: ContactParameters,
    shelf: PressureShelf,
) -> LimbLoss:
    """Remove the span or spans called ``name`` from ``spans``, whose map is ``whole``, and say what is lost.

    The others keep the tensions they are given; a ramp that redistributes them gives new spans instead.

    Raises
    ------
    CaseError
        When no span has this name.
    """
    rest = [s for s in spans if s.name != name]
    if len(rest) == len(spans):
        raise CaseError(f"there is no limb {name} to remove; the repair has {', '.join(s.name for s in spans)}")
    after = contact_map(rest, grid, layer, whole.window, parameters, shelf)
    return LimbLoss(
        name,
        whole.force - after.force,
        whole.mean - after.mean,
        whole.peak - after.peak,
        whole.area_above() - after.area_above(),
        whole.share_above() - after.share_above(),
        after,
    )


def limb_losses(
    spans: Sequence[Span],
    whole: ContactMap,
    grid: Grid,
    layer: LayerProperties,
    parameters: ContactParameters,
    shelf: PressureShelf,
) -> tuple[LimbLoss, ...]:
    """:func:`without_limb` for every limb in turn, the costliest (by force) first."""
    names = dict.fromkeys(s.name for s in spans)
    losses = [without_limb(n, spans, whole, grid, layer, parameters, shelf) for n in names]
    return tuple(sorted(losses, key=lambda loss: -loss.force))
