"""What lies between the rows of one garment: closures that come near each other, and straps that run over a row.

Two rows are compared where they lie on one drawing, and so in one frame, as the garment is closed. A strap that runs
over an opening covers a stretch of levels; its own closures need the cloth beneath them flat.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from closures.lengths import format_length
from closures.placing.buttonhole import slits_of

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement
    from closures.plan.garment_file import GarmentFile, Opening
    from closures.plan.top import Units


@dataclass(frozen=True, slots=True)
class _Part:
    """What a closure takes of the cloth: round a line, in the frame of the drawing.

    Attributes:
        n: of its mark.
        ends: of the line; alike for a rim, which is round a point.
        round_mm: how far it reaches round that.
    """

    n: int
    ends: tuple[tuple[float, float], tuple[float, float]]
    round_mm: float


Parts = Mapping[str, Sequence[_Part]]
"""Of every opening, by its name."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One opening with its placement.

    Attributes:
        opening: as the garment file tells it.
        placement: its closures.
        drawing: the file that its edge lies in, the same for the same file; None where it lies in none.
    """

    opening: Opening
    placement: Placement
    drawing: str | None


@dataclass(frozen=True, slots=True)
class Clearance:
    """What was found between two openings, or of one by itself.

    Attributes:
        result: pass, warn or fail.
        first, second: names of the openings; the second is None where the first is looked at by itself.
        first_mark, second_mark: the closures that come nearest; the second is None where a strap runs over the first.
        found_mm: between the rims, or from a rim to the strap's edge; negative where they overlap; None where nothing
            was measured.
        limit_mm: what is asked.
        text: what that means, and what to do.
    """

    result: Literal["pass", "warn", "fail"]
    first: str
    second: str | None
    first_mark: int | None
    second_mark: int | None
    found_mm: float | None
    limit_mm: float | None
    text: str


def clearances(garment: GarmentFile, worked: Sequence[Worked], catalogue: Catalogue) -> tuple[Clearance, ...]:
    """Compare every two openings that can be compared.

    Args:
        garment: for the limit, and for what runs over what.
        worked: its openings, placed.
        catalogue: for the least distance between rims.

    Returns:
        One finding for each two openings on one drawing, and for each strap over an opening.
    """
    parts = {one.opening.name: _parts(one.placement, catalogue) for one in worked}
    limit = catalogue.rule("rim to rim").value.value if garment.apart_mm is None else garment.apart_mm
    found = []
    for first, second in combinations(worked, 2):
        if first.drawing is None or first.drawing != second.drawing:
            continue
        if _face(first) != _face(second):
            found.append(_two_faces(first, second))
        elif _in_one_frame(first, second):
            found.append(_between(first, second, limit, parts))
    return (*found, *_crossings(worked, parts))


def _in_one_frame(first: Worked, second: Worked) -> bool:
    one, other = first.placement.plan.band, second.placement.plan.band
    return one is not None and other is not None and one.seen_from == other.seen_from


def _face(one: Worked) -> str:
    """From which side its own plan says that the drawing was made; a mirrored opening reads it the other way."""
    band = one.placement.plan.band
    if band is None:
        return ""
    is_outside = (band.seen_from != "inside") != bool(one.opening.mirrored)
    return "outside" if is_outside else "inside"


def _two_faces(first: Worked, second: Worked) -> Clearance:
    text = (
        f"{first.opening.name} and {second.opening.name} lie on one drawing, which one plan says is seen from the "
        f"{_face(first)} and the other from the {_face(second)}: one sheet is made of the wrong side. Write the same "
        "seen_from under [band] in both; how far their closures lie apart was not reckoned."
    )
    return Clearance("warn", first.opening.name, second.opening.name, None, None, None, None, text)


def _parts(placement: Placement, catalogue: Catalogue) -> list[_Part]:
    """The rim of every closure, and its buttonhole where it has one, as the garment is closed."""
    slits = {n: slit.ends_mm for (_, n), slit in slits_of(placement, catalogue).items()}
    parts = []
    for mark in placement.all_marks:
        x, y = mark.x_mm, mark.y_mm
        parts.append(_Part(mark.n, ((x, y), (x, y)), placement.fastener_of(mark.n).rim_mm))
        if mark.n in slits:
            (a, b), (c, d) = slits[mark.n]
            parts.append(_Part(mark.n, ((x + a, y + b), (x + c, y + d)), 0.0))
    return parts


def _between(first: Worked, second: Worked, limit_mm: float, parts: Parts) -> Clearance:
    import shapely

    lines = {
        name: [(part.n, shapely.LineString(part.ends), part.round_mm) for part in parts[name]]
        for name in (first.opening.name, second.opening.name)
    }
    apart, one, other = min(
        (float(a.distance(b)) - r - q, n, m)
        for n, a, r in lines[first.opening.name]
        for m, b, q in lines[second.opening.name]
    )
    show = _shown(first.placement.plan.units)
    names = first.opening.name, second.opening.name
    where = f"{names[0]} {one} and {names[1]} {other}"
    if apart < 0:
        text = f"{where} overlap by {show(-apart)}. Move an end of one row, or leave one of the two out."
        return Clearance("fail", *names, one, other, apart, limit_mm, text)
    if apart < limit_mm:
        text = (
            f"{where} come within {show(apart)}, and {show(limit_mm)} is wanted for the tool. Move an end of one row."
        )
        return Clearance("warn", *names, one, other, apart, limit_mm, text)
    return Clearance("pass", *names, one, other, apart, limit_mm, f"{where} are the nearest, {show(apart)} apart.")


def _crossings(worked: Sequence[Worked], parts: Parts) -> Iterator[Clearance]:
    by_name = {one.opening.name: one for one in worked}
    for strap in worked:
        crossing = strap.opening.crossing
        if crossing is not None:
            yield _crossing(strap, by_name[crossing.over], crossing.level_mm, parts[crossing.over])


def _crossing(strap: Worked, under: Worked, level_mm: float, parts: Sequence[_Part]) -> Clearance:
    half = strap_width_mm(strap.placement) / 2
    show = _shown(under.placement.plan.units)
    names = under.opening.name, strap.opening.name
    mark = under.placement.all_marks[0]
    middle = level_mm + mark.y_mm - mark.level_mm
    found, n = min(
        (
            max(middle - max(y for _, y in part.ends), min(y for _, y in part.ends) - middle) - half - part.round_mm,
            part.n,
        )
        for part in parts
    )
    low, high = show(level_mm - half), show(level_mm + half)
    if found < 0:
        text = (
            f"{names[0]} {n} lies under the {names[1]}, which covers the levels {low} to {high}. A closure there "
            f"presses and shows through: give the {names[0]} a clear zone of these levels, or use a flat one."
        )
        return Clearance("warn", *names, n, None, found, 0.0, text)
    return Clearance(
        "pass", *names, n, None, found, 0.0, f"The {names[1]} clears {names[0]} {n}, the nearest, by {show(found)}."
    )


def strap_width_mm(placement: Placement) -> float:
    """How wide the strap of a placement is.

    Raises:
        ValueError: it is no strap.
    """
    plan = placement.plan
    if plan.belt is not None:
        return plan.belt.width_mm
    if plan.row is not None:
        return plan.row.height_mm
    raise ValueError("only a strap runs over another opening")


def _shown(units: Units) -> Callable[[float], str]:
    return lambda value_mm: format_length(value_mm, units)
