"""The command ``cuffwright``: its verbs, its exit codes (0 done, 2 bad input, 3 outside validity)."""

import sys

from cuffwright.compiled import point_compiler_here

point_compiler_here()

import typer  # noqa: E402
from typer.exceptions import TyperException  # noqa: E402

from cuffwright import __version__  # noqa: E402
from cuffwright.case.errors import CuffError, OutsideValidity  # noqa: E402
from cuffwright.cli import hold, report, ruler, schema, warm  # noqa: E402
from cuffwright.cli.printing import say_wrong  # noqa: E402
from cuffwright.start import bench, demo, serve  # noqa: E402

BAD_INPUT = 2
"""Exit code when the input is refused."""
OUTSIDE = 3
"""Exit code when the answer is withheld because the input lies outside the model's validity."""
STOPPED = 130
"""Exit code after Ctrl-C, the shell's own convention (128 + signal 2)."""

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Plan a rotator cuff repair and see what it will hold. Planning and teaching support; the surgeon decides.",
)
for verb in (hold, report, ruler, serve, demo, bench, schema, warm):
    verb.register(app)


@app.command()
def version() -> None:
    """Print the version."""
    print(__version__)


def run() -> None:
    """Run the command line; every refusal is one sentence on standard error and an exit code."""
    as_json = "--json" in sys.argv
    try:
        code = app(standalone_mode=False)
    except OutsideValidity as wrong:
        code = say_wrong(f"Withheld, outside what the model may answer: {wrong}", OUTSIDE, as_json)
    except CuffError as wrong:
        code = say_wrong(str(wrong), BAD_INPUT, as_json)
    except TyperException as wrong:
        code = say_wrong(wrong.format_message(), BAD_INPUT, as_json)
    except (KeyboardInterrupt, typer.Abort):
        code = STOPPED
    if code == STOPPED:
        say_wrong("Stopped; nothing was left half-written.", STOPPED, as_json)
    sys.exit(code or 0)
