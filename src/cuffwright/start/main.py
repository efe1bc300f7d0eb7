"""The command ``cuffwright``: its verbs, its exit codes (0 done, 2 bad input, 3 outside validity)."""

import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Annotated

import typer
from typer.exceptions import TyperException

from cuffwright import __version__
from cuffwright.case.errors import CuffError, OutsideValidity
from cuffwright.cli.printing import say_json, say_wrong
from cuffwright.compiled import point_compiler_here

BAD_INPUT = 2
"""Exit code when the input is refused."""
OUTSIDE = 3
"""Exit code when the answer is withheld because the input lies outside the model's validity."""
STOPPED = 130
"""Exit code after Ctrl-C, the shell's own convention (128 + signal 2)."""

VERBS = {
    "hold": "cuffwright.cli.hold",
    "report": "cuffwright.cli.report",
    "access": "cuffwright.cli.access",
    "limbs": "cuffwright.cli.limbs",
    "odds": "cuffwright.cli.odds",
    "consent": "cuffwright.cli.consent",
    "pressures": "cuffwright.cli.pressures",
    "record": "cuffwright.start.record",
    "rehab": "cuffwright.cli.rehab",
    "theatre": "cuffwright.cli.theatre",
    "score": "cuffwright.cli.score",
    "followup": "cuffwright.cli.followup",
    "practice": "cuffwright.cli.practice",
    "ruler": "cuffwright.cli.ruler",
    "prove": "cuffwright.cli.prove",
    "images": "cuffwright.cli.images",
    "schema": "cuffwright.cli.schema",
    "warm": "cuffwright.cli.warm",
    "serve": "cuffwright.start.serve",
    "demo": "cuffwright.start.demo",
    "bench": "cuffwright.start.bench",
}
"""Each verb and the module that adds it; only the one asked for is loaded, since some bring large libraries."""


def program(arguments: Sequence[str]) -> typer.Typer:
    """The command line with the verb that ``arguments`` ask for; with every verb when they ask for none of them."""
    app = typer.Typer(
        add_completion=False,
        no_args_is_help=True,
        pretty_exceptions_enable=False,
    )

    @app.command()
    def version(as_json: Annotated[bool, typer.Option("--json", help="One JSON object.")] = False) -> None:
        """Print the version."""
        if as_json:
            say_json({"version": __version__})
        else:
            print(__version__)

    asked = next((word for word in arguments if not word.startswith("-")), None)
    if asked != "version":
        for verb in [asked] if asked in VERBS else VERBS:
            import_module(VERBS[verb]).register(app)

    @app.callback()
    def keep_verbs() -> None:
        """Plan a rotator cuff repair and see what it will hold. Not for care; the surgeon decides."""

    return app


def run() -> None:
    """Run the command line; every refusal is one sentence on standard error and an exit code."""
    try:
        code = _run()
    except KeyboardInterrupt:
        code = STOPPED
    if code == STOPPED:
        print("Stopped; nothing was left half-written.", file=sys.stderr)
    sys.exit(code or 0)


def _run() -> int | None:
    point_compiler_here()
    app = program(sys.argv[1:])
    as_json = "--json" in sys.argv
    try:
        code: int | None = app(standalone_mode=False)
    except OutsideValidity as wrong:
        code = say_wrong(f"Withheld, outside what the model may answer: {wrong}", OUTSIDE, as_json)
    except CuffError as wrong:
        code = say_wrong(str(wrong), BAD_INPUT, as_json)
    except TyperException as wrong:
        code = say_wrong(wrong.format_message(), BAD_INPUT, as_json)
    except typer.Abort:
        code = STOPPED
    return code
