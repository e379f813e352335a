"""What sentences name of the bands of a job: how knitted ones end, what is backed, what a bound buttonhole lies on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.facings import band_and_facing, facing_figures
from closures.advice.holes_left import CLIPPED, keeps_needle_holes
from closures.advice.piece_cloths import laid_in_where, laid_in_words
from closures.advice.strap_turns import turned_of_strap
from closures.jobs.table.bands import interfaced_half
from closures.lengths import format_length
from closures.placing.interfaced import INNER_HALF, OUTER_HALF, behind_folded, lays_interfacing
from closures.placing.pressed_in import At, is_laid_away, pressed_in, reaches_at_edge, trimmed_mm
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement

_BAND_ENDS = {
    "stitches": "Cast both bands off, no tighter than the knitting is long",
    "front rows": "Cast both bands off with their fronts",
    "band rows": "Cast both bands off, and sew them to the fronts",
}
"""How knitted bands end, by what is counted along them (common practice)."""

_OTHER_WAY = (
    ". Or lay them untrimmed the other way, out of the band and into the garment, where no part clamps them: a seam "
    "that is pulled at every opening holds better so"
)
"""Where the allowances of the seam between band and lap lie that are not to be trimmed (common practice)."""

_LAID_AWAY = "out of the band and into the garment"
"""The same where that is the only way: how they are flattened stands right after it."""
_WHY_AWAY = (
    ". Leave them untrimmed: no part clamps them there, and in the band they would end under the parts, and cannot be "
    "trimmed clear of them and hold"
)
"""Why, in a sentence of its own after that (geometry)."""

_REACHES = "its allowances end under parts and are in no figure"
"""Said where those of the finished edge are closed in, which can lie nowhere else: our own rule."""
_RIDGE_FIRST = (
    "Do first what the check of ridges says of the finished edge: a smaller closure, or one set further away, may want "
    "other bands. Then go on. "
)
"""Said before the bands are sewn on whose edge is so: our own rule."""

SINGLE_EDGE = "as a single layer is finished, bound or overcast, or cut clean where it does not fray"
"""How an edge without a facing is finished (common practice)."""


def _are_buttons(row: Placement) -> bool:
    return all(share.fastener.mark.buttonhole_lap is not None for share in row.shares)


def outer_cloth(laps: Sequence[LapName], single: Sequence[LapName]) -> str:
    """What a backing of pieces lies against: where all laps that it is for are told as one layer, nothing is outer."""
    return "the one layer" if laps and set(laps) <= set(single) else "the outer cloth"


def bands_figures(
    placement: Placement, words: frozenset[str], single: Sequence[LapName], catalogue: Catalogue
) -> dict[str, str]:
    """Gather what sentences name of bands: how knitted ones end and are backed, what stays a bound hole.

    `single` are the laps that are told as a single layer of cloth.
    """
    gauge = placement.plan.gauge
    # No band closes over what lies behind two single layers that are still to be finished.
    is_bare = len(single) > 1 and "state: cut pieces" in words
    trimmed, told = _trimmed(placement, words, catalogue), band_and_facing(placement, catalogue)
    stay = (
        "interfacing"
        if words & {"fusible", "cloth laid in"}
        else "a stay of thin firm cloth where no interfacing lies behind it"
    )
    return {
        "bands end": "" if gauge is None else _BAND_ENDS[gauge.line],
        # All closures of a row share its bands: they are backed once, for all of them.
        "backed bands": "the band that carries the buttons" if _are_buttons(placement.row) else "both bands",
        "bound stay": stay,
        "laid in": laid_in_words(placement, catalogue),
        "laid in where": laid_in_where(placement, catalogue),
        **_unmade_edge(placement, words),
        **({"before what": "before the edge is finished"} if is_bare else {}),
        **trimmed,
        **_sewn(placement, words, single, trimmed["edge trimmed"], (told["both of"], trimmed["edge reaches"])),
        **told,
        **facing_figures(placement, words, catalogue),
    }


def _bears_trimming(words: Set[str]) -> tuple[str, str]:
    """What the seam that carries the pull of every opening takes before and after it is trimmed (common practice).

    A knit runs from a cut edge; leather and coated cloth neither fray nor bear a second row of holes beside the first.
    """
    if "cloth: knit" in words:
        return "", " and overcast them together, with a stitch that gives"
    is_bare = keeps_needle_holes(words) and "cloth: woven" not in words
    return ("", "") if is_bare else ("stitch it twice, ", "")


def _trimmed(placement: Placement, words: Set[str], catalogue: Catalogue) -> dict[str, str]:
    """Say to what allowances are trimmed that would end under a part: before they are pressed in (common practice)."""
    found, units = pressed_in(placement.row.as_worn, catalogue), placement.plan.units

    def trimmed(at: At) -> str:
        to_mm = trimmed_mm(found, at, "over")
        return "" if to_mm is None else format_length(to_mm, units)

    bears = _bears_trimming(words)
    if is_laid_away(found):
        inner, laid, why = "", _LAID_AWAY, _WHY_AWAY
    else:
        inner, laid = trimmed("inner edge"), "into the band"
        why = inner and _OTHER_WAY
    reaches = reaches_at_edge(found)
    edge = trimmed("finished edge")
    return {
        "edge trimmed": edge and f"trim the allowances of that seam to {edge}, ",
        "edge reaches": _REACHES * reaches,
        "ridge first": _RIDGE_FIRST * reaches,
        "allowances laid": laid,
        "inner trimmed": inner and f"{bears[0]}trim the allowances of that seam to {inner}{bears[1]}, ",
        "inner other way": why,
        **turned_of_strap(found, placement.strap, units),
    }


def _unmade_edge(placement: Placement, words: frozenset[str]) -> dict[str, str]:
    """What a sheet is laid to before an edge is made: the seam of a band and its facing, or the fold that is both."""
    bands = placement.row.plan.bands
    if bands is None or bands.made != "folded":
        made = {"unmade edge": "the seam line", "fold marked": "", "faced": "the facing is sewn on"}
        made["tape held"] = "and take it into the seam of the edge"
        return made | _fused_half({}, "")
    tacked = "strips of paper tape" if keeps_needle_holes(words) else "a line of tacking thread"
    return {
        "unmade edge": "that line",
        "fold marked": f"Mark the fold along the whole band with {tacked}, where its piece draws it. ",
        "faced": "the band is folded",
        "tape held": f"one side of it against the fold, and {_caught(words)}",
        **_fused_half(
            {
                lap.name: bands.interfacings_of(lap.name)
                for lap in placement.row.laps.both
                if lays_interfacing(placement.row.plan, lap)
            },
            format_length(bands.allowance_mm, placement.plan.units),
            _halves(placement.row),
        ),
    }


def _caught(words: Set[str]) -> str:
    """How a tape is held against a fold, which has no seam to take it into (common practice)."""
    if keeps_needle_holes(words):
        return f"{'glue' if 'cloth: leather' in words else 'tape'} it down along both sides"
    return "catch it down along both sides by hand, taking up no more than the back of the cloth"


def _halves(row: Placement) -> str:
    """Behind which half of folded bands one interfacing lies: where the inner half holds the parts, behind that."""
    own = {lap.name: interfaced_half(row, lap.name) for lap in row.laps.both if lays_interfacing(row.plan, lap)}
    if len(set(own.values())) < 2:
        return next(iter(own.values()), OUTER_HALF)
    inner = next(lap for lap, half in own.items() if half == INNER_HALF)
    return f"the half that will lie outside, of the {inner} lap that which will lie inside, up to the fold"


def _fused_half(interfacings: Mapping[LapName, int], allowance: str, half: str = OUTER_HALF) -> dict[str, str]:
    """Of what of folded bands interfacing is fused or laid in: of one half alone, where one is cut for each.

    Cut as large as one half it finds the fold by itself, before that is marked (geometry).

    Args:
        interfacings: how many each band takes that takes any.
        allowance: of the pieces, in words.
        half: behind which half of a band one lies.
    """
    if not interfacings:
        return {"fused where": "", "fused pieces": "the pieces", "caught where": ""}
    if len(set(interfacings.values())) == 1:
        which = behind_folded(next(iter(interfacings.values())), half)
    else:
        which = in_a_row([f"{behind_folded(count, half)}, on the {lap} lap" for lap, count in interfacings.items()])
    ends = "it ends" if max(interfacings.values()) == 1 else "each ends"
    whose = "each band" if len(interfacings) > 1 else f"the {next(iter(interfacings))} lap's band"
    inside = f"(laid {allowance} inside the cut edges, {ends} there)"
    return {
        "fused where": f" of {whose}, behind {which} {inside}",
        "fused pieces": f"the pieces, behind {which} {inside},",
        "caught where": f" of {whose}, behind {which} (laid to the cut edges, {ends} there)",
    }


def _sewn(
    placement: Placement, words: frozenset[str], told_single: Sequence[LapName], trimmed: str, besides: tuple[str, ...]
) -> dict[str, str]:
    """How band and facing come together: in two pieces along the edge, or as one that is folded there.

    A wrap's under front reaches far past the other's band: its edge has none there, and is finished as a piece is.
    """
    bands = placement.plan.bands
    far = next((lap.name for lap in placement.laps.both if lap.is_far), None)
    near = next((lap.name for lap in placement.laps.both if lap.name != far), "over")
    both, wide, laid = "both laps", "a lap is", "the sheets are laid to the finished edge"
    first, fold = "", "both bands"
    if far is not None:
        both, wide, laid = f"the {near} lap", f"the {near} lap is", f"the sheet of the {near} lap is laid to it"
        first = f"Finish the {far} lap's edge as its piece is planned. "
        fold = f"the band of the {near} lap"
    told = {"laps wide": f"{wide} as wide as the plan says all along", "laid to it": laid}
    told |= {"edges faced": "Face both edges, turn them"}
    if bands is not None and bands.made == "folded":
        folded = f"{first}Fold {fold} along the finished edge, wrong sides together"
        return told | {"band sewn": folded, "band sewn open": folded, "edges faced": folded}
    single = tuple(lap for lap in told_single if lap != far)
    is_both = far is None and len(single) == len(placement.laps.both)
    if is_both or (far is not None and single):
        # None of it has a facing to turn.
        edges = "both edges" if far is None else f"the edge of the {near} lap"
        one = f"{first}Finish {edges} {SINGLE_EDGE} (the plan tells one layer of cloth; a facing or a ribbon behind it "
        one += "is one more, to be told there)"
        return told | {"band sewn": one, "edges faced": one}
    if single:
        lined = "under" if single[0] == "over" else "over"
        both, faced = f"the {lined} lap", f"Face the edge of the {lined} lap, turn it"
        first = f"Finish the edge of the {single[0]} lap {SINGLE_EDGE} (the plan tells one layer of cloth there; a "
        first += "facing behind it is one more, to be told). "
        told |= {"edges faced": f"{first}{faced}"}
    sewn = f"{first}Sew band and facing of {both} together"
    held = CLIPPED if keeps_needle_holes(words) else ""
    if beside := "; ".join(filter(None, (*besides, held))):
        sewn += f" ({beside})"
    turned = "turn it" if single else "turn them"
    turned = f"{trimmed}{turned}"
    told |= {"band sewn": f"{sewn}, {turned}", "band sewn open": f"{sewn} along the edge, {turned}"}
    # Where one lap is of one layer, that lap's edge is finished by itself: its sentence is there already.
    return told if bands is None or single else told | {"edges faced": told["band sewn"]}
