"""On which side a backing lies, and how it is held there.

All of it is common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.bands import outer_cloth
from closures.advice.wording import put
from closures.checks.finding import numbers_in_words
from closures.jobs.table.backing import stay_of
from closures.jobs.table.backing_side import inner_of, lies_on_facing, made_side
from closures.placing.backed import cut_for, is_bare
from closures.placing.interfaced import way_held
from closures.placing.stack import ends_within

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.placement import Placement


def shrinks_too(words: Set[str]) -> str:
    """Of what kind a backing is that is washed with the cloth only once it lies in it."""
    return ", of a kind that shrinks as the cloth does" if "wash: after" in words else ""


def held_down(words: Set[str], backing: Set[str] | None = None) -> str:
    """How a backing is held, to stand before what is held down.

    Args:
        words: the facts of what it lies on.
        backing: how its own cloth is made; None where nobody told it.
    """
    made = {word.removeprefix("cloth: ") for word in words if word.startswith("cloth: ")} | ({"waxed"} & words)
    way = way_held(made, is_flattened="press: steam" in words, backing=backing)
    if way in ("glue", "tape"):
        return way
    if "wash: after" in words:
        # Fusing takes heat and steam, and what is fused no longer shrinks with the cloth.
        return "sew"
    return f"{way} (on leather glue, on coated cloth tape)" if "not told" in made else way


def back_side(words: Set[str], outer: str = "the outer cloth") -> str:
    """Where a backing lies that no page of its own shows: behind the layers that hold the part.

    Args:
        words: the facts of the job.
        outer: what it lies against, where the layers are still to be joined.
    """
    if "hiding: beneath" in words or "opened for magnets" in words:
        return ""
    if "set: magnetic" in words and "state: finished" not in words:
        return ""
    if "state: cut pieces" not in words:
        return " on the inside of the band, which is closed,"
    if "sewn on" in words and "set: sewn button" not in words:
        return " on the wrong side of the layer that {backed marks?it|each} is sewn to,"
    return f" on the wrong side of {outer},"


def wanted_besides(placement: Placement, findings: Sequence[Finding], with_pieces: Set[str]) -> tuple[Finding, ...]:
    """List the findings that want a backing where no piece is cut: on a lap, or at a mark of one that has pieces."""
    return tuple(
        one
        for one in findings
        if one.rule == "backing"
        and one.result != "pass"
        and (one.lap not in with_pieces or _is_left_out(placement, one.mark, one.lap))
    )


_LAID = (
    "along the whole closing line, where {backed marks} will come, lay {what backs}"
    "{shrinks too}, or {backed marks?a patch that reaches well past the part|patches that reach well past every part}"
)
_NO_ROOM = (
    "no strip and no patch has the room to reach past {backed marks?the part|the parts} at {backed marks}, so take a "
    "wider band, a smaller closure or another kind before you go on, or lay {what backs all}{shrinks too} over the "
    "whole width of the band, from edge to edge"
)
"""What is left where a piece would end under a flange or near it: what ends at the edges alone does not."""


def _has_no_room(placement: Placement, marks: Sequence[int], laps: Sequence[LapName], catalogue: Catalogue) -> bool:
    """Whether no piece can be cut at any of the marks whose backing is wanted, asked for by the plan or not."""
    if placement.strap is not None:
        return False
    cut = {lap: cut_for(placement, lap, catalogue) for lap in laps if not is_bare(placement, lap)}
    short = {(one.mark, lap) for lap, of in cut.items() for one in of.left_out if one.is_short and one.why}
    return bool(marks) and all((mark, lap) in short for lap in laps for mark in marks if _is_on(placement, mark, lap))


def _is_on(placement: Placement, n: int, lap: LapName) -> bool:
    return any(mark.n == n for mark in placement.on(lap))


def _is_left_out(placement: Placement, mark: int | None, lap: str | None) -> bool:
    return any((one.mark, one.lap) == (mark, lap) for one in placement.unbacked)


def laps_backed(placement: Placement, wanted: Sequence[Finding], with_pieces: Set[LapName]) -> set[LapName]:
    """The laps whose closures all have a backing behind them once the steps before their setting are done.

    Args:
        placement: whose closures.
        wanted: the findings that want one where no piece is cut.
        with_pieces: laps that pieces are cut for, but for some of their marks.
    """
    every = {one.lap for one in wanted if one.mark is None and not one.is_if_opened}
    found: set[LapName] = set()
    for lap in placement.laps.both:
        told = {one.mark for one in wanted if one.lap in (lap.name, None)}
        if lap.name in with_pieces:
            told |= {mark.n for mark in placement.on(lap.name) if placement.is_backed(mark.n, lap.name)}
        if {lap.name, None} & every or all(mark.n in told for mark in placement.on(lap.name)):
            found.add(lap.name)
    return found


def backed_in_words(
    placement: Placement,
    wanted: Sequence[Finding],
    words: Set[str],
    single: Sequence[LapName],
    with_pieces: Set[str],
    catalogue: Catalogue,
) -> dict[str, str]:
    """Name the closures whose backing is wanted, by the laps that want it.

    Args:
        placement: whose closures.
        wanted: the findings that want it; where a finished band is opened for magnets, it may be there alone.
        words: the facts of the job.
        single: laps that are told as a single layer.
        with_pieces: laps that pieces are cut for, but for some of their marks.
        catalogue: rules, from which the lengths of buttonholes come.
    """
    told = {one.lap for one in wanted}
    laps = [lap.name for lap in placement.laps.both if lap.name in told or None in told]
    is_if_opened = all(one.is_if_opened for one in wanted)
    side = ""
    if "opened for magnets" in words and "state: finished" in words:
        within = "within it, on the layers that meet the other lap,"
        side = f" {within}" if is_if_opened else f" on the inside of the band, or where it was opened {within}"
    marks = sorted(
        {
            mark.n
            for lap in laps
            for mark in placement.on(lap)
            if lap not in with_pieces or _is_left_out(placement, mark.n, lap)
        }
    )
    end = "end" if placement.strap is not None else "lap"
    named = {"backed marks": numbers_in_words(marks)}
    named["shrinks too"] = shrinks_too(words)
    stay = stay_of(placement, laps)
    named["what backs"] = stay or "interfacing or a tape that does not stretch"
    named["what backs all"] = stay or "interfacing"
    return {
        "back the": "Where the band was opened, back the" if is_if_opened else "Back the",
        "back opened": side,
        **named,
        "back side": back_side(words, outer_cloth(laps, single)),
        "backing laid": put(_NO_ROOM if _has_no_room(placement, marks, laps, catalogue) else _LAID, named),
        "backed lap": f" of the {laps[0]} {end}" if len(laps) == 1 else "",
    }


def backing_in_words(
    placement: Placement, words: Set[str], single: Sequence[LapName], cut: Collection[LapName] = ()
) -> dict[str, str]:
    """Name the pieces of backing, what they are of, where they lie, and where none is cut for want of room.

    Args:
        placement: closures of one kind.
        words: the facts of the job.
        single: the laps that are told as a single layer of cloth.
        cut: the laps that pieces are cut for; empty for all that may have some.
    """
    sheets = placement.plan.sheets
    told = None if sheets is None else sheets.backing_cloth
    form = "strips or patches" if sheets is None or sheets.backing in (None, "as needed") else str(sheets.backing)
    # Nothing is laid over a buttonhole that is knitted, nor where no piece is cut.
    backed: list[LapName] = [
        lap.name
        for lap in placement.laps.both
        if (not cut or lap.name in cut)
        and not is_bare(placement, lap.name)
        and any(placement.is_backed(mark.n, lap.name) for mark in placement.on(lap.name))
    ]
    stay = "" if told else stay_of(placement, backed)
    cloth = told or stay
    none_at = _none_at(placement, backed)
    if len(backed) == 1:
        form = f"{'a strip' if form == 'strip' else form} for the {backed[0]} lap"
    else:
        form = {"strip": "a strip for each lap"}.get(form, form)
    is_made = "state: cut pieces" not in words
    side = made_side(placement) if is_made else f"against the wrong side of {outer_cloth(backed, single)}"
    if placement.plan.gauge is not None:
        side = "against the wrong side of the knitted band"
    has_facing = [lap for lap in backed if placement.is_beneath or lap not in single]
    on_facing = [lap for lap in has_facing if lies_on_facing(placement, lap)]
    if on_facing:
        is_opened = ends_within(placement.fastener, placement.plan)
        under = made_side(placement) if is_made and not is_opened else "against that of the outer cloth"
        inner = inner_of(placement)
        side = f"on the over lap against the wrong side of {inner}, on the under lap {under}"
        if on_facing == backed:
            side = f"against the wrong side of {inner}"
        return {"backing": (f"{form} of {cloth}, {side}" if cloth else f"{form}, {side}") + none_at}
    if stay:
        return {"backing": f"{form}, of {stay}, {side}{none_at}"}
    return {"backing": (f"{form} of {cloth}" if cloth else f"{form}, {side}") + none_at}


def _none_at(placement: Placement, backed: Sequence[LapName]) -> str:
    """Name the marks of laps with patches that get none; empty where all have theirs."""
    bare = [(lap, [one.mark for one in placement.unbacked if one.lap == lap and one.is_short]) for lap in backed]
    told = [f"at {numbers_in_words(marks)} of the {lap} lap" for lap, marks in bare if marks]
    return f"; none {' and '.join(told)}, where there is no room for one" if told else ""
