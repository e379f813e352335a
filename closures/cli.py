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
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from closures.errors import ClosureError, PlanError

if TYPE_CHECKING:
    from closures.job import Answer
    from closures.plan import Plan, Units

FAILED, REFUSED = 1, 2

app = typer.Typer(
    name="closures",
    help="Place snaps, buttons and hooks along a garment's closing line, and print 1:1 marking templates.",
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

PlanArgument = Annotated[Path | None, typer.Argument(metavar="[PLAN]", help="A plan file (TOML).")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print the report as JSON, and nothing else.")]

# A job told without a plan file: option, type, what it says, and the name that the plan's reader gives it.
_WISHES: tuple[tuple[str, object, str, str], ...] = (
    ("--straight", str, 'A straight edge of this length, for example "24 in".', "straight"),
    ("--arc", str, "An edge that is one arc, of this length.", "arc"),
    ("--radius", str, "The radius of that arc.", "radius"),
    ("--bows", str, "The arc bows out (away from the cloth) or in.", "bows"),
    ("--band", str, "Finished width of the band.", "band"),
    ("--under-band", str, "The same of the under lap, where it differs.", "under_band"),
    ("--inset", str, "Finished edge to closing line; half the band if left out.", "inset"),
    ("--under-inset", str, "The same of the under lap, where it differs.", "under_inset"),
    ("--lap", str, '"right over left" or "left over right", the wearer\'s sides.', "lap"),
    ("--closure", str, 'The kind of closure, for example "prong snap".', "closure"),
    ("--size", str, 'Its size, for example "16 L".', "size"),
    ("--cap", str, "Measured diameter of its largest part.", "cap"),
    ("--grip", str, 'From the pack, for example "0.5 mm to 1.5 mm".', "grip"),
    ("--thickness", str, "Thickness of a button.", "thickness"),
    ("--hole", str, "Buttonholes along or across the closing line.", "hole"),
    ("--halves", str, "usual, or turned: the cap on the under lap.", "halves"),
    ("--spare", int, "Closures to have over.", "spare"),
    ("--trial", int, "Closures for a trial piece.", "trial"),
    ("--first", str, 'First end to first centre, or a range "1/2 in to 3/4 in".', "first"),
    ("--last", str, "Last centre to last end, or a range.", "last"),
    ("--pitch", str, "Wanted gap, centre to centre.", "pitch"),
    ("--count", int, "How many closures.", "count"),
    ("--widest", str, "No gap wider than this.", "widest"),
    ("--closest", str, "No gap closer than this.", "closest"),
    ("--anchor", list[str], 'A closure must sit here: "bust point @ 9 1/4 in". Repeat it.', "anchors"),
    ("--clear", list[str], 'No closure may sit here: "belt @ 15 in to 17 in". Repeat it.', "clear"),
    ("--layer", list[str], 'A cloth or a thickness: "2 x cotton sateen on over". Repeat it.', "layers"),
    ("--supplies", str, "A file of your own fasteners and cloths.", "supplies"),
    ("--units", str, "What a bare number means: mm or in.", "units"),
    ("--title", str, "Printed on the sheets.", "title"),
)


def _with_wishes(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that describe a job; it gets them as one table, `wishes`."""

    @wraps(command)
    def told(**given: object) -> None:
        wishes = {key: given.pop(key) for *_, key in _WISHES}
        command(**given, wishes={key: value for key, value in wishes.items() if value not in (None, [])})

    own = [p for p in inspect.signature(command, eval_str=True).parameters.values() if p.name != "wishes"]
    options = [
        inspect.Parameter(
            key,
            inspect.Parameter.KEYWORD_ONLY,
            default=None,
            annotation=Annotated[kind | None, typer.Option(name, help=says)],  # type: ignore[operator]
        )
        for name, kind, says, key in _WISHES
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
    plan: PlanArgument = None,
    out: Annotated[Path | None, typer.Option(help="Folder for the results; beside the plan if left out.")] = None,
    paper: Annotated[str, typer.Option(help="a4, letter, a3 or roll.")] = "a4",
    face: Annotated[str, typer.Option(help="outside or inside: the face the sheets lie on.")] = "outside",
    json: JsonOption = False,
) -> None:
    """Place the closures of PLAN; write the marking templates and the report.

    Without a PLAN, describe the job with the options below.
    """
    with _answering():
        from closures import files
        from closures.job import place_plan, result_files

        answer = place_plan(_plan(plan, wishes), plan, _face(face), whole=paper == "roll")
        results = result_files(answer, paper)
        folder = out or (Path("marking") if plan is None else plan.parent / plan.stem)
        files.write_results(folder, results)
    _say(answer, json)
    if not json:
        typer.echo(f"\nWritten to {folder}: {', '.join(results)}")
    _leave(answer)


@app.command()
@_with_wishes
def check(wishes: dict[str, Any], plan: PlanArgument = None, json: JsonOption = False) -> None:
    """Place the closures of PLAN and tell what the rules say, writing nothing.

    Without a PLAN, describe the job with the options below.
    """
    with _answering():
        from closures.job import check_plan

        answer = check_plan(_plan(plan, wishes), plan)
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
        from closures.job import load_plan, offers_picture, place_plan, result_files, swap_plan

        loaded = load_plan(plan)
        if take is None:
            answer, results = swap_plan(loaded, plan), {}
        else:
            answer = place_plan(loaded, plan, _face(face), take)
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

        from closures.report import swap_terminal

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
        from closures.job import edges_of, edges_picture
        from closures.report import edges_json, list_edges_text

        told_in = _units(units)
        listing = edges_of(files.read_drawing(file), file.name)
        if picture is not None:
            files.write_results(picture.parent, {picture.name: edges_picture(listing)})
    typer.echo(edges_json(listing).decode() if json else list_edges_text(listing, told_in), nl=not json)
    if picture is not None and not json:
        typer.echo(f"Drawn with their numbers: {picture}")


@app.command()
def fasteners(
    kind: Annotated[str | None, typer.Argument(metavar="[KIND]", help="One kind, with its figures.")] = None,
) -> None:
    """List the fasteners of the catalogue."""
    with _answering():
        from closures.catalogue import load_catalogue
        from closures.report import list_kinds, list_sizes

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


def main() -> None:
    """Run the command."""
    app()


def _plan(path: Path | None, wishes: dict[str, Any]) -> Plan:
    from closures.job import load_plan
    from closures.plan import plan_from_options

    if path is None:
        return plan_from_options(**wishes)
    if wishes:
        names = ", ".join(name for name, *_, key in _WISHES if key in wishes)
        raise PlanError(
            f"{names} cannot go with a plan file",
            where=str(path),
            mend="Write it into the plan, or leave the file out.",
        )
    return load_plan(path)


def _units(word: str) -> Units:
    if word not in ("mm", "in"):
        raise PlanError(f"'{word}' is neither mm nor in", where="--units", mend="Write mm or in.")
    return "in" if word == "in" else "mm"


def _face(word: str) -> Literal["outside", "inside"]:
    if word not in ("outside", "inside"):
        raise PlanError(f"'{word}' is not a face of the cloth", where="--face", mend="Write outside or inside.")
    return "inside" if word == "inside" else "outside"


@contextmanager
def _answering() -> Iterator[None]:
    """Turn what goes wrong into one message on standard error and exit code 2."""
    try:
        yield
    except ClosureError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(REFUSED) from None


def _say(answer: Answer, as_json: bool) -> None:
    if as_json:
        from closures.report import report_json

        typer.echo(report_json(answer.placement, answer.findings, answer.sheets, answer.swap).decode(), nl=False)
        return
    import shutil

    from closures.report import report_terminal, taken_terminal

    width = min(shutil.get_terminal_size((100, 24)).columns, 110)
    colour = sys.stdout.isatty()
    typer.echo(report_terminal(answer.placement, answer.findings, colour=colour, width=width))
    if answer.swap is not None:
        typer.echo(f"\n{taken_terminal(answer.swap, width=width)}")


def _leave(answer: Answer) -> None:
    if answer.result == "fail":
        raise typer.Exit(FAILED)
