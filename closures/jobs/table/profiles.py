"""What is told for those who wear it, and which half of a closure goes where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.catalogue.profiles import notes_for

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan


def profile_notes(plan: Plan, catalogue: Catalogue) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """List the notes of every profile that a plan names, each under its heading.

    Args:
        plan: for its wearer.
        catalogue: where sources are kept.
    """
    if plan.wearer is None:
        return ()
    return tuple(
        (f"For {_HEADINGS[name]}", tuple(note.told for note in notes_for(name, catalogue)))
        for name in plan.wearer.profiles
    )


def halves_in_words(placement: Placement, catalogue: Catalogue) -> str:
    """Say which half goes on which lap, by what convention, and whether it is turned."""
    fastener = placement.fastener
    told = []
    for lap in ("over", "under"):
        names = " and ".join(part.name for part in fastener.parts if part.lap == lap) or "buttonhole"
        told.append(f"{lap} lap: {names}")
    where = f"{'; '.join(told)}.".capitalize()
    basis = "" if fastener.halves is None else f" ({fastener.halves.text})"
    if placement.plan.closure.halves == "turned":
        return f"{where} Turned on purpose: the halves are the other way round than usual{basis}."
    basis = f" That is the usual side of each half{basis}." if basis else ""
    return f'{where}{basis} To change them over, write halves = "turned" under [closure].'


_HEADINGS = {
    "weak hands": "weak hands",
    "single hand": "a single hand",
    "quick change": "a quick change",
    "child": "a child",
    "implants": "implants and magnets",
}
