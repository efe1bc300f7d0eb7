"""A repair as flat arrays: sites, ropes and anchors, the one form the compiled ramp and its plain twin read."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

HOLE, WRAP, STRAP = 0, 1, 2
ON_ANCHOR, ON_BOTTOM, ON_TOP = 0, 1, 2


ROOM = 1.25
"""Numerical choice: what is left of a repair may bear this times the capacity of its holes (friction, hard tearing)."""


class Net(NamedTuple):
    """One repair in arrays: ``n`` sites, ``r`` ropes of at most ``m`` nodes, ``k`` anchors.

    ``kind`` (n) is HOLE, WRAP or STRAP; ``at`` (n, 2) the place on the sheet in mm (u from the strip's front,
    v from the articular margin); ``bearing`` (n) N/mm, ``tear`` (n) N (infinite where nothing tears), ``loss``
    (n) mm of slot until a hole is lost, ``press`` (n) the thickness stiffness in N/mm, ``thick`` (n) mm.
    ``stiffness`` (2n, 2n) N/mm joins the sites through the sheet with the medial edge clamped; ``edge`` (2n)
    is the mean lateral motion of the tendon edge per newton on each site.
    ``on`` and ``which`` (r, m) say for each rope node what it sits on and on which one; ``nodes`` (r) how many are in
    use; ``mate`` (r) is the other limb of a suture that runs on through its anchor's eyelet, which slides there beyond
    the friction ``eyelet`` and is lost with it (-1: none); ``tension`` (r) N when fixed; ``give`` (r) mm/N of knot or
    clamp and anchors; ``strength`` (r) N; ``stage`` (r) of tying. ``anchor`` (k, 3) mm, ``hold`` (k) N.
    ``thread`` N is the suture's axial stiffness, ``friction`` the tendon on bone, ``stick`` N/mm the friction
    spring, ``hard`` the share of bearing stiffness left beyond tearing, ``bend`` mm the rounding of a rope's
    corner, ``floor`` mm the height of a rope under the tendon, ``preload`` N the clamp force while tying.

    ``part`` (r, m) numbers the stretch of rope that ends at each node (entry 0 unused): a rope with friction
    ``rub`` (r) above 0 is cut into parts at every site it turns round, any other is one part.
    ``carry`` (2n) is how far each site is taken per mm of clamp motion where no suture holds, ``own`` N/mm what the
    clamp meets without sutures, ``lead`` the medial motion of the tendon edge per mm of clamp, ``swing`` (2n) its
    part that a free muscle end takes back per mm of strain motion at each site.
    """

    kind: Whole
    at: Floats
    bearing: Floats
    tear: Floats
    loss: Floats
    press: Floats
    thick: Floats
    stiffness: Floats
    edge: Floats
    on: Whole
    which: Whole
    nodes: Whole
    tension: Floats
    give: Floats
    strength: Floats
    stage: Whole
    anchor: Floats
    hold: Floats
    thread: float
    friction: float
    stick: float
    hard: float
    bend: float
    floor: float
    preload: float
    part: Whole
    rub: Floats
    carry: Floats
    own: float
    lead: float
    swing: Floats
    mate: Whole
    eyelet: float


class Curve(NamedTuple):
    """One ramp of ``s`` recorded steps; row 0 is the tied repair under the preload.

    ``clamp`` (s) mm medially, ``force`` (s) N, ``edge`` (s) mm the tendon edge has moved medially since row 0,
    ``tension`` (s, r) N, ``pull`` (s, 2n) N the sites' force on the tissue, ``slot`` (s, n, 2) mm from tissue to
    rope, ``depth`` (s, n) mm of indentation, ``anchor`` (s, k) N, ``events`` (e, 3) rows of step, kind
    (0 hole, 1 rope, 2 anchor) and index, in the order of failing, ``yields`` N at the first hole to tear.
    ``place`` (s) mm is how far the edge lies medial of its planned place, ``tissue`` (s, 2n) mm the sites' motion.
    A rope that rubs shows the tension of its tautest part.
    """

    clamp: Floats
    force: Floats
    edge: Floats
    tension: Floats
    pull: Floats
    slot: Floats
    depth: Floats
    anchor: Floats
    events: Whole
    yields: float
    place: Floats
    tissue: Floats
