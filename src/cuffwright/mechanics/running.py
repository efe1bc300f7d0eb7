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


def mates(layout: Layout) -> Whole:
    """The rope (r) that each one runs on into through its anchor's eyelet, -1 for none.

    Both limbs of a knotless suture run through one eyelet: rope passes from one to the other there, and when one end
    is lost, the other is held by nothing. A rope with a knot of its own stands alone.
    """
    names = [
        limb_suture(stitch) if stitch.kind == "bridge" and not stitch.knotted else "" for stitch in layout.stitches
    ]
    found = [
        next((other for other, name in enumerate(names) if own and name == own and other != r), -1)
        for r, own in enumerate(names)
    ]
    return np.array(found, np.int64)


def limb_suture(stitch: Stitch) -> str:
    """The suture of a one-limb stitch: anchor number and letter, the limb's name without F or B."""
    return stitch.holes[0].rstrip("FB")


def parts(way: Route, rub: Floats) -> Whole:
    """Number (r, m) of the stretch of rope that ends at each node; a rope that rubs is cut where it passes a site."""
    over = (way.on == ON_TOP) & (np.arange(way.on.shape[1])[None, :] > 0)
    part: Whole = np.zeros(way.on.shape, np.int64)
    part[:, 1:] = np.cumsum(over[:, :-1], axis=1) * (rub > 0.0)[:, None]
    return part
