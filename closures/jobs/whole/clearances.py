"""What lies between the rows of one garment: closures that come near each other, and straps that run over a row.

Two rows are compared where they lie in one frame, as the garment is closed. A strap that runs over an opening covers a
stretch of levels; its own closures need the cloth beneath them flat. What cannot be compared is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.jobs.whole.frames import (
    Worked,
    across,
    can_meet,
    centre_of,
    is_one_drawing,
    lie_on_two_sides,
    parts_of,
    why_not_compared,
)
from closures.lengths import SAME_MM, format_length
from closures.said import Said, for_author
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.jobs.whole.frames import Centre, Part
    from closures.placing.placement import Placement
    from closures.plan.garment_file import GarmentFile
    from closures.plan.top import Units

Parts = Mapping[str, Sequence["Part"]]
"""Of every opening, by its name."""


@frozen
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
        others: further openings that the first was not compared with either.
    """

    result: Literal["pass", "warn", "fail"]
    first: str
    second: str | None
    first_mark: int | None
    second_mark: int | None
    found_mm: float | None
    limit_mm: float | None
    text: str
    others: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """All openings that it is of."""
        return tuple(name for name in (self.first, self.second, *self.others) if name is not None)


def clearances(garment: GarmentFile, worked: Sequence[Worked], catalogue: Catalogue) -> tuple[Clearance, ...]:
    """Compare every two openings that can be compared, and ask for the rest.

    Args:
        garment: for the limit, and for what runs over what.
        worked: its openings, placed.
        catalogue: for the least distance between rims.

    Returns:
        One finding for each two openings in one frame, for each strap over an opening, and one for each opening that
        was not compared with others that it can come near.
    """
    parts = {one.opening.name: parts_of(one, catalogue) for one in worked}
    limit = catalogue.rule("rim to rim").value.value if garment.apart_mm is None else garment.apart_mm
    found: list[Clearance] = []
    crossed: list[Clearance] = []
    unknown: list[tuple[Worked, Worked]] = []
    for first, second in combinations(worked, 2):
        is_told = is_told_clear(first, second)
        if lie_on_two_sides(first, second) or (is_told and _is_one_row(first, second)):
            continue
        if first.drawing is not None and first.drawing == second.drawing and _face(first) != _face(second):
            found += [] if is_told else [_two_faces(first, second)]
            continue
        strap, under = _strap_and_under(first, second)
        crossing = strap.opening.crossing
        if crossing is not None:
            over = next(one for one in worked if one.opening.name == crossing.over)
            if over is under or is_one_drawing(over, under):
                runs = _crossing(strap, over, under, crossing.level_mm, catalogue)
                if not is_told:
                    crossed.append(runs)
                elif runs.result != "pass":
                    # The level that is told says where it runs, as a drawing does.
                    crossed.append(although_told_clear(runs, "level"))
            elif not is_told:
                unknown.append((first, second))
            continue
        is_mirrored = bool(first.opening.mirrored) != bool(second.opening.mirrored)
        turned = first if first.opening.mirrored else second
        centre = None
        if is_mirrored and turned.drawing is not None:
            centre = centre_of(worked, turned, parts[turned.opening.name])
        if is_one_drawing(first, second) and (centre is not None or not is_mirrored):
            between = _between(first, second, limit, parts, centre)
            if not is_told:
                found.append(_as_told_behind(between) if is_told_behind(first, second) else between)
            elif between.result == "fail":
                found.append(although_told_clear(between))
        elif not is_told and not is_told_behind(first, second):
            unknown.append((first, second))
    asked = [(first, second) for first, second in unknown if can_meet(first, second)]
    return (*found, *crossed, *_asked_for(asked))


def _strap_and_under(first: Worked, second: Worked) -> tuple[Worked, Worked]:
    """Which of two runs over the other, in whatever order they are told: of two straps the one that says so."""
    own = first.opening.crossing
    is_first = second.opening.crossing is None or (own is not None and own.over == second.opening.name)
    return (first, second) if is_first else (second, first)


def nearest_of_each(found: Sequence[Clearance]) -> tuple[tuple[Clearance, ...], int]:
    """Leave out what nobody need read: good ones that are the nearest of neither of their openings.

    Returns:
        What is to be told, in order, and how many were left out.
    """
    nearest: dict[str, Clearance] = {}
    for _, _, one in sorted((one.found_mm, n, one) for n, one in enumerate(found) if one.found_mm is not None):
        for name in one.names:
            nearest.setdefault(name, one)
    told = tuple(
        one
        for one in found
        if one.result != "pass" or one.found_mm is None or any(nearest[name] is one for name in one.names)
    )
    return told, len(found) - len(told)


def is_told_clear(first: Worked, second: Worked) -> bool:
    """Whether the garment file says that two openings are clear of each other."""
    one, other = first.opening, second.opening
    return other.name in one.clear_of or one.name in other.clear_of


def is_told_behind(first: Worked, second: Worked) -> bool:
    """Whether the garment file says that one of two openings lies behind the other, on another layer of cloth."""
    one, other = first.opening, second.opening
    return other.name in one.behind or one.name in other.behind


def _as_told_behind(found: Clearance) -> Clearance:
    """What a row that lies behind another is told: the drawing shows them near or on each other, and that is meant."""
    if found.result == "pass" or found.found_mm is None:
        return found
    lies = "on each other" if found.found_mm < 0 else "near each other"
    text = (
        f"{found.first} {found.first_mark} and {found.second} {found.second_mark} lie {lies} as drawn, on layers of "
        "their own, as behind tells."
    )
    return replace(found, result="pass", text=text)


def although_told_clear(found: Clearance, by: Literal["drawing", "level"] = "drawing") -> Clearance:
    """A look in place of what fails: the garment file tells two openings clear, and what else is told does not."""
    text = (
        for_author("clear_of says", "It is told")
        + f" that {found.first} and {found.second} are clear of each other, and the {by} shows that they are not: "
        + found.text
        + f" Where the {by} is not as they lie on the garment, look there."
    )
    return replace(found, result="warn", text=text)


def _is_one_row(first: Worked, second: Worked) -> bool:
    """Whether two openings are one row of one plan: told clear, they lie on two pieces that are drawn once."""
    plans = [replace(one.placement.told_plan, where="", title="") for one in (first, second)]
    return plans[0] == plans[1] and bool(first.opening.mirrored) == bool(second.opening.mirrored)


def _asked_for(unknown: Sequence[tuple[Worked, Worked]]) -> Iterator[Clearance]:
    """Ask about what could not be compared, once for each opening that stands first and each reason."""
    rest: dict[tuple[str, str], list[Worked]] = {}
    for first, second in unknown:
        rest.setdefault((first.opening.name, why_not_compared(first, second)), []).append(second)
    for (name, why), others in rest.items():
        names = [one.opening.name for one in others]
        told = in_a_row(names)
        listed = ", ".join(f'"{one}"' for one in names)
        has_strap = any(one.placement.plan.strap is not None and one.opening.crossing is None for one in others)
        text = (
            f"How near closures of {name} come to those of {told} was not reckoned: {why}. Look there yourself"
        ) + for_author(
            f"; where they are clear of each other, write clear_of = [{listed}] in the [[opening]] {name}.", "."
        )
        if has_strap:
            text += for_author(" Of a strap, over and level say where it runs over an opening; then that is looked at.")
        yield Clearance("warn", name, names[0], None, None, None, None, text, tuple(names[1:]))


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
        f"{_face(first)} and the other from the {_face(second)}: one sheet is made of the wrong side. "
        + for_author("Write the same seen_from under [band] in both; how", "How")
        + " far their closures lie apart was not reckoned."
    )
    return Clearance("warn", first.opening.name, second.opening.name, None, None, None, None, text)


def _between(first: Worked, second: Worked, limit_mm: float, parts: Parts, centre: Centre | None) -> Clearance:
    """Compare two openings on one drawing, one of them mirrored about the centre where there is one."""
    import shapely

    own = [list(parts[one.opening.name]) for one in (first, second)]
    if centre is not None:
        own = [
            across(found, centre) if one.opening.mirrored else found
            for found, one in zip(own, (first, second), strict=True)
        ]
    lines = [[(part.n, shapely.LineString(part.ends), part.round_mm) for part in found] for found in own]
    apart, one, other = min((float(a.distance(b)) - r - q, n, m) for n, a, r in lines[0] for m, b, q in lines[1])
    show = _shown(first.placement.plan.units)
    names = first.opening.name, second.opening.name
    where = f"{names[0]} {one} and {names[1]} {other}"
    meet = "in the middle between the edges" if centre is not None and centre.is_gap else "along the closing line"
    told = "" if centre is None else f" Both halves are taken to meet {meet} of {centre.name}."
    how = "drawn" if all(_worn_share(one.placement) == 1.0 for one in (first, second)) else "worn"
    if apart < 0:
        meant = _where_meant(first, second)
        text = f"{where} overlap by {show(-apart)}. Move an end of one row, or leave one of the two out" + meant
        text += f".{told}"
        return Clearance("fail", *names, one, other, apart, limit_mm, text)
    if apart < limit_mm:
        text = (
            f"{where} come within {show(apart)} from rim to rim, and {show(limit_mm)} is wanted for the tool. "
            f"Move an end of one row.{told}"
        )
        return Clearance("warn", *names, one, other, apart, limit_mm, text)
    text = f"{where} are the nearest, {show(apart)} from rim to rim as {how}.{told}"
    return Clearance("pass", *names, one, other, apart, limit_mm, text)


def _where_meant(first: Worked, second: Worked) -> str:
    """How it is told that one row lies behind another on purpose; nothing where they close two places of a body."""
    places = {one.placement.laps.garment.opens or "front" for one in (first, second)}
    is_in_a_garment = first.opening.name != first.opening.plan
    if len(places) > 1 or not is_in_a_garment or first.opening.mirrored or second.opening.mirrored:
        return ""
    return for_author(
        f"; where one lies behind the other on purpose, on another layer of cloth, write behind = "
        f'["{first.opening.name}"] in the [[opening]] {second.opening.name}, or the other way round'
    )


def _misses(over: Worked, middle_mm: float, half_mm: float, show: Callable[[float], str]) -> str:
    """What is wrong with the level of a strap that runs past the whole edge it should run over; nothing where it does.

    Args:
        over: the opening.
        middle_mm, half_mm: where the strap's middle runs in the drawing, and half its width there.
        show: writes a length for people.
    """
    placement = over.placement.as_told
    _, low, _, high = placement.laps.over.edge.box
    if low - half_mm <= middle_mm <= high + half_mm:
        return ""
    zero = level_zero_y(placement)
    return (
        f"runs at the level {show(middle_mm - zero)}, and the edge of {over.opening.name} runs from {show(low - zero)} "
        f"to {show(high - zero)}: it does not cross it. Look at the level, its unit and the level zero."
    )


def _crossing(strap: Worked, over: Worked, under: Worked, level_mm: float, catalogue: Catalogue) -> Clearance:
    """Hold what lies under a strap, whose middle runs at a level of an opening on the same drawing, against it.

    All of it as the garment is worn: a strap and a button do not shrink with its cloth.
    """
    half = strap_width_mm(strap.placement) / 2
    show = _shown(under.placement.plan.units)
    names = under.opening.name, strap.opening.name
    worn, by = under.placement.as_worn, _worn_share(under.placement)
    # The level is told as the drawing is, in the state in which the plans were measured.
    told = level_mm + level_zero_y(over.placement.as_told)
    middle = told * by
    rooms: dict[int, float] = {}
    for part in parts_of(replace(under, placement=worn), catalogue):
        low, high = min(y for _, y in part.ends), max(y for _, y in part.ends)
        room = max(middle - high, low - middle) - half - part.round_mm
        rooms[part.n] = min(room, rooms.get(part.n, room))
    found, n = min((room, n) for n, room in rooms.items())
    if over is under and (missed := _misses(over, told, half / by, show)):
        return Clearance("warn", *names, n, None, None, None, f"The {names[1]} {missed}")
    own_level = told - level_zero_y(under.placement.as_told)
    low, high = own_level - half / by, own_level + half / by
    covered = [n for n, room in sorted(rooms.items()) if room < -SAME_MM]
    if covered:
        which = f"{names[0]} {in_a_row([str(one) for one in covered])} {'lie' if covered[1:] else 'lies'}"
        lies = (
            f"{which} under the {names[1]}, which covers the levels {show(low)} to {show(high)}. A closure there "
            "presses and shows through: "
        )
        mends = _out_of_there(under.placement, covered, names[0], "these levels") + ", or use a flat one."
        return Clearance("warn", *names, n, None, found, 0.0, lies + mends)
    text = f"The {names[1]} clears {names[0]} {n}, the nearest, by {show(found)}{'' if by == 1.0 else ' as worn'}"
    limit = catalogue.rule("ridge").value
    if found < limit.value - SAME_MM:
        near = [n for n, room in sorted(rooms.items()) if room < limit.value - SAME_MM]
        levels = f"{show(low - limit.value / by)} to {show(high + limit.value / by)}"
        text += (
            f"; at least {show(limit.value)} is wanted beside a step in thickness such as its edge "
            f"({limit.provenance.text}), and a strap shifts as it is worn. Move the {names[1]}, or "
        )
        text += _out_of_there(under.placement, near, names[0], f"the levels {levels}") + ", or use a flat one there."
        return Clearance("warn", *names, n, None, found, limit.value, text)
    return Clearance("pass", *names, n, None, found, limit.value, f"{text}.")


def _out_of_there(placement: Placement, covered: Sequence[int], name: str, levels: str) -> Said:
    """What keeps closures from some levels: a clear zone the row and its second column, its level the rest."""
    last = len(placement.all_marks)
    singles = [n for n in covered if n > last - len(placement.plan.singles)]
    row = [n for n in covered if n <= len(placement.marks) or placement.is_second_column(n)]
    inner = [n for n in covered if n not in singles and n not in row]
    told = [f"give the {name} a clear zone of {levels}"] if row else []
    moves = [(f"move the hidden closure, {n}", ", by level within inner under [column]") for n in inner]
    moves += [(f"move {n}", " by its own level or along under [[single]]") for n in singles]
    by_keys = in_a_row([*told, *(move + key for move, key in moves)])
    return for_author(by_keys, in_a_row([*told, *(move for move, _ in moves)]))


def _worn_share(placement: Placement) -> float:
    """By what a height as the plan tells it comes to less on the garment as it is worn."""
    shrinkage = placement.plan.shrinkage
    return 1.0 - shrinkage.along if shrinkage is not None and shrinkage.measured == "unwashed" else 1.0


def level_zero_y(placement: Placement) -> float:
    """How far down its drawing the level zero of a plan lies."""
    mark = placement.all_marks[0]
    return mark.y_mm - mark.level_mm


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
