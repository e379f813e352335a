"""The cover of a set: what it is, what lies on which sheet, how it is taped, where every mark lies."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.checks.finding import share_in_words
from closures.drawing.edge_proofs import proofs_of_edges
from closures.drawing.ink.figures import both_ways
from closures.drawing.own_work import are_knitted, check_sections, work_sections
from closures.drawing.paper.words import Chapter, ChapterPart, Key, Notice, Picture, SampleRow, Section, Table
from closures.drawing.record import (
    are_held_back,
    before_read,
    heading_of,
    heading_of_printing,
    how_to_lay,
    kept_of,
    when_to_measure,
)
from closures.drawing.sheets.sheet import failures_in_words
from closures.drawing.sheets.signs import CORNER, sign_of
from closures.drawing.squares import squares_to_measure
from closures.drawing.strap_cuts import cloth_beyond_mm, how_to_cut_an_end
from closures.drawing.write_over import write_over
from closures.jobs.table.backing import back_laps, backing_at_hand
from closures.placing.looped import loop_of
from closures.placing.marking import are_along_alike
from closures.placing.spans import spans_of
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.drawing.ink.type_scale import TypeScale
    from closures.drawing.marking import Marking
    from closures.drawing.paper.booklet import Templates
    from closures.drawing.sheets.sheet import Sheet
    from closures.drawing.sheets.sheet_text import SheetText
    from closures.drawing.sheets.subject import Subject
    from closures.placing.placement import LapMark, Placement


def cover_chapter(
    marking: Marking,
    subjects: Sequence[Subject],
    templates: Templates,
    papers: str,
    told: str,
    first: int,
    scale: TypeScale,
    maps_of: Callable[[int], Sequence[Picture]],
    has_squares: bool = True,
) -> Chapter:
    """Write the cover.

    Args:
        marking: what the set is made of.
        subjects: both laps.
        templates: what lies on which page.
        papers: what is printed on which paper, in words.
        told: how many sheets there are, of what.
        first: the number of sheets before the templates, and one more.
        scale: the sizes of lettering.
        maps_of: makes the maps of both laps, where the templates begin on a sheet of that number.
        has_squares: whether two squares to measure stand on it as well, which stand on every sheet of templates.
    """
    parts: list[ChapterPart] = []
    failures = failures_in_words(marking.findings, marking.placement.side_word, marking.placement.plan.units)
    if failures:
        parts.append(Notice(f"A check failed: {failures}. {before_read([marking.placement])}", "FAIL", wide=True))
    parts.append(Section(heading_of(marking.placement), what_it_is(marking, subjects, told), tight=True))
    parts += check_sections(marking.placement, marking.findings)
    parts.append(Section(heading_of_printing(subjects), how_to_print(templates, papers, subjects), 1))
    parts += work_sections(marking)
    is_lap = marking.placement.strap is None
    parts += pages_table(templates, first)
    checks = check_table(subjects, templates) if is_lap else None
    if checks is not None:
        parts.append(checks)
    if marking.parts:
        backings = back_laps(marking.placement, marking.findings, marking.catalogue)
        parts.append(Section("To have at hand", (*marking.parts, *backing_at_hand(backings)), tight=True))
    if is_lap:
        parts += maps_of(first)
    else:
        parts += strap_sections(marking)
    signs = list(dict.fromkeys(sign for sheet in marking.sheets for sign in sheet.text.signs))
    if is_lap:
        signs.insert(0, CORNER)
    if any(subject.whole_lap.has_strip_without_edge for subject in subjects):
        signs.append("border")
    signs += fold_of_bands(marking.placement)
    if signs:
        parts.append(Key("What the signs mean", tuple(_sign(sign, marking.sheets[0].text) for sign in signs)))
    if is_lap:
        parts += marks_tables(marking)
    parts += squares_to_measure(scale) if has_squares else []
    return Chapter("", tuple(parts))


def fold_of_bands(placement: Placement) -> tuple[str, ...]:
    """The sign that the pieces of bands have besides those of the sheets."""
    bands = placement.plan.bands
    return ("fold",) if bands is not None and bands.made == "folded" else ()


def _sign(kind: str, text: SheetText) -> SampleRow:
    """A sign of the key; of some the work decides what they mean."""
    items, words = sign_of(kind)
    return SampleRow(items, dict(text.sign_words).get(kind, words))


def strap_sections(marking: Marking) -> list[Section]:
    """What the ends of a strap say: check distances, settings, cutting; what both say is said once."""
    sections: list[Section] = []
    for sheet in marking.sheets:
        if sheet.text.check:
            sections.append(Section(f"Check: {sheet.text.lap_words}", (" ".join(sheet.text.check),)))
        sections += [Section(heading, lines, tight=True) for heading, lines in sheet.text.blocks]
    strap = marking.placement.strap
    if strap is not None and strap.notes and not marking.placement.is_withheld:
        # How the waist was taken moves the belt: it is read before cloth is cut.
        sections.append(Section("Read before you cut", strap.notes))
    return list(dict.fromkeys(sections))


def what_it_is(marking: Marking, subjects: Sequence[Subject], told: str) -> tuple[str, ...]:
    """Tell the closure, both laps, how long the edge is, how many sheets there are, and the run mark."""
    lines = list(closures_in_words(marking.sheets))
    lines += [f"{share_in_words(share)}." for share in marking.placement.shares[1:]]
    lines += list(dict.fromkeys(sheet.text.lap_words for sheet in marking.sheets))
    if marking.placement.strap is None:
        lines += proofs_of_edges(marking.placement, subjects)
    lines += [told] if told else []
    if marking.run and marking.opening:
        lines.append(f"Its own files bear run mark {marking.run}.")
    elif marking.run:
        lines.append(f"Run mark {marking.run}: sheets with the same mark have the same holes.")
    return tuple(lines)


def closures_in_words(sheets: Sequence[Sheet]) -> tuple[str, ...]:
    """Tell the closure as sheets tell it of "this lap", for a page that speaks of all of them."""
    told = {f"the {sheet.lap}": sheet.text.closure for sheet in sheets}
    if len(told) > 1 and len(set(told.values())) == 1:
        told = {"each": next(iter(told.values()))}
    return tuple(closure.replace(" on this ", f" on {which} ", 1) for which, closure in told.items())


def how_to_print(templates: Templates, papers: str, subjects: Sequence[Subject]) -> tuple[str, ...]:
    """Tell how the sheets are printed, measured, cut out, taped and laid, for the laps of one opening or of several."""
    if are_held_back(subjects):
        return tuple(how_to_lay(subjects))
    joins = any(laid.piece.count > 1 for laid in templates.laying.pieces)
    has_bare = any(not frame.has_squares for frame in templates.laying.frames)
    bare = " A sheet without squares says how long its rules must be." if has_bare else ""
    steps = [
        f"Print {papers} at 100 %, with nothing fitted to the page.",
        "Measure the squares of every sheet with a ruler, across and down. A sheet whose squares are not true is void."
        + bare,
        "Cut the pieces out along their dashed borders. The squares stay on what is left.",
    ]
    if joins:
        steps += [
            "Trim the later piece on its dashed join line. Lay it on the piece before so that rings of one letter fall "
            "on each other and the edges run on, and tape.",
            *where_tight(templates),
            when_to_measure(subjects),
        ]
    if any(laid.piece.by_measures for laid in templates.laying.pieces):
        steps.append(
            "A piece that is cut by its measures is drawn small: draw it on the cloth by the lengths that stand on it, "
            "its corners square, and prove it by its diagonals, which are of one length."
        )
    left_out = [laid.piece for laid in templates.laying.pieces if laid.piece.breaks and not laid.piece.breaks_off]
    if any(piece.along_mm is not None for piece in left_out):
        steps.append(
            "Where a zigzag breaks a strip, so much is left out as stands there: lay the next piece on the cloth by "
            "that length along the closing line, and prove it by the check distance."
        )
    if any(piece.along_mm is None for piece in left_out):
        # What cloth is cut by has no closing line and no mark on it.
        steps.append(
            "Where a zigzag breaks a band or a facing, its lines run straight on for so long as stands there: lay both "
            "pieces that far apart, draw the lines through, and prove them by the length from end to end."
        )
    if any(laid.piece.breaks_off for laid in templates.laying.pieces):
        broken = {laid.piece.strip for laid in templates.laying.pieces if laid.piece.breaks_off}
        ends = dict.fromkeys(subject.ends[1] for subject in subjects if subject.strip in broken)
        last = " or ".join(ends) or subjects[0].ends[1]
        steps.append(
            f"Where a strip ends in a zigzag, the rest of it, which holds no mark, is not printed: the {last} lies as "
            "far beyond the zigzag, along the closing line, as stands there."
        )
    if any(laid.piece.ends_apart for laid in templates.laying.pieces):
        is_cut = any((one.placement.strap and not one.placement.strap.is_made) for one in subjects)
        steps.append(
            "Where an end of a strap breaks off in a zigzag, so much is left out as stands there, up to the other "
            "end's zigzag. Lay each end by its own tip"
            f"{'; to cut cloth by them, set the zigzags that far apart' if is_cut else ''}."
        )
    past = list(dict.fromkeys(one.strip for one in subjects if one.whole_lap.past_edge_mm))
    no_edge = [*past, *dict.fromkeys(one.strip for one in subjects if one.whole_lap.has_strip_without_edge)]
    but = f", but not on the {' or the '.join(no_edge)} lap" if no_edge else ""
    # Bound buttonholes and loops are marked before the edge is made: its raw edge would be wrong by an allowance.
    seam = any(one.placement.plan.closure.bound or loop_of(one.placement) for one in subjects)
    bands = subjects[0].placement.plan.bands
    unmade = "the fold of its band" if bands is not None and bands.made == "folded" else "its seam line"
    cloth = "the edge of the cloth" if not seam else f"the edge of the cloth, or {unmade} where none is made yet"
    with_cut_line = [one for one in subjects if cloth_beyond_mm(one) and not one.placement.is_withheld]
    steps += write_over(templates)
    steps += dict.fromkeys(how_to_cut_an_end(one) for one in with_cut_line)
    knitted = are_knitted(subjects)
    if knitted:
        strips = " and the ".join(dict.fromkeys(one.strip for one in knitted))
        steps.append(
            f"The {strips} lap is knitted by the list, and nothing is marked by its strip: lay that beside the "
            "knitting once it is blocked, to see that all lies as it was counted."
        )
    there = kept_of(subjects)
    steps += how_to_lay(subjects)
    if len(with_cut_line) + len(knitted) + len(there) < len(subjects):
        cut = "Cut all other pieces" if with_cut_line or knitted or there else "Cut"
        steps.append(f"{cut} along the finished edge{but}, lay that edge on {cloth}, and mark as the signs say.")
    looped = list(dict.fromkeys(one.strip for one in subjects if loop_of(one.placement) and one.name == "over"))
    if looped:
        steps.append(
            f"This cuts the loops of the {' and the '.join(looped)} lap off, which only show how far each reaches. The "
            "ticks at the edge stay: the feet of each loop are sewn on there."
        )
    if past:
        steps.append(
            f"Leave the paper of the {' and the '.join(past)} lap whole past the edge, where the bows of the eyes "
            "stand out. Cut a few notches to the line of the edge, beside the marks, until the cloth shows in them, "
            "and lay that line on the edge of the cloth."
        )
    far = {subject.opening: subject for subject in reversed(subjects) if subject.whole_lap.has_strip_without_edge}
    for lap in reversed(far.values()):
        least, most = (" · ".join(both_ways(mm, lap.units)) for mm in lap.whole_lap.edge_lies_mm)
        near = ""
        if lap.whole_lap.edge_within(0.0, lap.whole_lap.line.length_mm):
            near = " Where a bold line runs within the strip, the cloth ends at that line."
        steps.append(
            f"The {lap.strip} lap's finished edge lies far from its closing line ({least} to {most}), and its strip "
            "shows the band alone: the dashed line at its side is the strip's border and no edge of the cloth."
            f"{near} Close the garment as it is worn, lying on the table, and carry the marks over from the other lap "
            "in the way that the sign of a mark tells; lay the strip on them to prove them."
        )
    return tuple(steps)


def where_tight(templates: Templates) -> tuple[str, ...]:
    """Tell at which joins marks stand nearer than tape is wide: there it is stuck beside the row."""
    letters = {letter for laid in templates.laying.pieces for letter in laid.piece.tight}
    tight = sorted(letters, key=lambda one: (len(one), one))
    if not tight:
        return ()
    which = f"{'joins' if tight[1:] else 'join'} {in_a_row(tight)}"
    return (f"Marks stand close to {which}: stick the tape beside the row there, and none over a mark.",)


def pages_table(templates: Templates, first: int) -> tuple[Table | Section, ...]:
    """List the pieces of every sheet of templates, and the sheets of a strip that is not taped sheet after sheet."""
    rows = [(str(first + k), name) for k, name in enumerate(templates.names)]
    table = Table("What lies on which sheet", ("sheet", "pieces"), tuple(rows), (1.0, 5.0))
    lies: dict[str, dict[int, int]] = {}
    for laid in templates.laying.pieces:
        if laid.piece.strip:
            lies.setdefault(laid.piece.strip, {})[laid.piece.number] = first + laid.page
    told = [
        f"Parts 1 to {len(on)} of {strip} lie on sheets {in_a_row([str(sheet) for sheet in sheets])}."
        for strip, on in lies.items()
        if (sheets := [on[number] for number in sorted(on)]) != sorted(sheets)
    ]
    if not told:
        return (table,)
    return table, Section("", ("Cut all parts out before you tape them.", *told), tight=True)


def check_table(subjects: Sequence[Subject], templates: Templates) -> Table | None:
    """Straight distances across every join and break, and from a first mark to a last one wherever work names it."""
    units = subjects[0].units
    laps: dict[tuple[str, ...], list[str]] = {}
    for subject in subjects:
        marks = subject.placement.on(subject.name)
        if subject.placement.strap is not None:
            continue
        parts = [laid.piece for laid in templates.laying.pieces if laid.piece.strip == subject.strip]
        spans = sorted(piece.along_mm for piece in parts if piece.along_mm is not None)
        pairs = list(spans_of(subject.placement, subject.name))
        for one, other in pairwise(spans):
            before = [mark for mark in marks if mark.along_mm <= one[1]]
            after = [mark for mark in marks if mark.along_mm >= other[0]]
            if before and after:
                pairs.append((before[-1], after[0]))
        for pair in pairs:
            laps.setdefault((subject.opening, *_check_row(*pair, units)), []).append(subject.name)
    if not laps:
        return None
    rows = [
        (marks, " ".join(filter(None, (opening, " and ".join(dict.fromkeys(names))))), *lengths)
        for (opening, marks, *lengths), names in laps.items()
    ]
    head = ("marks", "lap", units, "mm" if units == "in" else "in")
    return Table("Check distances, straight", head, tuple(rows), (2.0, 3.2, 1.5, 1.7))


def _check_row(one: LapMark, other: LapMark, units: str) -> tuple[str, ...]:
    straight = math.dist(one.at, other.at)
    first, second = (text.rsplit(" ", 1)[0] for text in both_ways(straight, units))
    return (f"{one.n} to {other.n}", first, second)


def marks_tables(marking: Marking) -> tuple[Table | Section, ...]:
    """List where every mark lies: along the row, and where not all lie on its line, how far in from either edge too."""
    along = _along_table(marking)
    if not marking.placement.beside:
        return (along,)
    units = marking.placement.plan.units
    runs: list[tuple[list[int], str]] = []
    for mark in marking.placement.all_marks:
        told = [
            f"{lap} {first} ({second})"
            for lap, on in (("over", mark.over), ("under", mark.under))
            if on is not None
            for first, second in (both_ways(on.edge_distance_mm, units),)
        ]
        words = ", ".join(told)
        if runs and runs[-1][1] == words:
            runs[-1][0].append(mark.n)
        else:
            runs.append(([mark.n], words))
    rows = [f"{f'{run[0]} to {run[-1]}' if len(run) > 1 else run[0]}: {words}" for run, words in runs]
    return (along, Section("How far in from the finished edge", tuple(rows), tight=True))


def _along_table(marking: Marking) -> Table:
    placement = marking.placement
    units = placement.plan.units
    other = "mm" if units == "in" else "in"
    rows = []
    for mark in placement.marks:
        first, second = (text.rsplit(" ", 1)[0] for text in both_ways(mark.along_mm, units))
        between = "" if mark.n == len(placement.marks) else both_ways(placement.spacing.gaps_mm[mark.n - 1], units)[0]
        rows.append((str(mark.n), first, second, between.rsplit(" ", 1)[0], mark.anchor or ""))
    for mark in placement.all_marks[len(placement.marks) :]:
        first, second = (text.rsplit(" ", 1)[0] for text in both_ways(mark.along_mm, units))
        rows.append((str(mark.n), first, second, "", "beside the row"))
    if not are_along_alike(marking.placement.all_marks):
        return _marks_of_each(marking, units, other)
    head = ("mark", f"along, {units}", f"along, {other}", f"to next, {units}", "anchor")
    # A column in which nothing stands looks as if something were to be written into it.
    count = len(head) if any(row[-1] for row in rows) else len(head) - 1
    heading = f"Where each mark lies, from the {placement.ends[0]}"
    return Table(heading, head[:count], tuple(row[:count] for row in rows), (0.9, 1.85, 1.75, 2.1, 2.7)[:count])


def _marks_of_each(marking: Marking, units: str, other: str) -> Table:
    """The same where each lap has a line of its own: what holds on one would pierce the other wrong."""
    placement = marking.placement
    rows = []
    for mark in placement.all_marks:
        cells = [
            ("", "")
            if on is None
            else tuple(text.rsplit(" ", 1)[0] for text in both_ways(on.along_mm, placement.plan.units))
            for on in (mark.over, mark.under)
        ]
        rows.append((str(mark.n), *cells[0], *cells[1]))
    head = ("mark", f"over, {units}", f"over, {other}", f"under, {units}", f"under, {other}")
    title = f"Where each mark lies on the over and on the under lap, from the {placement.ends[0]}"
    return Table(title, head, tuple(rows), (1.0, 2.0, 2.0, 2.0, 2.0))
