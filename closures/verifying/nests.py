"""A finished nest, read back from its SVG: every size on it must be the size that its own report tells.

Sizes may be moved on a nest, so as to meet at their first ends, and turned all together: held are the shape that the
marks of a size make, not mirrored, and how far each lies from its own finished edge.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.etree import ElementTree

from closures.verifying.measured import Measured, Point, lines_of_path, measured
from closures.verifying.sheet_read import centre_of, require_still
from closures.verifying.turns import turned_about

_SVG = "{http://www.w3.org/2000/svg}"
_MARK_MM = 0.005
"""What two promises of 0.002 mm, turned about each other, can come to."""
_EDGE_MM = 0.02
"""How far a mark may lie off its distance to an edge that was cut into chords."""


def faults_of_nest(svg: bytes, told: Mapping[str, Any], sizes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """Say what is wrong with a nest, one sentence each.

    Args:
        svg: the file.
        told: what the report says of it: its lap, and whether it is flipped.
        sizes: the report of every size that was placed.

    Raises:
        ValueError: it is no sheet that can be read.
    """
    root, lap = ElementTree.fromstring(svg), told["lap"]
    require_still(root)
    groups = {group.get("id", ""): group for group in root.iter(f"{_SVG}g")}
    seen: set[str] = set()
    for own in sizes:
        slug = re.sub(r"^over-(.*)\.svg$", r"\1", own["sheets"][0]["file"])
        wanted = {mark["n"]: mark for mark in (*own["marks"], *own.get("beside", ())) if mark.get(lap) is not None}
        names = {n: f"{lap}-{slug}-{n}" for n in wanted}
        missing = [n for n, name in names.items() if name not in groups]
        if missing or f"size-{slug}" not in groups:
            yield f"size {own['size']} has no mark {missing[0]}" if missing else f"size {own['size']} has no layer"
            continue
        seen |= set(names.values())
        drawn = {n: centre_of(groups[name], name) for n, name in names.items()}
        yield from (f"size {own['size']}: {fault}" for fault in _faults_of_shape(drawn, wanted, lap, told["flipped"]))
        # The edge is drawn before what is lettered: the rest is read only where it is not there.
        lines = _lines_in(groups[f"size-{slug}"])
        far = {n: mark[lap]["edge_distance_mm"] for n, mark in wanted.items()}
        if not any(all(abs(line.place_of(drawn[n])[1] - far[n]) <= _EDGE_MM for n in drawn) for line in lines):
            yield f"size {own['size']}: no line lies as far from its marks as its finished edge"
    more = {name for name in groups if re.fullmatch(rf"{lap}-.+-\d+", name)} - seen
    yield from (f"it has a mark {name} that no size tells" for name in sorted(more))


def _lines_in(layer: ElementTree.Element) -> Iterator[Measured]:
    for path in layer.iter(f"{_SVG}path"):
        yield from (measured(line) for line in lines_of_path(path.get("d", "")) if len(line) > 1)


def _faults_of_shape(
    drawn: Mapping[int, Point], wanted: Mapping[int, Mapping[str, Any]], lap: str, is_flipped: bool
) -> Iterator[str]:
    """The marks of a size lie as its report tells them, but for one turn and one move."""
    sign = -1.0 if is_flipped else 1.0
    there = {n: complex(*at) for n, at in drawn.items()}
    own = {n: {**mark, **mark[lap]} for n, mark in wanted.items()}
    here = {n: complex(sign * mark["x_mm"], mark["y_mm"]) for n, mark in own.items()}
    if len(here) < 2:
        return
    first = min(here)
    last = max(here, key=lambda n: abs(here[n] - here[first]))
    by = (there[last] - there[first]) / (here[last] - here[first])
    lay = turned_about(here[first], there[first], by)
    for n in here:
        off = abs(lay(here[n]) - there[n])
        if not off <= _MARK_MM or not math.isfinite(off):
            yield f"mark {n} lies {off:.4f} mm from where its report says"
