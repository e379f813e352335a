"""What there is to begin with: the starting plans, the catalogue."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import answering
from closures.errors import typed


def start(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="A starting plan.")] = None,
    folder: Annotated[Path | None, typer.Argument(metavar="[FOLDER]", help="Where to copy it.")] = None,
) -> None:
    """List the starting plans, or copy one to change it."""
    with answering():
        from closures import shipped
        from closures.report.text_table import text_table

        if name is None:
            plans, garments = shipped.starting_plans(), shipped.starting_garments()
            told = text_table([(key, shipped.first_words(at)) for key, at in [*plans.items(), *garments.items()]])
            lines = [*told[: len(plans)], "", "Whole garments, of several openings:", *told[len(plans) :]]
            lines.append("\nCopy one: closures start NAME [FOLDER]")
        else:
            copied = shipped.copy_starting_plan(name, folder or Path(name))
            lines = [f"Copied to {copied.parent}. Next: closures place {typed(copied)}"]
    typer.echo("\n".join(lines))


def fasteners(
    kind: Annotated[str | None, typer.Argument(metavar="[KIND]", help="One kind, with its figures.")] = None,
) -> None:
    """List the fasteners of the catalogue."""
    with answering():
        from closures.catalogue.loading import load_catalogue
        from closures.report.listing import list_kinds, list_sizes

        catalogue = load_catalogue()
        text = list_kinds(catalogue) if kind is None else list_sizes(catalogue, kind)
    typer.echo(text)


def cloths(
    name: Annotated[str | None, typer.Argument(metavar="[CLOTH]", help="One cloth, or a part of its name.")] = None,
) -> None:
    """List the cloths of the catalogue, with how thick one layer is."""
    with answering():
        from closures.catalogue.loading import load_catalogue
        from closures.report.listing import list_cloths

        text = list_cloths(load_catalogue(), name)
    typer.echo(text)


def shortcut(
    remove: Annotated[bool, typer.Option("--remove", help="Take the entry away again.")] = False,
) -> None:
    """Put an entry into the system's menu that opens the page."""
    with answering():
        import os

        from closures import files
        from closures.app.shortcut import shortcut_for

        entry = shortcut_for(sys.platform, os.environ, str(Path.home()), sys.executable)
        at = Path(entry.folder, entry.name)
        if remove:
            files.remove_entry(at)
        else:
            files.write_entry(at, entry.content, entry.is_program)
    typer.echo(f"Taken away: {at}" if remove else f"Written: {at}. It opens the page.")
