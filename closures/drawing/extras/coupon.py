"""The trial coupon: one whole closure in the same cloth and layers, and a table to note how it went."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.facts import facts_of
from closures.advice.wording import called
from closures.checks.finding import share_in_words
from closures.drawing.extras.coupon_notes import Tried, begun, notes_of, waits
from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.extras.stack_picture import not_drawn, stack_picture
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.figures import both_ways, corner_figure, lettered_along
from closures.drawing.ink.lettering import width_of, wrapped
from closures.drawing.ink.shapes import CUT, FINE, INK, LINE, Group, Item, Pen, Words, arrow, line, rectangle
from closures.drawing.paper.piece import Piece, piece_of
from closures.drawing.paper.words import Chapter, Section, Table
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.placing.buttonhole import buttonhole_for, cut_lengths
from closures.placing.role import tried_alike
from closures.placing.shrinkage import across_there
from closures.placing.strap.settings import merged
from closures.placing.trial_piece import trial_piece
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import LapName
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.placement import Mark, Placement

_BESIDE_EDGE_MM = 5.0
"""What the words beside the finished edge take."""
_BELOW_CORNER_MM = 11.0
_TICK_MM = 1.2
_HEAD_MM, _OFF_EDGE_MM = 3.2, 0.5
_OFF_TICK_SHARE = 0.22
"""By this share of its size the stroke of a fraction reaches below the line it stands on, and a little more."""
_OFF_WORDS_MM = 0.8
"""From the finished edge to the words beside it, and from those to the piece's border."""
_LEAST_MM = 54.0
_MOST_MM = 90.0
_ROOM_MM = 20.0
_LAPS: tuple[LapName, LapName] = ("over", "under")


def coupon_side_mm(placement: Placement, buttonhole: Buttonhole | None) -> float:
    """Side of either coupon: the closure with room to hold the piece by."""
    reach = max(reach_mm(look_of(placement.fastener, lap, buttonhole)) for lap in _LAPS)
    return min(_MOST_MM, max(_LEAST_MM, 2 * reach + _ROOM_MM))


def _pieces(drawn: Drawn) -> tuple[Piece, ...]:
    found = []
    drawn = _made_for(drawn)
    for alike in tried_alike(drawn.placement):
        share = alike[0]
        one = replace(drawn, placement=share)
        buttonhole = buttonhole_for(share.fastener, share.plan, drawn.catalogue)
        marks = tuple(mark for share in alike for mark in share.marks)
        which = _of(share, marks) if drawn.placement.is_mixed else ""
        side = coupon_side_mm(share, buttonhole)
        for lap in _LAPS:
            cuts = cut_lengths(alike, drawn.catalogue) if lap == share.fastener.mark.buttonhole_lap else ()
            if buttonhole is None or len(cuts) < 2:
                found.append(_piece(one, lap, side, buttonhole, which))
                continue
            # On cloth that is still to shrink a slit is cut by the way it runs, and each length is tried.
            for long, numbers in cuts:
                own = f"{_of(share, [mark for mark in marks if mark.n in numbers])}; " if which else ""
                own += f"cut {both_ways(long, share.plan.units)[0]}"
                found.append(_piece(one, lap, side, replace(buttonhole, length_mm=long), own))
    return tuple(found)


def _made_for(drawn: Drawn) -> Drawn:
    """Of openings that one piece serves, the one whose closures lie nearest to their edge, with the names of all."""
    if not drawn.alike:
        return drawn
    return replace(min(drawn.alike, key=_nearest_mm), opening=drawn.opening, alike=drawn.alike)


def _nearest_mm(drawn: Drawn) -> float:
    return min(abs(_inset_mm(drawn.placement, lap) or 0.0) for lap in _LAPS)


def _served_in_words(drawn: Drawn) -> tuple[str, ...]:
    """Say of which opening a piece is made that serves several, where they do not lie alike."""
    if len({f"{_nearest_mm(one):.2f}" for one in drawn.alike}) < 2:
        return ()
    made = min(drawn.alike, key=_nearest_mm).opening
    names = in_a_row([one.opening for one in drawn.alike])
    return (
        f"It serves {names}, whose closure and stack are the same, and is made as for the {made}, where the closures "
        "lie nearest to their edge.",
    )


def _whose(drawn: Drawn, lap: LapName) -> str:
    """Whose lap it is; nothing where the piece serves laps of which each is another's."""
    told = {one.placement.laps[lap].whose for one in (drawn, *drawn.alike)}
    return f", {next(iter(told))}" if len(told) == 1 and any(told) else ""


def _serves(drawn: Drawn) -> str:
    return trial_piece(drawn.placement)


def _of(share: Placement, marks: Sequence[Mark]) -> str:
    """What a piece tries, in words: these marks, all made as those of a share are."""
    return share_in_words(replace(share, marks=tuple(sorted(marks, key=lambda mark: mark.n))))


def _piece(drawn: Drawn, lap: LapName, side: float, buttonhole: Buttonhole | None, which: str) -> Piece:
    placement, chosen, size = drawn.placement, drawn.placement.laps[lap], drawn.type.figure
    whose = _whose(drawn, lap)
    parts = " + ".join(part.name for part in placement.fastener.parts_on(lap)) or "buttonhole"
    is_taped = placement.fastener.is_taped
    up = drawn.face_marked(placement, lap)
    head = drawn.of_opening(f"{lap.upper()} {placement.side_word.upper()}{whose}, trial")
    title = wrapped(head, size, side - 4.0, "semibold")
    rows = [
        *title,
        *wrapped(f"a short piece of tape: {parts}" if is_taped else f"one {parts}", size, side - 4.0),
        *(wrapped(which, size, side - 4.0) if which else ()),
        *wrapped(f"{up} face up · {drawn.sheet_words}", size, side - 4.0),
    ]
    # The words stand below the closure: the piece grows by what they need.
    inset = _edge_mm(placement, lap, side / 2)
    if inset is not None:
        # Large words beside the finished edge take more room than was reckoned.
        side = max(side, 2 * (abs(inset) + size + 2 * _OFF_WORDS_MM))
    reach = reach_mm(look_of(placement.fastener, lap, buttonhole))
    middle, words_mm = side / 2, 1.2 * size * len(rows) + 2.0
    height = max(side, middle + reach + 2.0 + words_mm)
    tall = (1.0 + _OFF_TICK_SHARE) * size + 2 * _TICK_MM
    # How far the edge lies off is drawn above the closure where there is room, else in a row of its own below it.
    is_above = middle - reach - _BELOW_CORNER_MM >= tall
    if inset and not is_above:
        height = max(height, middle + reach + 2.0 + tall + words_mm)
    # Seen from the inside, the edge lies on the other side of the closure.
    away = 1.0 if (chosen.cloth_on == "right") == (up == "outside") else -1.0
    stand = Stand(middle, middle, (0.0, 1.0), (away, 0.0))
    mark = draw_mark(
        lap, 0, f"trial closure, {lap} {placement.side_word}", stand, look_of(placement.fastener, lap, buttonhole)
    )
    corner_x = side - 6.0 if away > 0 else 6.0
    flag = corner_figure((corner_x, 6.0), (0.0, -1.0), (away, 0.0), 7.0, INK if lap == "over" else Pen(0.5, fill=1.0))
    items: list[Item] = [
        rectangle((0.0, 0.0, side, height), LINE),
        Group(f"coupon-{lap}", f"trial closure, {lap} {placement.side_word}", mark.items),
        flag,
    ]
    for k, row in enumerate(rows):
        base = height - words_mm + 1.2 * size * (k + 0.8)
        items.append(Words(middle, base, row, size, "middle", 0.0, "semibold" if k < len(title) else "regular"))
    if inset is not None:
        at = middle + away * inset
        low, high = _BELOW_CORNER_MM, height - words_mm - 1.0
        items.append(line((at, low), (at, high), pen=CUT))
        # The words stand on that side of the edge on which the mark reaches less far from it, and keep clear of it.
        left, _, right, _ = box_of(Group("", "", mark.items))
        ways = [(max(right - at, 0.0), 1.0), (max(at - left, 0.0), -1.0)]
        off, way = min(ways, key=lambda one: one[0] if inset <= 0.0 else -away * one[1])
        beside = (at + way * (off + 0.5 * size + _OFF_WORDS_MM), (low + high) / 2)
        named = "finished edge" if placement.strap is None else "tip"
        items.append(lettered_along(named, beside, (0.0, 1.0), size, "regular"))
        # How far it lies off stands on the piece: the page that tells it too is not at hand where the edge is turned.
        far = both_ways(abs(inset), placement.plan.units)[0]
        room = (low, middle - reach) if is_above else (middle + reach, high)
        if inset:
            items += _distance(far, (middle, at), (sum(room) + tall) / 2 - _TICK_MM, size)
    what = "a short piece of tape" if is_taped else "one closure"
    text = f"Trial piece of the {lap} {placement.side_word}, {side:.0f} mm square, with {what}: {parts}."
    name = f"trial piece, {lap} {placement.side_word}" + (f": {which}" if which else "")
    return piece_of(name, items, text, lap=lap)


def _distance(told: str, between: tuple[float, float], y: float, size: float) -> tuple[Item, ...]:
    """Draw how far the edge lies from the closure: an arrow from the one to the other, the figure above it."""
    x, at = between
    # A figure wider than its arrow ends before the edge, beside which other words stand.
    half = width_of(told, size, "semibold") / 2 + _OFF_EDGE_MM
    middle = (x + at) / 2 if 2 * half <= abs(at - x) else at - math.copysign(half, at - x)
    # Higher than head and tick: the stroke of a fraction reaches below its line.
    base = y - _TICK_MM - _OFF_TICK_SHARE * size
    return (
        *arrow((x, y), (at, y), FINE, min(_HEAD_MM, abs(at - x) / 2)),
        line((x, y - _TICK_MM), (x, y + _TICK_MM), pen=FINE),
        Words(middle, base, told, size, "middle", 0.0, "semibold"),
    )


def _edge_mm(placement: Placement, lap: LapName, room_mm: float) -> float | None:
    """How far the finished edge lies from the closure, or a strap's tip; None where the piece does not reach so far.

    Less than 0 where the closure stands past it; 0 where it stands on it.
    """
    inset = _inset_mm(placement, lap)
    return inset if inset is not None and abs(inset) <= room_mm - _BESIDE_EDGE_MM else None


def _inset_mm(placement: Placement, lap: LapName) -> float | None:
    """From the finished edge to a closure on the cloth that the piece is of; the least, where the edge bends.

    From its tip on a strap; None where closures lie differently far from it.
    """
    if placement.strap is not None:
        from_tip = merged(seat.from_tip_mm for seat in placement.strap.on(lap))
        return from_tip[0] if len(from_tip) == 1 else None
    chosen = placement.laps[lap]
    by = [across_there(placement.plan, mark.tangent) * chosen.further_at(mark.along_mm) for mark in placement.on(lap)]
    return chosen.inset_mm * min(by, default=1.0)


def _lie(drawn: Drawn, leathers: int) -> str:
    """How a piece lies in the cloth: a buttonhole gives by its grain, and near an edge by how that is finished.

    `leathers` is of how many laps the outermost cloth is leather, which has no grain.
    """
    is_leather = leathers == len(_LAPS)
    placement = drawn.placement
    units = placement.plan.units
    shares = [alike[0] for alike in tried_alike(placement)]
    insets = {lap: [mm for share in shares if (mm := _shown_mm(drawn, share, lap)) is not None] for lap in _LAPS}
    shown = {lap: max(found) for lap, found in insets.items() if found}
    if placement.strap is not None:
        tips = [f"{both_ways(mm, units)[0]} from the closure of the {lap} end" for lap, mm in shown.items()]
        lies = "Lay the pieces the way of the hide that the strap has" if is_leather else ""
        lies = lies or "Lay the pieces in the same grain as the strap"
        return (
            f"{lies}, and finish the side by the line “tip” as its tip, {' and '.join(tips)}." if tips else f"{lies}."
        )
    end = placement.ends[0]
    way = "the way of the hide that they have on" if is_leather else "in the grain of"
    way = "in the grain, and leather the way of the hide, that they have on" if 0 < leathers < len(_LAPS) else way
    lies = f"Lay both {way} the garment, the corner that is drawn pointing to the edge and the {end}"
    if not shown:
        return f"{lies}; that edge lies further off than either piece reaches."
    state = " on the unwashed cloth" if placement.washed is not None else ""
    without = [lap for lap in _LAPS if lap not in shown]
    beyond = f"; the {without[0]} lap's edge lies further off than its piece reaches" if without else ""
    if min(shown.values()) <= 0.0:
        told = [f"{_stands(mm, units)} on the piece of the {lap} lap" for lap, mm in shown.items()]
        return (
            f"{lies}, and finish that side as the garment's edge{state}: the closure stands {', '.join(told)}{beyond}."
        )
    far = " and ".join(dict.fromkeys(both_ways(mm, units)[0] for mm in shown.values()))
    on = f"on the piece of the {next(iter(shown))} lap " if without else ""
    return f"{lies}, and {on}finish that side as the garment's edge, {far} from the closure{state}{beyond}."


def _stands(inset_mm: float, units: str) -> str:
    """Where a closure stands by the edge, in words."""
    far = both_ways(abs(inset_mm), units)[0]
    return f"{far} inside it" if inset_mm > 0.0 else f"{far} past it" if inset_mm < 0.0 else "on it"


def _shown_mm(drawn: Drawn, share: Placement, lap: LapName) -> float | None:
    """How far from its closure a piece shows the finished edge; None where it does not reach so far."""
    side = coupon_side_mm(share, buttonhole_for(share.fastener, share.plan, drawn.catalogue))
    return _edge_mm(share, lap, side / 2)


def _chapters(drawn: Drawn) -> tuple[Chapter, ...]:
    serves = _served_in_words(drawn)
    drawn = _made_for(drawn)
    wish = drawn.placement.plan.sheets
    # The order of work shows the same picture.
    shares = () if wish is not None and wish.order else drawn.placement.shares
    share = drawn.placement.shares[0]
    facts = facts_of(share, drawn.findings, drawn.catalogue, drawn.swap, faces=drawn.faces)
    cloth = facts.figures["coupon cloth"]
    tried = [
        Tried(one.fastener, facts_of(one, drawn.findings, drawn.catalogue, drawn.swap, faces=drawn.faces).words)
        for one, *_ in tried_alike(drawn.placement)
    ]
    # Only metal rusts, and only what is thin enough puckers.
    faults = ", rust" if any("metal" in one.words for one in tried) else ""
    leathers = sum("cloth: leather" in worked.face for worked in facts.laps.values())
    faults += ", stretched" * (leathers > 0) + ", puckers" * (leathers < len(facts.laps))
    side = drawn.placement.side_word
    is_worn = "worn" in facts.words
    rows = tuple((group, called(text, is_worn=is_worn), "", "", "") for group, text in notes_of(tried, side, faults))
    is_knitted = "knitted" in facts.words and facts.meets(("state: cut pieces",))
    begin = f"Cut one piece for either {side} from {cloth}, with the same layers"
    begin = "Knit one piece for either lap in the gauge of the bands, backed as they will be" if is_knitted else begin
    told = (
        f"{begin}, treated as the order of work treats the garment.",
        *serves,
        *(() if is_knitted else (_lie(drawn, leathers),)),
        begun(tried),
        *(not_drawn(drawn.findings, side) if shares else ()),
        f"Change the setting, the size or the backing until it holds; only then {waits(tried)}.",
    )
    first = Section("Make this first", tuple(called(line, is_worn=is_worn) for line in told))
    heading = "The stack, as it is set (thicker than life)"
    stacks = [
        stack_picture(share, heading=f"{heading}: {share_in_words(share)}" if drawn.placement.is_mixed else heading)
        for share in shares
    ]
    notes = Table("What it took", ("", "", "try 1", "try 2", "try 3"), rows, (1.6, 6.0, 1.5, 1.5, 1.5), wide=True)
    return (Chapter("Trial coupon", (first, *stacks, notes)),)


EXTRA = Extra(
    "coupon",
    "a trial piece for either lap",
    30,
    *switched("coupon"),
    on_strap=True,
    pieces=_pieces,
    chapters=_chapters,
    serves=_serves,
    for_setting=True,
)
