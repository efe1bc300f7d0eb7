"""Every number the in-plane mechanics needs, taken from evidence rows once and then frozen."""

from dataclasses import dataclass
from typing import Literal, TypeVar

import numpy as np

from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import TUNNEL
from cuffwright.case.sheet import Insertion
from cuffwright.mechanics.net import Floats
from cuffwright.mechanics.sheet import Elastic

Grade = Literal["good", "fair", "poor"]
Setting = Literal["laboratory", "surgery"]

BONE = {"good": "normal", "fair": "osteopenic", "poor": "osteoporotic"}
ROWS = ("medial", "lateral")
IMPLANTS = ("all-suture-2.5", "threaded-5.0", "push-in-4.5", TUNNEL)

HITCHES = 3
"""Numerical choice: reversed half hitches on alternating posts from which a knot gains no more."""

Choice = TypeVar("Choice")


def chosen(choices: dict[str, Choice], name: str, what: str) -> Choice:
    """The choice called ``name``; raises CaseError naming the known ones when there is none."""
    try:
        return choices[name]
    except KeyError:
        raise CaseError(f"{what} {name!r} is not known here; use one of {', '.join(choices)}") from None


@dataclass(frozen=True)
class Parameters:
    """The mechanics' numbers for one scenario of tendon and bone, in mm, N and MPa.

    ``elastic`` are the sheet's moduli, ``press`` N/mm the thickness stiffness at a site; ``bearing`` N/mm,
    ``capacity`` N at ``reference_thickness`` and a bite of ``reference_bite`` (growing with ``bite_power``),
    ``slot`` mm until a hole is lost; ``stitch`` the capacity factor per kind of hole; ``tissue`` the factor of
    tendon quality on every hole. ``thread`` N is the suture's axial stiffness; ``give``, ``tension`` and
    ``strength`` are by "knot" (tied) or "limb" (held in a knotless anchor); ``knot_slip`` is the chance that a knot
    slips open before it breaks; ``tension_limit`` is the share of a hole's or anchor's strength up to which a suture
    is tensioned; ``anchor_give`` mm/N. ``holds`` N is anchor strength by implant and row; ``crowding`` the distance
    (mm) at which two anchors weaken one another to the share that is its third entry, and that from which they do
    not. ``friction`` is the tendon's on bone, ``rub`` the suture's on tendon for sutures that "slides" through it and
    for "tied" loops. ``intact`` N is the strength of an intact tendon of ``intact_width`` mm; ``wall_degrees`` how
    steeply the bone falls lateral of the footprint. ``edge_limit``, ``neighbour_limit`` (mm) and ``depth_limit``
    (share) bound validity; ``model_error`` is the standard deviation of ln(model / truth) of the ultimate on blind
    bench rows.
    """

    elastic: Elastic
    press: float
    bearing: float
    capacity: float
    reference_thickness: float
    reference_bite: float
    bite_power: float
    slot: float
    stitch: dict[str, float]
    tissue: float
    thread: float
    give: dict[str, float]
    tension: dict[str, float]
    strength: dict[str, float]
    knot_slip: float
    tension_limit: float
    anchor_give: float
    holds: dict[tuple[str, str], float]
    crowding: tuple[float, float, float]
    friction: float
    rub: dict[str, float]
    preload: float
    intact: float
    intact_width: float
    wall_degrees: float
    edge_limit: float
    neighbour_limit: float
    depth_limit: float
    model_error: float

    @classmethod
    def from_facts(
        cls,
        book: Citing,
        *,
        tissue: Grade,
        bone: Grade,
        bridging_factor: bool = False,
        torn: bool = True,
        design_anchors: bool = False,
        half_hitches: int = HITCHES,
        insertion: Insertion = "standard",
    ) -> "Parameters":
        """Read one scenario from the rows.

        ``tissue`` and ``bone`` are the quality classes; ``bridging_factor`` takes the contested gain of holes
        that carry a bridging limb. ``torn`` treats the tendon as torn tissue: the fair class then stands at the
        torn-tissue factor and the other classes in the same ratio, so class and tear are not counted twice.
        ``design_anchors`` gives every anchor the one laboratory strength instead of kind, row and bone.
        ``half_hitches`` is how many reversed ones, on alternating posts, back up each knot; ``insertion`` how deep
        the anchors sit.

        Raises
        ------
        CaseError
            When a class is unknown or no half hitch backs the knots.
        EvidenceError
            When a row is missing.
        """
        n = book.number
        classes = {grade: n(f"tissue.factor.{grade}") for grade in BONE}
        quality = chosen(classes, tissue, "tendon quality")
        if torn:
            quality *= n("tissue.torn") / classes["fair"]
        if half_hitches < 1:
            raise CaseError("a knot without a reversed half hitch is not on record; give 1 or more")
        tied = n("suture.strength.knot") * n(f"knot.factor.{min(half_hitches, HITCHES)}")
        mattress = n("stitch.factor.mattress")
        gain = n("bridge.factor.contested") if bridging_factor else n("bridge.factor")
        return cls(
            elastic=Elastic(
                n("tendon.modulus.along"), n("tendon.modulus.across"), n("tendon.poisson"), n("tendon.modulus.shear")
            ),
            press=n("tendon.press"),
            bearing=n("hole.bearing"),
            capacity=n("hole.capacity"),
            reference_thickness=n("hole.capacity.thickness"),
            reference_bite=n("hole.bite"),
            bite_power=n("hole.bite.power"),
            slot=n("hole.slot"),
            stitch={"simple": n("stitch.factor.simple"), "mattress": mattress, "bridge": mattress * gain},
            tissue=quality,
            thread=n("suture.stiffness"),
            give={"knot": n("suture.give.knot"), "limb": n("suture.give.clamp")},
            tension={"knot": n("suture.tension.knot"), "limb": n("suture.tension.limb")},
            strength={"knot": tied, "limb": n("suture.strength.limb")},
            knot_slip=n(f"knot.slip.{min(half_hitches, HITCHES)}"),
            tension_limit=n("suture.tension.limit"),
            anchor_give=n("anchor.give"),
            holds={
                which: newtons * n(f"anchor.insertion.{insertion}")
                for which, newtons in anchor_holds(book, chosen(BONE, bone, "bone quality"), design_anchors).items()
            },
            crowding=(n("anchor.spacing.near"), n("anchor.spacing.safe"), n("anchor.spacing.factor")),
            friction=n("friction.tendon-bone"),
            rub={"slides": n("friction.suture-tendon"), "eyelet": n("friction.suture-eyelet"), "tied": 0.0},
            preload=n("bench.preload"),
            intact=(n("tendon.capacity.anterior") + n("tendon.capacity.posterior")) * quality,
            intact_width=n("rule.tear.supraspinatus"),
            wall_degrees=n("wall.angle"),
            edge_limit=n("limit.edge"),
            neighbour_limit=n("limit.neighbour"),
            depth_limit=n("limit.indentation"),
            model_error=n("model.error.ultimate"),
        )

    def full_bite_capacity(self, kind: str, thickness: float) -> float:
        """Tear capacity (N) of a hole of stitch ``kind`` far from the edge of a tendon ``thickness`` mm thick."""
        return self.capacity * self.tissue * self.stitch[kind] * thickness / self.reference_thickness

    def bite_share(self, bite: Floats) -> Floats:
        """Share of the full capacity that holes ``bite`` mm from the edge keep."""
        share: Floats = np.clip(bite / self.reference_bite, 0.0, 1.0) ** self.bite_power
        return share

    def anchor_hold(self, implant: str, row: str) -> float:
        """Strength (N) of an anchor; raises CaseError when there is no row for the implant."""
        try:
            return self.holds[implant, row]
        except KeyError:
            known = ", ".join(sorted({kind for kind, _ in self.holds}))
            raise CaseError(f"no strength is on record for the implant {implant!r}; use one of {known}") from None

    def crowded(self, posts: Floats) -> Floats:
        """Share (k) of their strength that anchors at ``posts`` (k, 3) mm keep beside their nearest neighbour."""
        near, safe, least = self.crowding
        apart = np.linalg.norm(posts[:, None, :] - posts[None, :, :], axis=2) + np.diag(np.full(len(posts), np.inf))
        share: Floats = np.interp(apart.min(axis=1, initial=np.inf), (near, safe), (least, 1.0))
        return share

    def tendon_capacity(self, width: float) -> float:
        """Strength (N) of the tendon itself over ``width`` mm; never more than the whole intact tendon."""
        return self.intact * min(1.0, width / self.intact_width)


def anchor_holds(book: Citing, bone: str, design: bool) -> dict[tuple[str, str], float]:
    """Anchor strength (N) by implant and row in ``bone``; one value for all when ``design``."""
    if design:
        return {(kind, row): book.number("anchor.strength.design") for kind in IMPLANTS for row in ROWS}
    return {(kind, row): book.number(f"anchor.strength.{kind}.{row}.{bone}") for kind in IMPLANTS for row in ROWS}
