"""All sizes of a plan beside each other on the page: counts, gaps, their rows drawn, and what each choice costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from closures.app.sizing import check_sizes
from closures.app.web import assets
from closures.app.web.ink import tag
from closures.app.web.kept import Kept
from closures.app.web.placed import has_sizes, plan_of
from closures.app.web.wording import as_headed, in_sentences
from closures.errors import ClosureError
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.counted import closures_of
from closures.report.page import RESULT_WORDS
from closures.report.sizes_words import held_words, one_count_words

if TYPE_CHECKING:
    from starlette.requests import Request

    from closures.app.web.app import Page
    from closures.app.web.bench import Bench
    from closures.jobs.sizes.sized import RefusedSize, Sized, Sizes
    from closures.plan.plan import Plan
    from closures.plan.sizes import Hold
    from closures.plan.top import Units

_RUNS: Kept[Sizes] = Kept(40_000_000, 8)
_RUN_BYTES = 4_000_000
_HOLDS: Mapping[Hold, str] = {"count": "Keep the count", "pitch": "Keep the gap", "best": "Choose the counts together"}


@frozen
class Row:
    """One size.

    Attributes:
        name: of it.
        is_base, is_shown: it is the one that the plan tells, the one that is looked at.
        count, gaps: of its closures; empty where it cannot be placed.
        result, word: of its checks.
        picture: its row, at one scale with all others.
        why: why it cannot be placed; empty where it can.
    """

    name: str
    is_base: bool
    is_shown: bool
    count: str
    gaps: str
    result: str
    word: str
    picture: str
    why: str


@frozen
class Choice:
    """What can be held, and what that costs.

    Attributes:
        hold: the choice; empty for one count told for all.
        count: that count.
        name: in words.
        is_taken: it is what the plan does now.
        total: closures for one garment of each size.
        gaps: the smallest and the largest over all sizes.
        off: the farthest that a gap is from the one that is held now.
        trouble: how many sizes cannot be placed, or fail.
    """

    hold: str
    count: int
    name: str
    is_taken: bool
    total: str
    gaps: str
    off: str
    trouble: str


def size_grid_route(page: Page) -> Route:
    """The address of the sizes beside each other."""

    async def sizes(request: Request) -> Response:
        name = request.path_params["name"]

        def make() -> str:
            bench = page.table.find(name)
            return "" if not has_sizes(plan_of(bench)) else grid_of(bench)

        try:
            return HTMLResponse(await page.hands.at_printer(make))
        except ClosureError as error:
            return HTMLResponse(assets.render("sheets_none.html", text=in_sentences(error)), 422)

    return Route("/plan/{name}/sizes", sizes)


def grid_of(bench: Bench) -> str:
    """Write the sizes of a plan in hand beside each other.

    Raises:
        ClosureError: no size of it can be placed.
    """
    plan = plan_of(bench)
    run = _run(bench, plan)
    shown = bench.step.size or run.base_name
    return assets.render(
        "sizes.html",
        bench=bench,
        base=run.base_name,
        rows=[_row(run, size, shown) for size in run.all],
        choices=_choices(bench, plan, run),
        off_what=_off_what(plan, run.held.pitch_mm),
        told=(as_headed(held_words(run)), as_headed(one_count_words(run))),
    )


def _off_what(plan: Plan, pitch_mm: float | None) -> str:
    """The gap that all gaps are held against: the plan's own, or the mean of those that the base has."""
    if pitch_mm is None:
        return ""
    is_wanted = plan.spacing is not None and plan.spacing.pitch_mm is not None
    figure = format_length(pitch_mm, plan.units)
    return f"the wanted gap of {figure}" if is_wanted else f"the base’s mean gap of {figure}"


def awaited_grid(bench: Bench) -> str:
    """Write the same for as long as the sizes are being placed, so that what stands below it stays where it is.

    Returns:
        The grid without its figures; empty where the plan has one size only.
    """
    plan = plan_of(bench)
    if plan.sizes is None or not has_sizes(plan):
        return ""
    wish, line = plan.sizes, tag("svg", "", viewBox="0 0 300 18", class_="size-row", aria_hidden="true")
    shown = bench.step.size or wish.base
    return assets.render(
        "sizes.html",
        bench=bench,
        base=wish.base,
        rows=[Row(name, name == wish.base, name == shown, "…", "… … mm", "", "… …", line, "") for name in wish.names],
        choices=[Choice(hold, 0, name, wish.hold == hold, "…", "…", "…", "") for hold, name in _HOLDS.items()],
        off_what=_off_what(plan, None if plan.spacing is None else plan.spacing.pitch_mm) or "the base’s mean gap of …",
        told=("The sizes are being placed.", ""),
    )


def _run(bench: Bench, plan: Plan) -> Sizes:
    hold = "" if plan.sizes is None else plan.sizes.hold
    count = None if plan.spacing is None else plan.spacing.count
    key = (bench.step.text, bench.title, hold, count, tuple(sorted(bench.files.items())))
    return _RUNS.made(key, lambda: check_sizes(plan, bench.files), _RUN_BYTES)


def _row(run: Sizes, size: Sized | RefusedSize, shown: str) -> Row:
    is_base, is_shown = size.name == run.base_name, size.name == shown
    if hasattr(size, "why"):
        return Row(size.name, is_base, is_shown, "", "", "fail", "cannot be placed", "", size.why)
    spacing, units = size.placement.spacing, run.plan.units
    gaps = _span(spacing.smallest_mm, spacing.largest_mm, units) if spacing.gaps_mm else "none"
    return Row(
        size.name,
        is_base,
        is_shown,
        closures_of(size.placement),
        gaps,
        size.result,
        RESULT_WORDS[size.result],
        _drawn(run, size),
        "",
    )


def _span(least_mm: float, most_mm: float, units: Units) -> str:
    least, most = format_length(least_mm, units), format_length(most_mm, units)
    return least if least == most else f"{least} to {most}"


def _drawn(run: Sizes, size: Sized) -> str:
    """A size's row laid straight, as long as it is beside the longest of all."""
    longest = max(one.placement.laps.line.length_mm for one in run.placed)
    wide, line = 300.0, size.placement.laps.line.length_mm
    scale = (wide - 12.0) / longest
    marks = "".join(
        tag("circle", cx=6.0 + mark.along_mm * scale, cy=9.0, r=3.4, class_="part") for mark in size.placement.marks
    )
    edge = tag("path", d=f"M6 3v12M6 9h{line * scale:.2f}m0 -6v12", class_="closing")
    return tag("svg", edge + marks, viewBox=f"0 0 {wide:.0f} 18", class_="size-row", aria_hidden="true")


def _choices(bench: Bench, plan: Plan, run: Sizes) -> list[Choice]:
    """What can be held: as it is, the other ways, and one count where one serves. Each is run as it would be taken."""
    wish, pitch_mm = plan.sizes, run.held.pitch_mm
    if wish is None:
        return []
    made = []
    for hold in _HOLDS:
        if pitch_mm is None and hold != "count":
            continue
        made.append(_choice(hold, 0, _HOLDS[hold], wish.hold == hold, _tried(bench, _held(plan, hold)), run))
    one = run.one_count
    if one is not None and plan.spacing is not None and one.count != run.held.count:
        told = replace(_held(plan, "count"), spacing=replace(plan.spacing, count=one.count, pitch_mm=None))
        made.append(_choice("", one.count, f"{one.count} in every size", False, _tried(bench, told), run))
    return made


def _held(plan: Plan, hold: Hold) -> Plan:
    return plan if plan.sizes is None else replace(plan, sizes=replace(plan.sizes, hold=hold))


def _tried(bench: Bench, plan: Plan) -> Sizes | None:
    try:
        return _run(bench, plan)
    except ClosureError:
        return None


def _choice(hold: str, count: int, name: str, is_taken: bool, tried: Sizes | None, run: Sizes) -> Choice:
    if tried is None:
        return Choice(hold, count, name, is_taken, "none", "", "", "no size can be placed")
    failed = len(tried.refused) + sum(size.result == "fail" for size in tried.placed)
    gaps = [gap for size in tried.placed for gap in size.placement.spacing.gaps_mm]
    units, pitch_mm = run.plan.units, run.held.pitch_mm
    off = "" if not gaps or pitch_mm is None else format_length(max(abs(gap - pitch_mm) for gap in gaps), units)
    return Choice(
        hold,
        count,
        name,
        is_taken,
        str(sum(len(size.placement.all_marks) for size in tried.placed)),
        _span(min(gaps), max(gaps), units) if gaps else "",
        off,
        "" if not failed else "1 size fails" if failed == 1 else f"{failed} sizes fail",
    )
