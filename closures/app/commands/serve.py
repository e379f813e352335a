"""The page on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from closures.app.commands.answering import answering

_NEW_BEFORE_LOOKING = 50_000


def serve(
    plan: Annotated[
        Path | None, typer.Argument(metavar="[PLAN]", help="A plan file (TOML), or a garment file.")
    ] = None,
    port: Annotated[
        int | None, typer.Option(metavar="NUMBER", help="The port on this computer; the usual one if left out.")
    ] = None,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")] = False,
) -> None:
    """Open the cutting-table page: see PLAN, drag it, print it, on this computer alone; changes are kept in PLAN."""
    with answering():
        import gc
        import os
        import sys

        from closures import shipped
        from closures.app.web.garments import plans_on_disk
        from closures.app.web.server import listen
        from closures.app.web.table import files_beside
        from closures.app.whole import is_garment_file
        from closures.results.aside import aside_folder

        # A starting plan is everybody's: it is looked at, and saved elsewhere.
        own = None if plan is None or plan.resolve().is_relative_to(shipped.starting_plans_folder().resolve()) else plan
        remember_in = aside_folder(sys.platform, os.environ, str(Path.home()))
        if plan is not None and is_garment_file(plan):
            served = listen(port, remember_in=remember_in, garment=plans_on_disk(plan, is_own=own is not None))
        else:
            served = listen(port, None if plan is None else files_beside(plan), own, remember_in)
    # The page stays for hours, and each of its answers leaves a few rings.
    gc.set_threshold(_NEW_BEFORE_LOOKING, 20, 20)
    typer.echo(
        f"The page is at {served.address}\nThe address lets in whoever has it: keep it to yourself. "
        "Stop the page with Ctrl+C."
    )
    if not no_open:
        import webbrowser

        webbrowser.open(served.address_once)
    served.run(ends_process=True)
