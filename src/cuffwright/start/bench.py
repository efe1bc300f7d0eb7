"""``cuffwright bench``: how fast and how right, in one run."""

import typer


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""
