"""Many plans at once, on all cores: one bad plan does not stop the rest."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from closures import files
from closures.app.bounds import bounded
from closures.app.leaving import UNFORESEEN, unforeseen_words
from closures.app.together import Near, as_worked, near_each_other, shared_drawings
from closures.cores import end_with_parent
from closures.errors import ClosureError, PlanError
from closures.frozen import frozen
from closures.placing.counted import in_row_and_beside
from closures.report.shopping import Needed, added_up, bought_figures, bought_in_words, needed_by
from closures.report.tally import tally
from closures.report.text_table import text_table

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.jobs.sizes.sized import Sizes
    from closures.jobs.whole.frames import Worked
    from closures.plan.band import FaceWish
    from closures.plan.plan import Plan

PASSED, FAILED, REFUSED = 0, 1, 2
# A worker costs about a tenth of a second to start: fewer plans than this are done here.
_LEAST_FOR_WORKERS = 4
_WORDS = {PASSED: "good", FAILED: "FAIL", REFUSED: "REFUSED", UNFORESEEN: "NOT DONE"}


@frozen
class Task:
    """One plan of a collection.

    Attributes:
        plan: the file.
        folder: where its results go, None where nothing is written.
        paper, face: what the sheets are printed on, and which face lies up.
        report: whether the report's figures are wanted.
        drawing: the drawing of its edge, where another plan of the collection names it too; else None.
    """

    plan: Path
    folder: Path | None
    paper: str = "a4"
    face: FaceWish = "usual"
    report: bool = False
    drawing: str | None = None


@frozen
class Done:
    """What a plan of a collection came to.

    Attributes:
        task: the plan.
        code: 0 placed, 1 some check or some size failed, 2 refused, 3 what nobody foresaw.
        title: of the plan, empty where it could not be read.
        closures: how many closures in the row and beside it, size by size where there are several.
        looks: how many findings there are to look at.
        error: why it was refused.
        failed: the checks that failed, in words: size by size where there are several.
        figures: the report, where it was wanted.
        needed: what it takes to make, of several sizes one garment of each.
        worked: its closures, where another plan lies on the same drawing.
    """

    task: Task
    code: int
    title: str = ""
    closures: tuple[tuple[int, int], ...] = ()
    looks: int = 0
    error: str = ""
    failed: tuple[str, ...] = ()
    figures: dict[str, Any] | None = None
    needed: tuple[Needed, ...] = ()
    worked: Worked | None = None


def tasks_for(
    plans: Sequence[Path], out: Path | None, write: bool, paper: str, face: FaceWish, report: bool
) -> tuple[Task, ...]:
    """Find where the results of every plan go: beside it, or in one folder, each under a name of its own.

    Args:
        plans: the files.
        out: the one folder, None for beside each plan.
        write: whether anything is written.
        paper, face, report: as for `Task`.

    Raises:
        PlanError: a plan is named twice.
    """
    known: set[Path] = set()
    for plan in plans:
        if plan.absolute() in known:
            raise PlanError("this plan is named twice", where=str(plan), mend="Name it once.")
        known.add(plan.absolute())
    shared = shared_drawings(plans)
    stems = [plan.stem for plan in plans]
    tasks = []
    for n, plan in enumerate(plans, start=1):
        # Plans of one name lie in folders of different names, as starting plans do.
        name = plan.stem if stems.count(plan.stem) == 1 else plan.absolute().parent.name
        names = [one.absolute().parent.name if stems.count(one.stem) > 1 else one.stem for one in plans]
        name = name if names.count(name) == 1 else f"{name}-{n}"
        folder = plan.parent / plan.stem if out is None else out / name
        tasks.append(Task(plan, folder if write else None, paper, face, report, shared.get(plan)))
    return tuple(tasks)


def run(tasks: Sequence[Task], tell: Callable[[int, int], None] = lambda done, of: None) -> tuple[Done, ...]:
    """Do every plan, several at a time where there are cores for it.

    Args:
        tasks: the plans.
        tell: told after each plan how many are done, and of how many.

    Returns:
        What each came to, in the order given.
    """
    cores = min(len(tasks), os.cpu_count() or 1)
    if cores == 1 or len(tasks) < _LEAST_FOR_WORKERS:
        done = []
        for task in tasks:
            done.append(run_one(task))
            tell(len(done), len(tasks))
        return tuple(done)
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from concurrent.futures.process import BrokenProcessPool

    with ProcessPoolExecutor(cores, initializer=end_with_parent) as workers:
        futures = {workers.submit(run_one, task): n for n, task in enumerate(tasks)}
        results: dict[int, Done] = {}
        for future in as_completed(futures):
            n = futures[future]
            try:
                results[n] = future.result()
            except BrokenProcessPool:
                # Which plan ended its worker is not known: each that was not done is done again, by itself.
                results[n] = _alone(tasks[n])
            tell(len(results), len(tasks))
    return tuple(results[n] for n in range(len(tasks)))


def _alone(task: Task) -> Done:
    """Do one plan in a worker of its own; where that is ended, its line says so."""
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    try:
        with ProcessPoolExecutor(1, initializer=end_with_parent) as worker:
            return worker.submit(run_one, task).result()
    except BrokenProcessPool:
        text = f"{task.plan}: the system ended the work on this plan: it took too much memory or time."
        return Done(task, UNFORESEEN, error=text)


def run_one(task: Task) -> Done:
    """Do one plan; whatever is wrong with it is told in what comes back."""
    from closures.app.job import load_plan
    from closures.app.options import one_row

    title = ""
    try:
        with bounded(where=str(task.plan)):
            plan = load_plan(task.plan)
            title = plan.title
            one_row(plan)
            if plan.sizes is not None and plan.fit is None:
                return _sizes(task, plan)
            return _single(task, plan)
    except ClosureError as error:
        return Done(task, REFUSED, title, error=str(error))
    except Exception as error:
        # One plan that nobody foresaw does not end the others.
        return Done(task, UNFORESEEN, title, error=unforeseen_words(error))


def _single(task: Task, plan: Plan) -> Done:
    from closures.app.job import check_plan, is_roll, place_plan, result_files
    from closures.drawing.sheets.sheet import failures_in_words

    if task.folder is None:
        answer = check_plan(plan, task.plan)
    else:
        answer = place_plan(plan, task.plan, task.face, whole=is_roll(task.paper))
        files.write_results(task.folder, result_files(answer, task.paper))
    looks = tally(answer.findings)[1]
    figures = _figures(answer) if task.report else None
    code = FAILED if answer.result == "fail" else PASSED
    needed = needed_by(answer.placement, str(task.plan))
    failures = failures_in_words(answer.findings, answer.placement.side_word)
    failed = (f"FAIL  {failures}",) if failures else ()
    # A picture that an edge was followed on is large, and says nothing of what lies near.
    bare = replace(answer.placement, picture=None)
    worked = None if task.drawing is None else as_worked(task.plan, bare, task.drawing)
    counts = (in_row_and_beside(answer.placement),)
    return Done(task, code, plan.title, counts, looks, "", failed, figures, needed, worked)


def _figures(answer: Answer) -> dict[str, Any]:
    from closures.report.figures import report_figures

    return report_figures(answer.placement, answer.findings, answer.sheets)


def _sizes(task: Task, plan: Plan) -> Done:
    from closures.app.sizing import check_sizes, place_sizes, size_files
    from closures.drawing.sheets.sheet import failures_in_words

    if task.folder is None:
        sizes = check_sizes(plan, task.plan)
    else:
        sizes = place_sizes(plan, task.plan, task.face)
        files.write_results(task.folder, size_files(sizes, task.paper))
    looks = sum(tally(size.findings)[1] for size in sizes.placed)
    counts = tuple(in_row_and_beside(size.placement) for size in sizes.placed)
    code = FAILED if sizes.result == "fail" else PASSED
    figures = _size_figures(sizes) if task.report else None
    needed = tuple(row for size in sizes.placed for row in needed_by(size.placement, str(task.plan)))
    failed = tuple(
        f"FAIL  size {size.name}: {failures}"
        for size in sizes.placed
        if (failures := failures_in_words(size.findings, size.placement.side_word))
    )
    return Done(task, code, plan.title, counts, looks, _refused(sizes), failed, figures, needed)


def _refused(sizes: Sizes) -> str:
    return "\n".join(f"size {size.name}: {size.why}" for size in sizes.refused)


def _size_figures(sizes: Sizes) -> dict[str, Any]:
    from closures.report.sizes import sizes_figures

    return sizes_figures(sizes)


def worst_code(done: Sequence[Done]) -> int:
    """The worst exit code of a collection."""
    return max((one.code for one in done), default=PASSED)


def figures_of(done: Sequence[Done]) -> dict[str, Any]:
    """Put a collection into plain figures."""
    return {
        "plans": [
            {"plan": str(one.task.plan), "exit": one.code, "title": one.title, "error": one.error or None}
            | ({} if one.figures is None else {"report": one.figures})
            for one in done
        ],
        "parts": [
            {**bought_figures(row), "plans": list(row.openings)}
            for row in added_up(row for one in done for row in one.needed)
        ],
        "between": [
            {"plans": list(near.plans), "result": "warn", "found_mm": round(near.found_mm, 3), "text": near.text}
            for near in _near(done)
        ],
    }


def _near(done: Sequence[Done]) -> tuple[Near, ...]:
    return near_each_other([one.worked for one in done if one.worked is not None])


def in_words(done: Sequence[Done]) -> str:
    """Write the table that sums up a collection, without a final line break."""
    rows = [("plan", "title", "closures", "to look at", "result")]
    for one in done:
        rows.append((str(one.task.plan), one.title, _counts(one.closures), str(one.looks), _WORDS[one.code]))
    lines = text_table(rows, right=(2, 3))
    told = [_named(one.task.plan, line) for one in done for line in (*one.error.splitlines(), *one.failed)]
    counts = {code: sum(one.code == code for one in done) for code in _WORDS}
    total = f"{len(done)} plans: {counts[PASSED]} good, {counts[FAILED]} failed, {counts[REFUSED]} refused."
    if counts[UNFORESEEN]:
        total += f" {counts[UNFORESEEN]} not done, by an error that this program did not foresee."
    told += [f"look  {near.text}" for near in _near(done)]
    buy = [bought_in_words(row) for row in added_up(row for one in done for row in one.needed)]
    bought = ["", "To buy for all of them, of several sizes one garment each:", *buy] if buy else []
    return "\n".join([*lines, *(["", *told] if told else []), *bought, "", total])


def _named(plan: Path, line: str) -> str:
    """A line of a plan's error with the plan's path once: most of them begin with it, or with its name."""
    for name in (str(plan), plan.name):
        if line.startswith((f"{name}:", f"{name},")):
            return f"{plan}{line.removeprefix(name)}"
    return f"{plan}: {line}"


def _counts(counts: Sequence[tuple[int, int]]) -> str:
    """How many closures: one figure, or the least and the most of several sizes, and how many lie beside the row."""
    if not counts:
        return "-"
    row, beside = (_span(figures) for figures in zip(*counts, strict=True))
    told = row if beside == "0" else f"{row} + {beside} beside"
    return f"{told} in {len(counts)} sizes" if len(counts) > 1 else told


def _span(figures: Sequence[int]) -> str:
    least, most = min(figures), max(figures)
    return str(least) if least == most else f"{least} to {most}"
