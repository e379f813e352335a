"""What is asked of a drawing that has the edge: which line it is, how large, which end is first, where its cloth lies.

What the drawing tells is read from it: the ends, the corners of an outline, the side of a piece. What it cannot tell is
asked, since a row that is counted from the hem, or laid on the wrong side, is a row of holes in the wrong place.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.app import slips
from closures.app.asking import judged, key_of, length_told, needed, why
from closures.app.ends_asked import ends_told
from closures.curve import Curve
from closures.drawing.ink.numbers import number
from closures.edges.hand import hand_by_key, hand_by_words, viewers_side
from closures.edges.stretch import cut_stretch
from closures.errors import ClosureError, DrawingError, typed
from closures.lengths import parse_length_mm
from closures.plan.drawing import KNOWN
from closures.plan.editing import remove_key, set_key, value_of

if TYPE_CHECKING:
    from closures.app.asking import Asking
    from closures.curve import Point
    from closures.edges.drawing import Drawn
    from closures.edges.listing import Candidate, Listing

# A turn of this and more is a corner that an edge may begin or end at; a line of more corners is lettering. The page
# offers the same.
_CORNER_DEG = 10.0
_MOST_CORNERS = 40
_MOST_LINES = 40
"""As many as a list can be read through: our own rule. Any other line is taken by its name."""
# What a square's sides may differ by, as for a printed test square.
_SQUARE = 0.005

_PARTS = ("from", "to")
_OTHER = {"left": "right", "right": "left", "above": "below", "below": "above"}

_PATH = (
    "Nothing can be placed without it. To see the lines with their numbers, stop with Ctrl+C and type: closures edges "
    "{drawing} --picture lines.svg. Nothing has been written."
)
_PIECES = (
    'Look at the pattern: "cut 2" or "cut a pair" on one piece is pair; two pieces, each with a name of its own, are '
    "separate."
)
_KNOWN = (
    "Nothing can be placed without it: holes would come too near to each other, or too far. Lay a tape along that line "
    "on the paper pattern, from end to end, and type what it reads. Or stop with Ctrl+C: nothing has been written."
)
_END = (
    "It is never guessed: the row would be counted from the wrong end. Open the drawing and see at which end of that "
    "line the {} is."
)
_SIDE = "It is never guessed. Open the drawing and see on which side of that line the piece lies."


def drawn_edge_asked(text: str, asking: Asking, drawing: str) -> str:
    """Ask which line of a drawing is the edge, how large it is where that is not told, and which of its ends is first.

    Raises:
        ClosureError: the drawing cannot be read, or tells too little to go on with.
    """
    listing = asking.drawing(drawing)
    text = set_key(text, "", "drawing", drawing.replace("\\", "/"))
    by_name = {one.path: one for one in listing.candidates}
    lines = {name: _line_in_words(one, listing) for name, one in list(by_name.items())[:_MOST_LINES]}
    more = len(by_name) - len(lines)
    asked = "Which line is the over lap's finished edge?" + (
        f" The {len(lines)} longest; any other by name." * (more > 0)
    )
    path = needed(
        asking, asked, lines, _PATH.format(drawing=typed(drawing)), lambda told: told if told in by_name else None
    )
    line = by_name[path]
    text = set_key(text, "edge", "path", path)
    if not listing.has_size or drawing.casefold().endswith(".pdf"):
        text = _known(text, asking, line, listing)
    text = _ends(text, asking, line, _factor(text, listing))
    cut = {"pair": "one piece, cut twice, the second turned over", "separate": "two pattern pieces"}
    return set_key(text, "garment", "pieces", needed(asking, "How are the two pieces cut?", cut, _PIECES))


def _line_in_words(line: Candidate, listing: Listing) -> str:
    shape = line.shape if line.is_open else "a closed outline"
    return f"{line.length_mm:.0f} mm, {shape}" if listing.has_size else shape


def _known(text: str, asking: Asking, line: Candidate, listing: Listing) -> str:
    """Ask for what a drawing does not say or a page does not prove: how large it is."""
    is_page = listing.has_size
    says = "A page may have been saved at another size." if is_page else "The drawing does not say how large it is."
    asking.tell(says)
    sides = {one.path: side for one in listing.candidates if (side := _measure(one)) is not None}
    if not sides:
        raise DrawingError(
            "in it is no line or square whose length you could know",
            mend="Draw a square of 100 mm beside the piece and save it anew, or export it with its size in mm.",
        )
    path = line.path
    if is_page or path not in sides:
        lines = dict.fromkeys(list(sides)[:_MOST_LINES], "")
        lines = {name: f"{sides[name]:.1f} mm as it is saved" if is_page else "" for name in lines}
        path = needed(asking, "Of which line, or printed test square, do you know the length?", lines, _KNOWN)
    whole = (
        "side of that square" if next(one for one in listing.candidates if one.path == path).line.is_closed else "line"
    )
    while True:
        asked = f"How long is {'a ' if whole != 'line' else 'that '}{whole} on the pattern? Lay a tape along it"
        told = length_told(asking.ask(asked), text)
        if not told or slips.is_unknown(told):
            asking.tell(f"  {_KNOWN}")
            continue
        try:
            judged(KNOWN, key_of(KNOWN, "length"), told, asking, text)
        except ClosureError as error:
            asking.tell(why(error))
        else:
            return set_key(text, "edge", "known", {"path": path, "length": told})


def _factor(text: str, listing: Listing) -> float:
    """By how much places and lengths of a listing are to be multiplied, to be those of the pattern."""
    known = value_of(text, "edge", "known")
    line = None if known is None else next(one for one in listing.candidates if one.path == known["path"])
    measured = None if line is None else _measure(line)
    if known is None or measured is None:
        return 1.0
    return parse_length_mm(known["length"], value_of(text, "", "units") or "mm") / measured


def _measure(line: Candidate) -> float | None:
    """The length of an open line or the side of a square, as listed; None for any other closed line."""
    if line.is_open:
        return line.length_mm
    x0, y0, x1, y1 = line.box_mm
    across, down = x1 - x0, y1 - y0
    is_square = down > 0 and abs(across / down - 1) <= _SQUARE and abs(line.length_mm / (4 * down) - 1) <= _SQUARE
    return (across + down) / 2 if is_square else None


def _ends(text: str, asking: Asking, line: Candidate, factor: float) -> str:
    """Ask which end of a line is the first of the edge; of an outline at which of its corners it begins and ends."""
    first, last = ends_told(text)
    if line.is_open:
        places = {name: "" for name in _named((line.line.start, line.line.end), factor)}
        begins = needed(asking, f"Which end of that line is the {first}?", places, _END.format(first))
        return text if begins == next(iter(places)) else set_key(text, "edge", "reverse", True)
    corners = _corners(line)
    if len(corners) < 2:
        raise DrawingError(
            f'"{line.path}" is closed and has no corners at which the edge could begin and end',
            mend="Draw the edge as a line of its own, from end to end, or choose another line.",
        )
    asking.tell("That line is closed: the edge is a part of it, from one corner to another.")
    points = dict(zip(_named(corners, factor), corners, strict=True))
    for key, end in (("from", first), ("to", last)):
        left = {name: "" for name in points}
        chosen = needed(asking, f"At which corner is the {end}?", left, _END.format(end))
        x, y = points.pop(chosen)
        text = set_key(text, "edge", key, [f"{number(x * factor, 2)} mm", f"{number(y * factor, 2)} mm"])
    return text


def _corners(line: Candidate) -> list[Point]:
    segments = line.line.segments
    curve = Curve(segments)
    found = [curve.point_at(along) for along, _ in curve.corners(_CORNER_DEG)[:_MOST_CORNERS]]
    (ax, ay), (bx, by) = segments[-1].tangent(1.0), segments[0].tangent(0.0)
    if abs(math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))) >= _CORNER_DEG:
        found.insert(0, line.line.start)
    return found


def _named(points: tuple[Point, ...] | list[Point], factor: float) -> list[str]:
    """Name places as they are seen in a drawing: the upper right one, with its figures."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    names = []
    for x, y in points:
        up = _part(y - min(ys), high, "upper", "lower") if high > wide / 10 else ""
        side = _part(x - min(xs), wide, "left", "right") if wide > high / 10 and (len(points) > 2 or not up) else ""
        where = " ".join(word for word in (up, side) if word) or "middle"
        names.append(f"{where}, {number(x * factor, 1)} across and {number(y * factor, 1)} down")
    return names


def _part(at: float, of: float, low: str, high: str) -> str:
    return low if at < of / 3 else high if at > of * 2 / 3 else ""


def cloth_asked(text: str, asking: Asking) -> str:
    """Ask on which side of the edge the over lap's cloth lies, where nothing told or drawn says it.

    Of an open line in a drawing it is asked even where the words tell it: a drawing that was made from the inside, or
    shows the other piece, is found so.
    """
    opens, lap = value_of(text, "garment", "opens"), value_of(text, "band", "lap")
    by_words = hand_by_words(opens, lap)
    over = lap.split(" over ")[0]
    first, _ = ends_told(text)
    drawing = value_of(text, "", "drawing")
    if drawing is None:
        if by_words is not None:
            return text
        asked = (
            f"Lay the {over} piece before you, outside up, its {first} away from you: on which side of the edge is "
            "its cloth?"
        )
        said = "Lay it so, or the pattern piece, and look: the edge is the finished one that will lie on top."
        return set_key(text, "edge", "cloth", needed(asking, asked, {"left": "", "right": ""}, said))
    listing = asking.drawing(drawing)
    line = next(one for one in listing.candidates if one.path == value_of(text, "edge", "path")).line
    if line.is_closed:
        return _held_against_outline(text, asking, line, _factor(text, listing))
    start, end = (line.end, line.start) if value_of(text, "edge", "reverse") else (line.start, line.end)
    seen = {viewers_side("right", start, end), viewers_side("left", start, end)}
    sides = {str(side): "" for side in _OTHER if side in seen}
    cloth = needed(asking, "On which side of that line is the cloth of the piece, as it is drawn?", sides, _SIDE)
    if by_words is None or hand_by_key(cloth, start, end) == by_words:  # type: ignore[arg-type]
        return set_key(text, "edge", "cloth", cloth)
    return _otherwise_drawn(text, asking, cloth, lap)


def _held_against_outline(text: str, asking: Asking, line: Drawn, factor: float) -> str:
    """Hold the garment's words against the side on which an outline shows its piece."""
    opens, lap = value_of(text, "garment", "opens"), value_of(text, "band", "lap")
    begins, ends = ([float(one.removesuffix(" mm")) / factor for one in value_of(text, "edge", key)] for key in _PARTS)
    cut = cut_stretch([line.segments], (begins[0], begins[1]), (ends[0], ends[1]), None, "")
    by_words = hand_by_words(opens, lap)
    if by_words is None or cut.piece_on is None or cut.piece_on == by_words:
        return text
    return _otherwise_drawn(text, asking, "", lap)


def _otherwise_drawn(text: str, asking: Asking, cloth: str, lap: str) -> str:
    """Ask why a piece lies on the other side of its edge than the garment's words have it.

    Args:
        text: the plan.
        asking: who asks.
        cloth: the side on which it was told to lie, as drawn; empty where an outline shows it.
        lap: which side lies on top.
    """
    over, under = lap.split(" over ")
    ways = {
        "drawn from the inside": "the drawing shows the piece with its wrong side up",
        f"{under} piece": f"the drawing shows the piece of the {under} side, which lies beneath",
        f"{under} over {over}": f"the {under} side lies on top after all",
        "other side": "the cloth is on the other side of that line after all",
        "other end": "the edge begins at its other end after all",
    }
    if not cloth:
        del ways["other side"]  # an outline shows where its piece is
    if value_of(text, "garment", "pieces") != "pair":
        del ways[f"{under} piece"]
    asking.tell(f"  With {lap}, seen from outside, the cloth lies on the other side of that line.")
    said = "It is never guessed: one of these is so. Lay the pattern on the garment, or on yourself, and look."
    found = list(ways).index(needed(asking, "Which of these is so?", ways, said))
    name = list(ways)[found]
    if name == "drawn from the inside":
        text = set_key(text, "band", "seen_from", "inside")
    elif name == f"{under} piece":
        text = set_key(text, "edge", "shows", "under")
    elif name == f"{under} over {over}":
        text = set_key(text, "band", "lap", name)
    elif name == "other end":
        text = _turned_round(text)
    return set_key(text, "edge", "cloth", _OTHER[cloth] if name == "other side" else cloth) if cloth else text


def _turned_round(text: str) -> str:
    begins, ends = (value_of(text, "edge", key) for key in _PARTS)
    if begins is not None:
        return set_key(set_key(text, "edge", "from", ends), "edge", "to", begins)
    is_reversed = value_of(text, "edge", "reverse")
    return remove_key(text, "edge", "reverse") if is_reversed else set_key(text, "edge", "reverse", True)
