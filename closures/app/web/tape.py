"""A tape drawn to scale, along which old closures are tapped in place of writing down where they are."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from closures.app.web.fields import label_of, with_fields
from closures.app.web.ink import tag, words
from closures.errors import ClosureError
from closures.lengths import format_length, parse_length_mm
from closures.placing.garment import ends_called
from closures.plan.editing import value_of
from closures.plan.garment import SIDES_OF, GarmentWish
from closures.plan.swap import MOST_OLD

if TYPE_CHECKING:
    from starlette.requests import Request

_WIDE, _LEFT, _RIGHT, _TOP, _DEEP = 1000.0, 24.0, 976.0, 34.0, 46.0
_BUTTON, _FINGER = 13.0, 22.0
"""What is drawn of a closure, and what a finger can hit: 24 px also where the tape is as narrow as it gets."""
_STEPS = {"mm": (1.0, 10.0, 50.0, 100.0), "in": (25.4 / 16, 25.4, 25.4, 25.4 * 4)}
"""What a tap is rounded to, and the ticks: small, middle and with a figure, mm. A tape's own, common practice."""
_LONGEST_MM = 5000.0
"""Ticks beyond this would be a grey bar; no edge with buttons to swap is as long."""
_LONGEST_NAME = 40
"""Of an end, in letters: both names stand above the tape. Our own rule."""


def tape_route() -> Route:
    """The address that a tape is asked of: what stands in the fields, and what a hand does to it."""

    async def tape(request: Request) -> Response:
        return JSONResponse(tape_told({name: told[:4000] for name, told in request.query_params.items()}))

    return Route("/tape", tape)


def ends_told(values: Mapping[str, str]) -> tuple[str, str]:
    """What the wearer calls the two ends of the edge, by what stands in the fields."""
    named = tuple(one.strip() for one in re.split(r"[,;\n]", values.get("garment.ends", "")) if one.strip())
    if len(named) == 2:
        return named[0], named[1]
    opens = next((one for one in SIDES_OF if one == values.get("garment.opens")), None)
    return ends_called(GarmentWish(opens=opens))


def tape_told(asked: Mapping[str, str]) -> dict[str, Any]:
    """Draw the tape, with what a hand did to it.

    Args:
        asked: ``length`` and ``places`` as they stand in their fields, ``units`` of bare numbers, ``first``
            and ``last``, what the ends are called; ``at``, where on the
            tape one is to be set, in mm, or taken out where there is one; with ``from``, the number from 1 of one that
            is moved there; ``out``, the number of one that goes.

    Returns:
        The tape as a picture, empty where its length is not told; what stands in the field of places then; and what is
        to be said of it.
    """
    units = "in" if asked.get("units") == "in" else "mm"
    try:
        length = _length(asked.get("length", ""), units)
        places = _places(asked.get("places", ""), units)
        places, told = _with_hand(places, length, asked, units)
    except ClosureError as error:
        return {"tape": "", "places": asked.get("places", ""), "told": " ".join(str(one) for one in error.faults)}
    if not 0 < length <= _LONGEST_MM:
        return {"tape": "", "places": asked.get("places", ""), "told": "Tell the length first: then a tape lies here."}
    beyond = [place for place in places if place > length]
    told = told or (f"{format_length(beyond[0], units)} lies beyond the end." if beyond else _count(len(places)))
    text = asked.get("places", "")
    if "at" in asked or "out" in asked:
        text = ", ".join(format_length(place, units) for place in places)
    return {"tape": _drawn(length, places, units, _ends(asked)), "places": text, "told": told}


def _length(text: str, units: str) -> float:
    held = value_of(with_fields("", {".units": units, "edge.straight": text}), "edge", "straight")
    return 0.0 if held is None else parse_length_mm(held, units, where=label_of("edge.straight"))


def _places(text: str, units: str) -> list[float]:
    held = value_of(with_fields("", {".units": units, "swap.places": text}), "swap", "places")
    return (
        [parse_length_mm(one, units, where=label_of("swap.places")) for one in held] if isinstance(held, list) else []
    )


def _with_hand(places: list[float], length: float, asked: Mapping[str, str], units: str) -> tuple[list[float], str]:
    """Put a closure where a hand tapped, take out the one that is there, or move one; and say which."""
    gone = _number(asked.get("out", ""), places)
    if gone:
        return [
            one for n, one in enumerate(places, 1) if n != gone
        ], f"Taken out: {format_length(places[gone - 1], units)}."
    at = asked.get("at", "")
    if not re.fullmatch(r"-?\d{1,6}(\.\d{1,6})?", at):
        return places, ""
    step = _STEPS[units][0]
    place = min(max(round(float(at) / step) * step, 0.0), length)
    moved = _number(asked.get("from", ""), places)
    if moved:
        return _joined([one for n, one in enumerate(places, 1) if n != moved], place, units, "Moved to")
    near = min(places, key=lambda one: abs(one - float(at)), default=None)
    if near is not None and abs(near - float(at)) <= step:
        return [one for one in places if one != near], f"Taken out: {format_length(near, units)}."
    if len(places) >= MOST_OLD:
        return places, f"{MOST_OLD} are the most that can be told."
    return _joined(places, place, units, "Set at")


def _ends(asked: Mapping[str, str]) -> tuple[str, str]:
    first, last = ends_called(None)
    return asked.get("first", "")[:_LONGEST_NAME] or first, asked.get("last", "")[:_LONGEST_NAME] or last


def _number(text: str, places: list[float]) -> int:
    """The number of one on the tape; 0 for none."""
    return int(text) if re.fullmatch(r"\d{1,3}", text) and 1 <= int(text) <= len(places) else 0


def _joined(places: list[float], place: float, units: str, done: str) -> tuple[list[float], str]:
    if any(abs(one - place) < _STEPS[units][0] / 2 for one in places):
        return sorted(places), "There is one already."
    return sorted((*places, place)), f"{done} {format_length(place, units)}. {_count(len(places) + 1)}"


def _count(count: int) -> str:
    return "None told yet." if not count else f"{count} on the tape."


def _drawn(length: float, places: list[float], units: str, ends: tuple[str, str]) -> str:
    """The tape from its first end on the left, as wide as its place on the page."""
    _, small, middle, figure = _STEPS[units]
    scale = (_RIGHT - _LEFT) / length

    def x(along: float) -> float:
        return _LEFT + along * scale

    bottom = _TOP + _DEEP
    drawn = [tag("path", d=f"M{_LEFT} {_TOP}H{_RIGHT}V{bottom}H{_LEFT}Z", class_="tape-band")]
    ticks = []
    small = small if length / small <= 120 else middle
    for n in range(int(length / small + 1e-9) + 1):
        along = n * small
        is_figure = _is_multiple(along, figure)
        deep = 18.0 if is_figure else 13.0 if _is_multiple(along, middle) else 8.0
        ticks.append(f"M{x(along):.2f} {bottom}v{-deep}")
        if is_figure and x(along) < _RIGHT - 30:
            drawn.append(
                words(
                    str(round(along / (25.4 if units == "in" else 1))),
                    (x(along), bottom + 16),
                    17.0,
                    "tape-words",
                    "middle",
                )
            )
    drawn.append(tag("path", d="".join(ticks), class_="tape-ticks"))
    drawn.append(words(f"{ends[1]}, {format_length(length, units)}", (_RIGHT, 14.0), 17.0, "tape-words", "end"))
    drawn.append(words(ends[0], (_LEFT, 14.0), 17.0, "tape-words"))
    for n, place in enumerate(places, 1):
        at, y = min(x(place), _WIDE), _TOP + 15.0
        inside = tag("circle", cx=at, cy=y, r=_BUTTON, class_="tape-button") + words(
            str(n), (at, y), 15.0, "tape-words", "middle"
        )
        inside += tag("rect", x=at - _FINGER, y=y - _FINGER, width=2 * _FINGER, height=2 * _FINGER, class_="tape-reach")
        drawn.append(tag("g", inside, data_n=n, class_="tape-one"))
    told = f"A tape of {format_length(length, units)}, the {ends[0]} on the left, the {ends[1]} on the right. " + (
        "On it: " + ", ".join(format_length(place, units) for place in places) if places else "Nothing on it yet"
    )
    return tag(
        "svg",
        "".join(drawn),
        viewBox=f"0 0 {_WIDE:.0f} {bottom + 30:.0f}",
        role="img",
        aria_label=told + ".",
        data_left=_LEFT,
        data_scale=f"{scale:.8f}",
        data_length=f"{length:.4f}",
        data_step=f"{_STEPS[units][0]:.6f}",
        class_="tape-svg",
    )


def _is_multiple(along: float, of: float) -> bool:
    return abs(along / of - round(along / of)) < 1e-6
