"""``cuffwright images FOLDER|ZIP``: the series of an import, what each can give, and what was set aside."""

import tempfile
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

from cuffwright.anatomy.side import side_of
from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import SUPPORT, WIDTH, progress, say_json
from cuffwright.imaging.intake.right import Admission, admit
from cuffwright.imaging.intake.series import Series
from cuffwright.imaging.intake.taking_in import Intake, take_in
from cuffwright.imaging.measures.all_guides import GUIDES, possible


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("images")
    def _images(
        source: Annotated[Path, typer.Argument(help="A folder, a zip file, a DICOMDIR, or one image.")],
        side: Annotated[str, typer.Option("--side", help="right or left: compare the images with this side.")] = "",
        as_json: JsonOption = False,
    ) -> None:
        """List the series of an import, their scale, what can be measured, and what was set aside and why."""
        with tempfile.TemporaryDirectory(prefix="cuffwright-") as folder, progress("Reading") as tick:

            def go_on(done: int, count: int) -> bool:
                tick(done, count)
                return True

            found = take_in(source, unpack_to=Path(folder), go_on=go_on)
        admission = admit(found.pictures, side_of(side)) if side and found.pictures else None
        if as_json:
            say_json(told(found, admission))
        else:
            say(found, admission)


def told(found: Intake, admission: Admission | None) -> dict[str, Any]:
    """The import as plain values; nothing out of a file names its patient, though a file's own name may."""
    return {
        "files": found.files,
        "notes": list(found.notes),
        "series": [_series(one) for one in found.series],
        "set_aside": [{"file": one.name, "reason": one.reason} for one in found.set_aside],
        "refusals": list(admission.refusals) if admission else None,
        "asks": list(admission.asks) if admission else None,
    }


def _series(one: Series) -> dict[str, Any]:
    return {
        "number": one.number,
        "modality": one.modality,
        "pictures": len(one),
        "letters": one.letters,
        "step_mm": one.stack.step_mm if one.stack else None,
        "even": one.stack.even if one.stack else None,
        "scale": one.plane,
        "can_measure": one.can_measure,
        "measures": list(possible(one.modality, one.plane)),
        "sides": sorted({picture.side_tag for picture in one.pictures if picture.side_tag}),
        "notes": list(one.notes),
    }


def say(found: Intake, admission: Admission | None) -> None:
    """Print the import as a table, then what is odd and what was set aside."""
    table = Table(title=f"{found.files} files, {len(found.pictures)} pictures, {len(found.series)} series")
    for head in ("series", "kind", "pictures", "right, bottom, normal", "step mm", "scale", "gives"):
        table.add_column(head)
    for one in found.series:
        step = f"{one.stack.step_mm:.2f}" if one.stack and one.stack.step_mm else "-"
        letters = ", ".join(one.letters) if one.letters else "-"
        table.add_row(str(one.number), one.modality or "?", str(len(one)), letters, step, one.plane, one.can_measure)
    Console(width=WIDTH).print(table)
    for one in found.series:
        for note in one.notes:
            print(f"Series {one.number}: {note}.")
        names = [GUIDES[name].title for name in possible(one.modality, one.plane)]
        if names:
            print(f"Series {one.number} allows: {'; '.join(names)}.")
    for note in found.notes:
        print(f"{note}.")
    for aside in found.set_aside:
        print(f"Set aside {aside.name}: {aside.reason}.")
    for word in (*admission.refusals, *admission.asks) if admission else ():
        print(f"Patient and side: {word}.")
    print(f"{SUPPORT} Not for primary diagnosis.")
