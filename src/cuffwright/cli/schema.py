"""``cuffwright schema``: the JSON Schema of the case file."""

import json

import typer

from cuffwright.cli.hold import JsonOption
from cuffwright.exchange.plain import case_schema


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("schema")
    def _schema(as_json: JsonOption = True) -> None:
        """Print the JSON Schema of the case file."""
        print(json.dumps(case_schema(), indent=1 if as_json else None, sort_keys=True))
