"""What a trial piece told of the cloth, kept for the next plan."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import answering


def trial(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan that the trial piece was made for.")],
    result: Annotated[str, typer.Argument(metavar="RESULT", help="rattles, right or bulges.")],
    lap: Annotated[str, typer.Option(metavar="over|under", help="over or under: whose layers the piece had.")] = "over",
    cloth: Annotated[
        str | None,
        typer.Option("--cloth", metavar="CLOTH", help="Whose thickness it tells; the least certain if left out."),
    ] = None,
) -> None:
    """Tell how a trial piece came out: the thickness of that cloth, squeezed, is narrowed in your own supplies file."""
    with answering():
        from closures import files
        from closures.app.job import check_plan, load_plan
        from closures.app.trying import try_piece
        from closures.jobs.table.trial import SUPPLIES

        loaded = load_plan(plan)
        text = files.read_plan_file(plan).decode("utf-8-sig")
        name = loaded.supplies or SUPPLIES
        begun = loaded.supplies is not None or (plan.parent / name).is_file()
        supplies = files.read_beside(plan, name, "supplies").decode("utf-8-sig") if begun else None
        found = try_piece(check_plan(loaded, plan), text, supplies, result, lap, cloth)
        files.write_edited(plan.parent / name, found.supplies_text, supplies)
        if found.plan_text != text:
            files.write_edited(plan, found.plan_text, text)
    typer.echo(found.trial.told)
    typer.echo(f"Kept in {plan.parent / name}, which {plan.name} reads.")
