"""Placing, and checking without writing."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from closures.app.commands.answering import (
    FaceOption,
    JsonOption,
    OnlyOption,
    OutOption,
    PaperOption,
    PlansArgument,
    RepairOption,
    answering,
    asked_of,
    leave,
    one_of,
    say,
    say_repair,
    say_written,
    tell,
    telling_options,
    telling_repairs,
)
from closures.app.commands.stray import refuse_stray
from closures.app.commands.wishes import with_wishes
from closures.app.options import correction_asked, face_asked, lettered_as, one_row, plan_asked

if TYPE_CHECKING:
    from closures.app.repairing import Repaired


@with_wishes
def place(
    wishes: dict[str, Any],
    plans: PlansArgument = None,
    out: OutOption = None,
    paper: PaperOption = "a4",
    face: FaceOption = "usual",
    dxf: Annotated[bool, typer.Option("--dxf", help="Write both laps as DXF as well, for a cutter.")] = False,
    also: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME",
            help="A page or file more: coupon, backing, order, strip, numbers, handover, bands, stencil, roll, "
            "projector, or all. Repeat it.",
        ),
    ] = None,
    correct: Annotated[
        tuple[str, str] | None,
        typer.Option(
            metavar="LENGTH LENGTH", help="Stretch the pages for a printer: what you measured across and down."
        ),
    ] = None,
    of: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="With --correct: what the sheet says that length is.")
    ] = None,
    only: OnlyOption = None,
    repair: RepairOption = None,
    picture: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Draw the row on its piece into this file, SVG or PNG, to look at."),
    ] = None,
    large: Annotated[
        bool, typer.Option("--large", help="Lettering half as large again, on all sheets and pages.")
    ] = False,
    words: Annotated[
        str | None,
        typer.Option(metavar="outlines|text", help="Lettering of the SVG sheets: outlines, or text to go on with."),
    ] = None,
    json: JsonOption = False,
) -> None:
    """Place the closures of PLAN; write the marking templates and the report.

    Without a PLAN, describe the job with the options below. Of several plans, one that is bad does not stop the rest.
    """
    plan = one_of(plans)
    with answering(), telling_options(not plans), telling_repairs(plan, not wishes):
        refuse_stray(plans, wishes, out)
        from closures.app.several import one_at_a_time, refuse_with, tell_garment, tell_many, tell_sizes, which_sizes

        single: dict[str, Any] = {"--also": also, "--dxf": dxf, "--picture": picture, "--repair": repair}
        if plan is None and plans:
            single |= {"--large": large, "--words": words, "--correct": correct, "--of": of, "--only": only}
            refuse_with("several plans", single | wishes, "Name one plan.")
            return tell(tell_many(plans, asked_of(out, paper, face, json, "plans")))
        from closures.app.whole import is_garment_file

        if plan is not None and is_garment_file(plan):
            refuse_with(
                "several openings",
                {name: given for name, given in single.items() if name != "--also"}
                | {"--words": words, "--correct": correct, "--of": of, "--only": only}
                | wishes,
                "Leave it out.",
            )
            return tell(tell_garment(plan, asked_of(out, paper, face, json, "openings", large=large, also=also or ())))
        from closures import files
        from closures.app.job import cutter_files, is_roll, place_plan, result_files
        from closures.drawing.extras.registry import asked_for

        correction = correction_asked(correct, of)
        taken = None if repair is None else _repaired(plan, wishes, only, repair)
        asked = one_row(plan_asked(plan, wishes) if taken is None else taken.plan)
        wished, several = which_sizes(lettered_as(asked, large, words), plan, only or ())
        if several is not None and plan is not None:
            refuse_with("several sizes", single, one_at_a_time(wished, several))
            return tell(tell_sizes(wished, plan, several, asked_of(out, paper, face, json, "sizes", correction)))
        wished = asked_for(wished, also or ())
        answer = place_plan(wished, plan, face_asked(face), whole=is_roll(paper))
        results = result_files(answer, paper, correction) | (cutter_files(answer) if dxf else {})
        if picture is not None:
            from closures.app.job import picture_on_piece

            drawn = picture_on_piece(answer, picture.suffix, plan)
            files.write_one(picture, drawn)
        folder = out or (Path("marking") if plan is None else plan.parent / plan.stem)
        write = partial(files.write_results, folder, results)
        done = write() if taken is None else taken.write(write)
    if taken is not None and not json:
        say_repair(taken.repair, f"Written into {plan}:")
    say(answer, json, correction, done.report)
    if not json:
        say_written(folder, results, done)
    leave(answer)


@with_wishes
def check(
    wishes: dict[str, Any],
    plans: PlansArgument = None,
    only: OnlyOption = None,
    repair: RepairOption = None,
    json: JsonOption = False,
) -> None:
    """Place the closures of PLAN and tell what the rules say, writing nothing.

    Without a PLAN, describe the job with the options below. Of several plans, one that is bad does not stop the rest.
    """
    plan = one_of(plans)
    with answering(), telling_options(not plans), telling_repairs(plan, not wishes):
        refuse_stray(plans, wishes)
        from closures.app.job import check_plan
        from closures.app.several import refuse_with, tell_garment, tell_many, tell_sizes, which_sizes

        asked = asked_of(None, None, "usual", json, "plans")
        if plan is None and plans:
            refuse_with("several plans", {"--only": only, "--repair": repair} | wishes, "Name one plan.")
            return tell(tell_many(plans, asked))
        from closures.app.whole import is_garment_file

        if plan is not None and is_garment_file(plan):
            refuse_with("several openings", {"--only": only, "--repair": repair} | wishes, "Leave it out.")
            return tell(tell_garment(plan, asked))
        taken = None if repair is None else _repaired(plan, wishes, only, repair)
        told = one_row(plan_asked(plan, wishes) if taken is None else taken.plan)
        wished, several = which_sizes(told, plan, only or ())
        if several is not None and plan is not None:
            return tell(tell_sizes(wished, plan, several, asked))
        answer = check_plan(wished, plan)
    if taken is not None and not json:
        say_repair(taken.repair, "As if the plan had this; closures place with --repair writes it:")
    say(answer, json)
    leave(answer)


def _repaired(plan: Path | None, wishes: dict[str, Any], only: list[str] | None, number: int) -> Repaired:
    """The plan with one of its repairs; only of one plan file as it stands."""
    from closures.app.repairing import take_repair
    from closures.app.several import refuse_with

    if plan is None:
        refuse_with("options", {"--repair": True}, "Write the job into a plan file; the refusal tells what would do.")
        raise ValueError("refused already")
    given: dict[str, Any] = {"--only": only, **wishes}
    refuse_with("--repair", given, "Leave it out.")
    return take_repair(plan, number)
