"""``cuffwright access CASE.toml``: from which portal, at which arm position, and how far the nerves."""

import csv
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from cuffwright.access.posing import PoseFacts
from cuffwright.case.errors import CaseError, FormatError
from cuffwright.case.fact import Citing
from cuffwright.case.reach import AccessResult, Pose, Reach
from cuffwright.case.sheet import CaseSheet
from cuffwright.case.shoulder import Landmark, landmark_name
from cuffwright.cli.hold import CaseArgument, JsonOption, PatternOption, SeedOption
from cuffwright.cli.printing import SUPPORT, say_json
from cuffwright.course.access import DRAWS, access
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import open_case

Angle = Annotated[float | None, typer.Option(help="Degrees; default: the usual one of the position.")]
Drawn = Annotated[int, typer.Option(min=20, max=5000, help="Shoulders drawn for the probabilities.")]
Lying = Annotated[str, typer.Option(help="beach-chair or lateral-decubitus.")]
Pull = Annotated[float | None, typer.Option(min=0, help="Traction, kg; default: the usual one of the position.")]

Marks = Annotated[Path | None, typer.Option(help="Landmarks, CSV: name,left,back,head,sd in mm, patient's frame.")]

COLUMNS = ("name", "left", "back", "head", "sd")
"""Columns of a file of landmarks."""


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("access")
    def _access(
        case: CaseArgument,
        pattern: PatternOption = None,
        position: Lying = "beach-chair",
        abduction: Angle = None,
        flexion: Angle = None,
        rotation: Angle = None,
        traction: Pull = None,
        landmarks: Marks = None,
        draws: Drawn = DRAWS,
        seed: SeedOption = 1,
        as_json: JsonOption = False,
    ) -> None:
        """Say which portal and arm position reach each anchor and hole, and how far the nerves lie."""
        sheet = open_case(case)
        pose = posed(position, (abduction, flexion, rotation, traction))
        marks = read_landmarks(landmarks) if landmarks else ()
        result = access(sheet, load_book(), pattern=pattern, pose=pose, landmarks=marks, draws=draws, seed=seed)
        if as_json:
            say_json(asdict(result))
        else:
            say_access(sheet, case, result)


def posed(position: str, given: tuple[float | None, float | None, float | None, float | None]) -> Pose:
    """The usual arm position of how the patient lies, with abduction, flexion, rotation and traction where given.

    Raises
    ------
    CaseError
        When there is no such position.
    """
    usual = PoseFacts.from_facts(Citing(load_book())).usual
    pose = usual.get(position.replace("-", " "))
    if pose is None:
        known = ", ".join(name.replace(" ", "-") for name in usual)
        raise CaseError(f"there is no position {position}; choose one of {known}")
    abduction, flexion, rotation, traction = given
    return Pose(
        pose.abduction_degrees if abduction is None else abduction,
        pose.flexion_degrees if flexion is None else flexion,
        pose.rotation_degrees if rotation is None else rotation,
        pose.traction_kg if traction is None else traction,
        pose.place,
    )


def read_landmarks(path: Path) -> tuple[Landmark, ...]:
    """Bony landmarks in the patient's frame (left, back, head, mm) from a CSV file.

    Raises
    ------
    FormatError
        When the file cannot be read, has other columns, or a line holds no numbers.
    """
    try:
        lines = list(csv.DictReader(path.read_text("utf-8").splitlines()))
    except (OSError, UnicodeDecodeError):
        raise FormatError(f"{path} cannot be read as text; give a CSV file of landmarks") from None
    marks = []
    for number, line in enumerate(lines, start=2):
        try:
            left, back, head, sd = (float(line[column]) for column in COLUMNS[1:])
        except (KeyError, TypeError, ValueError):
            wanted = ",".join(COLUMNS)
            raise FormatError(f"{path} line {number}: the columns are {wanted}, four of them numbers in mm") from None
        name = landmark_name(str(line[COLUMNS[0]]).strip())
        marks.append(Landmark(name, (left, back, head), sd, "patient", trace=path.name))
    return tuple(marks)


def say_access(sheet: CaseSheet, path: Path, result: AccessResult) -> None:
    """Print whose and which side, portals for the marking pen, reach, arm positions, sight, nerves, cautions."""
    out = Console(highlight=False, soft_wrap=True, markup=False)
    invented = ", invented" if sheet.identity.invented else ""
    out.print(f"{result.case}{invented}, {result.side.upper()} shoulder, {path.name}: a plan, not done.")
    out.print(f"{result.pattern}; arm at {result.pose.words}, {result.pose.place}.", style="bold")
    for mark in result.portals:
        lines = "; ".join(f"{cm:g} cm {words}" for words, cm in mark.distances)
        unsure = "" if mark.verified else " [from memory, not for a patient's sheet]"
        out.print(f"{mark.name} portal: {lines} - {mark.confirm}{unsure}")
    sites = list(dict.fromkeys(reach.site for reach in result.reaches))
    out.print(_table(result, sites))
    for site in sites:
        out.print(_best(result.best(site)))
    hidden = ", ".join(result.hidden.sites) or "no site"
    out.print(f"Under the acromion: {result.hidden.share:.0%} of the footprint; {hidden}.")
    _say_moves(out, result)
    _say_rest(out, result)
    unverified = sum(not load_book().fact(key).verified for key in result.facts)
    out.print(
        f"{len(result.facts)} facts of edition {result.edition}, {unverified} of them unverified (memory or assumed);"
        f" {result.draws} draws, seed {result.seed}, version {result.version}, inputs {result.input_hash[:12]}."
    )
    out.print(SUPPORT)


def _best(reach: Reach) -> str:
    if reach.answer == "no":
        return f"{reach.site}: out of reach; nearest reason: {reach.reason} ({reach.portal})."
    room = "" if reach.room is None else f", {reach.room:g} mm of bone behind the tip"
    return (
        f"{reach.words}; {reach.means} through {reach.through}, {reach.length:.0f} mm from the skin, shaft"
        f" {reach.shaft:.0f} mm, {reach.angle_degrees:.0f} degrees to the surface{room}."
    )


def _table(result: AccessResult, sites: list[str]) -> Table:
    table = Table("site", *(mark.name for mark in result.portals), box=None)
    for site in sites:
        cells = []
        for mark in result.portals:
            (one,) = (reach for reach in result.reaches if (reach.site, reach.portal) == (site, mark.name))
            shown = f" {one.angle_degrees:.0f}° {one.probability:.0%}" if one.answer != "no" else ""
            cells.append(one.answer + shown)
        table.add_row(site, *cells)
    return table


def _say_moves(out: Console, result: AccessResult) -> None:
    for number, move in enumerate(result.moves, 1):
        steps = ", ".join(f"{site} ({portal})" for site, portal in move.steps)
        out.print(f"Arm {number}: {move.pose.words}: {steps or 'nothing here yet'}")
    if result.unreached:
        out.print(f"Reached from no portal in any arm position tried: {', '.join(result.unreached)}")
    for better in result.better:
        place = better.place
        where = f"{place.down:g} mm below the edge" if place.down else f"{place.beside:g} mm beside the edge"
        out.print(
            f"Better {better.portal} portal: {place.along or 0:.0%} of the edge from its front corner, {where}:"
            f" {better.before} sites in reach become {better.after}, flattest {better.angle_before:g} to"
            f" {better.angle_after:g} degrees."
        )


def _say_rest(out: Console, result: AccessResult) -> None:
    out.print(f"Counted with: {'; '.join(one.words for one in result.instruments)}.")
    for sight in result.sights:
        if sight.seen:
            seen = ", ".join(sight.seen)
            out.print(f"{sight.portal}, {sight.scope_degrees:g} degree scope, {sight.compartment}: sees {seen}")
    for one in result.margins:
        out.print(
            f"{one.portal} portal to {one.nerve} nerve: {one.margin.middle:g} mm ({one.margin.low:g} to"
            f" {one.margin.high:g}), 5th percentile {one.fifth:g}, with the shortest"
            f" published distance {one.floor:g}"
        )
    for caution in result.cautions:
        out.print(f"{caution.severity.upper()}: {caution.text}" + (f" ({caution.where})" if caution.where else ""))
