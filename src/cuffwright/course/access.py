"""The access answer: case, layout, portals and arm position in; reach, sight, nerves and moves out."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cuffwright import __version__
from cuffwright.access.beds import bed_meetings
from cuffwright.access.cannulas import instruments
from cuffwright.access.chance import Chances, Draw, draw_chances, pick_steadier
from cuffwright.access.defects import defect_meetings, hollows
from cuffwright.access.margins import SENTENCE
from cuffwright.access.moves import fewest_moves
from cuffwright.access.paths import Paths
from cuffwright.access.places import Latitude, better_places
from cuffwright.access.portals import confirm, default_places, edited, marking, provenance
from cuffwright.access.posing import stand
from cuffwright.access.sighting import Scope, hidden_footprint, look
from cuffwright.access.sites import sites_of
from cuffwright.access.table import Chosen, Gear, Scene, choose, reach_rows, set_scene
from cuffwright.anatomy.measures import NAMES
from cuffwright.anatomy.side import from_canonical
from cuffwright.case.fact import Citing, FactBook
from cuffwright.case.identity import Side
from cuffwright.case.layout import Layout
from cuffwright.case.measurement import Measurement
from cuffwright.case.quantity import Caution, Interval
from cuffwright.case.reach import (
    AccessResult,
    AnchorAxis,
    ArmMove,
    BedMeeting,
    NerveMargin,
    PortalMark,
    PortalPlace,
    Pose,
    Reach,
)
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.shoulder import Landmark
from cuffwright.course.hold import pattern_of
from cuffwright.course.own_shoulder import NOTHING, told_more
from cuffwright.course.prepared import Prepared, lay, prepare
from cuffwright.course.reaching import gear_of
from cuffwright.course.rules import check_layout

Floats = NDArray[np.float64]

DRAWS = 120
"""Numerical choice: shoulders drawn for the probabilities."""

TOLD = ("head_radius", "glenoid_height", "shoulder_angle_degrees", "acromion_distance", "acromion_length")
"""Measures whose remaining spread is told with the answer."""


@dataclass(frozen=True, eq=False)
class Ready:
    """One shoulder ready to be asked for any arm position: the mean scene, and what is drawn from."""

    prepared: Prepared
    layout: Layout
    scene: Scene
    draw: Draw
    gear: Gear
    scope: Scope
    facts: Citing

    @property
    def landmarks(self) -> tuple[Landmark, ...]:
        """The landmarks the shoulder was fitted to, as given."""
        return self.prepared.sheet.shoulder.landmarks

    @property
    def side(self) -> Side:
        """The case's side."""
        return self.prepared.sheet.identity.side


def ready(
    sheet: CaseSheet,
    book: FactBook,
    *,
    pattern: str | None = None,
    layout: Layout | None = None,
    places: Sequence[PortalPlace] = (),
    landmarks: tuple[Landmark, ...] = (),
    measures: Mapping[str, Measurement] = NOTHING,
) -> Ready:
    """Fit the shoulder and place sites and portals; ``places`` replace default portals of the same name.

    ``landmarks`` and ``measures`` come on top of those of the case; measures go by their field of ``[shoulder]``,
    the unit mm left out. They move the chart as well.

    Raises
    ------
    CaseError
        When the case is impossible, names no pattern, or its landmarks are wrong.
    OutsideValidity
        When no pattern of this release repairs this tear, or the layout breaks a limit.
    EvidenceError
        When a row is missing.
    """
    prepared = prepare(told_more(sheet, landmarks, measures), book, plain=True)
    laid = layout or lay(prepared, pattern_of(sheet, pattern))
    facts = Citing(book)
    check_layout(laid, prepared.strip, prepared.bed, facts)
    own = prepared.shoulder
    gear = gear_of(facts)
    portals = default_places(facts)
    for place in places:
        portals = edited(portals, place)
    sites = sites_of(laid, prepared.strip, gear.tools, facts)
    scene = set_scene(own.mean, sites, portals, gear)
    draw = Draw(own.people, own.forms, own.humerus.shape)
    return Ready(prepared, laid, scene, draw, gear, Scope.from_facts(facts), facts)


def at_pose(asked: Ready, pose: Pose) -> Paths:
    """All paths of one arm position, without draws: quick enough to follow a hand that turns the arm."""
    return asked.scene.paths((pose,))


def access(
    sheet: CaseSheet,
    book: FactBook,
    *,
    pattern: str | None = None,
    layout: Layout | None = None,
    pose: Pose | None = None,
    places: Sequence[PortalPlace] = (),
    landmarks: tuple[Landmark, ...] = (),
    measures: Mapping[str, Measurement] = NOTHING,
    draws: int = DRAWS,
    seed: int = 1,
) -> AccessResult:
    """Say from which portal, at which arm position, each anchor and hole is reached, and how far nerves lie.

    Raises
    ------
    CaseError, OutsideValidity, EvidenceError
        As :func:`ready`.
    """
    asked = ready(sheet, book, pattern=pattern, layout=layout, places=places, landmarks=landmarks, measures=measures)
    return answer(asked, pose or asked.gear.posing.usual["beach chair"], draws=draws, seed=seed)


def answer(asked: Ready, pose: Pose, *, draws: int = DRAWS, seed: int = 1) -> AccessResult:
    """The whole answer for one prepared shoulder and arm position; the same seed gives the same answer."""
    scene, facts, identity = asked.scene, asked.facts, asked.prepared.sheet.identity
    poses = asked.gear.posing.tried(pose)
    paths = scene.paths(poses)
    placement = facts.number("scatter.surgery.placement")
    chosen = pick_steadier(asked.draw, scene, choose(paths, poses), poses, placement, draws // 4, seed)
    chances = draw_chances(asked.draw, scene, chosen, poses, placement, draws, seed)
    reaches = tuple(_rounded(row) for row in reach_rows(scene, paths, poses, chosen, chances.share))
    axes, directions = _axes(scene, paths, chosen, chances)
    moves, lost = moves_of(scene, paths, poses)
    places = better_places(scene, pose, Latitude.from_facts(facts), asked.gear)
    portals = tuple((place.name, skin) for place, skin in zip(scene.places, scene.skins, strict=True))
    stance = stand(scene.shoulder, (pose,), asked.gear.posing.give)
    beds, lacking = _beds(asked, directions)
    return AccessResult(
        case=identity.patient,
        side=identity.side,
        pattern=asked.layout.pattern,
        pose=pose,
        portals=_marks(asked),
        reaches=reaches,
        axes=axes,
        beds=beds,
        hidden=hidden_footprint(scene.shoulder, scene.sites, scene.spots, stance),
        sights=look(scene.shoulder, scene.sites, scene.spots, portals, stance, asked.scope),
        margins=tuple(_rounded_margin(one) for one in chances.margins),
        moves=moves,
        unreached=lost,
        better=tuple(
            replace(b, angle_before=_tenth(b.angle_before), angle_after=_tenth(b.angle_after)) for b in places
        ),
        cautions=(*_cautions(asked, pose, chances.margins), *_bed_cautions(beds, asked.gear.tools.bridge), *lacking),
        spread=tuple((name, round(asked.draw.population.spreads()[name], 2)) for name in TOLD),
        facts=tuple(sorted({*asked.prepared.facts, *asked.prepared.shoulder.facts, *facts.used})),
        draws=draws,
        seed=seed,
        version=__version__,
        edition=asked.prepared.book.edition,
        input_hash=_hash(asked, pose, draws, seed),
        landmarks=asked.landmarks,
        instruments=instruments(facts),
    )


def patient_marks(result: AccessResult) -> tuple[PortalMark, ...]:
    """The portals that may stand on a patient's sheet: those no distance of which is from memory or assumed."""
    return tuple(mark for mark in result.portals if mark.verified)


def _marks(asked: Ready) -> tuple[PortalMark, ...]:
    defaults = {place.name: place for place in default_places(asked.facts)}
    marks = []
    for place, skin in zip(asked.scene.places, asked.scene.skins, strict=True):
        own = place != defaults[place.name]
        told = (("set by the surgeon", "measured"),) if own else provenance(asked.facts, place.name)
        shown = from_canonical(skin, asked.side, "scapula")
        distances = tuple((words, _tenth(cm)) for words, cm in marking(place, asked.scene.shoulder))
        point = (_tenth(shown[0]), _tenth(shown[1]), _tenth(shown[2]))
        marks.append(PortalMark(place.name, distances, point, confirm(place.name), told))
    return tuple(marks)


def _axes(
    scene: Scene, paths: Paths, chosen: Chosen, chances: Chances
) -> tuple[tuple[AnchorAxis, ...], dict[str, Floats]]:
    """Axis of each anchor that can be reached, through the likeliest portal; and site-to-portal directions."""
    axes, directions = [], {}
    for t, site in enumerate(scene.sites):
        ways = [k for k in range(len(scene.places)) if chosen.at[k, t] >= 0]
        if site.kind == "hole" or not ways:
            continue
        k = max(ways, key=lambda way: (chosen.at[way, t] == 0, chances.share[way, t]))
        towards = paths.towards[chosen.at[k, t], k, t]
        directions[site.name] = towards
        frame = (scene.spots.backwards[t], scene.spots.outwards[t], scene.spots.normals[t])
        parts = [round(float(-towards @ way), 4) for way in frame]
        angle = _tenth(paths.angle[chosen.at[k, t], k, t])
        axes.append(AnchorAxis(site.name, scene.places[k].name, (parts[0], parts[1], parts[2]), angle))
    return tuple(axes), directions


def moves_of(scene: Scene, paths: Paths, poses: tuple[Pose, ...]) -> tuple[tuple[ArmMove, ...], tuple[str, ...]]:
    """The fewest arm positions in working order with the portal of each step, and the sites none of them reaches."""
    kinds = ("medial anchor", "hole", "lateral anchor")
    groups = [[t for t, site in enumerate(scene.sites) if site.kind == kind] for kind in kinds]
    plan, lost = fewest_moves(poses, np.asarray(paths.free.any(axis=1)), groups)
    moves = []
    for at, order in plan:
        steps = []
        for t in order:
            k = int(np.argmax(np.where(paths.free[at, :, t], paths.angle[at, :, t], -np.inf)))
            steps.append((scene.sites[t].name, scene.places[k].name))
        moves.append(ArmMove(poses[at], tuple(steps)))
    return tuple(moves), tuple(scene.sites[t].name for t in lost)


def _beds(asked: Ready, axes: dict[str, Floats]) -> tuple[tuple[BedMeeting, ...], list[Caution]]:
    """Beds against each other, against cysts and earlier anchors; and what of these lacks a measure."""
    scene, tools = asked.scene, asked.gear.tools
    places, lacking = hollows(asked.prepared.sheet.bone, scene.shoulder.chart)
    found = (
        *bed_meetings(scene.sites, scene.spots, axes, tools.sleeve_wall, tools.bridge),
        *defect_meetings(scene.sites, scene.spots, axes, places, (tools.sleeve_wall, tools.bridge)),
    )
    notes = [Caution("bed-not-computed", words, "bone", "note") for words in lacking]
    return tuple(replace(bed, bridge=_tenth(bed.bridge)) for bed in found), notes


def _bed_cautions(beds: tuple[BedMeeting, ...], least: float) -> list[Caution]:
    """One caution at each place where a bed leaves too little bone."""
    return [
        Caution(
            "beds-meet",
            f"{bed.bridge:g} mm of bone between the bed of {bed.first} and {bed.second}, least {least:g}."
            if bed.bridge > 0
            else f"The bed of {bed.first} runs into {bed.second}.",
            f"{bed.first},{bed.second}",
            fact="reach.bridge",
        )
        for bed in beds
        if not bed.clear
    ]


def _cautions(asked: Ready, pose: Pose, margins: tuple[NerveMargin, ...]) -> list[Caution]:
    trunk = max(0.0, pose.abduction_degrees) * asked.gear.posing.rhythm
    found = [
        Caution("nerve-estimate", SENTENCE, severity="note"),
        Caution(
            "abduction-to-scapula",
            f"Abduction is that of the arm to the scapula; {pose.abduction_degrees:g} degrees are up to {trunk:g}"
            " between arm and trunk, and nerve distances are reckoned at that.",
            severity="note",
            fact="pose.rhythm",
        ),
        Caution("skin-assumed", "Skin over acromion and deltoid is assumed; confirm each portal by needle.", "portals"),
    ]
    if not asked.landmarks:
        words = "No landmarks given: the shoulder is the population's, narrowed only by what the case measures."
        found.append(Caution("no-landmarks", words, severity="note"))
    for one in margins:
        if one.fifth <= 0 or one.floor <= 0:
            words = f"The {one.nerve} nerve may lie at or above the {one.portal} portal in this arm position; move it."
            found.append(Caution("nerve-reached", words, one.portal, "stop"))
    return found


def _tenth(value: float) -> float:
    return round(float(value), 1) + 0.0


def _rounded(row: Reach) -> Reach:
    room, shaft = (None if one is None else _tenth(one) for one in (row.room, row.shaft))
    angle, length, share = _tenth(row.angle_degrees), _tenth(row.length), round(row.probability, 3)
    return replace(row, angle_degrees=angle, length=length, room=room, probability=share, shaft=shaft)


def _rounded_margin(one: NerveMargin) -> NerveMargin:
    m = one.margin
    interval = Interval(_tenth(m.middle), _tenth(m.low), _tenth(m.high), m.unit, m.share)
    return replace(one, margin=interval, fifth=_tenth(one.fifth), floor=_tenth(one.floor))


def _hash(asked: Ready, pose: Pose, draws: int, seed: int) -> str:
    told = (
        asked.prepared.sheet,
        asked.layout,
        asked.scene.places,
        pose,
        draws,
        seed,
    )
    return hashlib.sha256(repr((told, NAMES, __version__, asked.prepared.book.edition)).encode()).hexdigest()
