"""The plan in hand, read, placed and made into files, each on the one path that the command takes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.app.job import Answer, check_plan, is_roll, place_plan, result_files
from closures.app.known_names import names_known
from closures.app.options import lettered_as
from closures.app.sizing import pages_of_sizes, place_sizes, plan_held, size_files
from closures.app.web.kept import Kept
from closures.app.web.lettered import check_letters
from closures.frozen import frozen
from closures.plan.reading import read_plan
from closures.results.standing import sealed

if TYPE_CHECKING:
    from collections.abc import Hashable

    from closures.app.web.bench import Bench, Step
    from closures.drawing.paper.booklet import Booklet
    from closures.plan.band import FaceWish
    from closures.plan.plan import Plan


_PLANS: Kept[Plan] = Kept(30_000_000, 64)
_PLAN_BYTES = 20_000
"""About what a plan takes beside its text."""
_ANSWERS: Kept[Answer] = Kept(100_000_000, 64)
_ANSWER_BYTES = 400_000
_PER_BYTE_READ = 6
"""About what an answer takes, and what it takes for every byte of its files."""


def plan_of(bench: Bench, step: Step | None = None) -> Plan:
    """Read the plan in hand."""
    text = (step or bench.step).text
    return _PLANS.made((text, bench.title), lambda: read_plan(text.encode(), bench.title), _PLAN_BYTES + len(text))


def read_new(bench: Bench, text: str) -> Plan:
    """Read a text that is to become the plan in hand, and look up the names of its cloths and closures.

    Raises:
        ClosureError: it cannot be read.
    """
    plan = read_plan(text.encode(), bench.title, names_known(bench.files))
    return _PLANS.put((text, bench.title), plan, _PLAN_BYTES + len(text))


def in_its_size(bench: Bench, step: Step) -> Step:
    """Show a step in the size that is looked at; where its plan has that size no more, in the base."""
    sizes = plan_of(bench, step).sizes
    return step if not step.size or (sizes is not None and step.size in sizes.names) else replace(step, size="")


def answer_of(bench: Bench, step: Step | None = None) -> Answer:
    """Place the plan in hand, or another step of it.

    Raises:
        ClosureError: it cannot be placed.
    """
    step = step or bench.step
    key = (step.text, step.size, bench.title, tuple(sorted(bench.files.items())))
    size = _ANSWER_BYTES + _PER_BYTE_READ * sum(map(len, bench.files.values()))
    return _ANSWERS.made(key, lambda: _answer(bench, step), size)


def _answer(bench: Bench, step: Step) -> Answer:
    plan = plan_of(bench, step)
    held = plan_held(plan, step.size, bench.files) if step.size and has_sizes(plan) else plan
    answer = check_plan(held, bench.files)
    check_letters(plan)
    return answer


def has_sizes(plan: Plan) -> bool:
    """Whether a plan is answered size by size."""
    return plan.sizes is not None and plan.fit is None


@frozen
class PrintWish:
    """What is chosen beside the button that prints.

    Attributes:
        paper: key of a paper in the catalogue.
        face: which face of the cloth the sheets lie on: outside, inside or usual.
        only: one size of several, empty for all.
        large: lettering half as large again.
    """

    paper: str = "a4"
    face: FaceWish = "usual"
    only: str = ""
    large: bool = False


_USUAL = PrintWish()

_SETS: Kept[tuple[Answer, Booklet]] = Kept(60_000_000, 4)
_OF_SIZES: Kept[Booklet] = Kept(60_000_000, 4)
_BOOKLET_BYTES = 10_000_000
"""A booklet of a row of sizes is some tens of MB; those of two windows stay."""
_RESULTS: Kept[dict[str, bytes]] = Kept(30_000_000, 4)


def results_of(bench: Bench, wish: PrintWish = _USUAL) -> dict[str, bytes]:
    """Make the files of the plan in hand: those that the command writes, and the plan itself.

    Raises:
        ClosureError: it cannot be placed, or does not fit on the paper.
    """
    key = _printed_as(bench, wish)
    # The sheets that are looked at, the pages that are printed and all in one file are asked for one after another.
    found = _RESULTS.get(key)
    if found is None:
        found = {**_made(bench, wish), "plan.toml": bench.step.text.encode()}
        _RESULTS.put(key, found, sum(map(len, found.values())))
    return dict(found)


def _made(bench: Bench, wish: PrintWish) -> dict[str, bytes]:
    plan = _wished(bench, wish)
    if has_sizes(plan):
        return sealed(size_files(place_sizes(plan, bench.files, wish.face), wish.paper))
    answer, booklet = _set_of(bench, wish)
    return sealed(result_files(answer, wish.paper, booklet=booklet))


def booklet_of(bench: Bench, wish: PrintWish) -> Booklet:
    """Make the pages that `results_of` would write.

    Raises:
        ClosureError: as there.
    """
    plan = _wished(bench, wish)
    if has_sizes(plan):
        key = _printed_as(bench, wish)
        return _OF_SIZES.made(
            key, lambda: pages_of_sizes(place_sizes(plan, bench.files, wish.face), wish.paper), _BOOKLET_BYTES
        )
    return _set_of(bench, wish)[1]


def _set_of(bench: Bench, wish: PrintWish) -> tuple[Answer, Booklet]:
    """The plan in hand with its sheets, and the pages that they come to: looked at first, and then printed."""
    from closures.app import pages

    def made() -> tuple[Answer, Booklet]:
        plan = _wished(bench, wish)
        answer = place_plan(plan, bench.files, wish.face, whole=is_roll(wish.paper))
        return answer, pages.booklet_of(answer, answer.catalogue.paper(wish.paper))

    return _SETS.made(_printed_as(bench, wish), made, _BOOKLET_BYTES)


def _printed_as(bench: Bench, wish: PrintWish) -> Hashable:
    """What all that is printed of a plan goes by."""
    return (bench.step.text, bench.title, tuple(sorted(bench.files.items())), wish)


def _wished(bench: Bench, wish: PrintWish) -> Plan:
    plan = lettered_as(plan_of(bench), wish.large, None)
    return plan_held(plan, wish.only, bench.files) if wish.only and has_sizes(plan) else plan
