"""The one cover of a garment with several openings, and its one order of work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.checks.mended_first import mended_first
from closures.drawing.cover import (
    check_table,
    fold_of_bands,
    how_to_print,
    marks_tables,
    pages_table,
    strap_sections,
    what_it_is,
)
from closures.drawing.cover_map import lap_maps
from closures.drawing.own_work import check_sections, work_sections
from closures.drawing.paper.words import Chapter, ChapterPart, Key, Notice, SampleRow, Section, Table
from closures.drawing.record import before_read, heading_of_printing
from closures.drawing.sheets.signs import CORNER, sign_of
from closures.drawing.squares import squares_to_measure
from closures.frozen import frozen
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.advice.whole_order import SharedStep
    from closures.drawing.ink.type_scale import TypeScale
    from closures.drawing.marking import Marking
    from closures.drawing.paper.booklet import Templates
    from closures.drawing.paper.page import PageWords
    from closures.drawing.sheets.subject import Subject

_TALLEST_MAP_MM, _LEAST_MAP_MM = 100.0, 50.0
"""How tall the maps of all openings are together, and the least for one on which numbers find room."""


@frozen
class Shared:
    """What is told for all openings of a garment together.

    Attributes:
        parts: what to buy: the part with its closure, how many in all, in how many packs (empty where no pack is told),
            and for which openings.
        between: what lies between openings, a sentence each; what fails stands among `failures` as well.
        failures: what fails between openings.
        steps: the order of work.
        packs: how many packs that is of each closure, a sentence each.
        notes: how to mark, whom it is for and what to heed: headings with their sentences.
    """

    parts: tuple[tuple[str, str, str, str], ...]
    between: tuple[str, ...]
    failures: tuple[str, ...]
    steps: tuple[SharedStep, ...]
    notes: tuple[tuple[str, tuple[str, ...]], ...] = ()
    packs: tuple[str, ...] = ()


def garment_cover(
    markings: Sequence[Marking],
    subjects: Sequence[tuple[Subject, Subject]],
    shared: Shared,
    templates: Templates,
    papers: str,
    told: str,
    first: int,
    words: PageWords,
    scale: TypeScale,
    has_squares: bool,
    column_mm: float,
) -> Chapter:
    """Write the cover of a garment: what holds for all is told once, each opening by its name.

    Args:
        markings: the openings, in the order in which they are worked.
        subjects: both laps of each.
        shared: what is told for all of them.
        templates: what lies on which page.
        papers: what is printed on which paper, in words.
        told: how many sheets there are, of what.
        first: the number of the first sheet of templates.
        words: what stands on every page.
        scale: the sizes of lettering.
        has_squares: whether two squares to measure stand on it as well.
        column_mm: how wide a column of it is.
    """
    laps = [subject for pair in subjects for subject in pair]
    openings = in_a_row([marking.opening for marking in markings])
    parts: list[ChapterPart] = []
    if words.failures:
        text = f"A check failed: {words.failures}. {before_read([marking.placement for marking in markings])}"
        parts.append(Notice(text, "FAIL", wide=True))
    run = f"Run mark {words.run}, on every sheet and piece: sheets with the same mark have the same holes."
    parts.append(Section("Marking templates of a whole garment", (f"Openings: {openings}.", told, run), tight=True))
    for marking, pair in zip(markings, subjects, strict=True):
        parts.append(Section(_title(marking), what_it_is(marking, pair, ""), tight=True))
        found = check_sections(marking.placement, marking.findings)
        parts += [
            replace(one, heading=f"{_title(marking)}: {one.heading[0].lower()}{one.heading[1:]}") for one in found
        ]
    parts.append(Section(heading_of_printing(laps), how_to_print(templates, papers, laps), 1))
    for marking in markings:
        for section in work_sections(marking):
            heading = f"{_title(marking)}: {section.heading}" if section.heading else ""
            parts.append(replace(section, heading=heading))
    parts += pages_table(templates, first)
    checks = check_table(laps, templates)
    parts += [] if checks is None else [checks]
    if shared.between:
        parts.append(Section("Between the openings", shared.between))
    parts.append(_to_buy(shared))
    parts += [Section("", shared.packs, tight=True)] if shared.packs else []
    tall = _TALLEST_MAP_MM / max(1, sum(marking.placement.strap is None for marking in markings))
    for marking, pair in zip(markings, subjects, strict=True):
        if marking.placement.strap is None:
            lap_map, *others = lap_maps(pair, templates, first, scale, max(_LEAST_MAP_MM, tall), column_mm)
            parts += [replace(lap_map, heading=f"{_title(marking)}: which part is on which sheet"), *others]
    parts.append(Key("What the signs mean", _signs(markings)))
    tables: list[tuple[list[str], tuple[Table | Section, ...]]] = []
    for marking in markings:
        if marking.placement.strap is None:
            own = marks_tables(marking)
            alike = next((names for names, of_others in tables if of_others == own), None)
            if alike is not None:
                alike.append(marking.opening)
            else:
                tables.append(([marking.opening], own))
    for names, of_opening in tables:
        whose = _headed(in_a_row(names))
        parts += [replace(one, heading=f"{whose}: {one.heading[0].lower()}{one.heading[1:]}") for one in of_opening]
    for marking in markings:
        if marking.placement.strap is not None:
            for section in strap_sections(marking):
                parts.append(replace(section, heading=f"{_title(marking)}: {section.heading}"))
    parts += squares_to_measure(scale) if has_squares else []
    return Chapter("", tuple(parts))


def order_chapter(shared: Shared, markings: Sequence[Marking]) -> Chapter:
    """Write the order of work of the whole garment, each step with its openings, and after it what to heed."""
    names = {name for step in shared.steps for name in step.openings}
    lines = [f"{step_of(step, names)} Right when: {step.done}" for step in shared.steps]
    final = next((k for k, step in enumerate(shared.steps) if step.is_first_final), len(lines))
    parts: list[ChapterPart] = [
        *(Notice(told, "FAIL") for one in markings if (told := mended_first(one.placement, one.findings, one.opening))),
        Section("The whole garment: tick the number of each step when it is right", tuple(lines[:final]), 1),
    ]
    if lines[final:]:
        parts.append(Notice(shared.steps[final].stop.removeprefix("Stop. "), "STOP"))
        parts.append(Section("", tuple(lines[final:]), final + 1))
    parts += [Section(heading, sentences) for heading, sentences in shared.notes]
    return Chapter("Order of work", tuple(parts))


def step_of(step: SharedStep, names: set[str]) -> str:
    """Tell a step, its openings first; what is done on all of them says so."""
    whose = "All openings" if len(names) > 1 and set(step.openings) == names else in_a_row(step.openings)
    return f"{whose[:1].upper()}{whose[1:]}: {step.text}"


def _title(marking: Marking) -> str:
    return _headed(marking.opening)


def _headed(name: str) -> str:
    return name[:1].upper() + name[1:]


def _to_buy(shared: Shared) -> Table | Section:
    if not shared.parts:
        return Section("To buy", ("Nothing: no closure is set anew.",))
    has_packs = any(packs for _, _, packs, _ in shared.parts)
    rows = tuple(row if has_packs else (row[0], row[1], row[3]) for row in shared.parts)
    head = ("part", "in all", "packs", "for") if has_packs else ("part", "in all", "for")
    return Table(
        "To buy, spare and trial pieces among them", head, rows, (3.4, 1.2, 1.2, 2.8) if has_packs else (3, 1, 3)
    )


def _signs(markings: Sequence[Marking]) -> tuple[SampleRow, ...]:
    """The key of all openings; where one sign means something else for some, the meaning names them."""
    meanings: dict[str, dict[str, list[str]]] = {}
    for marking in markings:
        corner = (CORNER,) if marking.placement.strap is None else ()
        for sheet in marking.sheets:
            for sign in (*corner, *sheet.text.signs, *fold_of_bands(marking.placement)):
                words = dict(sheet.text.sign_words).get(sign, sign_of(sign)[1])
                meanings.setdefault(sign, {}).setdefault(words, []).append(marking.opening)
    return tuple(
        SampleRow(sign_of(sign)[0], words if len(told) == 1 else f"{words} ({in_a_row(list(dict.fromkeys(whose)))})")
        for sign, told in meanings.items()
        for words, whose in told.items()
    )
