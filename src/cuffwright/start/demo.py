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
from cuffwright.imaging.picture import read_picture
from cuffwright.imaging.samples import SHOULDER_MR, sample_path
from cuffwright.start.serve import PortOption
from cuffwright.web.serve import serve


def measured_head() -> HeadCircle:
    """The humeral head of the packaged MR, from rough marks; raises ImageError when the image is not installed."""
    picture = read_picture(sample_path(SHOULDER_MR.name))
    return fit_head_circle(picture, SHOULDER_MR.head_marks, Citing(load_book()))


def demo_case(head: HeadCircle) -> CaseSheet:
    """The demo case on the measured head; the tear stays typed and invented."""
    sheet = demo_cases()[DEFAULT]
    return replace(sheet, footprint=replace(sheet.footprint, head_radius_mm=head.radius))


def say_head(head: HeadCircle) -> None:
    """Print what was measured on the image and what it cannot tell."""
    across = head.diameter
    print(f"Measured on a real MR: humeral head {across.value:.1f} mm across, SD {across.sd:.1f} mm, {across.trace}")
    for words in head.cannot_know:
        print(f"  The image does not tell {words}.")
    print("The image names no side, so the side is the one typed in the case. The tear is typed and invented, and the")
    print("image is not of the invented patient.")


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
        """Measure a real image, plan the demo repair, print the answer, write the report, open the page."""
        head = measured_head()
        sheet = demo_case(head)
        result = answer(sheet, None, draws, seed)
        write_whole(out / "case.toml", write_case(sheet).encode())
        write_whole(out / "hold.json", json.dumps(plain(result), indent=1).encode())
        write_whole(out / "report.pdf", print_pages(sheet, result, datetime.now(UTC)))
        if as_json:
            say_json({"hold": plain(result), "out": str(out)})
        else:
            say_head(head)
            say_hold(sheet, result, unverified(load_book(), result))
            print(f"Wrote {out}/case.toml, hold.json and report.pdf.")
        if not no_page:
            serve(out / "data", port, open_browser=True, show=sheet)
