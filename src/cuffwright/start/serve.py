"""``cuffwright serve``: the page, on this machine only."""

import os
from pathlib import Path
from typing import Annotated

import typer

from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import say_json
from cuffwright.web.serve import serve

DataOption = Annotated[Path | None, typer.Option(help="Folder for the cases; default: this user's data folder.")]
PortOption = Annotated[int, typer.Option(min=0, max=65535, help="Port on 127.0.0.1; 0 takes a free one.")]


def data_folder(chosen: Path | None) -> Path:
    """The folder that keeps the cases: the chosen one, or this user's data folder."""
    base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return chosen or base / "cuffwright"


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("serve")
    def _serve(
        port: PortOption = 8750,
        data: DataOption = None,
        no_browser: Annotated[bool, typer.Option("--no-browser", help="Do not open a browser.")] = False,
        as_json: JsonOption = False,
    ) -> None:
        """Serve the page on 127.0.0.1 until Ctrl-C."""
        folder = data_folder(data)
        if as_json:
            say_json({"address": f"http://127.0.0.1:{port}/", "data": str(folder)})
        serve(folder, port, open_browser=not no_browser)
