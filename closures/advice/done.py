"""When setting is done right, and when a trial is: what is seen and felt, by the kind that is set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.lengths import TOLD_ALIKE_MM, format_length

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.placing.lap import Laps
    from closures.placing.placement import Placement


def edges_hooked(placement: Placement) -> str:
    """How edges that meet lie once they are hooked: as the metal holds them, also before a wash that changes it."""
    now, worn = _apart_mm(placement.laps), _apart_mm(placement.as_worn.laps)
    told = _apart(placement, now)
    if abs(now - worn) < TOLD_ALIKE_MM:
        return told
    return f"{told} as long as the cloth is unwashed; after the first wash {_apart(placement, worn)}"


def _apart_mm(laps: Laps) -> float:
    """From one finished edge to the other, closed: the working ends of both halves lie on one point."""
    return -(laps.over.inset_mm + laps.under.inset_mm)


def _apart(placement: Placement, by_mm: float) -> str:
    far = format_length(abs(by_mm), placement.plan.units)
    if abs(by_mm) < TOLD_ALIKE_MM:
        return "the edges just meet"
    return f"the edges stand {far} apart" if by_mm > 0 else f"one edge lies {far} over the other"


def halves_done(
    words: Set[str],
    hooked: str,
    cloth: str,
    other_cloth: str,
    *,
    is_hook_first: bool = True,
    has_buttons_between: bool = False,
) -> dict[str, str]:
    """How the halves look once they are set right, on the lap set first and on the other.

    What differs between one mark and several stands in braces, as in the tables.

    Args:
        words: the facts of the job.
        hooked: how edges that meet lie once they are hooked.
        cloth, other_cloth: what the lap set first is called by its cloth, and the other.
        is_hook_first: of hooks, that they are sewn on before their eyes or bars; on a strap they are not.
        has_buttons_between: of a strap, that buttons lie between its closed ends, so that they do not lie flat.
    """
    each, others = "{first marks?It|Each}", "{second marks?It|Each}"
    sewn = "{} sits at its mark, and the {} round it does not pull."
    if "set: hook" in words and is_hook_first:
        sewn = "{} sits at its mark, and its end does not show past the edge."
    if "buttonholes" in words:
        cut = "{first marks?The|Every} button passes without force, and does not slip back by itself."
        if "wash: after" in words:
            cut = (
                "{first marks?The|Every} button passes without force, with a little slack that the first wash takes up."
            )
        second = "{second marks?The|Every} button sits where its buttonhole wants it" + (
            f"{_lie_closed(words) * (not has_buttons_between)}."
            if "set: sewn button" in words
            else ", and {second marks?does not turn|none turns}."
        )
        return {"first is done": cut, "second is done": second}
    if "ends: meeting" in words and "set: hook" in words:
        bows = "{second marks?The|Each} bow stands out past the edge as the sheet has it, and hooked in, "
        bows += f"{hooked}."
        if not is_hook_first:
            bow = "{first marks?The|Each} bow stands out past the edge as the sheet has it."
            return {"first is done": bow, "second is done": f"{others} hooks in without slack, and {hooked}."}
        return {"first is done": sewn.format(each, cloth), "second is done": bows}
    if "set: hook" in words:
        takes = f"takes its hook without slack, and the {other_cloth} lies flat."
        if not is_hook_first:
            takes = f"hooks in without slack, its end does not show past the edge, and the {other_cloth} lies flat."
        return {"first is done": sewn.format(each, cloth), "second is done": f"{others} {takes}"}
    if "sewn on" in words:
        return {"first is done": sewn.format(each, cloth), "second is done": sewn.format(others, other_cloth)}
    if "set: loop" in words:
        loops = "{first marks?The loop is as long as told|All loops are of one length and stand level}, and "
        loops += "{first marks?it|each} lets its button through."
        return {
            "first is done": loops,
            "second is done": "{second marks?The|Each} button hangs on its shank and does not draw the "
            f"{other_cloth}.",
        }
    if "set: hook tape" in words or "set: snap tape" in words:
        tape = "The tape lies flat, and {first marks?its closure stands at its mark|its closures stand at their marks}."
        shut = f"hooked in, {hooked}" if "ends: meeting" in words else f"closed, the {_closed(words)}"
        level = f"The tape lies flat, its closures stand level with those of the other, and {shut}."
        return {"first is done": tape, "second is done": level}
    firm = "{0} sits flat at its mark, and {1} under a finger."
    turns = "{{{0} marks?does not turn or rock|none turns or rocks}}".format
    return {
        "first is done": firm.format(each, turns("first")),
        "second is done": firm.format(others, turns("second")),
    }


def _lie_closed(words: Set[str]) -> str:
    """How what is buttoned lies, after what its buttons do."""
    return f", and the closed {'ends lie flat' if 'on: strap' in words else _closed(words)}"


def _closed(words: Set[str]) -> str:
    """How laps are once they are closed: what cannot be laid flat closed is looked at as it is worn."""
    return "laps neither fold nor pull as worn" if "closed by turns" in words else "laps lie flat"


def trial_done(words: Set[str], cloth: str) -> str:
    """How a trial piece proves itself; `cloth` is what the lap set first is called by its cloth."""
    if "cord" in words:
        return f"It lies flat on both faces and does not turn, and the {cloth} round it neither tears nor draws in."
    if "set: tack button" in words:
        firm = f"and the {cloth} round hole and tack does not pull"
        return f"The button passes ten times without catching and does not turn on its tack, {firm}."
    if "buttonholes" in words:
        return f"The button passes ten times without catching, and the {cloth} round the hole does not pull."
    return f"It opens and closes ten times without catching, and the {cloth} round it does not pull."
