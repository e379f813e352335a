"""The further words of a garment's set: what holds for several openings word for word stands once, with their names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from closures.drawing.paper.words import Chapter, ChapterPart, Picture, Section, Table
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.drawing.extras.extra import Drawn


def without_sides(openings: Sequence[Drawn]) -> list[Drawn]:
    """Leave out of what openings tell on which side of the body they are, where another is its mirror image.

    The chapter's own title names the opening; what else it says is then the same for both, and stands once.
    """
    return [_without_side(one, [other for other in openings if other is not one]) for one in openings]


def _without_side(drawn: Drawn, others: Sequence[Drawn]) -> Drawn:
    laps = drawn.placement.laps
    told = {}
    for lap in laps.both:
        own = lap.whose.split(", ")
        for other in others:
            its = other.placement.laps[lap.name].whose.split(", ")
            # "front, wearer's left side" and "front, wearer's right side" are both the front.
            if len(own) == len(its) and own[:-1] == its[:-1] and own[:-1] and own != its:
                told[lap.name] = ", ".join(own[:-1])
    if len(told) < len(laps.both):
        return drawn
    over, under = (replace(lap, whose=told[lap.name]) for lap in laps.both)
    return replace(drawn, placement=replace(drawn.placement, laps=replace(laps, over=over, under=under)))


@dataclass
class _Told:
    """A chapter in the making, with the openings that it is for."""

    names: list[str]
    chapter: Chapter
    own: Chapter = field(default_factory=lambda: Chapter("", ()))


def chapters_of_all(told: Sequence[tuple[str, Sequence[Chapter]]]) -> list[Chapter]:
    """Put the chapters of all openings together.

    Chapters that are alike become one. Of those of one title that are not, a section that an earlier one has too is
    named with the opening that it was told for. What is written into by hand stays with each opening, and what is
    handed on by itself, on a sheet of its own, stays whole and comes last, so that no other sheet ends before it.

    Args:
        told: each opening's name with its chapters.
    """
    found: list[_Told] = []
    for name, chapters in told:
        for chapter in chapters:
            alike = None if _is_filled_in(chapter) else next((one for one in found if one.own == chapter), None)
            if alike is not None:
                alike.names.append(name)
            else:
                earlier = [] if chapter.own_sheet else [one for one in found if one.own.title == chapter.title]
                found.append(_Told([name], replace(chapter, parts=_without_told(chapter, earlier)), chapter))
    found.sort(key=lambda one: one.chapter.own_sheet)
    return [replace(one.chapter, title=f"{_headed(one.names)}: {one.chapter.title}") for one in found]


def _headed(names: Sequence[str]) -> str:
    row = in_a_row(names)
    return row[:1].upper() + row[1:]


def _is_filled_in(chapter: Chapter) -> bool:
    return any(isinstance(part, Table) and any("" in row for row in part.rows) for part in chapter.parts)


def _without_told(chapter: Chapter, earlier: Sequence[_Told]) -> tuple[ChapterPart, ...]:
    """The parts of a chapter that no earlier one has, and a line that says where the others stand."""
    kept: list[ChapterPart] = []
    there: dict[str, list[str]] = {}
    for parts, after in _with_pictures(chapter.parts):
        head, *pictures = parts
        goes_on = not pictures and isinstance(after, Section) and not after.heading
        whose = next((one for one in earlier if head in one.own.parts), None)
        if isinstance(head, Section) and head.heading and not goes_on and whose is not None:
            there.setdefault(in_a_row(whose.names), []).append(head.heading)
            # A picture that stands there as well goes with its words: it would be taken for one of those before them.
            kept += [one for one in pictures if one not in whose.own.parts]
        else:
            kept += parts
    return (*kept, *(Section(f"As for {names}", (f"{'; '.join(parts)}.",)) for names, parts in there.items()))


def _with_pictures(parts: Sequence[ChapterPart]) -> Iterator[tuple[tuple[ChapterPart, ...], ChapterPart | None]]:
    """Each part with the pictures after it that have no heading of their own, and what comes next."""
    groups: list[list[ChapterPart]] = []
    for part in parts:
        if groups and isinstance(part, Picture) and not part.heading:
            groups[-1].append(part)
        else:
            groups.append([part])
    for group, after in zip(groups, (*groups[1:], None), strict=True):
        yield tuple(group), None if after is None else after[0]
