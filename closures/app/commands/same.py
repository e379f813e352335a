"""Whether sheets that were printed once are still those of a plan."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import FAILED, OnlyOption, answering


def same(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="A file that was made, or the run mark that stands on a sheet.")
    ],
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan, or the garment file, as it is now.")],
    only: OnlyOption = None,
) -> None:
    """Tell whether FILE has the holes that PLAN comes to now. Exit code 1 where it has not, and wants printing anew."""
    with answering():
        from closures.app.sameness import compare

        compared = compare(file, plan, tuple(only or ()))
    typer.echo(compared.text)
    if not compared.is_same:
        raise typer.Exit(FAILED)
