"""Parts of a strip that hold nothing before a stretch that is left out: what is left out begins before them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from closures.drawing.paper.breaks import BEYOND_MM
from closures.drawing.paper.parts import Part, Strip


def without_stubs(strip: Strip, ways: Iterable[tuple[Part, ...]]) -> tuple[tuple[Part, ...], ...]:
    """Leave out the parts that hold nothing and end with a break, in each of some ways to cut a strip.

    Such a part is printed, cut out and taped on to tell no more than how much follows it: the part before it can.
    A join keeps clear of things, so that what holds them goes on beyond them; a part is left only where the words at
    its break find no room on the page of the part before it.
    """
    return tuple(dict.fromkeys(_without(strip, parts) for parts in ways))


def _without(strip: Strip, parts: tuple[Part, ...]) -> tuple[Part, ...]:
    kept: list[Part] = []
    for part in parts:
        if kept and part.before == "join" and part.after == "break" and not _holds_any(strip, part):
            last = kept[-1]
            if strip.fits(last.drawn_from_mm, last.high_mm + BEYOND_MM["break"]):
                more = part.left_out_mm + part.high_mm - last.high_mm
                kept[-1] = replace(last, after="break", left_out_mm=more)
                continue
        if kept and part.before == "break":
            part = replace(part, left_out_before_mm=kept[-1].left_out_mm)
        kept.append(part)
    return tuple(kept)


def _holds_any(strip: Strip, part: Part) -> bool:
    return any(part.low_mm < (thing.low_mm + thing.high_mm) / 2 < part.high_mm for thing in strip.things)
