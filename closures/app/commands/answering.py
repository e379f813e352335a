"""What all commands share: one message for what goes wrong, the answer said, and the exit code."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from closures.app.options import face_asked
from closures.catalogue.loading import paper_keys
from closures.errors import ClosureError

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.repairing import Repair
    from closures.app.several import Asked, Told
    from closures.jobs.table.printer import Correction
    from closures.results.whole import Written

FAILED, REFUSED = 1, 2
"""Exit codes: placed but a check failed; the input is bad and nothing was written."""

PlansArgument = Annotated[
    list[Path] | None, typer.Argument(metavar="[PLAN]...", help="A plan file (TOML), or several.")
]
OnlyOption = Annotated[
    list[str] | None, typer.Option(metavar="SIZE", help="Of a plan with sizes, this one only. Repeat it for several.")
]
OutOption = Annotated[
    Path | None, typer.Option(metavar="FOLDER", help="Folder for the results; beside the plan if left out.")
]
_PAPERS = " or ".join(", ".join(paper_keys()).rsplit(", ", 1))
PaperOption = Annotated[str, typer.Option("--paper", metavar="PAPER", help=f"{_PAPERS}.")]
FaceOption = Annotated[
    str, typer.Option("--face", metavar="FACE", help="outside, inside or usual: the face the sheets lie on.")
]
RepairOption = Annotated[
    int | None,
    typer.Option(
        "--repair", metavar="NUMBER", help="Of a plan that no row meets: take the repair of this number, as it is told."
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print the report as JSON, and nothing else.")]


def one_of(plans: list[Path] | None) -> Path | None:
    return plans[0] if plans is not None and len(plans) == 1 else None


def asked_of(
    out: Path | None,
    paper: str | None,
    face: str,
    as_json: bool,
    what: str,
    correction: Correction | None = None,
    large: bool = False,
    also: Sequence[str] = (),
) -> Asked:
    import shutil

    from closures.app.several import Asked

    width = min(shutil.get_terminal_size((100, 24)).columns, 110)
    return Asked(out, paper, face_asked(face), as_json, correction, width, _progress(what), large, tuple(also))


def tell(told: Told) -> None:
    typer.echo(told.text)
    if told.code:
        raise typer.Exit(told.code)


def _progress(what: str) -> Callable[[int, int], None]:
    """Tell how far a run is, on a terminal only, once it has taken longer than a second."""
    from time import monotonic

    began = monotonic()

    def tell_progress(done: int, of: int) -> None:
        if sys.stderr.isatty() and monotonic() - began > 1.0:
            typer.echo(f"\r{done} of {of} {what}" + ("\n" if done == of else ""), err=True, nl=False)

    return tell_progress


@contextmanager
def answering() -> Iterator[None]:
    """Turn what goes wrong into one message on standard error and exit code 2."""
    from closures.app.bounds import bounded

    try:
        with bounded():
            yield
    except ClosureError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(REFUSED) from None


@contextmanager
def telling_options(is_without_plan: bool) -> Iterator[None]:
    """Where no plan file was given, tell what goes wrong by the options that are to be typed."""
    try:
        yield
    except ClosureError as error:
        if is_without_plan:
            from closures.plan.as_options import error_in_options

            error_in_options(error)
        raise


@contextmanager
def telling_repairs(path: Path | None, is_as_written: bool) -> Iterator[None]:
    """Where no row meets a plan, tell what would mend it as lines of that plan, each tried.

    Args:
        path: the plan file; None for a job told by options.
        is_as_written: whether the plan was taken as it stands in its file.
    """
    from closures.spacing import NoSpacing

    try:
        yield
    except NoSpacing as error:
        if path is not None and is_as_written:
            from closures.app.repairing import with_repairs

            raise with_repairs(error, path) from None
        raise


def say(answer: Answer, as_json: bool, correction: Correction | None = None, written: bytes = b"") -> None:
    """Say what a plan came to; as JSON just as it was written, where it was."""
    if as_json and written:
        typer.echo(written.decode(), nl=False)
        return
    if as_json:
        from closures.app.job import table_figures
        from closures.report.figures import report_json

        figures = table_figures(answer, correction)
        report = report_json(answer.placement, answer.findings, answer.sheets, answer.swap, figures)
        typer.echo(report.decode(), nl=False)
        return
    import shutil
    import textwrap

    from closures.app.job import knitted_row
    from closures.app.pulling import pulling_terminal
    from closures.report.terminal import report_terminal

    width = min(shutil.get_terminal_size((100, 24)).columns, 110)
    colour = sys.stdout.isatty()
    typer.echo(report_terminal(answer.placement, answer.findings, colour=colour, width=width))
    pulled = pulling_terminal(answer, width)
    if pulled:
        typer.echo(f"\n{pulled}")
    knitted = knitted_row(answer)
    if knitted is not None:
        from closures.jobs.knitting.words import knitting_line

        typer.echo("\n" + "\n".join(textwrap.wrap(knitting_line(knitted), width)))
    if answer.swap is not None:
        from closures.report.offers import taken_terminal

        typer.echo(f"\n{taken_terminal(answer.swap, width=width)}")
    if answer.fit is not None:
        from closures.report.fit import fit_terminal

        typer.echo(f"\n{fit_terminal(answer.fit, answer.placement.plan.units)}")


def say_repair(repair: Repair, begin: str) -> None:
    """Say which repair was taken."""
    typer.echo("\n".join([begin, *(f"  {line}" for line in repair.lines), ""]))


def say_written(folder: Path, results: Iterable[str], written: Written) -> None:
    """Say what there is to print and where it is, and what of an earlier run was left there."""
    from closures.app.several import to_print

    typer.echo(f"\n{to_print(written.report)}\nWritten to {folder}: {', '.join(results)}")
    for name in written.left:
        typer.echo(
            f"Left there: {name}, from an earlier run; it has been changed since, and this run does not write it."
        )


def leave(answer: Answer) -> None:
    if answer.result == "fail":
        raise typer.Exit(FAILED)
