"""The guide: in the terminal, or as a folder of linked pages with pictures."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import answering


def guide_help(
    topic: Annotated[
        list[str] | None, typer.Argument(metavar="[TOPIC]...", help="What you want to know, in a word or two.")
    ] = None,
    open_it: Annotated[bool, typer.Option("--open", help="Open the guide with its pictures in a browser.")] = False,
    out: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Write the guide with its pictures into this folder.")
    ] = None,
) -> None:
    """Read the guide: its contents, one page, or all of it with pictures."""
    with answering():
        from closures import files, shipped
        from closures.app.guide.pages import INDEX, make_guide
        from closures.app.guide.terminal import contents_text, found_text, page_text

        guide = make_guide(shipped.guide_texts())
        found = guide.pages_about(" ".join(topic)) if topic else ()
        page = found[0] if len(found) == 1 or (found and (out is not None or open_it)) else None
        if out is not None or open_it:
            from closures.app.guide.site import site_files

            folder = files.guide_folder() if out is None else out
            files.write_tree(folder, site_files(guide, shipped.guide_pictures()))
            begin = folder / "docs" / f"{INDEX if page is None else page.key}.html"
            typer.echo(f"The guide is in {begin}")
            if open_it:
                import webbrowser

                webbrowser.open(begin.resolve().as_uri())
            return
    import shutil

    width = min(shutil.get_terminal_size((100, 24)).columns, 100)
    if page is not None:
        typer.echo(page_text(page, width))
    else:
        typer.echo(found_text(" ".join(topic or ()), found) if found else contents_text(guide))
