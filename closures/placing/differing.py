"""Closures of a row that are not like the others, found once the row is spaced.

A *share* of a placement is what is set alike: the same line and laps, and only the marks that carry this closure. What
holds for a row of one kind is asked of each share, so that parts, rules, steps and looks never mix two kinds.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NoReturn

from closures.errors import EdgeError, PlanError, in_section, naming
from closures.frozen import frozen
from closures.placing.single_layer import single_laps
from closures.placing.thick_button import refuse_thick
from closures.plan.stand import STAND_NAME
from closures.series import a_or_an, how_many

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, MarkWay
    from closures.errors import Where
    from closures.placing.meeting import PlacedAnchor
    from closures.plan.closure import ClosureWish
    from closures.plan.differs import DiffersWish
    from closures.plan.plan import Plan
    from closures.plan.top import Units
    from closures.spacing import Spacing


@frozen
class Differing:
    """What is set at some marks of a row.

    Attributes:
        marks: their numbers.
        closure: as the plan would have it, were the whole row like this.
        fastener: looked up, with the plan's own measures in it.
    """

    marks: frozenset[int]
    closure: ClosureWish
    fastener: Fastener


def fastener_of(
    closure: ClosureWish, catalogue: Catalogue, section: str = "closure", nth: int = 0, units: Units = "mm"
) -> Fastener:
    """Look up a closure, with the plan's own measures in place of the catalogue's.

    Args:
        closure: as it would be under ``[closure]``.
        catalogue: fasteners.
        section: where the plan tells it.
        nth: which of several of that section, from 1; 0 where it stands once.
        units: in which a refusal tells lengths first.
    """
    is_inner = section == "column"
    where = in_section(section, "inner" if is_inner else "", nth=nth, is_repeated=section in ("differs", "single"))
    with naming(where):
        found = catalogue.fastener(
            closure.kind,
            closure.size,
            cap_mm=closure.cap_mm,
            grip_mm=closure.grip_mm,
            thickness_mm=closure.thickness_mm,
            halves=closure.halves,
            takes_cap=not is_inner,
        )
    refuse_thick(found, closure.thickness_mm, catalogue, where.but(key="thickness"), units)
    if section != "closure" and found.setting in WHOLE_ROWS:
        refuse_alone(found, where.inner("kind"))
    return _with_its_eye(found, closure.meets)


_EYES: dict[bool, tuple[str, MarkWay]] = {True: ("round eye", "eye"), False: ("straight eye", "bar")}
"""Edges that meet take a round eye; where one laps the other a straight one, a bar, lies flat (published: DOMART)."""


def _with_its_eye(found: Fastener, meets: bool) -> Fastener:
    if found.kind != "hook and eye":
        return found
    name, way = _EYES[meets]
    parts = tuple(replace(part, name=name) if part.name == "eye" else part for part in found.parts)
    mark = replace(
        found.mark,
        over=way if found.mark.over == "eye" else found.mark.over,
        under=way if found.mark.under == "eye" else found.mark.under,
    )
    return replace(found, parts=parts, mark=mark)


WHOLE_ROWS = ("hook tape", "snap tape", "loop")
"""Settings that place a whole row along an edge, and no closure among others."""


def refuse_hole(plan: Plan, catalogue: Catalogue) -> None:
    """Refuse what is told of the buttonhole of a closure that has none: its way, or that it is bound.

    Raises:
        EdgeError: of the row, of closures that differ, or of single ones.
    """
    _refuse_bound(plan, catalogue)
    told: list[tuple[ClosureWish, str, int]] = []
    if plan.closure.hole is not None:
        told.append((plan.closure, "closure", 0))
    for nth, differs in enumerate(plan.differs, start=1):
        if differs.hole is not None:
            told.append((differs.closure(plan.closure), "differs", nth))
    for nth, single in enumerate(plan.singles, start=1):
        if single.hole is not None:
            told.append((single.closure(plan.closure), "single", nth))
    for closure, section, nth in told:
        fastener = fastener_of(closure, catalogue, section, nth, plan.units)
        if fastener.mark.buttonhole_lap is None:
            raise EdgeError(
                f"{a_or_an(fastener.kind)} has no buttonhole that could run {closure.hole}",
                where=in_section(section, "hole", nth=nth, is_repeated=nth > 0),
                mend='Leave hole out, or take a button, such as kind = "sew-through button".',
            )


def _refuse_bound(plan: Plan, catalogue: Catalogue) -> None:
    """Refuse bound buttonholes where no closure of the row has one, and where no facing is to be opened behind them.

    Raises:
        EdgeError: none has.
        PlanError: they lie in a single layer of cloth.
    """
    if not plan.closure.bound:
        return
    fasteners = all_fasteners(plan, catalogue)
    if all(one.mark.buttonhole_lap is None for one in fasteners):
        raise EdgeError(
            f"{a_or_an(fasteners[0].kind)} has no buttonhole that could be bound",
            where=in_section("closure", "bound"),
            mend='Leave bound out, or take a button, such as kind = "sew-through button".',
        )
    cut = {one.mark.buttonhole_lap for one in fasteners}
    single = [lap for lap in single_laps(plan, catalogue) if lap in cut]
    if single and plan.gauge is None:
        raise PlanError(
            "bound buttonholes are opened through the facing behind them, and the plan tells a single layer of cloth "
            f"on the {single[0]} lap",
            where=in_section("closure", "bound"),
            mend="Tell the facing, such as count = 2 in its [[layer]]; or leave bound out: in a single layer they are "
            "worked with thread.",
        )


_SHOWING = ("tack button", "eyelet")
"""Settings that are driven or spread through a lap from the face that shows."""


def refuse_hidden(fastener: Fastener, where: Where) -> None:
    """Refuse to hide a closure whose parts go through the lap from the face that shows.

    Raises:
        EdgeError: it is such a one.
    """
    if fastener.setting in _SHOWING or fastener.family == "press-set snap":
        raise EdgeError(
            f"{a_or_an(fastener.kind)} goes through the lap, and would show on its outside, where it is to be hidden",
            where=where,
            mend='Take one that is sewn to the inside: kind = "sew-on snap", or kind = "sew-through button".',
        )


def refuse_alone(fastener: Fastener, where: Where) -> NoReturn:
    """Refuse a closure that only a whole row along an edge can be of.

    Raises:
        EdgeError: always.
    """
    raise EdgeError(
        f"{a_or_an(fastener.kind)} closes a whole row along an edge",
        where=where,
        mend="Write it under [closure] of a plan with an [edge], or take another kind here.",
    )


def all_fasteners(plan: Plan, catalogue: Catalogue) -> tuple[Fastener, ...]:
    """Every closure that a row of this plan carries, the row's own first."""
    others = (
        fastener_of(wish.closure(plan.closure), catalogue, "differs", nth, plan.units)
        for nth, wish in enumerate(plan.differs, 1)
    )
    return (fastener_of(plan.closure, catalogue, units=plan.units), *others)


def differing_in(
    plan: Plan, spacing: Spacing, anchors: tuple[PlacedAnchor, ...], ends: tuple[str, str], catalogue: Catalogue
) -> tuple[Differing, ...]:
    """Find which marks of a spaced row differ, and what is set there.

    Args:
        plan: what differs, and what it differs from.
        spacing: the row.
        anchors: as they meet the line.
        ends: what both ends of the edge are called.
        catalogue: fasteners.

    Returns:
        What is set alike together: the row's own closures first, then the others in the order told; empty where
        nothing differs.

    Raises:
        EdgeError: a mark that the row does not have, that is told twice, or no mark is left as the row has it.
    """
    if not plan.differs and plan.stand is None:
        return ()
    count = len(spacing.positions_mm)
    names = _marks_by_name(spacing, anchors, ends, count) | ({} if plan.stand is None else {STAND_NAME: {1}})
    taken: dict[int, ClosureWish] = {}
    for nth, wish in enumerate(plan.differs, start=1):
        where = in_section("differs", nth=nth, is_repeated=True)
        for n in _numbers(wish, names, count, where):
            if n in taken:
                raise EdgeError(
                    f"mark {n} differs twice",
                    where=where,
                    mend="Tell each closure that differs once, with everything that differs of it.",
                )
            base = _base(plan, n, catalogue)
            taken[n] = wish.closure(base)
            _refuse_other_words(taken[n], base, catalogue, nth)
            # What [stand] tells of its own closure may be told of it here too.
            if taken[n] == base and not (plan.stand is not None and n == 1):
                raise EdgeError(
                    f"nothing of mark {n} differs: {_as_the_row(wish)}",
                    where=where,
                    mend="Leave it out, or say what is not as in the rest of the row.",
                )
    is_hole_apart = False
    if plan.stand is not None:
        _refuse_two_ways(plan, names, count)
        taken.setdefault(1, _base(plan, 1, catalogue))
        # On a grain of its own the stand's buttonhole is cut longer by another share than those of the front.
        on_stand = fastener_of(taken[1], catalogue, "differs")
        has_hole = on_stand.mark.buttonhole_lap is not None
        if plan.stand.hole is not None and not has_hole:
            raise EdgeError(
                f"the stand's closure is {a_or_an(on_stand.kind)}, which has no buttonhole that could run "
                f"{plan.stand.hole}",
                where=in_section("stand", "hole"),
                mend='Leave hole out, or give the stand a button: at = "stand" under [[differs]].',
            )
        if has_hole and taken[1].hole is None and plan.stand.way == "across":
            # A button that stands there alone among others, of which nothing is told.
            taken[1] = replace(taken[1], hole="across")
        is_hole_apart = plan.stand.holes is not None and has_hole
        if taken[1] == plan.closure and not is_hole_apart:
            del taken[1]
    if not taken:
        return ()
    if len(taken) == count:
        raise EdgeError(
            "every closure of the row differs",
            where=in_section("differs", is_repeated=True),
            mend="Write what most of them are under [closure].",
        )
    own = [n for n in range(1, count + 1) if n not in taken]
    groups: dict[tuple[ClosureWish, bool], list[int]] = {(plan.closure, False): own}
    for n, closure in sorted(taken.items()):
        groups.setdefault((closure, is_hole_apart and n == 1), []).append(n)
    return tuple(
        Differing(frozenset(marks), closure, fastener_of(closure, catalogue, "differs" if nth else "closure"))
        for nth, ((closure, _), marks) in enumerate(groups.items())
    )


def _refuse_other_words(told: ClosureWish, row: ClosureWish, catalogue: Catalogue, nth: int) -> None:
    """Refuse the row's own kind and size in other words: what was measured of the row's would not be taken over.

    Raises:
        EdgeError: they are called otherwise than by the row, and are the same.
    """
    if (told.kind, told.size) == (row.kind, row.size):
        return
    one, own = fastener_of(told, catalogue, "differs", nth), fastener_of(row, catalogue)
    if (one.kind, one.size) != (own.kind, own.size):
        return
    raise EdgeError(
        f"this is the row's own closure in other words: {told.size} and {row.size} of {own.kind} are one size",
        where=in_section("differs", nth=nth, is_repeated=True),
        mend="Leave kind and size out where it is the same closure, and tell what of it differs.",
    )


def _as_the_row(wish: DiffersWish) -> str:
    """Say of what is told to differ that the row has it too."""
    if wish.hole is not None and wish.kind is None and wish.size is None:
        return f"the buttonhole of the row runs {wish.hole} there too"
    return "the row has the same there"


def _refuse_two_ways(plan: Plan, names: Mapping[str, set[int]], count: int) -> None:
    """Refuse a stand's buttonhole that is told to run two ways."""
    told = None if plan.stand is None else plan.stand.hole
    for nth, wish in enumerate(plan.differs, start=1):
        where = in_section("differs", nth=nth, is_repeated=True)
        if told is None or wish.hole in (None, told) or 1 not in _numbers(wish, names, count, where):
            continue
        raise EdgeError(
            f"the stand's buttonhole is told to run {wish.hole}, and [stand] tells that it runs {told}",
            where=in_section("differs", "hole", nth=nth, is_repeated=True),
            mend="Leave hole out of one of them.",
        )


def _base(plan: Plan, n: int, catalogue: Catalogue) -> ClosureWish:
    """What is set at a mark where nothing is known about it: a stand's buttonhole runs as the stand has it."""
    closure = plan.closure
    if plan.stand is None or n != 1 or fastener_of(closure, catalogue).mark.buttonhole_lap is None:
        return closure
    return closure if (closure.hole or "along") == plan.stand.way else replace(closure, hole=plan.stand.way)


def _marks_by_name(
    spacing: Spacing, anchors: tuple[PlacedAnchor, ...], ends: tuple[str, str], count: int
) -> dict[str, set[int]]:
    """Which marks have which name: more than one where an anchor bears the name of another, or of an end."""
    found: dict[str, set[int]] = {}
    served = [(anchors[shift.anchor_index].name, shift.mark_index + 1) for shift in spacing.shifts]
    # Who does not know what an end is called says which of the row it is.
    for name, n in ((ends[0], 1), (ends[1], count), ("first", 1), ("last", count), *served):
        found.setdefault(name.casefold(), set()).add(n)
    return found


def _numbers(wish: DiffersWish, names: Mapping[str, set[int]], count: int, where: Where) -> tuple[int, ...]:
    if wish.at is not None:
        meant = names.get(wish.at.casefold())
        if meant is None:
            raise EdgeError(
                f"no anchor and no end of the row is called '{wish.at}'",
                where=where,
                mend=f"Write one of {', '.join(names)}, or the number of a mark.",
            )
        if len(meant) > 1:
            raise EdgeError(
                f"'{wish.at}' could be {' or '.join(f'mark {n}' for n in sorted(meant))}: the name stands for several "
                "places",
                where=where,
                mend="Give each [[anchor]] a name of its own, unlike those of the ends; or write the number of a mark.",
            )
        return tuple(meant)
    numbers = wish.marks or (() if wish.mark is None else (wish.mark,))
    beyond = [n for n in numbers if n > count]
    if beyond:
        raise EdgeError(
            f"the row has {how_many(count, 'closure')}, and there is no mark {min(beyond)}",
            where=where,
            mend=f"Write a number from 1 to {count}, or the name of an anchor or an end.",
        )
    return numbers
