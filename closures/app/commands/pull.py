"""Will it gape, will it hold: the answer, what would narrow it, and the even row beside the calm one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import JsonOption, answering


def pull(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan file along an edge; [pull] may be empty.")],
    json: JsonOption = False,
) -> None:
    """Tell whether a row gapes and holds, what to measure at the table, and what a row spaced for calm would gain."""
    with answering():
        from closures.app.job import load_plan
        from closures.app.pull_answer import pull_answer

        told = pull_answer(load_plan(plan), plan)
    if json:
        import json as writing

        typer.echo(writing.dumps(told.figures, ensure_ascii=False, indent=2, allow_nan=False))
        return
    import shutil
    import textwrap

    width = min(shutil.get_terminal_size((100, 24)).columns, 110)
    for n, block in enumerate(told.blocks):
        if n:
            typer.echo()
        for line in block:
            typer.echo("\n".join(textwrap.wrap(line, width, subsequent_indent="  ") or [""]))
