"""The page on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import answering


def serve(
    plan: Annotated[Path | None, typer.Argument(metavar="[PLAN]", help="A plan file (TOML).")] = None,
    port: Annotated[
        int | None, typer.Option(metavar="NUMBER", help="The port on this computer; the usual one if left out.")
    ] = None,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")] = False,
) -> None:
    """Open the cutting-table page: see PLAN, drag it, print it, on this computer alone."""
    with answering():
        from closures.app.web.server import listen
        from closures.app.web.table import files_beside

        served = listen(port, None if plan is None else files_beside(plan))
    typer.echo(f"The page is at {served.address}\nStop it with Ctrl+C.")
    if not no_open:
        import webbrowser

        webbrowser.open(served.address)
    served.run()
