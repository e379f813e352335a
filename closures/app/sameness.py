"""Whether a file, or a sheet of paper, still holds: its run mark against that which its plan comes to now."""

from __future__ import annotations

from pathlib import Path

from closures import files
from closures.errors import PlanError
from closures.frozen import frozen
from closures.placing.run_mark import MARK_FORM, joint_mark, marks_in, run_mark


@frozen
class Compared:
    """What is said, and whether the holes are the same."""

    text: str
    is_same: bool


def compare(file: str, plan: Path, only: tuple[str, ...] = ()) -> Compared:
    """Hold a run mark against a plan.

    Args:
        file: the path of a file that was made, or the mark as it stands on a sheet.
        plan: a plan or a garment file.
        only: of a plan with sizes, those that the file was made of; all where it is empty.

    Raises:
        ClosureError: the file has no run mark, or the plan cannot be placed.
    """
    if _is_made(str(plan)) and not _is_made(file):
        # The plan may be named first.
        file, plan = str(plan), Path(file)
    if _is_made(str(plan)):
        raise PlanError(
            "this names a sheet, and so does the other word",
            where=str(plan),
            mend="Name the plan beside it: closures same over.svg plan.toml",
        )
    bears, what = _borne(file)
    now = _marks_of(plan, only)
    # The first mark of a set is the whole set's; the file of one size or one opening bears its own.
    found = next((name for name, mark in now.items() if mark == bears), None)
    if found is not None:
        of = f", {found}" if found else ""
        return Compared(f"The same: {what} bears run {bears}, and so does {plan.name}{of}, as it is now.", True)
    told = ", ".join(f"{name}: {mark}" if name else mark for name, mark in now.items())
    return Compared(
        f"Not the same: {what} bears run {bears}; {plan.name} comes to {told} now. Pierce nothing by it: make the "
        "sheets anew and print them.",
        False,
    )


def _typed_mark(text: str) -> str | None:
    """A run mark as it was typed, in any capitals, with its dash or without; None for anything else."""
    signs = text.strip().upper().replace("-", "").replace(" ", "")
    mark = f"{signs[:3]}-{signs[3:]}"
    return mark if MARK_FORM.fullmatch(mark) else None


def _is_made(text: str) -> bool:
    """Whether a word names a sheet: by its run mark, as a folder, or as a file of a kind that is no plan."""
    path = Path(text)
    return path.is_dir() or (not path.exists() and _typed_mark(text) is not None) or path.suffix.lower() in _MADE


_MADE = (".svg", ".pdf", ".dxf", ".json", ".md", ".csv", ".png")


def _borne(file: str) -> tuple[str, str]:
    """The run mark that a file or all files of a folder bear, or that was typed, and what to call it."""
    path, mark = Path(file), _typed_mark(file)
    if mark is not None and not path.exists():
        return mark, "the sheet"
    if path.is_dir():
        return _borne_by_all(path)
    marks = marks_in(files.read_made(path))
    if not marks:
        raise PlanError(
            "there is no run mark in it",
            where=str(path),
            mend="Name a file as closures wrote it, or type the mark that stands on the sheet, such as K7Q-M3X.",
        )
    return marks[0], path.name


def _borne_by_all(folder: Path) -> tuple[str, str]:
    made = sorted(one for one in folder.iterdir() if one.suffix.lower() in _MADE and one.is_file())
    first = {one.name: marks[0] for one in made if (marks := marks_in(files.read_made(one)))}
    if not first:
        raise PlanError(
            "there is no file with a run mark in this folder", where=str(folder), mend="Name one that closures wrote."
        )
    if len(set(first.values())) > 1:
        told = ", ".join(f"{name}: {mark}" for name, mark in first.items())
        raise PlanError(
            f"its files bear several run marks ({told})", where=str(folder), mend="Name the one that you mean."
        )
    return next(iter(first.values())), f"all in {folder.name or folder}"


def _marks_of(plan: Path, only: tuple[str, ...]) -> dict[str, str]:
    """The run marks that a plan comes to: of all together under an empty name, then of every size or opening."""
    from closures.app.job import check_plan, load_plan
    from closures.app.several import refuse_with, which_sizes
    from closures.app.whole import is_garment_file, work_garment

    if is_garment_file(plan):
        refuse_with("a garment file", {"--only": only}, "Leave it out.")
        whole = work_garment(plan, draw=False)
        openings = {
            opening.name: run_mark(answer.placement)
            for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
        }
        return {"": joint_mark(list(openings.values()))} | openings
    wished, several = which_sizes(load_plan(plan), plan, only)
    if several is None:
        answer = check_plan(wished, plan)
        offers = () if answer.swap is None else answer.swap.offers
        own = {"": run_mark(answer.placement)}
        return own | {f"offer {offer.n}": run_mark(offer.placement) for offer in offers}
    from closures.app.sizing import check_sizes
    from closures.jobs.sizes.sized import run_of

    sizes = check_sizes(wished, plan, several)
    return {"": run_of(sizes)} | {f"size {size.name}": run_mark(size.placement) for size in sizes.placed}
