"""Which way an opening pulls, worn and when it is opened, before a swap and after it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from closures.catalogue.values import Fastener
    from closures.jobs.swap.old_row import OldRow
    from closures.placing.lap import Laps

SNAPS = ("press-set snap", "sew-on snap", "magnetic snap")


def pull_in_words(old: OldRow, new: Fastener, laps: Laps, new_way: str | None) -> str:
    """Say which way the opening pulls and how it now opens.

    Args:
        old: the closures that go.
        new: those that come.
        laps: for the wearer's sides.
        new_way: of the new buttonholes, None for closures without.

    Returns:
        Sentences, with the source of what is published.
    """
    over, under = (f"the {lap.whose}" for lap in laps.both)
    worn = f"Worn, the over lap is drawn to {over} and the under lap to {under}, across the closing line."
    before = "across" if any(hole.way == "across" for hole in old.holes) else "along"
    if _hold(old.fastener, before) == _hold(new, new_way):
        return f"{worn} {_after(new, over, new_way, 'As until now,')}"
    return f"{worn} {_before(old.fastener, before)} {_after(new, over, new_way, 'Now')}"


def _hold(fastener: Fastener, way: str | None) -> tuple[str, str | None]:
    """What of a closure, and of the way of its buttonhole, makes out how it takes a pull."""
    if fastener.family == "button":
        return "button", way
    return ("snap", None) if fastener.family in SNAPS else (fastener.family, None)


def _before(old: Fastener, way: str) -> str:
    if old.family == "button":
        if way == "across":
            return "Until now each button was drawn to the outer end of its buttonhole, next to the edge."
        return "Until now each button bore on the side of its buttonhole and could slide along it."
    if old.family in SNAPS:
        return "Until now the two halves of each snap held that pull flat between them."
    return f"Until now each {old.kind} held that pull in one direction only."


def _after(new: Fastener, over: str, way: str | None, now: str) -> str:
    if new.family in SNAPS:
        return (
            f"{now} the two halves of each snap hold {'it' if now == 'Now' else 'that pull'} flat between them, and "
            "nothing gives along the line. To open, "
            f"lift the over lap by its edge, up from the body and back to {over}: every opening pulls "
            "square to the cloth at each snap, and the layers and their backing there must bear it (common practice)."
        )
    if new.family == "button":
        if way == "across":
            return (
                f"{now} each button is drawn to the outer end of its buttonhole, which takes such a pull best "
                "(published: Threads magazine; New Mexico State University, Guide C-231)."
            )
        return (
            f"{now} each button bears on the side of its buttonhole and can slide along it; where the opening pulls "
            "hard, buttonholes across the line hold better (published: Threads magazine; New Mexico State University, "
            "Guide C-231)."
        )
    if new.family == "loop":
        return f"{now} each loop is drawn tight round its button and holds this pull (common practice)."
    if new.family == "hook":
        return (
            f"{now} each hook holds this pull and no other: it opens as soon as the laps are pushed together, so it "
            "must stay under tension (common practice)."
        )
    return f"{now} the lacing or pin through each pair holds it, evenly along the line (common practice)."
