"""What a drawing holds, and the sheet for photos: what is done before there is a plan."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import answering
from closures.app.options import units_asked


def edges(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A drawing: SVG, DXF or PDF.")],
    picture: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the lines with their numbers into this file, SVG or PNG.")
    ] = None,
    units: Annotated[str, typer.Option(metavar="mm|in", help="mm or in, for the lengths in the table.")] = "mm",
    json: Annotated[bool, typer.Option("--json", help="Print the list as JSON, and nothing else.")] = False,
) -> None:
    """List what in a drawing could be an edge, by the names that a plan's path takes."""
    with answering():
        from closures import files
        from closures.app.listing import edges_of, edges_picture
        from closures.report.edge_listing import edges_json, how_read_text, list_edges_text

        told_in = units_asked(units)
        listing = edges_of(files.read_drawing(file), file.name)
        if picture is not None:
            files.write_one(picture, edges_picture(listing, picture.suffix))
    typer.echo(edges_json(listing).decode() if json else list_edges_text(listing, told_in), nl=not json)
    if picture is not None and not json:
        typer.echo("\n".join([f"Drawn with their numbers: {picture}", *how_read_text(listing)]))


def marker_sheet(
    paper: Annotated[str, typer.Option(metavar="a4|letter", help="a4 or letter.")] = "a4",
    out: Annotated[Path, typer.Option(metavar="FILE", help="The PDF to write.")] = Path("marker-sheet.pdf"),
) -> None:
    """Write the sheet of markers that is laid into a photo of a piece."""
    with answering():
        from closures import files
        from closures.app.listing import marker_sheet

        files.write_one(out, marker_sheet(paper))
    typer.echo(f"Written to {out}. Print it at 100 %.")
