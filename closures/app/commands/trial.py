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
        from closures.jobs.table.trial import SUPPLIES, judge_trial, with_trial
        from closures.plan.editing import set_key

        loaded = load_plan(plan)
        answer = check_plan(loaded, plan)
        found = judge_trial(answer.placement, result.strip().lower(), answer.catalogue, lap, cloth)
        name = loaded.supplies or SUPPLIES
        begun = loaded.supplies is not None or (plan.parent / name).is_file()
        supplies = files.read_beside(plan, name, "supplies").decode("utf-8-sig") if begun else None
        files.write_edited(plan.parent / name, with_trial(supplies or "", found, answer.catalogue), supplies)
        if loaded.supplies is None:
            before = files.read_plan_file(plan).decode("utf-8-sig")
            files.write_edited(plan, set_key(before, "", "supplies", name), before)
    typer.echo(found.told)
    typer.echo(f"Kept in {plan.parent / name}, which {plan.name} reads.")
