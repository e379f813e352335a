"""Pieces that back the closures, at full size."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.measured import Rectangle, measured_piece
from closures.drawing.extras.piece import cross, grain, lettered_rows, outline
from closures.drawing.ink.figures import both_ways
from closures.drawing.ink.rigid import UNTURNED, along_x
from closures.drawing.ink.shapes import FINE, Circle, Group, Item, Pen, line
from closures.drawing.paper.join_places import Thing
from closures.drawing.paper.parts import Part
from closures.drawing.paper.piece import LongPiece, Piece, piece_of
from closures.drawing.paper.words import Chapter, Section
from closures.drawing.sheets.lettered import PARTED_BY, Lettered
from closures.drawing.sheets.outlined_strip import Outlined, outlined_piece
from closures.drawing.sheets.subject import Subject
from closures.jobs.table.backing import back_laps
from closures.jobs.table.bands import sides_of_rectangle_mm
from closures.jobs.table.openings import CLEAR_OF_SLIT_MM, open_holes, openings_of
from closures.placing.backing_cut import PAST_FLANGE_MM
from closures.placing.buttonhole import slits_of
from closures.placing.lap_area import chords
from closures.placing.seats import at_rings, ring_mm

if TYPE_CHECKING:
    from closures.drawing.sheets.view import View
    from closures.jobs.table.backing import Backing
    from closures.jobs.table.openings import Opening
    from closures.placing.backing_cut import BackingPiece
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement

_RIM = Pen(0.25, (1.2, 0.9))
_MARK_REACH_MM = 4.0


def _backings(drawn: Drawn) -> tuple[Backing, ...]:
    return tuple(back_laps(drawn.placement, drawn.findings, drawn.catalogue))


_SAME_DISTANCE_MM = 0.05
"""Distances that are told as one figure: half of what a page can show."""


def _pieces(drawn: Drawn) -> tuple[Piece | LongPiece, ...]:
    found: list[Piece | LongPiece] = []
    for backing in _backings(drawn):
        for piece in backing.pieces[:1]:
            found.append(_strip(drawn, backing, piece) if backing.form == "strip" else _patch(drawn, backing, piece))
    return tuple(found)


def _held(drawn: Drawn, backing: Backing) -> Placement:
    """With the marks of the lap where its closures are held: hooks and eyes by their rings."""
    return at_rings(drawn.placement, backing.lap)


def _marks(held: Placement, backing: Backing, piece: BackingPiece) -> tuple[LapMark, ...]:
    return tuple(mark for mark in held.on(backing.lap) if mark.n in piece.marks)


def _openings(drawn: Drawn, backing: Backing, piece: BackingPiece) -> dict[int, Opening]:
    """What is cut out of a piece, by the marks."""
    return {one.mark: one for one in openings_of(drawn.swap, drawn.catalogue, backing.lap, piece)}


def _dots(
    drawn: Drawn, held: Placement, backing: Backing, piece: BackingPiece, marks: tuple[LapMark, ...], view: View
) -> tuple[Item, ...]:
    slits, free = slits_of(drawn.placement, drawn.catalogue), _openings(drawn, backing, piece)
    rings: list[Item] = []
    for mark in marks:
        slit, rim = slits.get((backing.lap, mark.n)), held.fastener_of(mark.n).rim_mm
        if (opening := free.get(mark.n)) is not None:
            slit_drawn = line(*(view.point(*end) for end in opening.slit), pen=FINE)
            shapes = (*(outline(ring, view) for ring in opening.rings), slit_drawn)
            told = f"opening about the old buttonhole at mark {mark.n}: cut it out"
            rings.append(Group(f"backing-{backing.lap}-opening-{mark.n}", told, shapes))
        elif slit is not None:
            start, end = (view.point(mark.x_mm + x, mark.y_mm + y) for x, y in slit.ends_mm)
            rings.append(line(start, end, pen=_RIM))
        elif rim:
            rings.append(Circle(*view.point(*mark.at), rim, _RIM, "rim"))
    return (*rings, *(cross(mark, view, f"backing-{backing.lap}-mark", drawn.type) for mark in marks))


def _strip(drawn: Drawn, backing: Backing, piece: BackingPiece) -> LongPiece:
    held = _held(drawn, backing)
    subject = Subject(held, backing.lap, type=drawn.type)
    marks = _marks(held, backing, piece)
    rim = max(held.rim_mm, _MARK_REACH_MM)
    half = piece.width_mm / 2
    # No join cuts an opening.
    free = _openings(drawn, backing, piece)
    rings = {mark.n: free[mark.n].rings if mark.n in free else () for mark in marks}
    reach = {
        mark.n: max((rim, *(math.dist(mark.at, point) for ring in rings[mark.n] for point in ring))) for mark in marks
    }

    def dots(view: View, part: Part) -> tuple[Item, ...]:
        return _dots(
            drawn, held, backing, piece, tuple(m for m in marks if part.low_mm <= m.along_mm <= part.high_mm), view
        )

    return outlined_piece(
        Outlined(
            f"backing, {backing.lap} lap",
            subject,
            (outline(piece.outline, subject.view(UNTURNED)),),
            lambda spot: (half, half),
            0.0,
            lambda part: _rows(drawn, backing, piece, part),
            dots,
            tuple(Thing(mark.along_mm - reach[mark.n], mark.along_mm + reach[mark.n]) for mark in marks),
            drawn.opening,
            shorter=None if free else _by_measures(drawn, backing, piece, subject),
        )
    )


def _by_measures(drawn: Drawn, backing: Backing, piece: BackingPiece, subject: Subject) -> Piece | None:
    """A strip by its measures, for paper that is too short for it; None where it is no rectangle, or printed whole."""
    wish = drawn.placement.plan.sheets
    if (wish is not None and wish.whole) or sides_of_rectangle_mm(piece.outline) is None:
        return None
    lap, units, first_end = subject.lap, drawn.placement.plan.units, drawn.placement.ends[0]
    view = subject.view(along_x(lap.line.start, lap.line.end))
    across, down = zip(*(view.point(*point) for point in piece.outline), strict=True)
    left, top = min(across), min(down)
    edge_above = view.point(*lap.edge.start)[1] < view.point(*lap.line.start)[1]
    shape = Rectangle(max(across) - left, max(down) - top, first_end, edge_above)
    from_end = left - view.point(*lap.line.start)[0]
    told = f"{' / '.join(both_ways(from_end, units))} from" if from_end > _SAME_DISTANCE_MM else "at"
    lies = (
        f"cut {piece.copies}",
        "outside face up",
        _from_edge(drawn, backing, piece),
        f"its left end lies {told} the {first_end}",
    )
    head = drawn.of_opening(f"BACKING, {backing.lap} lap")
    rows = (PARTED_BY.join(lies), drawn.sheet_words)
    return measured_piece(f"backing, {backing.lap} lap", head, backing.lap == "over", shape, rows, units, drawn.type)


def _rows(drawn: Drawn, backing: Backing, piece: BackingPiece, part: Part) -> tuple[Lettered, ...]:
    scale = drawn.type
    number = f" {part.number} of {part.count}" if part.count > 1 else ""
    head = drawn.of_opening(f"BACKING, {backing.lap} lap{number}")
    return (
        Lettered(head, scale.text, "bold", "corner", backing.lap == "over"),
        Lettered(f"cut {piece.copies} · outside face up", scale.figure),
        *(Lettered(words, scale.figure) for words in _cut_out(drawn, backing, piece)),
        Lettered(_from_edge(drawn, backing, piece), scale.figure),
        Lettered("grain", scale.figure, "semibold", "grain"),
        Lettered(drawn.placement.ends[0], scale.figure, "semibold", "first end"),
        Lettered(drawn.sheet_words, scale.figure, "regular"),
    )


def _from_edge(drawn: Drawn, backing: Backing, piece: BackingPiece) -> str:
    """How far a strip lies from the finished edge: by its side, or where that runs off the edge's way by its marks."""
    units, held = drawn.placement.plan.units, _held(drawn, backing)
    bands = drawn.placement.plan.bands
    edge = "the fold" if bands is not None and bands.made == "folded" else "the finished edge"
    marks = _marks(held, backing, piece)
    from_mm = [mark.edge_distance_mm for mark in marks]
    if max(from_mm) - min(from_mm) <= _SAME_DISTANCE_MM:
        from shapely.geometry import LineString, Polygon

        finished = LineString(chords(held.laps[backing.lap].as_strip.edge))
        near = Polygon(piece.outline).distance(finished)
        if near <= _SAME_DISTANCE_MM:
            return f"its side lies along {edge}"
        return f"its side lies {' / '.join(both_ways(near, units))} from {edge}"
    first, last = (" / ".join(both_ways(mm, units)) for mm in (from_mm[0], from_mm[-1]))
    return f"mark {marks[0].n} lies {first} from {edge}, mark {marks[-1].n} {last}"


def _patch(drawn: Drawn, backing: Backing, piece: BackingPiece) -> Piece:
    """A patch is drawn once, by itself, with how many to cut."""
    held = _held(drawn, backing)
    subject = Subject(held, backing.lap, type=drawn.type)
    view = subject.view(UNTURNED)
    mark = next(mark for mark in held.on(backing.lap) if mark.n == piece.marks[0])
    spot = view.spot_of(mark)
    size = drawn.type.figure
    x, y = spot.at
    reach = max(piece.width_mm, piece.along_mm or 0.0) / 2
    if piece.along_mm is not None:
        # Behind a slit it ends with the band, and lies unevenly about its mark.
        reach = max(math.dist(mark.at, corner) for corner in piece.outline)
    rows = (
        drawn.of_opening(f"BACKING, {backing.lap} lap"),
        f"cut {piece.copies}, one under each",
        *_cut_out(drawn, backing, piece),
        drawn.sheet_words,
    )
    # The first row keeps its distance from the cut line, however many follow it.
    low = (x, y + reach + size * (1.35 + 1.25 * (len(rows) - 1) / 2))
    ring = Group(f"backing-{view.lap.name}", f"backing patch, {view.lap.name} lap", (outline(piece.outline, view),))
    beside = spot.moved(0.0, -reach - 3.0)
    items = [
        ring,
        *_dots(drawn, held, backing, piece, (mark,), view),
        *lettered_rows(rows, low, (1.0, 0.0), size),
        *grain(beside, spot.along, min(20.0, piece.width_mm), "", size),
    ]
    text = f"Backing patch, {backing.lap} lap, {backing.size(lambda mm: f'{mm:.1f} mm')}: cut {piece.copies}."
    return piece_of(f"backing patch, {backing.lap} lap", items, text, lap=backing.lap)


def _serving(drawn: Drawn, backing: Backing, piece: BackingPiece) -> list[int]:
    """The marks of a piece whose old buttonholes serve again: of patches those of all of them."""
    holes = open_holes(drawn.swap, backing.lap)
    return [n for n in piece.marks if n in holes]


def _cut_out(drawn: Drawn, backing: Backing, piece: BackingPiece) -> tuple[str, ...]:
    """What a piece says of the openings in it."""
    serving = _serving(drawn, backing, piece)
    if not serving or not _openings(drawn, backing, piece):
        return ()
    is_all = len(serving) == len(piece.marks)
    if backing.form == "patches":
        return (f"cut the opening out of {'each' if is_all else f'those for {numbers_in_words(serving)}'}",)
    return (
        f"cut the opening{'s' if len(serving) > 1 else ''} out{'' if is_all else f' at {numbers_in_words(serving)}'}",
    )


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    backings = _backings(drawn)
    if not backings:
        return ()
    sections = [section for backing in backings for section in _sections(drawn, backing)]
    return (Chapter("Backing", (*drawn.mended_first, *sections)),)


def _sections(drawn: Drawn, backing: Backing) -> list[Section]:
    lap = drawn.placement.laps[backing.lap]
    side = f", {lap.whose}" if lap.whose else ""
    heading = f"{backing.lap.capitalize()} lap{side}"
    if not backing.pieces:
        return [Section(f"{heading}: no backing can be cut", (backing.trouble, *backing.reasons))]
    piece = backing.pieces[0]
    size = backing.size(lambda mm: " / ".join(both_ways(mm, drawn.placement.plan.units)))
    what = f"cut {piece.copies} of {backing.of}"
    lines = (
        *backing.reasons,
        f"{backing.form.capitalize()}, {size}: {what}.",
        *backing.without,
        f"It lies {backing.side}.",
        f"Grain: {backing.grain}.",
        "It is drawn as it lies, seen from outside. To cut with the wrong side up, turn the paper over.",
        *_reaches(drawn, backing),
    )
    return [Section(heading, lines)]


def _reaches(drawn: Drawn, backing: Backing) -> tuple[str, ...]:
    """What the dashed lines on a piece are, and how far it reaches past them."""
    slits, placement = slits_of(drawn.placement, drawn.catalogue), drawn.placement
    free = _openings(drawn, backing, backing.pieces[0])
    serving = _serving(drawn, backing, backing.pieces[0])
    own = [mark.n for mark in placement.on(backing.lap) if mark.n not in serving]
    ways = {slit.way for n in own if (slit := slits.get((backing.lap, n))) is not None}
    sewn = {mark.n: ring_mm(placement, backing.lap, mark.n) > 0.0 for mark in placement.on(backing.lap)}
    has_flanges = any((backing.lap, n) not in slits and not by_rings for n, by_rings in sewn.items())
    past = f"{PAST_FLANGE_MM:g} mm or more past"
    rows = [f"Dashed rings are flanges: the piece reaches {past} each."] if has_flanges else []
    if any(sewn.values()):
        rows.append(
            "The dashed circles and crosses are not the marks: they lie about the two rings by which each "
            f"{drawn.placement.fastener.mark.on(backing.lap)} is sewn. The piece reaches {past} them, or ends with the "
            "band at the edge."
        )
    if "along" in ways:
        rows.append(f"Dashed lines are buttonholes: the piece reaches {past} each, at both ends and beside it.")
    elif ways:
        rows.append(
            f"Dashed lines are buttonholes: the piece reaches {past} each, beside it and at both ends, "
            "or ends there with the band."
        )
    if serving:
        named = numbers_in_words(serving)
        past = "the buttonhole that serves" if len(serving) == 1 else "the buttonholes that serve"
        drawn_as = f"The whole lines within are openings, at {named}"
        if not free:
            drawn_as = f"Of the patches for {named}, an opening is to be cut out that is not drawn"
        rows.append(
            f"{drawn_as}: {CLEAR_OF_SLIT_MM:g} mm past {past} again. Cut before the piece is laid, so that "
            "nothing covers a buttonhole."
        )
    return tuple(rows)


EXTRA = Extra(
    "backing",
    "pieces that back the closures, where they are needed",
    20,
    *switched("backing", "as needed"),
    pieces=_pieces,
    chapters=_chapters,
)
