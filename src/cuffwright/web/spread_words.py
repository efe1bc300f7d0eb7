"""Numbers in words no finer than their spread: value and SD to the SD's two leading figures."""

import math


def by_spread(value: float, sd: float) -> tuple[str, str]:
    """``value`` and ``sd`` in words, neither finer than the SD's second figure; as they are when there is none.

    Common practice of reporting a measured value, no source.
    """
    if not sd > 0.0:
        return f"{value:g}", ""
    places = 1 - math.floor(math.log10(sd))
    return _plain(round(value, places)), _plain(round(sd, places))


def _plain(value: float) -> str:
    return f"{value:.12g}"
