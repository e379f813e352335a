"""What is said of both laps at once: in one sentence where their cloth asks for the same, else of each by its name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.backing import held_down
from closures.advice.holes_left import CLIPPED, keeps_needle_holes, needle_holes_left
from closures.advice.pairs import STITCHED_IN_MM
from closures.advice.phrases import flattened, phrases_at, pressed_over
from closures.jobs.table.backing_side import lies_on_facing
from closures.lengths import format_length
from closures.placing.interfaced import rewaxed

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Set

    from closures.advice.worked import Worked
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.plan.top import Units

_FLATTENED = {
    "flatten edge": ("the edge", "the edge of the over lap", "that of the under lap"),
    "flatten them": ("them", "that of the over lap", "that of the under lap"),
    "flatten allowances": (
        "the seam allowances {allowances laid}",
        "the seam allowances of the over lap {allowances laid}",
        "those of the under lap",
    ),
    "flatten neck": (
        "the neck seam up into it",
        "the neck seam of the over lap up into it",
        "that of the under lap",
    ),
}
"""What is flattened on both laps together, and on either by itself."""


def both_laps(
    placement: Placement, words: frozenset[str], laps: Mapping[LapName, Worked], first: LapName, lead: LapName
) -> dict[str, str]:
    """Gather what is said of both laps, and what of one of them in a sentence about both.

    Args:
        placement: for which laps carry a closure.
        words: the facts of the job.
        laps: the cloth of either lap.
        first, lead: the lap that is set first, and the one that carries the part by which it is known.

    Returns:
        Words in braces to what stands in their place.
    """
    second, other = (_other(lap) for lap in (first, lead))
    told = {lap: phrases_at(worked) for lap, worked in laps.items()}
    one, two = laps["over"], laps["under"]
    ways = [(flattened(lap.words, lap.face), pressed_over(lap.words, lap.face)) for lap in (one, two)]
    found = {name: _both(ways, *what) for name, what in _FLATTENED.items()}
    of_second = ways[0] if second == "over" else ways[1]
    found |= _strap(placement, laps)
    found["flatten second"] = f"{of_second[0]} it{of_second[1]}"
    found |= backing_held(placement, words, laps)
    names = ("on the over lap", "on the under lap")
    for key, between in (("pricks", "; "), ("needle holes that", ", and ")):
        if told["over"][key] != told["under"][key]:
            found[key] = between.join(f"{name} {told[lap][key]}" for name, lap in zip(names, laps, strict=True))
    if told["over"]["helper mark"] != told["under"]["helper mark"]:
        each = [f"{told[lap]['helper mark']} {name}" for name, lap in zip(names, laps, strict=True)]
        found["helper mark"] = " and ".join(each)
    return found | {
        "tacked": told[first]["tacked"],
        "tacked off": told[first]["tacked off"],
        "hole stays": told[lead]["hole stays"],
        # A needle goes through what lies at the closures, and not through what lies at the edge alone.
        "needle holes": needle_holes_left(laps[other].closed),
        **_trial(words, laps),
    }


def cloth_of(worked: Worked) -> str:
    """What a lap is called by what it is of outside, round what is set in it."""
    return "leather" if "cloth: leather" in worked.face else "cloth"


def _other(lap: LapName) -> LapName:
    return "under" if lap == "over" else "over"


def _both(ways: list[tuple[str, str]], what: str, of_over: str, of_under: str) -> str:
    over, under = ways
    if over == under:
        return f"{over[0]} {what}{over[1]}"
    return f"{over[0]} {of_over}{over[1]}, and {under[0]} {of_under}{under[1]}"


def _strap(placement: Placement, laps: Mapping[LapName, Worked]) -> dict[str, str]:
    """How a strap is sewn and flattened, and when leather is laid in that it has between its layers, or behind one."""
    if placement.strap is None:
        return {"strap sewn": ""}
    one = laps["over"]
    ends = [lap for lap, worked in laps.items() if "cloth: leather" in worked.words]
    within = bool(ends) and "cloth: leather" not in one.face
    there = f" at the {ends[0]} end" if len(ends) == 1 else ""
    flat = (flattened(one.outer, one.outer), pressed_over(one.outer, one.outer))
    core = (
        f" Slide the leather in between its layers{there} after that, cut to the finished outline without an "
        "allowance, and close what was left open for it by hand: leather takes no iron."
    )
    if placement.strap.leather_within == "lining":
        return {"strap sewn": _lined_with_leather(placement.strap.cloths[0], one.outer, placement.plan.units)}
    if not within:
        flat = (flattened(one.words, one.face), pressed_over(one.words, one.face))
    held = f" ({CLIPPED})" if keeps_needle_holes(one.words) and not within else ""
    sewn = f"{{sew and turn}} {{the piece}}{held}{{strap trimmed}}{{joined}}, and {flat[0]} {{it}}{flat[1]}."
    return {"strap sewn": sewn + core * within}


def _lined_with_leather(cloth: str, outer: Set[str], units: Units) -> str:
    """How one layer of cloth is lined with leather: nothing is turned through, and leather is not turned under.

    Common practice, as for a cloth that lines leather: the cloth is turned under, and the leather ends raw within it.
    """
    stitched = format_length(STITCHED_IN_MM, units)
    return (
        f"Turn the allowance of {{the piece}} under all round, of {cloth} alone, and {turn_held(outer)}"
        "{strap trimmed}. "
        "Lay the leather on its wrong side, over what is turned under and a little inside the fold{joined}: glue it, "
        f"with a glue that its pack names for leather, and stitch it down all round, {stitched} from the edge, with a "
        "leather needle. Let the glue dry before anything is punched, and iron it no more: leather takes no heat."
    )


def turn_held(lining: Set[str]) -> str:
    """How the turned allowance of a lining is held until it is sewn, by what the lining bears (common practice)."""
    if {"press: iron", "press: damp"} & lining:
        return f"press it{pressed_over(lining, lining)}"
    return "hold the turn with clips" if "marks" in lining else "tack the turn"


def backing_held(
    placement: Placement,
    words: frozenset[str],
    laps: Mapping[LapName, Worked],
    backed: Collection[str] = (),
    backing: Set[str] | None = None,
) -> dict[str, str]:
    """Say how a backing and its edges are held down, on some laps or on all.

    Args:
        placement: whose closures.
        words: the facts of the job.
        laps: the cloth of either lap.
        backed: the laps that are backed; empty for all.
        backing: how the cloth of the backing is made; None where nobody told it.
    """
    own = {lap: worked for lap, worked in laps.items() if not backed or lap in backed}
    return {
        "held them down": _held(placement, words, own, ("them", "those of the {} lap"), backing),
        "held edges down": _held(placement, words, own, ("their edges", "the edges of those of the {} lap"), backing),
    }


def _held(
    placement: Placement,
    words: frozenset[str],
    laps: Mapping[LapName, Worked],
    named: tuple[str, str],
    backing: Set[str] | None,
) -> str:
    """How a backing is held: on pieces to the one cloth that it lies on, in a made band to all that it is of."""
    is_cut = "state: cut pieces" in words

    def lain_on(lap: LapName, worked: Worked) -> frozenset[str]:
        if not is_cut:
            return worked.words
        return worked.facing if placement.strap is None and lies_on_facing(placement, lap) else worked.outer

    what, of_lap = named

    def held(on: frozenset[str]) -> str:
        return f"{held_down(on, backing)} {{}} down" + rewaxed(on)

    how = {
        lap: held(lain_on(lap, worked))
        for lap, worked in laps.items()
        if placement.on(lap) or placement.strap is not None
    }
    if len(set(how.values())) < 2:
        return next(iter(how.values()), held(words)).format(what)
    return " and ".join(hold.format(of_lap.format(lap)) for lap, hold in how.items())


def _trial(words: frozenset[str], laps: Mapping[LapName, Worked]) -> dict[str, str]:
    """What a trial piece is of: each lap's own cloth, where one is of leather and the other is not."""
    of = dict.fromkeys(cloth_of(worked) for worked in laps.values())
    material = " and ".join(sorted(of))
    each = "that lap's own cloth" if len(of) > 1 else ""
    if "state: finished" in words:
        # Whoever has a finished garment seldom has a piece of its cloth.
        like = f"{material} as like the garment's as you have"
        piece = f"a piece of {like}, in the same layers and backing"
        return {
            "trial cloth": like,
            "trial piece": piece,
            "coupon cloth": f"what is as like {each} as you have" if each else like,
        }
    same = f"the same {material}"
    piece = f"a trial piece of {same}, layers and backing"
    return {"trial cloth": same, "trial piece": piece, "coupon cloth": each or same}
