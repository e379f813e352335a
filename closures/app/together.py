"""Plans that are placed together without a garment file, and lie on one drawing: what lies near to what is a look.

Nothing says that they are of one garment: two plans may be two choices for one front. So nothing of it fails.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Any

from closures import files
from closures.errors import ClosureError
from closures.frozen import frozen
from closures.plan.garment_file import GarmentFile, Opening

if TYPE_CHECKING:
    from closures.jobs.whole.frames import Worked


@frozen
class Near:
    """Closures of two plans that come nearer to each other than the tool needs, or lie on each other.

    Attributes:
        plans: both files.
        found_mm: between the rims; negative where they overlap.
        text: what that means, and what to do.
    """

    plans: tuple[str, str]
    found_mm: float
    text: str


def shared_drawings(plans: Sequence[Path]) -> Mapping[Path, str]:
    """Find the plans whose drawing another of them names too.

    Args:
        plans: the files; one that cannot be read is told where it is placed.

    Returns:
        Plan to drawing.
    """
    from closures.plan.reading import read_toml

    found: dict[Path, str] = {}
    for plan in plans:
        try:
            drawing = read_toml(files.read_plan_file(plan), plan.name).get("drawing")
        except ClosureError:
            continue
        if isinstance(drawing, str):
            found[plan] = str((plan.parent / drawing).resolve())
    names = list(found.values())
    return {plan: drawing for plan, drawing in found.items() if names.count(drawing) > 1}


def near_each_other(worked: Sequence[Worked]) -> tuple[Near, ...]:
    """Hold plans on one drawing against each other, as the openings of a garment are.

    Args:
        worked: each plan under its file's name.

    Returns:
        What comes too near, for each plan at most the nearest of the others.
    """
    told: set[str] = set()
    found = []
    for one in sorted(_between(worked), key=lambda near: near.found_mm):
        if not told.issuperset(one.plans):
            told.update(one.plans)
            found.append(one)
    return tuple(found)


def _between(worked: Sequence[Worked]) -> Iterator[Near]:
    from closures.app.on_trial import trials_of_files
    from closures.catalogue.loading import load_catalogue
    from closures.jobs.whole.clearances import clearances
    from closures.jobs.whole.overlaps import under_overlaps

    for first, second in combinations(worked, 2):
        if first.drawing != second.drawing:
            continue
        both = GarmentFile("", "", (first.opening, second.opening))
        catalogue, pair = load_catalogue(), (first, second)
        for one in (*clearances(both, pair, catalogue), *under_overlaps(both, pair, catalogue, trials_of_files())):
            if one.result == "pass" or one.found_mm is None or one.second is None:
                continue
            where = Path(str(first.drawing)).name
            text = (
                f"{one.text} Both plans lie on {where}. Right as it is where they are not openings of one garment; "
                "else a garment file, with an [[opening]] for each, makes one set of them."
            )
            yield Near((one.first, one.second), one.found_mm, text)


def as_worked(plan: Path, placement: Any, drawing: str) -> Worked:
    """One plan as it is held against others."""
    from closures.jobs.whole.frames import Worked

    return Worked(Opening(str(plan), str(plan)), placement, drawing)
