"""Other closures in place of those that are there."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import (
    FaceOption,
    JsonOption,
    OutOption,
    PaperOption,
    answering,
    leave,
    say,
    say_written,
)
from closures.app.options import face_asked


def swap(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan file with [swap] or [change].")],
    take: Annotated[
        int | None, typer.Option(metavar="NUMBER", help="Write the templates and the report of this offer.")
    ] = None,
    out: OutOption = None,
    paper: PaperOption = "a4",
    face: FaceOption = "usual",
    picture: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw all offers, old and new, into this file, SVG or PNG.")
    ] = None,
    json: JsonOption = False,
) -> None:
    """List what could be put in place of the closures that are there, or take one of these offers."""
    with answering():
        from closures import files
        from closures.app.job import PICTURE_PX, load_plan, offers_picture, place_plan, result_files, swap_plan
        from closures.drawing.write.picture import picture_as

        loaded = load_plan(plan)
        if take is None:
            answer, results = swap_plan(loaded, plan), {}
        else:
            answer = place_plan(loaded, plan, face_asked(face), take)
            results = result_files(answer, paper)
        if picture is not None:
            files.write_one(picture, picture_as(offers_picture(answer), picture.suffix, PICTURE_PX))
        folder = out or plan.parent / plan.stem
        written = files.write_results(folder, results) if results else None
    if json or take is not None:
        say(answer, json, written=b"" if written is None else written.report)
    elif answer.swap is not None:
        import shutil

        from closures.report.offers import swap_terminal

        typer.echo(swap_terminal(answer.swap, width=min(shutil.get_terminal_size((100, 24)).columns, 110)))
    if written is not None and not json:
        say_written(folder, results, written)
    leave(answer)
