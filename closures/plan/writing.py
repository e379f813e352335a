"""A Plan becomes the text of a plan file that reads back to the same Plan."""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from closures.lengths import format_inches, parse_length_mm
from closures.plan import edge_writing as write
from closures.plan import size_writing as write_sizes
from closures.plan.anchors import AnchorWish, ClearWish
from closures.plan.arc import ArcWish
from closures.plan.band import BandWish
from closures.plan.belt import BeltWish
from closures.plan.closure import ClosureWish
from closures.plan.edge import EdgeWish
from closures.plan.edge_writing import text_as_toml as _text
from closures.plan.gape_writing import gape_parts
from closures.plan.kinds import Range
from closures.plan.layers import LayerWish
from closures.plan.plan import Plan
from closures.plan.row import RowWish
from closures.plan.spacing import SpacingWish
from closures.plan.strap import SpotWish
from closures.plan.swap import ChangeWish, HoleWish, SwapWish
from closures.plan.workshop_writing import workshop_parts

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
        *([pen.section("[edge]", pen.edge(plan.edge))] if plan.edge else []),
        *([pen.section("[band]", pen.band(plan.band))] if plan.band else []),
        *([pen.section("[belt]", pen.belt(plan.belt))] if plan.belt else []),
        *([pen.section("[row]", pen.row(plan.row))] if plan.row else []),
        pen.section("[closure]", pen.closure(plan.closure)),
        *([pen.section("[spacing]", pen.spacing(plan.spacing))] if plan.spacing else []),
        *(pen.section("[[anchor]]", pen.anchor(anchor)) for anchor in plan.anchors),
        *(pen.section("[[clear]]", pen.clear(zone)) for zone in plan.clear),
        *(pen.section("[[layer]]", pen.layer(layer)) for layer in plan.layers),
        *([pen.section("[swap]", pen.swap(plan.swap))] if plan.swap else []),
        *([pen.section("[change]", pen.change(plan.change))] if plan.change else []),
        *([pen.section("[sizes]", write_sizes.sizes(plan.sizes, pen._quoted))] if plan.sizes else []),
        *(pen.section(heading, rows) for heading, rows in workshop_parts(plan, pen._quoted)),
        *(pen.section(heading, rows) for heading, rows in gape_parts(plan, pen._quoted)),
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
            ("path", _text(edge.path) or write.names(edge.pieces)),
            ("points", self._points(edge.points) or _text(edge.points_file)),
            ("straight", self._length(edge.straight_mm)),
            ("arc", self._arc(edge.arc)),
            ("arc_through", self._points(edge.arc_through)),
            ("trace", write.trace(edge.trace)),
            ("from", write.place(edge.begins, self._quoted)),
            ("to", write.place(edge.ends, self._quoted)),
            ("via", write.place(edge.via, self._quoted)),
            ("under", _text(edge.under)),
            ("line", _text(edge.line)),
            ("reverse", "true" if edge.reverse else None),
            ("level_zero", _text(zero) if isinstance(zero, str) else self._length(zero)),
            ("known", write.known(edge.known, self._quoted)),
            ("scale", self._length(edge.unit_mm)),
            ("layers", write.layers(edge.layers)),
            ("tiles", write.tiles(edge.tiles, self._quoted)),
            ("joins", write.joins(edge.joins, self._quoted)),
            ("moved", write_sizes.moves(edge.moved, self._quoted)),
            ("longer", write_sizes.moves(edge.longer, self._quoted)),
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

    def belt(self, belt: BeltWish) -> list[Row]:
        sizes = ", ".join(f'{_text(name)} = "{self._written(waist)}"' for name, waist in belt.sizes)
        usual = "inside" if belt.target_mm is None else "middle"
        return [
            ("waist", self._length(belt.waist_mm)),
            ("target", self._length(belt.target_mm)),
            ("sizes", f"{{ {sizes} }}" if belt.sizes else None),
            ("over", self._length(belt.between_mm) if belt.between_mm else None),
            ("measured", _unless(belt.measured, usual)),
            ("width", self._length(belt.width_mm)),
            ("settings", str(belt.settings)),
            ("step", self._length(belt.step_mm)),
            ("caps", f"[{', '.join(self._quoted(mm) for mm in belt.caps_mm)}]"),
            ("free", self._length(belt.free_mm)),
            ("length", self._length(belt.length_mm)),
            ("carriers", None if belt.carriers == 3 else str(belt.carriers)),
            *self._of_any_strap(belt),
        ]

    def row(self, row: RowWish) -> list[Row]:
        return [
            ("length", self._length(row.length_mm)),
            ("height", self._length(row.height_mm)),
            ("over", self._spots(row.over)),
            ("under", self._spots(row.under) if row.under else None),
            ("piece", _unless(row.piece, "strap")),
            ("overlap", self._length(row.overlap_mm)),
            ("target", self._length(row.target_mm)),
            ("pair", "true" if row.pair else None),
            *self._of_any_strap(row),
        ]

    def _of_any_strap(self, strap: BeltWish | RowWish) -> list[Row]:
        own = strap.under_allowance_mm != strap.allowance_mm
        return [
            ("thickness", self._length(strap.thickness_mm)),
            ("ends", _unless(strap.ends, "square")),
            ("allowance", self._length(strap.allowance_mm) if strap.allowance_mm else None),
            ("under_allowance", self._length(strap.under_allowance_mm) if own else None),
            ("made", _unless(strap.made, "two pieces")),
            ("lap", _text(strap.lap)),
            ("between_rims", self._length(strap.between_rims_mm)),
            ("rim_to_edge", self._length(strap.rim_to_edge_mm)),
        ]

    def _spots(self, spots: tuple[SpotWish, ...]) -> str:
        written = (
            self._quoted(spot.from_tip_mm) if spot.height_mm is None else self._pair(spot.from_tip_mm, spot.height_mm)
            for spot in spots
        )
        return f"[{', '.join(written)}]"

    def _quoted(self, mm: float) -> str:
        return f'"{self._written(mm)}"'

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
            ("for", _unless(spacing.aim, "even")),
        ]

    def anchor(self, anchor: AnchorWish) -> list[Row]:
        return [
            ("name", _text(anchor.name)),
            ("level", self._length(anchor.level_mm)),
            ("along", self._length(anchor.along_mm)),
            ("at", write.place(anchor.at, self._quoted)),
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

    def swap(self, swap: SwapWish) -> list[Row]:
        places = None if swap.places_mm is None else ", ".join(f'"{self._written(mm)}"' for mm in swap.places_mm)
        return [
            ("kind", _text(swap.kind)),
            ("size", _text(swap.size)),
            ("cap", self._length(swap.cap_mm)),
            ("thickness", self._length(swap.thickness_mm)),
            ("places", None if places is None else f"[{places}]"),
            ("first", self._length(swap.first_mm)),
            ("last", self._length(swap.last_mm)),
            ("count", None if swap.count is None else str(swap.count)),
            ("hole", self._hole(swap.hole)),
            ("patch", self._length(swap.patch_mm)),
        ]

    def change(self, change: ChangeWish) -> list[Row]:
        at, by = self._length(change.lengthen.at_mm), self._length(change.lengthen.by_mm)
        return [("lengthen", f"{{ at = {at}, by = {by} }}")]

    def _hole(self, hole: HoleWish | None) -> str | None:
        if hole is None:
            return None
        rows = [
            ("way", _text(hole.way)),
            ("length", self._length(hole.length_mm)),
            ("past", self._length(hole.past_mm)),
            ("made", "true" if hole.made else "false"),
        ]
        return "{ " + ", ".join(f"{key} = {value}" for key, value in rows if value is not None) + " }"

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


def _unless(word: str, default: str) -> str | None:
    return None if word == default else _text(word)
