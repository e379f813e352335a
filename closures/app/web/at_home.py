"""A plan that is kept in its own file as it is changed, and what is said once another program wrote there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures import files
from closures.app.job import check_plan
from closures.app.known_names import names_known
from closures.app.web.bench import Step
from closures.app.web.lettered import check_letters
from closures.app.web.placed import answer_of
from closures.errors import ClosureError
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from collections.abc import Mapping

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


def aside(bench: Bench) -> str:
    """Tell that a plan's own file holds another plan than the one in hand; empty where it does not."""
    return "" if bench.home is None or not bench.trouble else f"This is not what {bench.home.name} holds now."


def from_home(bench: Bench, data: bytes, title: str, beside: Mapping[str, bytes]) -> Bench:
    """Go on from a plan's own file, as another program left it.

    Args:
        bench: the plan in hand.
        data, title, beside: its file as it is now: the bytes, its name, and the files that it names.

    Raises:
        ClosureError: it cannot be read or placed.
    """
    plan = read_plan(data, title, names_known(beside))
    check_plan(plan, beside)
    check_letters(plan)
    step = Step(data.decode("utf-8-sig"))
    # Steps that were taken beside other drawings lead to none of these.
    base = bench if dict(beside) == dict(bench.files) else replace(bench, files=dict(beside), steps=(step,), at=0)
    answer_of(base, step)
    return replace(base.taken(step), kept=step.text, trouble="")
