"""Whether a print is true."""

from __future__ import annotations

from typing import Annotated

import typer

from closures.app.commands.answering import FAILED, answering
from closures.app.options import lengths_measured


def print_check(
    across: Annotated[str, typer.Argument(help="What you measured across: along the paper's short side.")],
    down: Annotated[str, typer.Argument(help="What you measured down: along its long side.")],
    of: Annotated[str, typer.Option(metavar="LENGTH", help="What the sheet says that length is.")],
) -> None:
    """Tell whether a print is true, from a length that you measured across and down."""
    with answering():
        from closures.jobs.table.printer import judge_print

        verdict = judge_print(*lengths_measured(across, down, of))
    asked = (f"Write closures place PLAN {verdict.correct}.",) if verdict.correct else ()
    typer.echo("\n".join((*verdict.lines, *asked)))
    if not verdict.is_good:
        raise typer.Exit(FAILED)
