"""The parts of a closure as they stack, seen from the side, through both laps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.app.web.ink import tag, words
from closures.series import a_or_an

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener

_WIDTH, _ROW, _MIDDLE = 240.0, 26.0, 62.0
_HALF = 34.0


def draw_parts(fastener: Fastener) -> str:
    """Draw the parts from the outside inwards, with their names; a sketch, not to scale.

    Args:
        fastener: the closure.

    Returns:
        One `svg` element.
    """
    rows: list[str] = []
    y = 16.0
    for lap in ("over", "under"):
        parts = fastener.parts_on("over" if lap == "over" else "under")
        # A part that shows outside lies on the cloth, the rest of that lap's beneath it.
        before = parts[:1] if len(parts) > 1 else (parts if lap == "under" else ())
        for part in before:
            rows.append(_part(part.name, part.each, y))
            y += _ROW
        rows.append(_cloth(lap, y))
        y += _ROW
        for part in parts[len(before) :]:
            rows.append(_part(part.name, part.each, y))
            y += _ROW
        y += 6.0
    label = ", ".join(part.name for part in fastener.parts)
    return tag(
        "svg",
        "".join(rows),
        viewBox=f"0 0 {_WIDTH:.0f} {y:.0f}",
        role="img",
        aria_label=f"The parts of {a_or_an(fastener.kind)} from the outside inwards: {label}",
        class_="parts",
    )


def _cloth(lap: str, y: float) -> str:
    strip = tag("rect", x=4.0, y=y - 5.0, width=2 * _MIDDLE - 8.0, height=10.0, class_=f"cloth {lap}")
    hatch = tag("rect", x=4.0, y=y - 5.0, width=2 * _MIDDLE - 8.0, height=10.0, fill="url(#hatch)")
    return strip + (hatch if lap == "under" else "") + words(f"{lap} lap", (2 * _MIDDLE + 6, y), 13.0, "lap-name")


def _part(name: str, each: int, y: float) -> str:
    shown = name if each == 1 else f"{each} × {name}"
    return tag("path", d=_outline(name, y), class_="part") + words(shown, (2 * _MIDDLE + 6, y), 13.0, "part-name")


def _outline(name: str, y: float) -> str:
    """A side view that tells one kind of part from another by its shape alone."""
    x, w = _MIDDLE, _HALF
    if "ring" in name or name in ("tack", "post"):
        legs = "".join(f"M{x + d} {y + 2}l0 9" for d in ((0,) if name in ("tack", "post") else (-w / 2, w / 2)))
        return f"M{x - w} {y - 2}h{2 * w}v4h{-2 * w}z{legs}"
    if name in ("cap", "tack button"):
        return f"M{x - w} {y + 5}q0 -12 {w} -12q{w} 0 {w} 12z"
    if "socket" in name or "counter" in name:
        return f"M{x - w} {y - 5}h{2 * w}v10h{-w * 0.7}v-5h{-w * 0.6}v5h{-w * 0.7}z"
    if "stud" in name or "ball" in name or "magnet" in name:
        return f"M{x - w} {y + 5}v-5h{w * 0.75}v-6h{w * 0.5}v6h{w * 0.75}v5z"
    if name == "button":
        return f"M{x - w} {y - 4}h{2 * w}v8h{-2 * w}zM{x - 8} {y - 4}v8M{x + 8} {y - 4}v8"
    name = {"round eye": "eye", "straight eye": "bar"}.get(name, name)
    if name in ("hook", "eye", "bar"):
        bend = {"hook": f"q{w} 0 {w} 6h{-w}", "eye": f"q{w * 0.8} 4 0 8", "bar": "v6"}[name]
        return f"M{x - w} {y - 3}h{w}{bend}"
    return f"M{x - w} {y - 3}h{2 * w}v6h{-2 * w}z"
