"""``cuffwright pressures``: the view against pressure, the brain beside it; no set-point."""

from dataclasses import asdict
from typing import Annotated

import typer
from rich.console import Console

from cuffwright.cli.hold import JsonOption
from cuffwright.cli.printing import SUPPORT, say_json, say_sources
from cuffwright.course.perioperative import perioperative
from cuffwright.evidence.book import load_book

Pressure = Annotated[float | None, typer.Option(min=0, help="mmHg at the arm.")]
Height = Annotated[float | None, typer.Option(min=0, help="Height of the ear above the cuff, cm.")]
Ankle = Annotated[bool | None, typer.Option("--ankle-cuff/--arm-cuff", help="Where the cuff sits.")]


def register(app: typer.Typer) -> None:
    """Add the verb to ``app``."""

    @app.command("pressures")
    def _pressures(
        systolic: Pressure = None,
        mean: Pressure = None,
        height_cm: Height = None,
        ankle_cuff: Ankle = None,
        as_json: JsonOption = False,
    ) -> None:
        """Show the pressure for the view beside the pressure at the brain; the anaesthetist decides."""
        found = perioperative(load_book(), systolic=systolic, mean=mean, height_cm=height_cm, ankle_cuff=ankle_cuff)
        if as_json:
            say_json(asdict(found))
            return
        print(found.beside)
        print(found.decides)
        print(f"In this order: {'; '.join(found.order)}.")
        for words in (*found.cautions, *found.policy, *found.general):
            print(f"  {words}")
        say_sources(Console(highlight=False, soft_wrap=True, markup=False), found.facts)
        print(SUPPORT)
