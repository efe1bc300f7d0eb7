"""``cuffwright ruler IMAGE --from X,Y --to X,Y``: a length on a real image, or why there is none."""

from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.case.errors import CaseError
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import say_json
from cuffwright.imaging.ruler import measure

POINT_HELP = "column,row in pixels; pixel centres at whole numbers"


def point(text: str) -> tuple[float, float]:
    """Read ``X,Y``; raises CaseError in one sentence when it is not two numbers."""
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        raise CaseError(f"{text!r} is no point; write two numbers with a comma between, such as 512,300") from None
    return x, y


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("ruler")
    def _ruler(
        image: Annotated[Path, typer.Argument(help="A DICOM file.")],
        start: Annotated[str, typer.Option("--from", help=POINT_HELP)],
        end: Annotated[str, typer.Option("--to", help=POINT_HELP)],
        as_json: JsonOption = False,
    ) -> None:
        """Measure a length in mm with its uncertainty, where the image's scale allows it."""
        length = measure(image, point(start), point(end))
        if as_json:
            say_json(asdict(length))
        else:
            one = length.measurement
            print(f"{one.value:.2f} mm, SD {one.sd:.2f} mm, {one.trace}")
