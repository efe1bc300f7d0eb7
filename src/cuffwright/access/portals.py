"""Portals by the trade's definitions: from bony landmarks to a point on the skin, and back to the marking pen."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from cuffwright.anatomy.shoulder import Shoulder
from cuffwright.anatomy.turning import unit
from cuffwright.case.errors import CaseError
from cuffwright.case.fact import Citing, Provenance
from cuffwright.case.reach import PortalPlace

Floats = NDArray[np.float64]

NAMES = (
    "posterior",
    "anterior",
    "lateral",
    "accessory superolateral",
    "anterolateral",
    "posterolateral",
    "superomedial",
)
"""The seven portals of a cuff repair by their full trade names, the one that is made first in front."""

KEYS: dict[str, str] = {name: name.split()[0] for name in NAMES}
"""Which family of rows defines which portal."""

EDGE = ("lateral", "accessory superolateral", "anterolateral", "posterolateral")
"""Portals measured off the acromion's lateral edge."""

STAB = "accessory superolateral"
"""The portal just off the edge, a stab beside it instead of below it."""

CM = 10.0
"""Numerical choice: mm in a cm."""


def default_places(book: Citing) -> tuple[PortalPlace, ...]:
    """The seven portals at the trade's distances, each with the assumed error of a stab."""
    error = book.number("portal.error")
    places = [
        PortalPlace(
            "posterior",
            down=book.number("portal.posterior.down"),
            medial=book.number("portal.posterior.medial"),
            error=error,
            fixed=True,
        ),
        PortalPlace("anterior", medial=-book.number("portal.anterior.lateral"), error=error, fixed=True),
    ]
    for name in EDGE:
        share = book.number(f"portal.{KEYS[name]}.share")
        place = PortalPlace(name, along=share, error=error)
        off = book.number(f"portal.{KEYS[name]}.{'beside' if name == STAB else 'down'}")
        places.append(replace(place, beside=off) if name == STAB else replace(place, down=off))
    medial, behind = (book.number(f"portal.superomedial.{way}") for way in ("medial", "behind"))
    return (*places, PortalPlace("superomedial", medial=medial, behind=behind, error=error, fixed=True))


def provenance(book: Citing, name: str) -> tuple[tuple[str, Provenance], ...]:
    """The rows a portal's default distances come from, each with its provenance."""
    ways = {"posterior": ("down", "medial"), "anterior": ("lateral",), "superomedial": ("medial", "behind")}
    edge = ("share", "beside" if name == STAB else "down")
    keys = [f"portal.{KEYS[name]}.{way}" for way in ways.get(name, edge)]
    return tuple((key, book.fact(key).provenance) for key in keys)


def skin_point(place: PortalPlace, shoulder: Shoulder, deep: float) -> Floats:
    """Skin point (3,) of a portal, scapula frame; ``deep`` is skin and muscle over the corner behind the clavicle.

    Raises
    ------
    CaseError
        When there is no portal of that name, or one off the edge has no place along it.
    """
    acromion, skin = shoulder.acromion, shoulder.envelope
    forward, up, lateral = shoulder.body.T
    if place.name in EDGE:
        if place.along is None:
            raise CaseError(f"the {place.name} portal has no place along the acromion's edge; give a share from 0 to 1")
        edge, outward = acromion.edge(place.along), np.array([0.0, 0.0, 1.0])
        if place.name == STAB:
            return skin.beside_edge(edge, outward, place.beside)
        return skin.below_edge(edge, outward, place.down)
    if place.name == "posterior":
        corner = acromion.corner("posterolateral") - place.behind * forward
        spot = corner - place.down * up - place.medial * lateral
        return skin.along(spot, spot - shoulder.coracoid)
    if place.name == "anterior":
        tip, corner = shoulder.coracoid, acromion.corner("anterolateral")
        middle = (tip + corner) / 2 - place.down * up
        beside = (middle - tip) @ lateral
        return skin.along(middle + max(0.0, -place.medial - beside) * lateral, forward)
    if place.name == "superomedial":
        inner = acromion.corner("medial_front")
        return np.asarray(inner - place.medial * lateral - place.behind * forward + deep * up)
    raise CaseError(f"there is no portal called {place.name}; the portals are {', '.join(NAMES)}")


def strayed(place: PortalPlace, point: Floats, shoulder: Shoulder, rng: np.random.Generator) -> Floats:
    """The skin point as a hand would hit it: off by the portal's error in both directions along the skin."""
    out = unit(point - shoulder.head)
    first = unit(np.cross(out, shoulder.body[:, 1]))
    second = np.cross(out, first)
    off = rng.normal(0.0, 1.0, 2) * place.error
    return np.asarray(point + off[0] * first + off[1] * second)


def marking(place: PortalPlace, shoulder: Shoulder) -> tuple[tuple[str, float], ...]:
    """Landmark distances of a portal in cm, as the marking pen needs them."""
    if place.name in EDGE:
        along = (place.along or 0.0) * shoulder.acromion.edge_length
        return (
            ("outwards of the lateral edge of the acromion", place.beside / CM)
            if place.name == STAB
            else ("below the lateral edge of the acromion", place.down / CM),
            ("behind the anterolateral corner, along the edge", along / CM),
        )
    if place.name == "posterior":
        return (
            ("below the posterolateral corner", place.down / CM),
            ("medial to the posterolateral corner", place.medial / CM),
        )
    if place.name == "anterior":
        half = float(np.linalg.norm(shoulder.acromion.corner("anterolateral") - shoulder.coracoid)) / 2
        return (
            ("from the coracoid tip towards the anterolateral corner (half-way)", half / CM),
            ("lateral to the coracoid tip, at least", -place.medial / CM),
        )
    return (
        ("medial to the medial edge of the acromion", place.medial / CM),
        ("behind the clavicle", place.behind / CM),
    )


def confirm(name: str) -> str:
    """How a portal is made: the first by landmarks, every later one confirmed by needle."""
    return "first, by landmarks" if name == NAMES[0] else "confirm by needle"


def edited(places: tuple[PortalPlace, ...], changed: PortalPlace) -> tuple[PortalPlace, ...]:
    """The portals with one replaced; raises CaseError when there is none of that name."""
    if changed.name not in {place.name for place in places}:
        raise CaseError(f"there is no portal called {changed.name}; the portals are {', '.join(NAMES)}")
    return tuple(replace(changed) if place.name == changed.name else place for place in places)
