"""How a suture is fixed and how it runs: knot or clamp, sliding or tied, and where it may stick."""

import numpy as np

from cuffwright.case.layout import Layout, Stitch
from cuffwright.mechanics.net import ON_TOP, Floats, Whole
from cuffwright.mechanics.route import Route


def fastening(stitch: Stitch) -> str:
    """How a suture ends: ``limb`` in a knotless anchor, else ``knot``. A bridge's lateral end is knotless."""
    return "knot" if stitch.knotted and stitch.kind != "bridge" else "limb"


def rubs(stitch: Stitch) -> str:
    """How a suture runs once it is fixed: ``slides`` through the tendon with no knot on it, else ``tied``."""
    slides = stitch.kind == "transosseous" or (stitch.kind == "bridge" and not stitch.knotted)
    return "slides" if slides else "tied"


def sutures(layout: Layout) -> Whole:
    """Number (r) of the suture that each rope is a limb of; a rope with a knot of its own stands alone.

    Both limbs of a knotless suture run through one eyelet: when one end is lost, the other is held by nothing.
    """
    names = [
        limb_suture(stitch) if stitch.kind == "bridge" and not stitch.knotted else stitch.name
        for stitch in layout.stitches
    ]
    numbers: Whole = np.array([names.index(name) for name in names], np.int64)
    return numbers


def limb_suture(stitch: Stitch) -> str:
    """The suture of a one-limb stitch: anchor number and letter, the limb's name without F or B."""
    return stitch.holes[0].rstrip("FB")


def parts(way: Route, rub: Floats) -> Whole:
    """Number (r, m) of the stretch of rope that ends at each node; a rope that rubs is cut where it passes a site."""
    over = (way.on == ON_TOP) & (np.arange(way.on.shape[1])[None, :] > 0)
    part: Whole = np.zeros(way.on.shape, np.int64)
    part[:, 1:] = np.cumsum(over[:, :-1], axis=1) * (rub > 0.0)[:, None]
    return part
