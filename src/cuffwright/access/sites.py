"""What is to be reached: anchors and holes of a layout, with the tools that go there, on one humerus."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cuffwright.access.cannulas import Cannulas
from cuffwright.anatomy.chart import FootprintChart
from cuffwright.anatomy.turning import unit
from cuffwright.case.errors import EvidenceError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import TUNNEL, Anchor, Layout, TendonStrip
from cuffwright.case.reach import SiteKind

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Tools:
    """Sizes (mm) and angles (degrees) of driver, passers and arthroscope, and what an anchor bed needs."""

    working_length: float
    sleeve_wall: float
    passer_diameter: float
    jaw: float
    swing_degrees: float
    under_degrees: float
    steep_degrees: float
    curve_degrees: float
    through_degrees: float
    angle_least_degrees: float
    bridge: float
    joint: float
    cannulas: Cannulas

    @classmethod
    def from_facts(cls, book: Citing) -> "Tools":
        """The tools from their rows."""
        return cls(
            working_length=book.number("tool.length.working"),
            sleeve_wall=book.number("tool.sleeve.wall"),
            passer_diameter=book.number("tool.passer.diameter"),
            jaw=book.number("tool.passer.jaw"),
            swing_degrees=book.number("tool.passer.swing"),
            under_degrees=book.number("tool.passer.under"),
            steep_degrees=book.number("tool.passer.steep"),
            curve_degrees=book.number("tool.penetrator.curve"),
            through_degrees=book.number("tool.penetrator.least"),
            angle_least_degrees=book.number("reach.angle.least"),
            bridge=book.number("reach.bridge"),
            joint=book.number("reach.joint"),
            cannulas=Cannulas.from_facts(book),
        )


@dataclass(frozen=True)
class Site:
    """One place: chart point (mm), tool diameter (mm); ``bed`` is an anchor's depth, ``bite`` a hole's from the edge.

    An anchor has no bite and a hole no bed: each is 0 there. Mouths of a bone ``tunnel`` are drilled to meet.
    """

    name: str
    kind: SiteKind
    u: float
    v: float
    z: float
    diameter: float
    bed: float = 0.0
    bite: float = 0.0
    tunnel: bool = False


def sites_of(layout: Layout, strip: TendonStrip, tools: Tools, book: Citing) -> tuple[Site, ...]:
    """Every anchor and hole of a layout in working order: medial anchors, holes, lateral anchors.

    Raises
    ------
    EvidenceError
        When an anchor's implant has no size in the rows.
    """

    def bed(anchor: Anchor) -> Site:
        try:
            width = book.number(f"tool.anchor.{anchor.implant}.diameter")
            depth = book.number(f"tool.anchor.{anchor.implant}.bed")
        except EvidenceError:
            raise EvidenceError(
                f"reach of anchor {anchor.name} not computed, needs the diameter and bed of {anchor.implant} as rows"
            ) from None
        kind: SiteKind = "medial anchor" if anchor.row == "medial" else "lateral anchor"
        thick = width + 2 * tools.sleeve_wall
        return Site(anchor.name, kind, anchor.u, anchor.v, 0.0, thick, bed=depth, tunnel=anchor.implant == TUNNEL)

    holes = [
        Site(hole.name, "hole", hole.u, hole.v, strip.thickness, tools.passer_diameter, bite=strip.edge - hole.v)
        for hole in layout.holes
    ]
    return (*(bed(a) for a in layout.row("medial")), *holes, *(bed(a) for a in layout.row("lateral")))


@dataclass(frozen=True)
class Spots:
    """Sites on one humerus, humerus frame: points, outward normals, directions backwards and outwards, (t, 3).

    Outwards is along v; backwards is along u as far as that is square to it.
    """

    points: Floats
    normals: Floats
    backwards: Floats
    outwards: Floats


def place_sites(sites: tuple[Site, ...], chart: FootprintChart) -> Spots:
    """The sites on a humerus."""
    u, v, z = (np.array([getattr(site, way) for site in sites]) for way in ("u", "v", "z"))
    by_u, by_v = chart.tangents(u, v)
    outwards = unit(by_v)
    backwards = unit(by_u - np.sum(by_u * outwards, axis=-1, keepdims=True) * outwards)
    return Spots(chart.to_humerus(u, v, z), chart.normals(u, v), backwards, outwards)


def strayed_sites(sites: tuple[Site, ...], spread: float, rng: np.random.Generator) -> tuple[Site, ...]:
    """The sites as a hand would place them, off by ``spread`` mm (SD) in u and in v; never on the cartilage."""
    off = rng.normal(0.0, 1.0, (len(sites), 2)) * spread
    return tuple(
        replace(site, u=site.u + float(du), v=max(0.0, site.v + float(dv)))
        for site, (du, dv) in zip(sites, off, strict=True)
    )
