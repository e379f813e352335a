"""A knitter's gauge: closures fall on whole rows or whole stitches."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Literal

from closures.frozen import frozen
from closures.lengths import format_length, shown_value
from closures.plan.kinds import Kind, Place, choice, more_than_nothing, whole
from closures.plan.section import Complaint, Fields, Key, Section

if TYPE_CHECKING:
    from closures.plan.plan import Plan
    from closures.plan.top import Units

MOST_PER_LENGTH = 400.0
"""Stitches or rows over the measured length: the finest machine knitting has about 100 rows to 10 cm."""

MOST_ACROSS = 200

USUAL_OVER_MM = 100.0
"""Ten centimetres, the length over which a gauge is given (common practice)."""

LEAST_KNITTED_MM, MOST_KNITTED_MM = 0.5, 60.0
"""Of a row or a stitch, from the finest of machines to knitting on the arms: our own rule, beyond what is made."""


@frozen
class GaugeWish:
    """How many stitches and rows a length of the knitting has, and which way the band was knitted.

    Attributes:
        stitches, rows: counted over that length.
        line: what is counted along the closing line: rows of a band that is knitted on its own, rows of the front with
            which the band is knitted (they lie level, however the edge runs), or stitches of a band that is picked up
            along the edge.
        over_mm: the length.
        cast_on: the end at which the band is begun: the first or the last end of the edge.
        sides: buttonholes begin in rows of the right side only, or in any row.
        across: stitches (of a band counted in rows) or rows (of one counted in stitches) that the band is wide; None
            where it is not told.
    """

    stitches: float
    rows: float
    line: Literal["band rows", "front rows", "stitches"]
    over_mm: float = USUAL_OVER_MM
    cast_on: Literal["first", "last"] = "last"
    sides: Literal["right side", "either"] = "right side"
    across: int | None = None

    @property
    def step_mm(self) -> float:
        """Height of one row, or width of one stitch, in the direction in which they are counted."""
        return self.over_mm / (self.stitches if self.line == "stitches" else self.rows)

    @property
    def across_mm(self) -> float:
        """Length of one stitch, or of one row, across the band."""
        return self.over_mm / (self.rows if self.line == "stitches" else self.stitches)


# Jumbo yarn is knitted to 6 stitches or fewer over 10 cm (Craft Yarn Council, Standard Yarn Weight System, from
# memory); over an inch that is a usual gauge. Which of the two is meant is asked.
_FEW_STITCHES = 7.0


_NUMBER = re.compile(r"(\d+(?:[.,]\d{1,2})?) ?[a-z]*")


def _over(value: object, place: Place) -> float:
    """Take the length over which both were counted; a unit alone, such as inch, is asked for its number."""
    if isinstance(value, str) and value.strip() and not any(sign.isnumeric() for sign in value):
        raise place.error(f"{shown_value(value)} tells no number", 'Write "1 in" or "10 cm".')
    return float(more_than_nothing(value, place))


def _count(word: str) -> Kind:
    def read(value: object, place: Place) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            told = _NUMBER.fullmatch(value.strip()) if isinstance(value, str) else None
            mend = (
                f"Write {told[1].replace(',', '.')}, the number alone, without quotes."
                if told
                else "Write a number such as 22 or 22.5."
            )
            raise place.error(f"{shown_value(value)} is not a number of {word}", mend)
        if not 1 <= value <= MOST_PER_LENGTH:
            raise place.error(f"{shown_value(value)} {word} cannot be", f"Write 1 to {MOST_PER_LENGTH:g}.")
        return float(value)

    return Kind(read, f"number of {word}", "number")


def _complaints(fields: Fields) -> Iterator[Complaint]:
    few = fields.get("stitches", _FEW_STITCHES)
    if few < _FEW_STITCHES and "over" not in fields:
        yield (
            "over",
            f"{few:g} stitches over 10 cm are of yarn as thick as a thumb, or they were counted over 1 in",
            'Write over = "1 in", or over = "10 cm".',
        )
    if fields.get("line") != "stitches":
        return
    mend = "Leave it out: its list tells from which end it is picked up."
    if "cast_on" in fields:
        yield "cast_on", "a band that is picked up along the edge is cast on at neither end", mend
    if "sides" in fields:
        yield "sides", "a band that is picked up has all its buttonholes in one row", mend


def _each(mm: float, units: Units) -> str:
    """How large a row or a stitch is, of which a tenth of a mm may hide the half."""
    return f"{mm:.3g} mm" if units == "mm" else f"{format_length(mm, units)} ({mm:.3g} mm)"


def _cannot_be(gauge: GaugeWish, units: Units) -> Iterator[Complaint]:
    """Tell a row or a stitch of a size that is not knitted: its number, or what it was counted over, is a slip."""
    for name, number in (("rows", gauge.rows), ("stitches", gauge.stitches)):
        mm = gauge.over_mm / number
        if not LEAST_KNITTED_MM <= mm <= MOST_KNITTED_MM:
            one = name.removesuffix("es" if name == "stitches" else "s")
            least, most = (format_length(limit, units) for limit in (LEAST_KNITTED_MM, MOST_KNITTED_MM))
            yield (
                name,
                f"{number:g} {name} over {format_length(gauge.over_mm, units)} make each {one} {_each(mm, units)}",
                f"Look at the number, and at over and its unit: {least} to {most} a {one} is taken (our own rule, "
                "beyond what is knitted).",
            )


LEAST_ROWS_TO_A_STITCH, MOST_ROWS_TO_A_STITCH = 0.5, 4.0
"""Over one length: our own rule, beyond what is knitted by hand or on a machine."""
_INCH_MM = 25.4


def _cannot_be_one_swatch(gauge: GaugeWish, units: Units) -> Iterator[Complaint]:
    """Tell rows and stitches that no one swatch has: one of them was counted over another length."""
    found = gauge.rows / gauge.stitches
    if LEAST_ROWS_TO_A_STITCH <= found <= MOST_ROWS_TO_A_STITCH:
        return
    high, wide = gauge.over_mm / gauge.rows, gauge.over_mm / gauge.stitches
    few = found < LEAST_ROWS_TO_A_STITCH
    name, number = ("rows", gauge.rows) if few else ("stitches", gauge.stitches)
    over = format_length(gauge.over_mm, units)
    other = [mm for mm in (_INCH_MM, USUAL_OVER_MM) if mm < gauge.over_mm]
    counted = [
        f"{number:g} over {'1 in' if mm == _INCH_MM else '10 cm'} are {number * gauge.over_mm / mm:.3g} over {over}"
        for mm in other
    ]
    told = f" ({'; '.join(counted)})" if counted else ""
    yield (
        name,
        f"{gauge.rows:g} rows beside {gauge.stitches:g} stitches over {over} make each row {_each(high, units)} high "
        f"and each stitch {_each(wide, units)} wide: no swatch is knitted so",
        f"Count both over one length, and write that as over{told}.",
    )


def _against(plan: Plan) -> Iterator[Complaint]:
    gauge, band = plan.gauge, plan.band
    if gauge is None:
        return
    sizes = tuple(_cannot_be(gauge, plan.units))
    yield from sizes or _cannot_be_one_swatch(gauge, plan.units)
    if plan.closure.bound:
        yield (
            "",
            "its buttonholes are knitted in, and [closure] tells that they are bound with cloth",
            "Leave bound out under [closure], or leave [gauge] out where the band is cut from cloth.",
        )
    if plan.garment is not None and plan.garment.state == "finished":
        yield (
            "",
            'its band is to be knitted, and [garment] tells state = "finished"',
            "Leave [gauge] out where the band is made already; or leave state out.",
        )
    if plan.stripe is not None:
        yield (
            "line",
            "closures cannot keep to stripes and to whole rows at once",
            "Leave [stripe] or [gauge] out; where stripes are knitted in, count them in rows.",
        )
    if band is not None and band.cut == "bias":
        yield (
            "",
            'its band is knitted, and [band] tells cut = "bias"',
            "Leave cut out under [band], or leave [gauge] out where the band is cut from cloth.",
        )
    if band is None or gauge.across is None:
        return
    wide_mm = gauge.across * gauge.across_mm
    if abs(wide_mm - band.width_mm) > max(gauge.across_mm, band.width_mm / 10):
        of = "rows" if gauge.line == "stitches" else "stitches"
        yield (
            "across",
            f"{gauge.across} {of} of this gauge are {format_length(wide_mm, plan.units)} wide, and the band is "
            f"{format_length(band.width_mm, plan.units)}",
            f"Check the gauge and [band] width; {round(band.width_mm / gauge.across_mm)} {of} would come nearest.",
        )


def _gauge(**told: Any) -> GaugeWish:
    return GaugeWish(**told)


GAUGE = Section(
    name="gauge",
    title="Knitting",
    meaning="Closures fall on whole rows or whole stitches of the knitting: [how to](../how-to/knitted-bands.md).",
    keys=(
        Key(
            "stitches",
            _count("stitches"),
            "22",
            "stitches, counted over the length `over`",
            label="Stitches",
            needed=True,
        ),
        Key("rows", _count("rows"), "30", "rows, counted over the same length", label="Rows", needed=True),
        Key(
            "over",
            replace(more_than_nothing, read=_over),
            '"10 cm"',
            "the length over which both were counted",
            label="Counted over",
            default='"10 cm"',
        ),
        Key(
            "line",
            choice("band rows", "front rows", "stitches"),
            '"band rows"',
            "what is counted along the closing line: `band rows` of a band knitted on its own, `front rows` where "
            "it is knitted with the front, `stitches` where it is picked up along the edge",
            label="Along the edge are counted",
            needed=True,
            note="band rows where the band is knitted on its own, front rows where it is knitted with the front, "
            "stitches where it is picked up.",
        ),
        Key(
            "cast_on",
            choice("first", "last"),
            '"last"',
            "of a band counted in rows: the end of the edge at which knitting begins",
            label="Knitting begins at the end that is",
            default='"last"',
        ),
        Key(
            "sides",
            choice("right side", "either"),
            '"right side"',
            "of a band counted in rows: buttonholes begin in rows that are worked from the right side, row 1 being "
            "one, or in either",
            label="Buttonholes begin in rows of",
            default='"right side"',
        ),
        Key(
            "across",
            whole(1, MOST_ACROSS),
            "9",
            "how many stitches (or, of a band that is picked up, rows) the band is wide",
            label="The band is wide",
            default="not told: where a buttonhole lies across the band is then said in mm alone",
        ),
    ),
    value=_gauge,
    not_with=("belt", "row", "swap", "change", "shrinkage"),
    complaints=_complaints,
    against=_against,
)
