"""A plan that is kept in its own file as it is changed, and what is said once another program wrote there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures import files
from closures.errors import ClosureError

if TYPE_CHECKING:
    from closures.app.web.bench import Bench

_CHANGED = "another program changed the file"


def looked_at_home(bench: Bench) -> Bench:
    """Note of a plan whose file holds other words than this page last read or wrote there that it is another's now.

    A page that is loaded anew shows what it had, and not the file: nobody would know.
    """
    if bench.home is None or bench.trouble or bench.kept is None:
        return bench
    try:
        now = bench.home.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        # What cannot be read is told when it is to be written.
        return bench
    return bench if now == bench.kept else replace(bench, trouble=_CHANGED)


def kept_at_home(bench: Bench) -> Bench:
    """Write what a plan holds now into its own file; where that cannot be, say why and leave the file."""
    if bench.home is None or bench.trouble or bench.step.text == bench.kept:
        return bench
    try:
        files.write_edited(bench.home, bench.step.text, bench.kept)
    except ClosureError as error:
        # From here on the file is another's, or cannot be written: what is changed here is saved as of any other plan.
        return replace(bench, trouble=error.faults[0].what)
    return replace(bench, kept=bench.step.text)
