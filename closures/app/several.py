"""Answers to the command where a plan has several sizes, or several plans are named: what to say, and the exit code."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from closures import files
from closures.errors import PlanError
from closures.frozen import frozen

if TYPE_CHECKING:
    from closures.jobs.table.printer import Correction
    from closures.plan.band import FaceWish
    from closures.plan.plan import Plan
    from closures.results.whole import Written

FAILED = 1
_READ = "report.md lists them, and tells the order of work and what to heed."
Tell = Callable[[int, int], None]


@frozen
class Asked:
    """How an answer is wanted.

    Attributes:
        out: folder for the results, None for beside the plan.
        paper: what sheets are printed on, None where nothing is written.
        face: which face of the cloth lies up.
        as_json: the report as JSON, and nothing else.
        correction: how pages are stretched for one printer, None for pages of true size.
        width: of the terminal, in signs.
        tell: told how many are done, and of how many.
        large: lettering half as large again.
        also: further pages and files of a garment.
    """

    out: Path | None = None
    paper: str | None = None
    face: FaceWish = "usual"
    as_json: bool = False
    correction: Correction | None = None
    width: int = 100
    tell: Tell = lambda done, of: None
    large: bool = False
    also: tuple[str, ...] = ()


@frozen
class Told:
    """What is said on standard output, and the exit code."""

    text: str
    code: int


def refuse_with(what: str, options: Mapping[str, Any], mend: str) -> None:
    """Refuse options that make no sense here.

    Raises:
        PlanError: one of them was given.
    """
    given = [name for name, value in options.items() if value]
    if given:
        raise PlanError(f"it cannot go with {what}", where=", ".join(given), mend=mend)


def one_at_a_time(plan: Plan, only: Sequence[str]) -> str:
    """Tell how what is made of one row comes to be made of each size.

    Args:
        plan: of several sizes.
        only: the sizes that are wanted; all where it is empty.
    """
    named, base = only, ""
    if plan.sizes is not None:
        named, base = only or plan.sizes.names, plan.sizes.base
    first = base if base in named else named[0]
    return (
        f"It is drawn of one row, and this plan has one for each of {len(named)} sizes. "
        f"Choose one, as in --only {first}, and run it once more for every other size that you want it of."
    )


def which_sizes(plan: Plan, path: Path | None, only: Sequence[str]) -> tuple[Plan, tuple[str, ...] | None]:
    """Find which sizes are meant.

    Args:
        plan: as loaded.
        path: the plan file.
        only: the sizes that are wanted; all where it is empty.

    Returns:
        A plan of one size and None, or a plan of several sizes and the names of those that are wanted.

    Raises:
        PlanError: a size is wanted that is not there.
    """
    if plan.sizes is None or plan.fit is not None:
        what = "a plan of one size" if plan.sizes is None else "a plan that is fitted to a wearer"
        refuse_with(what, {"--only": only}, "Leave it out.")
        return plan, None
    if len(only) == 1:
        from closures.app.sizing import plan_held

        return plan_held(plan, only[0], path), None
    return plan, tuple(only)


def tell_sizes(plan: Plan, path: Path, only: Sequence[str], asked: Asked) -> Told:
    """Place every size, and write the files where that is asked.

    Raises:
        ClosureError: no size can be placed, or the results cannot be written.
    """
    from closures.advice.of_sizes import advise_sizes
    from closures.app.sizing import check_sizes, place_sizes, size_files
    from closures.report.advice import advice_figures
    from closures.report.sizes import sizes_json
    from closures.report.sizes_words import sizes_terminal

    if asked.paper is None:
        sizes, results = check_sizes(plan, path, only, asked.tell), {}
    else:
        cores = os.cpu_count() or 1
        sizes = place_sizes(plan, path, asked.face, only, asked.tell, cores)
        results = size_files(sizes, asked.paper, asked.correction, cores)
    folder = asked.out or path.parent / path.stem
    done = files.write_results(folder, results) if results else None
    code = FAILED if sizes.result == "fail" else 0
    if asked.as_json and done is not None:
        return Told(done.report.decode().rstrip("\n"), code)
    if asked.as_json:
        work = advice_figures(advise_sizes(sizes))
        return Told(sizes_json(sizes, asked.correction, work).decode().rstrip("\n"), code)
    said = "" if done is None else f"{to_print(done.report)} {_each_alone(done.report)}"
    written = f"\n\n{said}\nWritten to {folder}: {len(results)} files; {_READ}" if results else ""
    written += _left_there(done)
    return Told(sizes_terminal(sizes, asked.width) + written, code)


def _left_there(done: Written | None) -> str:
    """Name what an earlier run left in the folder."""
    left = () if done is None else done.left
    return "".join(f"\nLeft there: {name}, from an earlier run; it has been changed since." for name in left)


def to_print(report: bytes) -> str:
    """Say from a finished report how many sheets there are to print, and the run mark that they bear."""
    figures = json.loads(report)
    return f"{figures['printing']['told']}. Run mark {figures['run']}."


def _each_alone(report: bytes) -> str:
    """Say from a finished report how many sheets the files of the single sizes have."""
    counts = [size["printing"]["sheets"] for size in json.loads(report)["sizes"] if "printing" in size]
    fewest, most = min(counts), max(counts)
    return f"One size alone: {fewest if fewest == most else f'{fewest} to {most}'} sheets."


def tell_many(plans: Sequence[Path], asked: Asked) -> Told:
    """Place every plan of a collection; one that is bad does not stop the rest.

    Raises:
        PlanError: a plan is named twice.
    """
    from closures.app.collection import figures_of, in_words, run, tasks_for, worst_code

    paper = asked.paper or "a4"
    tasks = tasks_for(plans, asked.out, asked.paper is not None, paper, asked.face, asked.as_json)
    done = run(tasks, asked.tell)
    text = json.dumps(figures_of(done), ensure_ascii=False, indent=2) if asked.as_json else in_words(done)
    return Told(text, worst_code(done))


def tell_garment(path: Path, asked: Asked) -> Told:
    """Place every opening of a garment file, and write the one set where that is asked.

    Raises:
        ClosureError: the file or one of its plans is wrong, or the results cannot be written.
    """
    from closures.app.whole import checked_json, garment_files, told, work_garment
    from closures.report.garment_terminal import garment_terminal

    whole = work_garment(path, asked.face, draw=asked.paper is not None, large=asked.large, also=asked.also)
    folder = asked.out or path.parent / path.stem
    results = {} if asked.paper is None else garment_files(whole, asked.paper)
    done = files.write_results(folder, results) if results else None
    code = FAILED if whole.result == "fail" else 0
    if asked.as_json:
        return Told((results.get("report.json") or checked_json(whole)).decode().rstrip("\n"), code)
    said = "" if done is None else to_print(done.report)
    written = f"\n\n{said}\nWritten to {folder}: {len(results)} files; report.md lists the openings." if results else ""
    written += _left_there(done)
    return Told(
        garment_terminal(whole.garment, told(whole), whole.clearances, whole.bought, asked.width) + written, code
    )
