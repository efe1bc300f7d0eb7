"""How the sites of a layout are reached, quickly and without chances: what the rules of a repair are told."""

import numpy as np

from cuffwright.access.paths import Paths
from cuffwright.access.portals import default_places, edited
from cuffwright.access.posing import PoseFacts, distance_degrees
from cuffwright.access.sites import Tools, sites_of
from cuffwright.access.table import Chosen, Gear, Scene, choose, set_scene, why_not
from cuffwright.case.errors import EvidenceError
from cuffwright.case.fact import Citing
from cuffwright.case.layout import Layout
from cuffwright.case.quantity import Caution
from cuffwright.case.reach import USUAL, Approach, PortalPlace, Pose, SiteReach
from cuffwright.course.prepared import Prepared

REACH_CODES = frozenset({"out-of-reach", "reach-needs-arm", "reach-not-computed"})
"""Codes of the cautions that speak of reach."""


def gear_of(facts: Citing) -> Gear:
    """Tools and arm positions from their rows; raises EvidenceError when one is missing."""
    return Gear(Tools.from_facts(facts), PoseFacts.from_facts(facts), facts.number("skin.supraspinatus"))


def portals_of(facts: Citing, approach: Approach) -> tuple[PortalPlace, ...]:
    """Where the portals lie, those the surgeon has moved where they were put; raises CaseError on an unknown name."""
    portals = default_places(facts)
    for place in approach.portals:
        portals = edited(portals, place)
    return portals


def reach_of(prepared: Prepared, layout: Layout, approach: Approach = USUAL) -> tuple[SiteReach, ...]:
    """The best way to every site of ``layout``, the arm as it stands or moved from there.

    Raises
    ------
    EvidenceError
        When an implant has no size in the rows.
    CaseError
        When there is no portal of a name in the approach.
    """
    facts = Citing(prepared.book)
    gear = gear_of(facts)
    portals = portals_of(facts, approach)
    sites = sites_of(layout, prepared.strip, gear.tools, facts)
    scene = set_scene(prepared.shoulder.mean, sites, portals, gear)
    poses = gear.posing.tried(approach.arm or gear.posing.usual["beach chair"])
    paths = scene.paths(poses)
    chosen = choose(paths, poses)
    return tuple(_best(scene, (paths, chosen), poses, t) for t in range(len(sites)))


def _best(scene: Scene, told: tuple[Paths, Chosen], poses: tuple[Pose, ...], t: int) -> SiteReach:
    """The portal that reaches site ``t`` with the arm still, else with it moved least; the steepest of equals."""
    paths, chosen = told
    at = chosen.at[:, t]
    away = np.array([distance_degrees(poses[0], poses[max(0, place)]) for place in at])
    angle = paths.angle[np.maximum(at, 0), np.arange(len(at)), t]
    k = int(np.lexsort((-angle, away, at < 0))[0])
    site, place = scene.sites[t], scene.places[k]
    if at[k] < 0:
        reason = f"from {place.name} {why_not(paths, k, t, scene.sites, scene.tools)}"
        return SiteReach(site.name, site.kind, "no", place.name, poses[0], poses[0], reason)
    return SiteReach(site.name, site.kind, chosen.answer(k, t), place.name, poses[int(at[k])], poses[0])


def told_reach(
    prepared: Prepared, layout: Layout, approach: Approach
) -> tuple[tuple[SiteReach, ...], tuple[Caution, ...]]:
    """How the sites are reached, or a note on why that is not computed."""
    try:
        return reach_of(prepared, layout, approach), ()
    except EvidenceError as lacking:
        return (), (Caution("reach-not-computed", f"{str(lacking)[0].upper()}{str(lacking)[1:]}.", "layout", "note"),)
