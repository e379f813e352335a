"""How large a drawing is: what its scale is proved by, and what to ask where it is not."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from closures.edges.pieces import join_pieces
from closures.errors import DrawingError

if TYPE_CHECKING:
    from closures.edges.drawing import Drawing
    from closures.plan.drawing import KnownWish
    from closures.plan.edge import EdgeWish

# A drawing whose known length is off by more than this share was scaled on its way, as printers do.
_PROVED = 0.005
# A tape laid along a pattern by hand comes within this.
_TAPED = 0.02


def told_otherwise(drawing: Drawing, wish: EdgeWish, at: Callable[[float | None], Drawing]) -> tuple[str, ...]:
    """Say what the drawing itself tells of its size, where the scale that the plan tells is another."""
    try:
        own = at(None)
        if pixels_of(own):  # in px or without a unit it tells no size
            return ()
    except DrawingError:
        return ()
    by_itself = dict(_named_lengths(own, wish))
    both = [(name, mm, by_itself[name]) for name, mm in _named_lengths(drawing, wish) if by_itself.get(name)]
    if not both or abs(both[0][1] / both[0][2] - 1) <= _PROVED:
        return ()
    name, taken, told = both[0]
    whole = "" if wish.begins is None else "all of "
    return (
        f'Scale: {whole}"{name}" is {_both(taken)} by the scale that the plan tells, and {_both(told)} by the size '
        "that the drawing tells of itself. Lay a tape on the piece: where the drawing is right, leave scale out.",
    )


def odd_unit(plain: Drawing, known: KnownWish, unit_mm: float) -> str:
    """What to say of a unit that no program draws in: its length may be mistyped; empty for a usual one."""
    pixels = pixels_of(plain)
    to_unit = 1.0 if pixels is None else pixels[2]
    usual = {name: mm * to_unit for name, mm in _UNITS_MM.items()}
    if any(abs(unit_mm / mm - 1) <= _TAPED for mm in usual.values()):
        return ""
    told = measure(plain, known.path)
    likely = [(name, mm) for name, mm in usual.items() if _EDGES_MM[0] <= told * mm <= _EDGES_MM[1]][:3]
    words = " or ".join(f"{_both(told * mm)} in {name}" for name, mm in likely)
    would = f": {known.path} would be {words}" if words else ""
    return (
        f" No drawing program has such a unit{would}. Was {_both(known.length_mm)} measured "
        "along that very line? A print that was scaled, or a tracing, comes out so."
    )


def pixels_of(drawing: Drawing) -> tuple[float, float, float] | None:
    found: tuple[float, float, float] | None = getattr(drawing, "pixels", None)
    return found


def ask_for_scale(plain: Drawing, wish: EdgeWish) -> None:
    """Ask for the scale of a drawing that tells no size, or one in px or with no unit: guessed, it may be a third out.

    Args:
        plain: the drawing, a unit of it read as a mm.
        wish: the lines that the plan names, whose lengths are told at either scale.

    Raises:
        DrawingError: with the two likely answers in figures.
    """
    pixels = pixels_of(plain)
    if pixels is None:
        return
    width, height, to_unit = pixels
    is_unsized = getattr(plain, "is_unsized", False)
    ways = [(f"at {per_inch} to the inch", 25.4 / per_inch) for per_inch in (96, 72)]
    answers = []
    for way, px in [*ways, *([("in mm", 1.0)] if is_unsized else [])]:
        page = _paper_in_words(width * px, height * px)
        whole = "" if wish.begins is None else "all of "
        lines = "".join(
            f', {whole}"{name}" {_both(length * to_unit * px)}' for name, length in _named_lengths(plain, wish)
        )
        answers.append(f'{way} the page is {page}{lines}: scale = "{_as_scale(px * to_unit)}"')
    raise DrawingError(
        f"the drawing does not say how large it is: its viewBox, {width:g} by {height:g}, may have any unit"
        if is_unsized
        else f"its size, {width:g} by {height:g}, is told in px or without a unit, and a px may be 1/96 or 1/72 in",
        where=plain.where,
        mend=f"Lay a tape on the piece, and write under [edge] the scale that fits: {'; or '.join(answers)}. A "
        'ruler or test square does it too: known = { path = "ruler", length = "2 in" }.',
    )


def _named_lengths(plain: Drawing, wish: EdgeWish) -> list[tuple[str, float]]:
    found = []
    for name in wish.names[:2]:
        try:
            found.append((name, sum(line.length_mm for line in plain.lines(name))))
        except DrawingError:
            continue
    return found


def _both(mm: float) -> str:
    from closures.lengths import format_inches, format_mm

    return f"{format_mm(mm)} ({format_inches(mm)})"


# Sheets that pieces are drawn on (ISO 216; ANSI/ASME Y14.1), the shorter side first.
_SHEETS = (
    ("A4", 210.0, 297.0), ("A3", 297.0, 420.0), ("A2", 420.0, 594.0), ("A1", 594.0, 841.0), ("A0", 841.0, 1189.0),
    ("Letter", 215.9, 279.4), ("Tabloid", 279.4, 431.8),
)  # fmt: skip
_SHEET_WITHIN_MM = 1.0


def _paper_in_words(width_mm: float, height_mm: float) -> str:
    short, long = sorted((width_mm, height_mm))
    for name, one, other in _SHEETS:
        if abs(short - one) <= _SHEET_WITHIN_MM and abs(long - other) <= _SHEET_WITHIN_MM:
            return name
    return f"{width_mm:.0f} by {height_mm:.0f} mm"


# What drawing programs count in, in mm: CSS px and points, and the plain units.
_UNITS_MM = {
    "px of 96 to the inch": 25.4 / 96, "points": 25.4 / 72, "mm": 1.0, "tenths of a mm": 0.1, "cm": 10.0,
    "inches": 25.4, "hundredths of a mm": 0.01, "px of 90 to the inch": 25.4 / 90,
}  # fmt: skip
_SAME_UNIT = 1e-5
"""A share far below what a tape tells: a unit measured as 0.99999998 mm is 1 mm."""


def _as_scale(unit_mm: float) -> str:
    usual = next((one for one in _UNITS_MM.values() if abs(unit_mm / one - 1) <= _SAME_UNIT), unit_mm)
    return f"{usual:.8g} mm"


# From a baby's flap to a long coat: our own rule.
_EDGES_MM = (60.0, 2500.0)


def refuse_odd_scale(plain: Drawing, wish: EdgeWish, unit: float) -> None:
    """Refuse a known length that gives no usual scale, where another line in the drawing gives one."""
    pixels = pixels_of(plain)
    if pixels is None or wish.known is None:
        return
    usual = [25.4 / per_inch * pixels[2] for per_inch in (96, 72)]
    if any(abs(unit / one - 1) <= _PROVED for one in usual):
        return
    for per_inch, one in zip((96, 72), usual, strict=True):
        other = _line_of(plain, wish.known.length_mm / one)
        if other is not None:
            raise DrawingError(
                f'by "{wish.known.path}" a unit would be {unit:.4g} mm, which is no usual scale; "{other}" is '
                f"{_both(wish.known.length_mm)} long at {per_inch} px to the inch",
                where=plain.where,
                mend=f'Is "{other}" what you measured? Then write path = "{other}" in known. Else write '
                f'scale = "{_as_scale(unit)}".',
            )


_ROUND_MM = (10.0, 25.4)
_AS_DRAWN = 2e-5
"""A share within which a line drawn to a round figure comes to it: files tell 100 mm as 377.95 px, or nearer."""


def refuse_other_figure(plain: Drawing, known: KnownWish, unit: float) -> None:
    """Refuse a known length where its line is another, round one at a usual scale: 4 in told of a ruler of 10 cm.

    What lies further off is told as an odd unit, and what lies nearer is as good as a tape.
    """
    pixels = pixels_of(plain)
    if pixels is None:
        return
    for per_inch in (96, 72):
        usual = 25.4 / per_inch * pixels[2]
        drawn = measure(plain, known.path) * usual
        counts = [drawn / one for one in _ROUND_MM]
        is_round = any(round(n) >= 1 and abs(n - round(n)) <= _AS_DRAWN * n for n in counts)
        if is_round and _PROVED < abs(unit / usual - 1) <= _TAPED:
            raise DrawingError(
                f'"{known.path}" is {_both(drawn)} at {per_inch} px to the inch, a round figure, and '
                f"{_both(known.length_mm)} is told of it",
                where=plain.where,
                mend=f'Is it {_both(drawn)}? Then write length = "{drawn:.5g} mm" in known. If a tape tells '
                f'otherwise, write scale = "{_as_scale(unit)}" in place of known.',
            )


def _line_of(drawing: Drawing, length: float) -> str | None:
    """The name of a line, or of a square by its side, that is so long."""
    for line in drawing.all_lines():
        box = line.box
        across, down = box[2] - box[0], box[3] - box[1]
        is_square = line.is_closed and abs(across - down) <= _PROVED * length
        measured = across if is_square else (line.length_mm if not line.is_closed else 0.0)
        if abs(measured - length) <= _PROVED * length:
            return line.name
    return None


def proved(drawing: Drawing, wish: EdgeWish, at: Callable[[float], Drawing]) -> str:
    known = wish.known
    if known is None:
        return ""
    measured = measure(drawing, known.path)
    share = measured / known.length_mm
    if abs(share - 1) > _PROVED:
        unit = known.length_mm / measure(at(1.0), known.path)
        other = _line_of(drawing, known.length_mm)
        fits = "" if other is None else f' "{other}" measures {known.length_mm:g} mm: is that the one you meant?'
        raise DrawingError(
            f'"{known.path}" measures {measured:.2f} mm, {share:.1%} of the {known.length_mm:g} mm that it should be',
            where=drawing.where,
            mend=f"The drawing is not to scale, or this is another line.{fits} Is the length right? Then write "
            f'scale = "{_as_scale(unit)}".',
        )
    return f'Scale: proved, "{known.path}" measures {measured:.2f} mm for {known.length_mm:g} mm.'


def measure(drawing: Drawing, name: str) -> float:
    """The length of an open line, or the side of a square."""
    chains = join_pieces(drawing.lines(name))
    where = f'{drawing.where}, "{name}"'
    if len(chains) != 1:
        raise DrawingError(
            f"these are {len(chains)} lines, and a known length is one", where=where, mend="Name one of them."
        )
    chain = chains[0]
    if math.dist(chain[0].start, chain[-1].end) > 1e-3 * sum(segment.length_mm for segment in chain):
        return sum(segment.length_mm for segment in chain)
    boxes = [segment.box for segment in chain]
    across = max(b[2] for b in boxes) - min(b[0] for b in boxes)
    down = max(b[3] for b in boxes) - min(b[1] for b in boxes)
    if abs(across / down - 1 if down else 1.0) > _PROVED:
        raise DrawingError(
            f"it is {across:.2f} across and {down:.2f} mm down: it is no square, or is scaled unevenly",
            where=where,
            mend="Name an open line, or a square, whose length you know.",
        )
    return (across + down) / 2
