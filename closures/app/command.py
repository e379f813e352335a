"""The command: parse, call, write, say.

Heavy packages are imported by the functions that use them, so that ``--help`` costs no more
than the command line library itself.
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from closures.app.options import WISHES, correction_asked, face_asked, lengths_measured, plan_asked, units_asked
from closures.errors import ClosureError, OutputError

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.several import Asked, Told
    from closures.jobs.table.printer import Correction

FAILED, REFUSED = 1, 2

app = typer.Typer(
    name="closures",
    help="Place snaps, buttons and hooks along a garment's closing line, and print 1:1 marking templates.",
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

PlansArgument = Annotated[
    list[Path] | None, typer.Argument(metavar="[PLAN]...", help="A plan file (TOML), or several.")
]
OnlyOption = Annotated[
    list[str] | None, typer.Option(help="Of a plan with sizes, this one only. Repeat it for several.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print the report as JSON, and nothing else.")]


def _with_wishes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that describe a job; it gets them as one table, `wishes`."""

    @wraps(command)
    def told(**given: object) -> None:
        wishes = {key: given.pop(key) for *_, key in WISHES}
        command(**given, wishes={key: value for key, value in wishes.items() if value not in (None, [])})

    own = [p for p in inspect.signature(command, eval_str=True).parameters.values() if p.name != "wishes"]
    options = [
        inspect.Parameter(
            key,
            inspect.Parameter.KEYWORD_ONLY,
            default=None,
            annotation=Annotated[kind | None, typer.Option(name, help=says)],  # type: ignore[operator]
        )
        for name, kind, says, key in WISHES
    ]
    own = [parameter.replace(kind=inspect.Parameter.KEYWORD_ONLY) for parameter in own]
    told.__signature__ = inspect.Signature([*own, *options])  # type: ignore[attr-defined]
    told.__annotations__ = {parameter.name: parameter.annotation for parameter in [*own, *options]}
    del told.__wrapped__
    return told


@app.command()
@_with_wishes
def place(
    wishes: dict[str, Any],
    plans: PlansArgument = None,
    out: Annotated[Path | None, typer.Option(help="Folder for the results; beside the plan if left out.")] = None,
    paper: Annotated[str, typer.Option(help="a4, letter, a3 or roll.")] = "a4",
    face: Annotated[str, typer.Option(help="outside or inside: the face the sheets lie on.")] = "outside",
    dxf: Annotated[bool, typer.Option("--dxf", help="Write both laps as DXF as well, for a cutter.")] = False,
    also: Annotated[
        list[str] | None,
        typer.Option(
            help="A page or file more: coupon, backing, order, strip, numbers, handover, bands, stencil, roll, "
            "projector, or all. Repeat it."
        ),
    ] = None,
    correct: Annotated[
        tuple[str, str] | None,
        typer.Option(help="Stretch the pages for a printer: what you measured across and down."),
    ] = None,
    of: Annotated[str | None, typer.Option(help="With --correct: what the sheet says that length is.")] = None,
    only: OnlyOption = None,
    json: JsonOption = False,
) -> None:
    """Place the closures of PLAN; write the marking templates and the report.

    Without a PLAN, describe the job with the options below. Of several plans, one that is bad does not stop the rest.
    """
    plan = _one_of(plans)
    with _answering():
        from closures.app.several import refuse_with, tell_many, tell_sizes, which_sizes

        single: dict[str, Any] = {"--also": also, "--dxf": dxf}
        if plan is None and plans:
            single |= {"--correct": correct, "--of": of, "--only": only}
            refuse_with("several plans", single | wishes, "Name one plan.")
            return _tell(tell_many(plans, _asked(out, paper, face, json, "plans")))
        from closures import files
        from closures.app.job import cutter_files, place_plan, result_files
        from closures.jobs.table.request import asked_for

        correction = correction_asked(correct, of)
        wished, several = which_sizes(plan_asked(plan, wishes), plan, only or ())
        if several is not None and plan is not None:
            refuse_with("several sizes", single, "Choose one size with --only.")
            return _tell(tell_sizes(wished, plan, several, _asked(out, paper, face, json, "sizes", correction)))
        wished = asked_for(wished, also or ())
        answer = place_plan(wished, plan, face_asked(face), whole=paper == "roll")
        results = result_files(answer, paper, correction) | (cutter_files(answer) if dxf else {})
        folder = out or (Path("marking") if plan is None else plan.parent / plan.stem)
        files.write_results(folder, results)
    _say(answer, json, correction)
    if not json:
        typer.echo(f"\nWritten to {folder}: {', '.join(results)}")
    _leave(answer)


@app.command()
@_with_wishes
def check(
    wishes: dict[str, Any], plans: PlansArgument = None, only: OnlyOption = None, json: JsonOption = False
) -> None:
    """Place the closures of PLAN and tell what the rules say, writing nothing.

    Without a PLAN, describe the job with the options below. Of several plans, one that is bad does not stop the rest.
    """
    plan = _one_of(plans)
    with _answering():
        from closures.app.job import check_plan
        from closures.app.several import refuse_with, tell_many, tell_sizes, which_sizes

        asked = _asked(None, None, "outside", json, "plans")
        if plan is None and plans:
            refuse_with("several plans", {"--only": only} | wishes, "Name one plan.")
            return _tell(tell_many(plans, asked))
        wished, several = which_sizes(plan_asked(plan, wishes), plan, only or ())
        if several is not None and plan is not None:
            return _tell(tell_sizes(wished, plan, several, asked))
        answer = check_plan(wished, plan)
    _say(answer, json)
    _leave(answer)


@app.command()
def swap(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="A plan file with [swap] or [change].")],
    take: Annotated[int | None, typer.Option(help="Write the templates and the report of this offer.")] = None,
    out: Annotated[Path | None, typer.Option(help="Folder for the results; beside the plan if left out.")] = None,
    paper: Annotated[str, typer.Option(help="a4, letter, a3 or roll.")] = "a4",
    face: Annotated[str, typer.Option(help="outside or inside: the face the sheets lie on.")] = "outside",
    picture: Annotated[Path | None, typer.Option(help="Draw all offers, old and new, into this SVG file.")] = None,
    json: JsonOption = False,
) -> None:
    """List what could be put in place of the closures that are there, or take one of these offers."""
    with _answering():
        from closures import files
        from closures.app.job import load_plan, offers_picture, place_plan, result_files, swap_plan

        loaded = load_plan(plan)
        if take is None:
            answer, results = swap_plan(loaded, plan), {}
        else:
            answer = place_plan(loaded, plan, face_asked(face), take)
            results = result_files(answer, paper)
        if picture is not None:
            files.write_results(picture.parent, {picture.name: offers_picture(answer)})
        folder = out or plan.parent / plan.stem
        if results:
            files.write_results(folder, results)
    if json or take is not None:
        _say(answer, json)
    elif answer.swap is not None:
        import shutil

        from closures.report.offers import swap_terminal

        typer.echo(swap_terminal(answer.swap, width=min(shutil.get_terminal_size((100, 24)).columns, 110)))
    if results and not json:
        typer.echo(f"\nWritten to {folder}: {', '.join(results)}")
    _leave(answer)


@app.command()
def edges(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A drawing: SVG, DXF or PDF.")],
    picture: Annotated[Path | None, typer.Option(help="Draw the lines with their numbers into this PNG file.")] = None,
    units: Annotated[str, typer.Option(help="mm or in, for the lengths in the table.")] = "mm",
    json: Annotated[bool, typer.Option("--json", help="Print the list as JSON, and nothing else.")] = False,
) -> None:
    """List what in a drawing could be an edge, by the names that a plan's path takes."""
    with _answering():
        from closures import files
        from closures.app.listing import edges_of, edges_picture
        from closures.report.edge_listing import edges_json, list_edges_text

        told_in = units_asked(units)
        listing = edges_of(files.read_drawing(file), file.name)
        if picture is not None:
            files.write_results(picture.parent, {picture.name: edges_picture(listing)})
    typer.echo(edges_json(listing).decode() if json else list_edges_text(listing, told_in), nl=not json)
    if picture is not None and not json:
        typer.echo(f"Drawn with their numbers: {picture}")


@app.command(name="print-check")
def print_check(
    across: Annotated[str, typer.Argument(help="What you measured across: along the paper's short side.")],
    down: Annotated[str, typer.Argument(help="What you measured down: along its long side.")],
    of: Annotated[str, typer.Option(help="What the sheet says that length is.")],
) -> None:
    """Tell whether a print is true, from a length that you measured across and down."""
    with _answering():
        from closures.jobs.table.printer import judge_print

        verdict = judge_print(*lengths_measured(across, down, of))
    typer.echo("\n".join(verdict.lines))
    if not verdict.is_good:
        raise typer.Exit(FAILED)


@app.command("marker-sheet")
def marker_sheet(
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    out: Annotated[Path, typer.Option(help="The PDF to write.")] = Path("marker-sheet.pdf"),
) -> None:
    """Write the sheet of markers that is laid into a photo of a piece."""
    with _answering():
        from closures import files
        from closures.app.listing import marker_sheet

        files.write_results(out.parent, {out.name: marker_sheet(paper)})
    typer.echo(f"Written to {out}. Print it at 100 %.")


@app.command()
def fasteners(
    kind: Annotated[str | None, typer.Argument(metavar="[KIND]", help="One kind, with its figures.")] = None,
) -> None:
    """List the fasteners of the catalogue."""
    with _answering():
        from closures.catalogue.loading import load_catalogue
        from closures.report.listing import list_kinds, list_sizes

        catalogue = load_catalogue()
        text = list_kinds(catalogue) if kind is None else list_sizes(catalogue, kind)
    typer.echo(text)


@app.command()
def start(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="A starting plan.")] = None,
    folder: Annotated[Path | None, typer.Argument(metavar="[FOLDER]", help="Where to copy it.")] = None,
) -> None:
    """List the starting plans, or copy one to change it."""
    with _answering():
        from closures import files

        if name is None:
            plans = files.starting_plans()
            width = max(map(len, plans))
            lines = [f"{key:<{width}}  {files.first_words(at)}" for key, at in plans.items()]
            lines.append("\nCopy one: closures start NAME [FOLDER]")
        else:
            copied = files.copy_starting_plan(name, folder or Path(name))
            lines = [f"Copied to {copied.parent}. Next: closures place {copied}"]
    typer.echo("\n".join(lines))


@app.command()
def serve(
    plan: Annotated[Path | None, typer.Argument(metavar="[PLAN]", help="A plan file (TOML).")] = None,
    port: Annotated[int | None, typer.Option(help="The port on this computer; the usual one if left out.")] = None,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")] = False,
) -> None:
    """Open the cutting-table page: see PLAN, drag it, print it, on this computer alone."""
    with _answering():
        try:
            from closures.app.web.server import listen
            from closures.app.web.table import files_beside
        except ImportError as error:
            raise OutputError(
                f"the page needs a package that is not here ({error.name})",
                where="closures serve",
                mend="Install the page with pip install 'closures[page]'.",
            ) from None
        served = listen(port, None if plan is None else files_beside(plan))
    typer.echo(f"The table is laid at {served.address}\nStop it with Ctrl+C.")
    if not no_open:
        import webbrowser

        webbrowser.open(served.address)
    served.run()


def main() -> None:
    """Run the command."""
    app()


def _one_of(plans: list[Path] | None) -> Path | None:
    return plans[0] if plans is not None and len(plans) == 1 else None


def _asked(
    out: Path | None, paper: str | None, face: str, as_json: bool, what: str, correction: Correction | None = None
) -> Asked:
    import shutil

    from closures.app.several import Asked

    width = min(shutil.get_terminal_size((100, 24)).columns, 110)
    return Asked(out, paper, face_asked(face), as_json, correction, width, _progress(what))


def _tell(told: Told) -> None:
    typer.echo(told.text)
    if told.code:
        raise typer.Exit(told.code)


def _progress(what: str) -> Callable[[int, int], None]:
    """Tell how far a run is, on a terminal only, once it has taken longer than a second."""
    from time import monotonic

    began = monotonic()

    def tell(done: int, of: int) -> None:
        if sys.stderr.isatty() and monotonic() - began > 1.0:
            typer.echo(f"\r{done} of {of} {what}" + ("\n" if done == of else ""), err=True, nl=False)

    return tell


@contextmanager
def _answering() -> Iterator[None]:
    """Turn what goes wrong into one message on standard error and exit code 2."""
    try:
        yield
    except ClosureError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(REFUSED) from None


def _say(answer: Answer, as_json: bool, correction: Correction | None = None) -> None:
    if as_json:
        from closures.app.job import table_figures
        from closures.report.figures import report_json

        figures = table_figures(answer, correction)
        report = report_json(answer.placement, answer.findings, answer.sheets, answer.swap, figures)
        typer.echo(report.decode(), nl=False)
        return
    import shutil

    from closures.report.offers import taken_terminal
    from closures.report.terminal import report_terminal

    width = min(shutil.get_terminal_size((100, 24)).columns, 110)
    colour = sys.stdout.isatty()
    typer.echo(report_terminal(answer.placement, answer.findings, colour=colour, width=width))
    if answer.swap is not None:
        typer.echo(f"\n{taken_terminal(answer.swap, width=width)}")
    if answer.fit is not None:
        from closures.report.fit import fit_terminal

        typer.echo(f"\n{fit_terminal(answer.fit, answer.placement.plan.units)}")


def _leave(answer: Answer) -> None:
    if answer.result == "fail":
        raise typer.Exit(FAILED)
