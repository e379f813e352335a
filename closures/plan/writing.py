"""A Plan becomes the text of a plan file that reads back to the same Plan."""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from closures.lengths import format_inches, parse_length_mm
from closures.plan.values import (
    AnchorWish,
    ArcWish,
    BandWish,
    ClearWish,
    ClosureWish,
    EdgeWish,
    LayerWish,
    Plan,
    Range,
    SpacingWish,
)

__all__ = ["write_plan"]

Row = tuple[str, str | None]
"""A key and its value as TOML, None where it is left out."""


def write_plan(plan: Plan) -> str:
    """Write a plan as TOML.

    Lengths are written in the plan's units where that is exact (inches in sixteenths), and in
    mm otherwise, so that reading gives every float back to its last digit. What is at its
    default is left out.

    Args:
        plan: any plan that the reader gave.

    Returns:
        The text; `read_plan` of it, with the plan's own `where`, equals the plan.
    """
    pen = _Pen(plan.units)
    top = pen.section(
        "",
        [
            ("title", _text(plan.title)),
            ("units", _text(plan.units)),
            ("drawing", _text(plan.drawing)),
            ("supplies", _text(plan.supplies)),
        ],
    )
    parts = [
        top,
        pen.section("[edge]", pen.edge(plan.edge)),
        pen.section("[band]", pen.band(plan.band)),
        pen.section("[closure]", pen.closure(plan.closure)),
        pen.section("[spacing]", pen.spacing(plan.spacing)),
        *(pen.section("[[anchor]]", pen.anchor(anchor)) for anchor in plan.anchors),
        *(pen.section("[[clear]]", pen.clear(zone)) for zone in plan.clear),
        *(pen.section("[[layer]]", pen.layer(layer)) for layer in plan.layers),
    ]
    return "\n".join(parts)


class _Pen:
    """Writes values in the units of one plan."""

    def __init__(self, units: str) -> None:
        self.units = units

    def section(self, heading: str, rows: Iterable[Row]) -> str:
        lines = [heading] if heading else []
        lines += [f"{key} = {value}" for key, value in rows if value is not None]
        return "\n".join(lines) + "\n"

    def edge(self, edge: EdgeWish) -> list[Row]:
        zero = edge.level_zero
        return [
            ("path", _text(edge.path)),
            ("points", self._points(edge.points)),
            ("straight", self._length(edge.straight_mm)),
            ("arc", self._arc(edge.arc)),
            ("under", _text(edge.under)),
            ("line", _text(edge.line)),
            ("reverse", "true" if edge.reverse else None),
            ("level_zero", _text(zero) if isinstance(zero, str) else self._length(zero)),
        ]

    def band(self, band: BandWish) -> list[Row]:
        inset = None if band.inset_mm == band.width_mm / 2 else band.inset_mm
        under_width = None if band.under_width_mm == band.width_mm else band.under_width_mm
        under_inset = None if band.under_inset_mm == band.under_width_mm / 2 else band.under_inset_mm
        return [
            ("width", self._length(band.width_mm)),
            ("under_width", self._length(under_width)),
            ("inset", self._length(inset)),
            ("under_inset", self._length(under_inset)),
            ("lap", _text(band.lap)),
            ("seen_from", _unless(band.seen_from, "outside")),
        ]

    def closure(self, closure: ClosureWish) -> list[Row]:
        grip = None if closure.grip_mm is None else Range(*closure.grip_mm)
        return [
            ("kind", _text(closure.kind)),
            ("size", _text(closure.size)),
            ("cap", self._length(closure.cap_mm)),
            ("grip", self._span(grip)),
            ("thickness", self._length(closure.thickness_mm)),
            ("hole", _text(closure.hole)),
            ("halves", _unless(closure.halves, "usual")),
            ("spare", str(closure.spare) if closure.spare else None),
            ("trial", str(closure.trial) if closure.trial else None),
        ]

    def spacing(self, spacing: SpacingWish) -> list[Row]:
        return [
            ("first", self._end(spacing.first)),
            ("last", self._end(spacing.last)),
            ("pitch", self._length(spacing.pitch_mm)),
            ("count", None if spacing.count is None else str(spacing.count)),
            ("widest", self._length(spacing.widest_mm)),
            ("closest", self._length(spacing.closest_mm)),
        ]

    def anchor(self, anchor: AnchorWish) -> list[Row]:
        return [
            ("name", _text(anchor.name)),
            ("level", self._length(anchor.level_mm)),
            ("along", self._length(anchor.along_mm)),
            ("within", self._length(anchor.within_mm) if anchor.within_mm else None),
            ("which", None if anchor.which is None else str(anchor.which)),
        ]

    def clear(self, zone: ClearWish) -> list[Row]:
        return [
            ("name", _text(zone.name)),
            ("level", self._span(zone.level_mm)),
            ("along", self._span(zone.along_mm)),
            ("room", _unless(zone.room, "rim")),
        ]

    def layer(self, layer: LayerWish) -> list[Row]:
        return [
            ("cloth", _text(layer.cloth)),
            ("thickness", self._length(layer.thickness_mm)),
            ("on", _unless(layer.on, "both")),
            ("count", None if layer.count == 1 else str(layer.count)),
            ("across", self._span(layer.across_mm)),
            ("along", self._span(layer.along_mm)),
        ]

    def _length(self, mm: float | None) -> str | None:
        return None if mm is None else f'"{self._written(mm)}"'

    def _written(self, mm: float) -> str:
        if not math.isfinite(mm):
            raise ValueError(f"{mm} is not a length")
        if self.units == "in":
            inches = format_inches(mm)
            if parse_length_mm(inches, least_mm=None) == mm:
                return inches
        # All the digits of the shortest text that gives the float back, without an exponent.
        digits = f"{Decimal(repr(mm)):f}"
        whole = Fraction(digits)
        return f"{whole.numerator if whole.denominator == 1 else digits} mm"

    def _pair(self, first_mm: float, second_mm: float) -> str:
        return f'["{self._written(first_mm)}", "{self._written(second_mm)}"]'

    def _span(self, span: Range | None) -> str | None:
        return None if span is None else self._pair(span.low_mm, span.high_mm)

    def _end(self, end: Range) -> str | None:
        if end.low_mm == end.high_mm:
            return self._length(end.low_mm)
        return f'{{ from = "{self._written(end.low_mm)}", to = "{self._written(end.high_mm)}" }}'

    def _points(self, points: tuple[tuple[float, float], ...] | None) -> str | None:
        if points is None:
            return None
        return "[\n" + "".join(f"    {self._pair(across, down)},\n" for across, down in points) + "]"

    def _arc(self, arc: ArcWish | None) -> str | None:
        if arc is None:
            return None
        length, radius = self._length(arc.length_mm), self._length(arc.radius_mm)
        return f"{{ length = {length}, radius = {radius}, bows = {_text(arc.bows)} }}"


def _text(text: str | None) -> str | None:
    """Write a TOML basic string; what it may not hold as it is, is escaped."""
    if text is None:
        return None
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(_escaped(sign) for sign in escaped) + '"'


def _escaped(sign: str) -> str:
    return f"\\u{ord(sign):04X}" if ord(sign) < 0x20 or ord(sign) == 0x7F else sign


def _unless(word: str, default: str) -> str | None:
    return None if word == default else _text(word)
