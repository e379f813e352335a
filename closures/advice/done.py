"""When setting is done right, and when a trial is: what is seen and felt, by the kind that is set."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Set


def halves_done(words: Set[str]) -> dict[str, str]:
    """How the halves look once they are set right, on the lap set first and on the other."""
    cloth = "leather" if "cloth: leather" in words else "cloth"
    sewn = f"Each sits at its mark, and the {cloth} round it does not pull."
    if "set: hook" in words:
        sewn = "Each sits at its mark, and its end does not show past the edge."
    if "buttonholes" in words:
        cut = "Every button passes without force, and does not slip back by itself."
        if "wash: after" in words:
            cut = "Every button passes without force, with a little slack that the first wash takes up."
        second = "Every button sits where its buttonhole wants it" + (
            ", and the closed laps lie flat." if "set: sewn button" in words else ", and none turns."
        )
        return {"first is done": cut, "second is done": second}
    if "ends: meeting" in words and "set: hook" in words:
        bows = "Each bow stands out past the edge as the sheet has it, and hooked in, the edges just meet."
        return {"first is done": sewn, "second is done": bows}
    if "set: hook" in words:
        return {
            "first is done": sewn,
            "second is done": f"Each takes its hook without slack, and the {cloth} lies flat.",
        }
    if "sewn on" in words:
        return {"first is done": sewn, "second is done": sewn}
    if "set: loop" in words:
        loops = "All loops are of one length and stand level, and each lets its button through."
        return {
            "first is done": loops,
            "second is done": f"Each button hangs on its shank and does not draw the {cloth}.",
        }
    if "set: hook tape" in words or "set: snap tape" in words:
        tape = "The tape lies flat, and its closures stand at their marks."
        shut = "hooked in, the edges just meet" if "ends: meeting" in words else "closed, both laps lie flat"
        level = f"The tape lies flat, its closures stand level with those of the other, and {shut}."
        return {"first is done": tape, "second is done": level}
    firm = "Each sits flat at its mark, and none turns or rocks under a finger."
    return {"first is done": firm, "second is done": firm}


def trial_done(words: Set[str]) -> str:
    """How a trial piece proves itself."""
    cloth = "leather" if "cloth: leather" in words else "cloth"
    if "cord" in words:
        return f"It lies flat on both faces and does not turn, and the {cloth} round it neither tears nor draws in."
    if "buttonholes" in words:
        return f"The button passes ten times without catching, and the {cloth} round the hole does not pull."
    return f"It opens and closes ten times without catching, and the {cloth} round it does not pull."
