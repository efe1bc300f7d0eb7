"""``cuffwright demo``: the main job on the demo case, from a measured image to the page."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.case.fact import Citing
from cuffwright.case.sheet import CaseSheet
from cuffwright.cli.hold import DrawsOption, JsonOption, SeedOption, answer
from cuffwright.cli.printing import plain, say_hold, say_json, write_whole
from cuffwright.cli.report import print_pages
from cuffwright.course.hold import DRAWS, unverified
from cuffwright.evidence.book import load_book
from cuffwright.exchange.case_file import write_case
from cuffwright.exchange.demo_cases import DEFAULT, demo_cases
from cuffwright.imaging.head_circle import HeadCircle, fit_head_circle
from cuffwright.imaging.measures.landing import land
from cuffwright.imaging.phantom.demonstration import Measured, measured_phantom, more_pictures
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.samples import SHOULDER_MR, sample_path
from cuffwright.start.serve import PortOption
from cuffwright.web.images_given import Given
from cuffwright.web.serve import serve


def measured_head() -> HeadCircle:
    """The humeral head of the packaged MR, from rough marks; raises ImageError when the image is not installed."""
    picture = read_picture(sample_path(SHOULDER_MR.name))
    return fit_head_circle(picture, SHOULDER_MR.head_marks, Citing(load_book()))


def demo_case(head: HeadCircle, tear: Measured) -> CaseSheet:
    """The demo case on the measured head, with the tear read off the invented examination."""
    sheet = demo_cases()[DEFAULT]
    for reading in tear.readings:
        sheet = land(sheet, reading)
    return replace(sheet, footprint=replace(sheet.footprint, head_radius_mm=head.radius))


def say_head(head: HeadCircle) -> None:
    """Print what was measured on the image and what it cannot tell."""
    across = head.diameter
    print(f"Measured on a real MR: humeral head {across.value:.1f} mm across, SD {across.sd:.1f} mm, {across.trace}")
    for words in head.cannot_know:
        print(f"  The image does not tell {words}.")
    print("The image names no side, so the side is the one typed in the case, and it is not of the invented patient.")


def say_tear(tear: Measured) -> None:
    """Print what was read off the invented examination, beside what is true there."""
    shown = f"{len(tear.intake.pictures)} slices in {len(tear.intake.series)} series"
    print(f"Measured on an invented shoulder ({shown}, computed from published sizes, no person):")
    for reading in tear.readings:
        true = getattr(tear.truth, reading.guide)
        print(f"  {reading.title} {reading.value:.1f} mm, SD {reading.sd:.1f} mm; true there {true:.1f} mm")


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("demo")
    def _demo(
        out: Annotated[Path, typer.Option(help="Folder for case, answer and report.")] = Path("cuffwright-demo"),
        port: PortOption = 8750,
        draws: DrawsOption = DRAWS,
        seed: SeedOption = 1,
        no_page: Annotated[bool, typer.Option("--no-page", help="Stop before the page is served.")] = False,
        as_json: JsonOption = False,
    ) -> None:
        """Measure a real and an invented image, plan the demo repair, print and write the answer, open the page."""
        head = measured_head()
        tear = measured_phantom(out / "images", load_book(), demo_cases()[DEFAULT].identity.side)
        sheet = demo_case(head, tear)
        result = answer(sheet, None, draws, seed)
        write_whole(out / "case.toml", write_case(sheet).encode())
        write_whole(out / "hold.json", json.dumps(plain(result), indent=1).encode())
        write_whole(out / "report.pdf", print_pages(sheet, result, datetime.now(UTC)))
        if as_json:
            say_json({"hold": plain(result), "out": str(out)})
        else:
            say_head(head)
            say_tear(tear)
            say_hold(sheet, result, unverified(load_book(), result))
            print(f"Wrote {out}/case.toml, hold.json, report.pdf and the invented images in {out}/images.")
        if not no_page:
            more = more_pictures(out / "images", load_book(), sheet.identity.side)
            given = Given((*sorted({p.path for p in tear.intake.pictures}), *more), tear.readings)
            serve(out / "data", port, open_browser=True, show=sheet, images=given)
