"""A placement held against the five rules of getting in: which closure must open, how long a zip must be."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.errors import in_section, naming
from closures.frozen import frozen
from closures.jobs.gape import way_in as rules
from closures.jobs.gape.body import GIRTHS, Girth, GirthName, from_tables, measured
from closures.jobs.gape.ranges import Between
from closures.lengths import SAME_MM, TOLD_ALIKE_MM, format_length
from closures.plan.ends import opens_a_neck
from closures.said import for_author

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from closures.jobs.gape.way_in import Open, Passage, Ring, Verdict, Way
    from closures.placing.placement import Placement
    from closures.plan.body import BodyWish
    from closures.plan.way_in import WayInWish

RULE = "way in"
_TRUNK: tuple[GirthName, ...] = ("shoulders", "chest", "waist", "seat")
_CALLED: dict[GirthName, set[str]] = {"chest": {"bust", "chest"}, "waist": {"waist"}, "seat": {"seat", "hip", "hips"}}
"""What rings are called that lie where a girth of the body is measured (common practice)."""
_FAR_TIMES: dict[GirthName, float] = {"head": 3.0, "hand": 4.0, "heel": 5.0, "chest": 4.0}
"""So many times the body's own, a closed girth is beyond what is worn: our own rule."""
_PAST_HEM_MM = 10.0
"""So far below the lowest level a second opening may end, where a hem dips: our own rule."""
_WORST: dict[Verdict, int] = {"pass": 0, "warn": 1, "fail": 2}


@frozen
class Found:
    """What one rule finds, in words.

    Attributes:
        passage: as the rule found it.
        text: what was found, against what, and what to do.
        source: where the girth and the ease come from.
    """

    passage: Passage
    text: str
    source: str


@frozen
class WayIn:
    """Whether the body gets in.

    Attributes:
        found: what each rule finds, for the way of putting it on that goes best.
        way: that way; None where no ring was told.
        rings: the closed garment's girths.
        opened: where it is open meanwhile.
        girths: of the body, those that are known.
        far_off: what is unlikely of the closed girths, in sentences.
    """

    found: tuple[Found, ...]
    way: Way | None
    rings: tuple[Ring, ...]
    opened: tuple[Open, ...]
    girths: dict[GirthName, Girth]
    far_off: tuple[str, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """As findings, for the list of checks."""
        passed = (
            Finding(
                RULE,
                one.passage.result,
                one.text,
                one.source,
                None,
                None,
                one.passage.has_mm,
                one.passage.needs_mm,
                "least",
            )
            for one in self.found
        )
        return (*passed, *(Finding(RULE, "warn", text, "our own rule") for text in self.far_off))


def girths_of(body: BodyWish) -> dict[GirthName, Girth]:
    """The girths that a plan tells, and those that the tables tell in their place."""
    found: dict[GirthName, Girth] = {}
    for name in GIRTHS:
        own = getattr(body, f"{name}_mm")
        girth = measured(name, own) if own is not None else None
        if girth is None and body.sex is not None:
            girth = from_tables(name, body.sex, body.age_months, float(body.share))
        if girth is not None:
            found[name] = girth
    return found


def judge_way_in(placement: Placement) -> WayIn | None:
    """Hold a placement against the rules of getting in.

    Args:
        placement: along an edge.

    Returns:
        What they find; None where the plan does not ask.

    Raises:
        PlanError: a rule needs a girth that is neither told nor in the tables, or a closure that is not there.
    """
    plan = placement.plan
    wish, body = plan.way_in, plan.body
    if wish is None or body is None:
        return None
    with naming(plan.where):
        girths = girths_of(body)
        _refuse_lacking(wish, girths, placement)
    opened = _opened(placement, wish)
    told = tuple(
        rules.Ring(ring.name, ring.level_mm, ring.round_mm) for ring in wish.rings if ring.round_mm is not None
    )
    show = _show(placement)
    found = []
    if wish.neck_mm is not None:
        passage = rules.head_passes(girths["head"], wish.neck_mm, _slit_mm(placement, wish))
        found.append(_told(passage, _head_text(passage, wish.neck_mm, show), show))
    way: Way | None = None
    if told:
        way, passages, other = _best_way(wish, girths, told, opened)
        found += [_told(passage, _ring_text(passage, placement, wish, show) + other, show) for passage in passages]
    if wish.cuff_mm is not None:
        passage = rules.cuff_passes(girths["hand"], wish.cuff_mm)
        found.append(_told(passage, _plain_text(passage, show, "Let the cuff open, or widen it"), show))
    if wish.hem_mm is not None:
        passage = rules.hem_passes(girths["heel"], wish.hem_mm)
        found.append(_told(passage, _plain_text(passage, show, "Let the hem open, or widen it"), show))
    far_off = (*_far_off(wish, girths, show), *_off_the_garment(placement, wish, show))
    return WayIn(tuple(found), way, told, opened, girths, far_off)


def _far_off(wish: WayInWish, girths: dict[GirthName, Girth], show: Callable[[float], str]) -> Iterator[str]:
    """Ask about closed girths so wide that a unit may be wrong: whatever the body is, it passes them."""
    closed: tuple[tuple[str, str, float | None, GirthName], ...] = (
        ("neck edge", "neck", wish.neck_mm, "head"),
        ("cuff", "cuff", wish.cuff_mm, "hand"),
        ("trouser hem", "hem", wish.hem_mm, "heel"),
    )
    for what, key, mm, name in closed:
        girth = girths.get(name)
        if mm is not None and girth is not None and mm > _FAR_TIMES[name] * girth.mm:
            yield (
                f"The closed {what} is told {show(mm)} round, and the {name} that passes it {show(girth.mm)}. "
                + for_author(f"Look at {key} under [way_in] and its unit: so", "So")
                + " wide, anybody passes it."
            )
    yield from _do_not_close(wish, girths, show)
    trunk = max((girths[name].mm for name in _TRUNK if name in girths), default=None)
    rings = sorted(wish.rings, key=lambda ring: ring.level_mm)
    # The lowest may be a hem, which is as wide as a skirt is full.
    for ring in rings[:-1] or [one for one in rings if "hem" not in one.name.casefold()]:
        if trunk is not None and ring.round_mm is not None and ring.round_mm > _FAR_TIMES["chest"] * trunk:
            yield (
                f"The closed garment is told {show(ring.round_mm)} round at the {ring.name}, and the body at most "
                f"{show(trunk)}. "
                + for_author("Look at round under [way_in] and its unit: so", "So")
                + " wide, anybody passes it."
            )


def _off_the_garment(placement: Placement, wish: WayInWish, show: Callable[[float], str]) -> Iterator[str]:
    """Ask about a second opening where nothing that the plan tells of the garment is, or that runs on past its hem."""
    if wish.zip is None or not wish.rings:
        return
    laps = placement.laps
    ends = (laps.over.edge.start[1] - laps.level_zero_mm, laps.over.edge.end[1] - laps.level_zero_mm)
    levels = [*ends, *(ring.level_mm for ring in wish.rings)]
    top, low = min(levels), max(levels)
    has_hem = wish.ends_in == "hem" or any("hem" in ring.name.casefold() for ring in wish.rings)
    where, begin, end = wish.zip.where, show(wish.zip.from_mm), show(wish.zip.to_mm)
    told = f"The second opening ({where}) is told from the level {begin} to {end}"
    if wish.zip.from_mm > low - SAME_MM:
        off = f"below all that the plan tells of the garment, which ends at {show(low)}: nothing opens there"
    elif wish.zip.to_mm < top + SAME_MM:
        off = f"above all that the plan tells of the garment, which begins at {show(top)}: nothing opens there"
    elif has_hem and wish.zip.to_mm > low + _PAST_HEM_MM:
        off = f"past the lowest that the plan tells of the garment, {show(low)}"
    else:
        return
    yield f"{told}, {off}. Look at zip under [way_in], at its unit and from where its levels were measured."


def _do_not_close(wish: WayInWish, girths: dict[GirthName, Girth], show: Callable[[float], str]) -> Iterator[str]:
    """Ask about rings that measure less, closed, than what was measured of the body there: they cannot be closed."""
    for ring in wish.rings:
        words = set(ring.name.casefold().split())
        name = next((of for of, called in _CALLED.items() if words & called), None)
        girth = None if name is None else girths.get(name)
        if girth is None or girth.range_mm is not None or ring.round_mm is None:
            continue
        if ring.round_mm < girth.mm - SAME_MM:
            yield (
                f"At the {ring.name} the closed garment is told {show(ring.round_mm)} round, stretched in a knit, and "
                f"the body's {girth.of} {show(girth.mm)}: so it does not close. Measure both again; where the garment "
                "is not to close there, or sits elsewhere than the body was measured, this is right as it is."
            )


def _refuse_lacking(wish: WayInWish, girths: dict[GirthName, Girth], placement: Placement) -> None:
    from closures.errors import PlanError

    marks = len(placement.marks)
    lacking: list[str] = []
    if wish.neck_mm is not None and "head" not in girths:
        lacking.append("head")
    if wish.rings and not _needs(wish, girths):
        lacking.append("seat" if wish.way == "stepping in" else "shoulders")
    if wish.cuff_mm is not None and "hand" not in girths:
        lacking.append("hand")
    if wish.hem_mm is not None and "heel" not in girths:
        lacking.append("heel")
    if lacking:
        mend = f'Measure it and add {lacking[0]} = "...".'
        raise PlanError(f"the {lacking[0]} is neither told nor in the tables", where=in_section("body"), mend=mend)
    if (
        wish.neck_mm is not None
        and wish.slit_mm is None
        and not opens_a_neck(placement.laps.garment.opens, placement.ends)
    ):
        opens = placement.laps.garment.opens
        row = (
            f"a row that begins at the {placement.ends[0]}"
            if opens_a_neck(opens, ("", ""))
            else f"the row of a {opens}"
        )
        raise PlanError(
            f"the neck is told, and {row} does not open it: nothing tells how far it opens",
            where=in_section("way_in", "slit"),
            mend='Add slit = "105 mm", as far as the neck opens below its edge; slit = "0 mm" where it does not open.',
        )
    if wish.last_opens is not None and wish.last_opens > marks:
        what = f"closure {wish.last_opens} is not there: the row has {marks}"
        raise PlanError(what, where=in_section("way_in", "last_opens"), mend=f"Write {marks} or less.")


def _needs(wish: WayInWish, girths: dict[GirthName, Girth]) -> dict[Way, tuple[float, Girth, float]]:
    """What every ring must measure, for each way of putting it on that is asked and can be judged."""
    found: dict[Way, tuple[float, Girth, float]] = {}
    over_head = rules.over_shoulders_mm(girths.get("shoulders"), girths.get("chest"))
    if over_head is not None and wish.way != "stepping in":
        found["over the head"] = over_head
    if "seat" in girths and wish.way != "over the head":
        found["stepping in"] = rules.over_seat_mm(girths["seat"])
    return found


def _best_way(
    wish: WayInWish, girths: dict[GirthName, Girth], told: tuple[Ring, ...], opened: tuple[Open, ...]
) -> tuple[Way, tuple[Passage, ...], str]:
    """The way that goes best, what its rules find, and what is to be said of the other."""
    each: dict[Way, tuple[Passage, ...]] = {}
    for way, needed in _needs(wish, girths).items():
        reached = rules.opening_reaches(way, needed, told, opened)
        each[way] = (rules.rings_pass(way, needed, told, opened), *([] if reached is None else [reached]))
    best = min(each, key=lambda way: max(_WORST[passage.result] for passage in each[way]))
    others = [way for way in each if way != best]
    if not others:
        return best, each[best], ""
    worse = max(_WORST[passage.result] for passage in each[others[0]])
    said = "goes no better" if worse else "goes as well"
    return best, each[best], f" Put on the other way, {others[0]}, it {said}."


def _opened(placement: Placement, wish: WayInWish) -> tuple[Open, ...]:
    marks = placement.marks
    ends_free = wish.ends_in == "hem" and wish.last_opens is None
    last = marks[(wish.last_opens or len(marks)) - 1]
    found = [rules.Open("row", -math.inf, math.inf if ends_free else last.level_mm)]
    if wish.zip is not None:
        found.append(rules.Open(f"second opening ({wish.zip.where})", wish.zip.from_mm, wish.zip.to_mm))
    return tuple(found)


def _slit_mm(placement: Placement, wish: WayInWish) -> float:
    if wish.slit_mm is not None:
        return wish.slit_mm
    if wish.ends_in == "hem" and wish.last_opens is None:
        return placement.laps.line.length_mm
    return placement.marks[(wish.last_opens or len(placement.marks)) - 1].along_mm


def _show(placement: Placement) -> Callable[[float], str]:
    return lambda mm: format_length(mm, placement.plan.units)


def _told(passage: Passage, text: str, show: Callable[[float], str]) -> Found:
    ease = f"; ease of {show(passage.ease_mm)}: our own rule" if passage.ease_mm else ""
    return Found(passage, text, f"{passage.girth.of}: {passage.girth.told}{ease}")


def _body_text(passage: Passage, show: Callable[[float], str]) -> str:
    girth = passage.girth
    ease = f", with {show(passage.ease_mm)} of ease" if passage.ease_mm else ""
    return f"{girth.of.capitalize()} {show(girth.mm)}{_range_text(girth.range_mm, show)}{ease}."


def _range_text(ends: Between | None, show: Callable[[float], str]) -> str:
    return "" if ends is None else f" (of such wearers {show(ends.low)} to {show(ends.high)})"


def _verdict_text(passage: Passage, mend: str) -> str:
    if passage.result == "pass":
        return "Try it on all the same: a body is no cylinder."
    if passage.result == "warn":
        return f"It lacks some of the ease: try it on before anything is cut. {mend} if it will not go."
    return f"{mend}."


def _head_text(passage: Passage, neck_mm: float, show: Callable[[float], str]) -> str:
    return (
        f"the head through the neck: the opening needs {show(passage.needs_mm)} below the neck edge and has "
        f"{show(passage.has_mm)}. {_body_text(passage, show)} Neck edge {show(neck_mm)}. "
        f"{_verdict_text(passage, 'Open the neck further')}"
    )


def _plain_text(passage: Passage, show: Callable[[float], str], mend: str) -> str:
    return (
        f"{passage.what}: it needs {show(passage.needs_mm)} round and has {show(passage.has_mm)}. "
        f"{_body_text(passage, show)} {_verdict_text(passage, mend)}"
    )


def _ring_text(passage: Passage, placement: Placement, wish: WayInWish, show: Callable[[float], str]) -> str:
    if passage.rule != 4:
        return _plain_text(passage, show, "Open it further, or let that ring out")
    last = next((mark for mark in placement.marks if mark.level_mm >= passage.needs_mm), None)
    which = (
        f"closure {last.n} is the last that must open"
        if last is not None
        else "even the last closure lies above that level"
    )
    return (
        f"{passage.what}: it must reach {_level_text(passage, show)}; {which}"
        f"{_zip_text(passage, wish, show)}. {_body_text(passage, show)} "
        f"{_verdict_text(passage, 'Let more closures open, or add a second opening that overlaps the row')}"
    )


def _level_text(passage: Passage, show: Callable[[float], str]) -> str:
    """The level that an opening must reach and the one that it reaches, once where they are told alike."""
    needs, has = show(passage.needs_mm), show(passage.has_mm)
    is_alike = needs == has and passage.has_mm >= passage.needs_mm - TOLD_ALIKE_MM
    if is_alike:
        return f"the level {needs} and does"
    return f"the level {needs} and ends just short of it" if needs == has else f"the level {needs} and reaches {has}"


def _zip_text(passage: Passage, wish: WayInWish, show: Callable[[float], str]) -> str:
    if passage.result == "pass" and wish.zip is None:
        return ""
    if wish.zip is None:
        # It must begin above where the row ends, or a whole ring stays between them.
        return f"; a second opening beside it would do from above the level {show(passage.has_mm)} down to there"
    least, usual = rules.zip_for_mm(wish.zip.from_mm, passage.needs_mm)
    made = f" (the next usual length is {show(usual)})" if usual is not None else ""
    top = show(wish.zip.from_mm)
    return f"; the second opening ({wish.zip.where}), from the level {top}, must be {show(least)} long at least{made}"
