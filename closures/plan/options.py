"""A plan made of command line options: the same table as a file's, through the same reader."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from closures.errors import Fault
from closures.lengths import is_length
from closures.plan.naming import OptionNaming
from closures.plan.reading import read_table
from closures.plan.values import Plan

__all__ = ["OPTIONS", "plan_from_options"]

OPTIONS = {
    ("", "title"): "--title",
    ("", "units"): "--units",
    ("", "drawing"): "--drawing",
    ("", "supplies"): "--supplies",
    ("edge", ""): "the edge",
    ("edge", "path"): "--path",
    ("edge", "straight"): "--straight",
    ("edge", "arc"): "--arc",
    ("edge", "arc length"): "--arc",
    ("edge", "arc radius"): "--radius",
    ("edge", "arc bows"): "--bows",
    # The keys of the arc's own table, as its examples name them.
    ("edge", "length"): "--arc",
    ("edge", "radius"): "--radius",
    ("edge", "bows"): "--bows",
    ("edge", "under"): "--under",
    ("edge", "line"): "--line",
    ("edge", "reverse"): "--reverse",
    ("edge", "level_zero"): "--level-zero",
    ("band", "width"): "--band",
    ("band", "under_width"): "--under-band",
    ("band", "inset"): "--inset",
    ("band", "under_inset"): "--under-inset",
    ("band", "lap"): "--lap",
    ("band", "seen_from"): "--seen-from",
    ("closure", "kind"): "--closure",
    ("closure", "size"): "--size",
    ("closure", "cap"): "--cap",
    ("closure", "grip"): "--grip",
    ("closure", "thickness"): "--thickness",
    ("closure", "hole"): "--hole",
    ("closure", "halves"): "--halves",
    ("closure", "spare"): "--spare",
    ("closure", "trial"): "--trial",
    ("spacing", ""): "the spacing",
    ("spacing", "first"): "--first",
    ("spacing", "last"): "--last",
    ("spacing", "pitch"): "--pitch",
    ("spacing", "count"): "--count",
    ("spacing", "widest"): "--widest",
    ("spacing", "closest"): "--closest",
    ("anchor", ""): "--anchor",
    ("clear", ""): "--clear",
    ("layer", ""): "--layer",
}
"""Which option stands for which key of a plan; without a key, for the section as a whole."""

Length = str | float | int | None

_LAYER = re.compile(r"(?:(?P<count>[0-9]{1,9})\s*[x×]\s*)?(?P<what>.+?)(?:\s+on\s+(?P<on>[a-z]+))?", re.IGNORECASE)
_ANCHOR = re.compile(r"(?P<along>along\s+)?(?P<at>.*?)(?:\s+within\s+(?P<within>.+))?", re.IGNORECASE)
_CLEAR = re.compile(r"(?P<along>along\s+)?(?P<at>.*)", re.IGNORECASE)


def plan_from_options(
    *,
    title: str | None = None,
    units: str = "mm",
    drawing: str | None = None,
    supplies: str | None = None,
    path: str | None = None,
    straight: Length = None,
    arc: Length = None,
    radius: Length = None,
    bows: str | None = None,
    under: str | None = None,
    line: str | None = None,
    reverse: bool = False,
    level_zero: Length = None,
    band: Length = None,
    under_band: Length = None,
    inset: Length = None,
    under_inset: Length = None,
    lap: str | None = None,
    seen_from: str | None = None,
    closure: str | None = None,
    size: str | None = None,
    cap: Length = None,
    grip: str | None = None,
    thickness: Length = None,
    hole: str | None = None,
    halves: str | None = None,
    spare: int | None = None,
    trial: int | None = None,
    first: Length = None,
    last: Length = None,
    pitch: Length = None,
    count: int | None = None,
    widest: Length = None,
    closest: Length = None,
    anchors: Sequence[str] = (),
    clear: Sequence[str] = (),
    layers: Sequence[str] = (),
) -> Plan:
    """Make a plan of options.

    Args:
        arc: length of an edge that is one arc, with its radius and the way it bows.
        band: finished width of the over lap's band.
        closure: kind of closure.
        grip: least and most, ``0.5 mm to 1.5 mm``.
        first, last: one length, or a range ``1/2 in to 3/4 in``.
        anchors: each ``bust point @ 9 1/4 in``; ``@ along 8 in`` for a place along the
            closing line, and ``within 1/8 in`` after it where the closure may sit off it.
        clear: each ``belt @ 15 in to 17 in``, or ``@ along 14 in to 16 in``.
        layers: each a cloth or a thickness, ``2 x cotton sateen on over``.
        Every other: as the plan's key of that name; texts are read as in a plan file.

    Returns:
        The plan, without a file name.

    Raises:
        PlanError: something is wrong; holds every fault found, each named by its option.
    """
    faults: list[Fault] = []
    arc_table = _given(length=arc, radius=radius, bows=bows)
    table = _given(
        title=title,
        units=units,
        drawing=drawing,
        supplies=supplies,
        edge=_given(
            path=path,
            straight=straight,
            arc=arc_table or None,
            under=under,
            line=line,
            reverse=reverse or None,
            level_zero=level_zero,
        ),
        band=_given(
            width=band,
            under_width=under_band,
            inset=inset,
            under_inset=under_inset,
            lap=lap,
            seen_from=seen_from,
        ),
        closure=_given(
            kind=closure,
            size=size,
            cap=cap,
            grip=_split_range(grip),
            thickness=thickness,
            hole=hole,
            halves=halves,
            spare=spare,
            trial=trial,
        ),
        spacing=_given(first=_end(first), last=_end(last), pitch=pitch, count=count, widest=widest, closest=closest),
        anchor=[_anchor(text) for text in _with_place(anchors, "--anchor", "bust point @ 9 1/4 in", faults)],
        clear=[_clear(text) for text in _with_place(clear, "--clear", "belt @ 15 in to 17 in", faults)],
        layer=[_layer(text) for text in layers],
    )
    return read_table(table, OptionNaming(OPTIONS), faults=faults)


def _given(**options: Any) -> dict[str, Any]:
    return {key: value for key, value in options.items() if value is not None}


def _split_range(text: Length) -> Any:
    """Make a list of two of ``a to b``; anything else stays, for the reader to judge."""
    parts = re.split(r"\s+to\s+", text.strip()) if isinstance(text, str) else []
    return parts if len(parts) == 2 else text


def _end(text: Length) -> Any:
    parts = _split_range(text)
    return {"from": parts[0], "to": parts[1]} if isinstance(parts, list) else parts


def _with_place(texts: Sequence[str], option: str, example: str, faults: list[Fault]) -> list[tuple[str, str]]:
    """Part each text into a name and a place at its last @; tell those that have none."""
    parted = []
    for nth, text in enumerate(texts, start=1):
        name, at, place = text.rpartition("@")
        if at:
            parted.append((name, place.strip()))
        else:
            where = f"{option} number {nth}"
            faults.append(Fault(where, f"{text[:60]!r} names no place", f'Write {option} "{example}".'))
    return parted


def _anchor(parts: tuple[str, str]) -> dict[str, Any]:
    name, place = parts
    match = _ANCHOR.fullmatch(place)
    if match is None:
        return {"name": name, "level": place}
    key = "along" if match["along"] else "level"
    return _given(name=name, within=match["within"], **{key: match["at"]})


def _clear(parts: tuple[str, str]) -> dict[str, Any]:
    name, place = parts
    match = _CLEAR.fullmatch(place)
    if match is None:
        return {"name": name, "level": place}
    return {"name": name, "along" if match["along"] else "level": _split_range(match["at"])}


def _layer(text: str) -> dict[str, Any]:
    match = _LAYER.fullmatch(text.strip())
    if match is None:
        return {"cloth": text}
    count = int(match["count"]) if match["count"] else None
    key = "thickness" if is_length(match["what"]) else "cloth"
    return _given(count=count, on=match["on"], **{key: match["what"]})
