"""Repairs of a plan that no row meets: each written into the plan's own text, and offered once that text was placed.

What clashes and which changes are the fewest is found on the closing line, as numbers (see `closures.spacing.advice`).
Here each change becomes the user's own key, in the unit that stood there, rounded to the side that helps; a place told
by level is changed by level. Then the changed text is run as any plan is, and what does not place is not offered.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from closures import files
from closures.app.job import check_plan
from closures.app.known_names import names_known
from closures.app.rewriting import Change, Made
from closures.errors import ClosureError, PlanError, SpacingError
from closures.frozen import frozen
from closures.lengths import SAME_MM, format_length
from closures.offered import nearest_that_passes
from closures.plan.reading import read_plan
from closures.spacing import NoSpacing

if TYPE_CHECKING:
    from closures.files import Beside
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan
    from closures.results.whole import Written
    from closures.spacing.mending import Offer


@frozen
class Repair:
    """One way to mend a plan that no row meets.

    Attributes:
        words: what changes, for people, a line each.
        lines: the same as it stands in the plan, to paste: ``[spacing] count = 9``.
        text: the plan's whole text with it, notes and order kept.
    """

    words: tuple[str, ...]
    lines: tuple[str, ...]
    text: str


def repairs(text: str, name: str, beside: Beside) -> tuple[Repair, ...]:
    """Find the repairs of a plan, each placed before it is offered.

    Args:
        text: the plan's text.
        name: the plan's file, for messages.
        beside: the plan file, or the files beside it by name, as for `check_plan`.

    Returns:
        The repairs, those that change least first, and those that leave an end open wider than any gap last; none
        where the plan places, or where none was found.

    Raises:
        ClosureError: something else than its spacing is wrong with the plan.
    """
    plan = read_plan(text.encode(), name, names_known(beside))
    try:
        check_plan(plan, beside)
    except NoSpacing as error:
        return repairs_of(text, plan, error, beside)
    except SpacingError:
        return ()
    return ()


def repairs_of(text: str, plan: Plan, error: NoSpacing, beside: Beside) -> tuple[Repair, ...]:
    """Find the repairs of a plan that was refused; arguments as for `repairs`, with the plan read and the refusal."""
    if plan.sizes is not None:
        return ()

    placed: dict[str, Placement] = {}

    def places(made: Made) -> bool:
        try:
            answer = check_plan(read_plan(made.text.encode(), plan.where, names_known(beside)), beside)
        except ClosureError:
            return False
        placed[made.text] = answer.placement
        return True

    found: dict[str, Repair] = {}
    opened: dict[str, Repair] = {}
    for mend in error.mends:
        for fine in (False, True):
            made = nearest_that_passes(partial(_made, text, plan, error, mend, fine), places)
            if made is not None:
                left = _left_open(mend, error, placed[made.text])
                into = opened if left else found
                into.setdefault(made.text, Repair((*made.words[:-1], made.words[-1] + left), made.lines, made.text))
                break
    return (*found.values(), *opened.values())


def _left_open(mend: Sequence[Offer], error: NoSpacing, placement: Placement) -> str:
    """Say what a repair leaves open at an end, where that is more than the plan lets and than any gap of its row."""
    marks = [mark.along_mm for mark in placement.marks]
    if len(marks) < 2:
        return ""
    widest = max(after - before for before, after in pairwise(marks))
    ends = {
        "first": (marks[0], error.wish.first[1], placement.ends[0]),
        "last": (placement.laps.line.length_mm - marks[-1], error.wish.last[1], placement.ends[1]),
    }
    told = [
        f"{format_length(open_mm, placement.plan.units)} open at the {name}"
        for key, (open_mm, most_mm, name) in ends.items()
        if open_mm > max(widest, most_mm) + SAME_MM and any(offer.key == key for offer in mend)
    ]
    return f", which leaves {' and '.join(told)}" if told else ""


@frozen
class Repaired:
    """A plan file with a repair taken, not written yet.

    Attributes:
        path: the plan file.
        before: its text.
        repair: what was taken.
        plan: the repaired plan.
    """

    path: Path
    before: str
    repair: Repair
    plan: Plan

    def write(self, results: Callable[[], Written]) -> Written:
        """Write the plan in one step and then its results; where they cannot be written the plan is as before.

        Args:
            results: writes the results, whole.

        Raises:
            OutputError: the plan changed since it was read, or something cannot be written.
        """
        files.write_edited(self.path, self.repair.text, self.before)
        try:
            return results()
        except BaseException:
            files.write_edited(self.path, self.before, self.repair.text)
            raise


def take_repair(path: Path, number: int) -> Repaired:
    """Take one of the repairs of a plan file, counted from 1.

    Raises:
        PlanError: there is none of that number.
        ClosureError: as for `repairs`.
    """
    before = _read_text(path)
    offered = repairs(before, path.name, path)
    where = f"{path.name}, --repair"
    if not offered:
        raise PlanError("this plan has no repair to take", where=where, mend="Leave it out.")
    if not 1 <= number <= len(offered):
        mend = f"Write a number from 1 to {len(offered)}." if len(offered) > 1 else "Write 1."
        raise PlanError(f"there is no repair {number}", where=where, mend=mend)
    repair = offered[number - 1]
    return Repaired(path, before, repair, read_plan(repair.text.encode(), path.name, names_known(path)))


def with_repairs(error: NoSpacing, path: Path) -> SpacingError:
    """Make of a refusal one that tells the plan's own lines; the same where a plan is not repaired by its lines."""
    text = _read_text(path)
    plan = read_plan(text.encode(), path.name, names_known(path))
    if plan.sizes is not None:
        return error
    found = repairs_of(text, plan, error, path)
    mend = "No change that was tried mends it; leave out some of these wishes."
    if found:
        begin = "This mends it" if len(found) == 1 else "Any one of these mends it"
        take = f"To have it written into the plan: closures place {path.name} --repair 1"
        mend = f"{begin}, tried on this plan:\n{repairs_in_words(found)}\n{take}"
    mend = f"{_asked_unit(plan)}{mend}"
    first, *others = error.faults
    told = SpacingError(first.what, where=first.where, mend=mend)
    told.faults += tuple(others)
    return told


def _asked_unit(plan: Plan) -> str:
    """Ask first of a straight edge that is as long as none is whether it was told in another unit; else empty."""
    if plan.edge is None or plan.edge.straight_mm is None:
        return ""
    from closures.catalogue.loading import load_catalogue
    from closures.checks.usual import is_far, meant_in, usual_mm

    mm = plan.edge.straight_mm
    usual = usual_mm(load_catalogue(), None if plan.garment is None else plan.garment.opens)
    meant = meant_in(mm, plan.units, usual) if usual is not None and is_far(mm, usual) else []
    if not meant:
        return ""
    return (
        f"Is the edge, {format_length(mm, plan.units)}, meant as {' or '.join(meant)}? Then write that first. If not: "
    )


def repairs_in_words(found: Sequence[Repair]) -> str:
    """Tell repairs with their numbers and their lines."""
    told = []
    for number, repair in enumerate(found, start=1):
        told.append(f"  {number}. {' and '.join(repair.words)}")
        told += [f"       {line}" for line in repair.lines]
    return "\n".join(told)


def _read_text(path: Path) -> str:
    data = files.read_plan_file(path)
    read_plan(data, path.name)
    return data.decode("utf-8-sig")


def _made(text: str, plan: Plan, error: NoSpacing, mend: Sequence[Offer], fine: bool, further: int) -> Made | None:
    change = Change(plan, error, fine, further)
    made: Made | None = Made(text)
    for offer in mend:
        made = None if made is None else change.write(made, offer)
    return made
