"""All sizes told for people: as a page in Markdown, and as text for a terminal."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from closures.jobs.sizes.sized import Sized, assumed_in_words, kinds_in_words, levels_in_words, run_of
from closures.lengths import format_length
from closures.placing.counted import closures_of
from closures.placing.run_mark import run_mark
from closures.placing.tape import tape_in_words
from closures.report.advice import advice_sections
from closures.report.page import RESULT_WORDS, marks_in_words
from closures.report.parts import count_parts, lengths_to_buy
from closures.report.sizes import run_parts
from closures.report.tally import grouped, lap_in_words
from closures.report.telling import number_of, plain
from closures.report.text_table import text_table
from closures.report.workshop import correction_section
from closures.series import how_many

if TYPE_CHECKING:
    from closures.advice.advice import Advice
    from closures.catalogue.values import LapName
    from closures.jobs.sizes.hold import Cost
    from closures.jobs.sizes.sized import Sizes
    from closures.jobs.table.printer import Correction
    from closures.plan.top import Units

_AT_ANCHOR_MM = 0.05


def sizes_page(sizes: Sizes, advice: Advice, correction: Correction | None = None) -> bytes:
    """Write the report of all sizes as a page, UTF-8; `advice` is that of all of them."""
    parts = (
        _head(sizes),
        correction_section(correction),
        _overview(sizes),
        _refused(sizes),
        *(_marks(sizes, units) for units in _both(sizes.plan.units)),
        "\n".join(f"- {plain(line)}" for line in kinds_in_words(sizes)),
        _costs(sizes),
        _checks(sizes),
        _parts(sizes),
        *advice_sections(advice),
        _files(sizes),
    )
    return ("\n\n".join(part for part in parts if part) + "\n").encode()


def sizes_terminal(sizes: Sizes, width: int = 100) -> str:
    """Write all sizes for a terminal, without a final line break."""
    rows = _rows(sizes)
    table = "\n".join(text_table(rows, right=range(1, len(rows[0]))))
    tape = f"Size {sizes.base.name}: {tape_in_words(sizes.base.placement)}"
    assumed = (f"Assumed: {line}" for line in assumed_in_words(sizes))
    head = (sizes.plan.title, held_words(sizes), tape, one_count_words(sizes), *levels_in_words(sizes), *assumed)
    said = "\n".join(line for line in head if line)
    blocks = [said, table]
    for size in sizes.refused:
        told = textwrap.wrap(size.why.replace("\n", " "), max(width - 6, 40), subsequent_indent=" " * 6)
        blocks.append(f"FAIL  size {size.name} is not placed.\n      " + "\n".join(told))
    noted = _finding_lines(sizes)
    if noted:
        blocks.append("\n".join("\n".join(textwrap.wrap(line, width, subsequent_indent=" " * 6)) for line in noted))
    blocks += [textwrap.fill(line, width, subsequent_indent=" " * 6) for line in kinds_in_words(sizes)]
    bought = ", ".join(f"{total} × {part} ({lap} lap)" for part, lap, _, total in run_parts(sizes))
    for what, held in _lengths(sizes).items():
        each = ", ".join(f"{format_length(mm, sizes.plan.units)} for size {name}" for name, mm in held.items())
        bought += f"; {what}: {each}"
    if bought:
        blocks.append(textwrap.fill(f"To buy, for one garment of each size: {bought.removeprefix('; ')}.", width))
    if sizes.plan.asks_for_pages:
        blocks.append(textwrap.fill(_pages_of_one(sizes), width))
    return "\n\n".join(blocks)


def _head(sizes: Sizes) -> str:
    fastener, plan = sizes.base.placement.fastener, sizes.plan
    lap = f"- **Lap:** {sizes.base.placement.laps.garment.lap_in_words}" if plan.lap else ""
    rows = (
        f"# {plain(plan.title)}: all sizes",
        "",
        f"- **Closure:** {plain(fastener.name)}",
        lap,
        f"- **Base:** size {plain(sizes.base_name)}"
        + ("" if sizes.has_base else f", which is not among these; size {plain(sizes.base.name)} has the whole line"),
        f"- **Tape:** {tape_in_words(sizes.base.placement)}",
        f"- **Run mark:** {run_of(sizes)} for all sizes together. "
        + ", ".join(f"{plain(size.name)}: run {run_mark(size.placement)}" for size in sizes.placed)
        + ". Sheets and files with the same mark have the same holes.",
        f"- **Kept:** {held_words(sizes)}",
        f"- **One count:** {one_count_words(sizes)}" if one_count_words(sizes) else "",
        *(f"- {plain(line)}" for line in levels_in_words(sizes)),
        *(f"- **Assumed:** {plain(line)}" for line in assumed_in_words(sizes)),
    )
    return "\n".join(row for row in rows if row or row == "")


def held_words(sizes: Sizes) -> str:
    """Say what is held over the sizes."""
    hold = "count" if sizes.plan.sizes is None else sizes.plan.sizes.hold
    pitch = "" if sizes.held.pitch_mm is None else format_length(sizes.held.pitch_mm, sizes.plan.units)
    if hold == "count":
        near = f", as near to {pitch}{_of_cloth(sizes)} as rows that look even come" if sizes.held.is_wanted else ""
        return f"Every size has {how_many(sizes.held.count, 'closure')}; the gaps change{near}."
    if hold == "pitch":
        return f"Every size comes as near as it can to gaps of {pitch}{_of_cloth(sizes)}; the count may change."
    kept = f"and keep near gaps of {pitch}{_of_cloth(sizes)}."
    return f"The counts were chosen together: they never fall as sizes rise, {kept}"


def _of_cloth(sizes: Sizes) -> str:
    """Of which cloth a figure is that is told as the plan was measured: the tables of places are for unwashed cloth."""
    wish = sizes.plan.shrinkage
    if wish is None:
        return ""
    return " on the unwashed cloth" if wish.measured == "unwashed" else " on the washed garment"


def one_count_words(sizes: Sizes) -> str:
    """Say which single count would serve all sizes; empty where not all were asked for, or not looked at."""
    wish, one, pitch_mm = sizes.plan.sizes, sizes.one_count, sizes.held.pitch_mm
    if wish is None or len(sizes.all) < len(wish.names):
        return ""
    have = {len(size.placement.marks) if isinstance(size, Sized) else None for size in sizes.all}
    if None not in have and len(have) == 1:
        # All share a count already, which serves them: another one, or the rows that would come nearer to the gap,
        # would contradict the table.
        count, off_mm, need = len(sizes.placed[0].placement.marks), _furthest_off_mm(sizes), ""
    elif one is None:
        return "No single count serves all sizes."
    else:
        count, off_mm, need = one.count, one.departure_mm, "that need be "
    if pitch_mm is None or off_mm is None:
        return f"One count serves all sizes: {count}."
    state = _of_cloth(sizes)
    if state and sizes.plan.shrinkage is not None and sizes.plan.shrinkage.measured == "washed":
        state += "; the table of sizes has its gaps on the unwashed cloth, which the sheets are for"
    off, pitch = (format_length(mm, sizes.plan.units) for mm in (off_mm, pitch_mm))
    return f"One count serves all sizes: {count}, with no gap {need}further than {off} from {pitch}{state}."


def _furthest_off_mm(sizes: Sizes) -> float | None:
    """How far a gap of any size, as placed, is from the pitch that is held; None without gaps, or without a pitch."""
    pitch = sizes.held.pitch_mm
    gaps = [gap for size in sizes.placed for gap in size.placement.as_told.spacing.gaps_mm]
    return None if pitch is None or not gaps else max(abs(gap - pitch) for gap in gaps)


def _rows(sizes: Sizes) -> list[tuple[str, ...]]:
    """The overview: sizes by count, gaps, first, anchors, last and checks."""
    units = sizes.plan.units
    anchors = list(dict.fromkeys(anchor.name for anchor in sizes.plan.anchors))
    rows = [("size", "closures", "gaps", "first", *anchors, "last", "checks")]
    for size in sizes.all:
        if hasattr(size, "why"):
            rows.append((size.name, "-", "-", "-", *("-" for _ in anchors), "-", "NOT PLACED"))
            continue
        spacing, marks = size.placement.spacing, size.placement.marks
        gaps = "-"
        if spacing.gaps_mm:
            both = dict.fromkeys(number_of(gap, units) for gap in (spacing.smallest_mm, spacing.largest_mm))
            gaps = " to ".join(both)
        serving = {mark.anchor: f"mark {mark.n}{_off(mark.shift_mm, units)}" for mark in marks if mark.anchor}
        length = size.placement.laps.line.length_mm
        name = f"{size.name} (base)" if size is sizes.base and sizes.has_base else size.name
        rows.append(
            (
                name,
                closures_of(size.placement),
                gaps,
                number_of(marks[0].along_mm, units),
                *(serving.get(anchor, "-") for anchor in anchors),
                number_of(length - marks[-1].along_mm, units),
                RESULT_WORDS[size.result],
            )
        )
    return rows


def _off(shift_mm: float | None, units: Units) -> str:
    if shift_mm is None or abs(shift_mm) <= _AT_ANCHOR_MM:
        return ""
    return f", {format_length(abs(shift_mm), units)} off"


def _overview(sizes: Sizes) -> str:
    rows = _rows(sizes)
    units = sizes.plan.units
    heads = [head if head in ("size", "closures", "checks") else f"{head}, {units}" for head in rows[0]]
    heads = [h.removesuffix(f", {units}") if h.removesuffix(f", {units}") in _anchor_names(sizes) else h for h in heads]
    return _table("## Sizes", heads, rows[1:])


def _anchor_names(sizes: Sizes) -> set[str]:
    return {anchor.name for anchor in sizes.plan.anchors}


def _refused(sizes: Sizes) -> str:
    if not sizes.refused:
        return ""
    rows = ["## Sizes that could not be placed", ""]
    rows += [f"- **Size {plain(size.name)}:** {plain(size.why)}" for size in sizes.refused]
    return "\n".join(rows)


def _marks(sizes: Sizes, units: Units) -> str:
    laps = sizes.marked_by
    told = "\n\n".join(_marks_on(sizes, lap, units, f", {lap} lap" if len(laps) > 1 else "") for lap in laps)
    if units == sizes.plan.units:
        whose = "Both laps are marked from the same figures" if len(laps) == 1 else "Each lap has a table of its own"
        told += (
            "\n\nMeasured along the closing line, with the tape left in place; each figure is rounded once. ◆ sits at "
            f"an anchor. {whose}."
        )
    return told


def _marks_on(sizes: Sizes, lap: LapName, units: Units, named: str) -> str:
    """How far along a lap's own line each mark of each size lies."""
    most = max(len(size.placement.all_marks) for size in sizes.placed)
    rows = []
    for size in sizes.placed:
        cells = [
            number_of(mark.along_on(lap), units) + ("◆" if mark.anchor and not _off(mark.shift_mm, units) else "")
            for mark in size.placement.all_marks
        ]
        rows.append((size.name, *cells, *([""] * (most - len(cells)))))
    word = "mm" if units == "mm" else "inches"
    return _table(
        f"## From the {sizes.base.placement.ends[0]} to each mark{named}, {word}",
        ["size", *(str(n + 1) for n in range(most))],
        rows,
    )


def _costs(sizes: Sizes) -> str:
    """What keeping the count and keeping the pitch come to, size by size and for all of them."""
    units = sizes.plan.units
    rows: list[tuple[str, ...]] = []
    for size in sizes.all:
        for cost in size.costs:
            chosen = "chosen" if getattr(size, "kept", None) == cost.kept else ""
            rows.append((size.name, cost.kept, *_cost_cells(cost, units), chosen))
    if not rows:
        return ""
    heads = ["size", "kept", "closures", f"largest gap, {units}", f"spread, {units}", f"off the pitch, {units}"]
    heads += [f"shift from an anchor, {units}", "checks", ""]
    table = _table("## What it costs to keep the count or the pitch", heads, rows)
    return f"{table}\n\n{_cost_of_all(sizes)}"


def _cost_cells(cost: Cost, units: Units) -> tuple[str, ...]:
    if cost.refused:
        return ("-", "-", "-", "-", "-", "cannot be placed")
    off = "" if cost.departure_mm is None else number_of(cost.departure_mm, units)
    lengths = (
        number_of(cost.largest_mm, units),
        number_of(cost.spread_mm, units),
        off,
        number_of(cost.shift_mm, units),
    )
    return (str(cost.count), *lengths, RESULT_WORDS[cost.result])


def _cost_of_all(sizes: Sizes) -> str:
    units = sizes.plan.units
    told, state = [], _of_cloth(sizes)
    for kept in ("count", "pitch"):
        costs = [cost for size in sizes.all for cost in size.costs if cost.kept == kept]
        can = [cost for cost in costs if not cost.refused]
        if not can:
            continue
        largest, smallest = max(cost.largest_mm for cost in can), min(cost.smallest_mm for cost in can)
        bad = len(costs) - len(can) + sum(cost.result == "fail" for cost in can)
        trouble = f"; {bad} of {len(costs)} sizes fail" if bad else ""
        told.append(
            f"- The {kept} kept in every size: {how_many(sum(cost.count for cost in can), 'closure')} for one garment "
            f"of each, gaps from {format_length(smallest, units)} to {format_length(largest, units)} over all "
            f"sizes{state}"
            f"{trouble}."
        )
    return "\n".join(told)


def _checks(sizes: Sizes) -> str:
    lines = _finding_lines(sizes)
    if not lines:
        return "## Checks\n\nEvery check of every size passed. A trial on the same cloth and layers decides."
    return "\n".join(("## Checks", "", *(f"- {plain(line)}" for line in lines)))


def _finding_lines(sizes: Sizes) -> list[str]:
    """What there is to look at, each once with the sizes that it concerns."""
    told: dict[tuple[str, str, str], list[str]] = {}
    for size in sizes.placed:
        for finding, marks in grouped(size.findings):
            if finding.result != "pass":
                lap = f", {lap_in_words(finding, size.placement.side_word)}" if finding.lap else ""
                key = (finding.result, f"{finding.rule}{lap}{marks_in_words(marks)}", finding.text)
                told.setdefault(key, []).append(size.name)
    lines = []
    for (result, where, text), names in sorted(told.items(), key=lambda one: one[0][0] != "fail"):
        every = "every size" if len(names) == len(sizes.all) > 1 else f"size {', '.join(names)}"
        lines.append(f"{RESULT_WORDS[result]}  {every}, {where}: {text}")
    return lines


def _parts(sizes: Sizes) -> str:
    names = [f"{part}, {lap} lap" for part, lap, _, _ in run_parts(sizes)]
    lengths = _lengths(sizes)
    if not names and not lengths:
        return ""
    show = partial(format_length, units=sizes.plan.units)
    rows = []
    for size in sizes.placed:
        own = {f"{part.named}, {part.lap} lap": part.total for part in count_parts(size.placement)}
        by_length = [show(held[size.name]) if size.name in held else "-" for held in lengths.values()]
        rows.append((size.name, *(str(own.get(name, 0)) for name in names), *by_length))
    together = (show(math.fsum(held.values())) for held in lengths.values())
    rows.append(("one of each", *(str(total) for *_, total in run_parts(sizes)), *together))
    return _table("## Parts, spare and trial pieces counted in", ["size", *names, *lengths], rows)


def _lengths(sizes: Sizes) -> dict[str, dict[str, float]]:
    """What is bought by its length: how many mm each size takes."""
    found: dict[str, dict[str, float]] = {}
    for size in sizes.placed:
        for what, mm in lengths_to_buy(size.placement):
            found.setdefault(what, {})[size.name] = mm
    return found


def _files(sizes: Sizes) -> str:
    if not sizes.nest:
        return ""
    rows = [
        "## Files",
        "",
        "- `nest-over.svg`, `nest-under.svg`: all sizes on each other, each in a layer of its own",
        "- `marking.pdf`: the same in pages, to print at actual size; choose your size among the layers of the file",
        "- `guide.pdf`: the page for the envelope",
        "- `sizes.csv`: every mark of every size on both laps, for the factory",
    ]
    for size in sizes.placed:
        sheets = ", ".join(f"`{sheet.file}`" for sheet in size.sheets)
        rows.append(f"- {sheets}, and in pages `{size.pages_file}`: size {plain(size.name)}")
    if sizes.plan.asks_for_pages:
        rows += ["", _pages_of_one(sizes)]
    rows += ["", "A sheet is void unless its squares measure 50 mm and 2 in, across and down."]
    return "\n".join(rows)


def _pages_of_one(sizes: Sizes) -> str:
    """Say where the further pages are, which a run of all sizes does not make."""
    plan = sizes.plan
    wishes = (("sheets", plan.sheets), ("bands", plan.bands), ("stand", plan.stand))
    asked = [name for name, wish in wishes if wish is not None]
    named = " and ".join(f"[{name}]" for name in asked)
    order = "The order of work of all sizes stands in marking.pdf. " if plan.sheets and plan.sheets.order else ""
    return (
        f"{order}The pages and files that {named} asks for are made for one size at a time: "
        f"closures place PLAN --only {sizes.base.name}."
    )


def _table(heading: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [heading, "", f"| {' | '.join(map(plain, heads))} |", "|---|" + "---:|" * (len(heads) - 1)]
    lines += [f"| {' | '.join(map(plain, row))} |" for row in rows]
    return "\n".join(lines)


def _both(units: Units) -> tuple[Units, Units]:
    return ("mm", "in") if units == "mm" else ("in", "mm")
