"""``cuffwright warm``: compile the kernels once, so that every later answer is quick."""

import typer

from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import say_json
from cuffwright.compiled import is_warm, kernel_folder, mark_warm
from cuffwright.course.hold import warm
from cuffwright.evidence.book import load_book


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("warm")
    def _warm(as_json: JsonOption = False) -> None:
        """Compile the kernels into this user's cache; does nothing when they are warm."""
        before = is_warm()
        if not before:
            if not as_json:
                print("Compiling the kernels once for this processor; about half a minute.")
            warm(load_book())
            mark_warm()
        if as_json:
            say_json({"warm": True, "compiled_now": not before, "folder": kernel_folder().name})
