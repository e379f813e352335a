"""How one lap is held against the other before its second half is set."""

from __future__ import annotations

import cmath
from typing import TYPE_CHECKING

from closures.advice.holes_left import keeps_needle_holes, shows_needle_holes
from closures.lengths import format_length
from closures.placing.easing import between_marks, contrary_columns, stretches_of
from closures.placing.edge_to_edge import worn_apart
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Set

    from closures.placing.easing import Stretch
    from closures.placing.marking import LapMark
    from closures.placing.placement import Placement
    from closures.plan.band import Face

# Rows that cannot be laid on each other nearer than what a comparison asks for are not compared flat: our own rule.
_FLAT_MM = 1.0
# What one lap is longer by is told from half of that on: our own rule.
_EASED_MM = 0.5

_HELD = "hold {first marks?the {first part}|each {first part} that is set} against its mark on the {second lap}"
# What stands apart is not pulled together to be compared: it would lie level by force.
_HELD_APART = (
    "as far apart; see by a ruler laid square across both that {first marks?the {first part}|each {first part} that is "
    "set} and its mark on the {second lap} lie level"
)
_FLAT = (
    "{show}; {second marks?hold the place|hold the places} against {second sheet} and mark {second marks?it|them} "
    "{there}.",
    "{second marks?It agrees to a millimetre at {second marks}; where it does not|They agree to a millimetre at "
    "{second marks}; where they do not}, follow the {first part}, since it is what the other half must meet.",
)
_BY_TURNS = (
    "Laid flat, these two laps do not lie on each other all along, so no place is taken from one to the other: "
    "{lay second}, and mark {second marks?the place|the places} of {second marks} {there}. Then close the opening one "
    "mark after the other, from the {first end}, and smooth what lies between.{eased}",
    "{first marks?The {first part} meets its mark|Every {first part} meets its mark} to a millimetre, and nothing "
    "folds or pulls between two of them. Where one does not, measure both laps against their sheets again: follow the "
    "sheet.",
)
_TAPE = (
    "{lay second}, and mark the {second marks?place|places} of {second marks} {there}: the other tape is laid by "
    "{second marks?it|them}.{eased}",
    "{second marks?It stands|They stand} where the sheet has {second marks?it|them}.",
)
_TAPES_MEETING = (
    "Lay the edges beside each other as they are worn{insides up}, and hold {first marks?the {first part}|each "
    "{first part}} at {first marks} against its mark on the {second lap}.{eased}",
    "{first marks?It lies level with its mark|They lie level with their marks} to a millimetre; where "
    "{first marks?it does not|they do not}, follow the tape that is sewn on.",
)
_MEETING = (
    "Lay the edges beside each other as they are worn{insides up}, and {hold against}.",
    "{first marks?It lies level with its mark to a millimetre; where it does not|They lie level with their marks to a "
    "millimetre; where they do not}, follow the {first part} that is set.",
)
_MEETING_BY_TURNS = (
    "Laid flat, these two edges do not lie beside each other all along: bring them together one mark after the other, "
    "from the {first end}, as they are worn{insides up}, and {hold against}.{eased}",
    "Each lies level with its mark to a millimetre, and neither edge folds or pulls between two of them. Where one "
    "does not, measure both edges against their sheets again: follow the sheet.",
)


def compared(placement: Placement, words: Set[str], *, is_meeting: bool) -> tuple[str, str]:
    """How one lap is compared with the other before its second half is set, and when that is done right.

    What bows one way on one lap and the other way on the other, as both fronts of a curved pair do, or is longer on one
    of them, cannot be laid flat on the other: there each is marked by its own sheet, which is followed.
    """
    if placement.fastener.is_taped and not worn_apart(placement):
        # A tape is laid by its line and its ends, and not by what each of its closures shows on the other lap.
        how, done = _TAPES_MEETING if is_meeting else _TAPE
    elif lie_flat(placement):
        how, done = _MEETING if is_meeting else _FLAT
    else:
        how, done = _MEETING_BY_TURNS if is_meeting else _BY_TURNS
    # What is marked on the inside of both is not seen from outside.
    return how.replace("{insides up}", ", their insides up" if "both marked within" in words else ""), done


def second_sheet(*, is_within: bool, is_back: bool, measured: Face | None = None) -> dict[str, str]:
    """What of the sheet of the lap that is set second its places are held against, and how it is laid.

    Args:
        is_within: the sheet is drawn for the inside of that lap.
        is_back: they are shown on its other face, where the sheet shows them from its back.
        measured: on which face they are measured, where none is made from the sheet; None where they are.
    """
    if measured:
        table = "as the table of marks tells"
        return {
            "second sheet": f"what is measured on the {measured} of the {{second lap}}, {table},",
            "lay second": f"measure on the {measured} of the {{second lap}}, {table}",
        }
    return {
        "second sheet": "the back of the sheet of the {second lap}, against the light,"
        if is_back
        else "the sheet of the {second lap},",
        "lay second": "turn the {second lap} over, lay its sheet on it, inside face up"
        if is_within
        else "lay the sheet of the {second lap} on it",
    }


def lie_flat(placement: Placement) -> bool:
    """Whether the marks of both laps, outside face up, can be laid on each other within a millimetre.

    That is a fact of the laps, and the same for every share of what closes them: it is asked of whole lines, of the row
    and of what lies beside it.
    """
    row = placement.row
    return all(map(_lies_flat, (row, *row.beside)))


def _lies_flat(line: Placement) -> bool:
    both = _of_both(line)
    if not both:
        return True
    over, under = ([complex(*lap.at) for lap in laps] for laps in zip(*both, strict=True))
    over, under = ([at - sum(row) / len(row) for at in row] for row in (over, under))
    turned = sum(there * here.conjugate() for here, there in zip(over, under, strict=True))
    turn = cmath.exp(1j * cmath.phase(turned))
    return max(abs(there - turn * here) for here, there in zip(over, under, strict=True)) <= _FLAT_MM


def eased(placement: Placement) -> str:
    """Which lap is longer, by how much and between which places; empty where neither is.

    With pins, and of edges that meet, as the laps are held to each other: stretch by stretch, along what lies together.
    Else from the first mark to the last.
    """
    line, laps = _line_of(placement), placement.laps
    between = between_marks(line)
    if between is None:
        return ""
    if laps.under.pins_mm and (laps.garment.is_meeting or any(one.is_pinned for one in stretches_of(laps))):
        return _eased_in_stretches(placement)
    if abs(between.longer_mm) < _EASED_MM:
        return ""
    by = format_length(abs(between.longer_mm), placement.plan.units)
    longer = f" The {between.longer_lap} lap is longer by {by} from {between.begins} to {between.ends}"
    if contrary_columns(placement.row) is None:
        return f"{longer}: ease that in evenly."
    if between.wants_a_look:
        return f"{longer}, and the other lap in the other column: both cannot be eased in, so change the plan first."
    return f"{longer}: ease that in between these marks alone, for the other column is longer on the other lap."


def _eased_in_stretches(placement: Placement) -> str:
    stretches = stretches_of(placement.laps)
    told = [
        f"{format_length(abs(one.longer_mm), placement.plan.units)} of the {one.longer_lap} lap from {one.begins} to "
        f"{one.ends}"
        for one in stretches
        if abs(one.longer_mm) >= _EASED_MM
    ]
    if not told:
        return ""
    where = [_where(placement, one) for one in stretches if one.ends.startswith("pin ")]
    named = f" {' '.join(where)}" if where else ""
    return f" Ease in evenly, each by itself: {in_a_row(told)}.{named}"


def _where(placement: Placement, stretch: Stretch) -> str:
    """Where a pin lies, for whoever has only the sheets."""
    over, under = (format_length(mm, placement.plan.units) for mm in stretch.to_mm)
    lines = "closing line" if placement.laps.under.facing is None else "finished edge"
    first = placement.ends[0]
    name = f"{stretch.ends[0].upper()}{stretch.ends[1:]}"
    return f"{name} lies {over} from the {first} along the over lap's {lines}, {under} along the under lap's."


def _line_of(share: Placement) -> Placement:
    """The whole line that a share's marks stand on, of which each share says the same."""
    numbers = {mark.n for mark in share.marks}
    row = share.row
    return next((line for line in (row, *row.beside) if numbers <= {mark.n for mark in line.marks}), share)


def _of_both(placement: Placement) -> list[tuple[LapMark, LapMark]]:
    return [(mark.over, mark.under) for mark in placement.marks if mark.over is not None and mark.under is not None]


def held_against(placement: Placement) -> str:
    """How what is set on one of two edges that meet is compared with the marks of the other, without its end."""
    return _HELD_APART if worn_apart(placement) else _HELD


def shown_on_the_other(
    words: frozenset[str], face: frozenset[str], leads: str, second_lap: str, pin: str, *, from_inside: bool
) -> str:
    """How one lap shows its places on the other, a sentence without its end.

    Args:
        words: the facts of the job, were all its cloth that of the other lap at its closures.
        face: the same, were it all that which lies there where it meets the first lap.
        leads: the part that is set first.
        second_lap: the other lap, in words.
        pin: how far from the end of a buttonhole a pin goes in.
        from_inside: that lap lies on top.
    """
    what = "garment as it is worn" if "worn" in words else "opening"
    closed = f"close the {what}, lying on the table"
    # A buttonhole of the under lap lies beneath the over lap: nothing is put through it from above.
    closed += ", turn it over closed" if from_inside else ""
    and_ = "and from the inside" if from_inside else "and"
    closed += ", not stretched" if "cloth: knit" in words else ""
    each, it = "{first marks?the|each}", "{first marks?it|each}"
    # A pin leaves its hole in leather and silk, and cuts the loops of a knit: a point on paper takes its place.
    paper = ""
    if keeps_needle_holes(face):
        paper = f"Lay paper tape along the {second_lap}, {closed}, {and_} make a point on the tape"
    elif "cloth: knit" in words or shows_needle_holes(words) or keeps_needle_holes(words):
        paper = f"Hold a strip of paper along the {second_lap} at its ends, {closed}, {and_} make a point on the paper"
    if "set: hook" in words and paper:
        return f"{paper} at the end of {each} {leads}"
    if "set: hook" in words:
        return f"{closed[0].upper()}{closed[1:]}, and put a pin into the {second_lap} at the end of {each} {leads}"
    if leads in ("buttonhole", "eyelet"):
        # What is a hole leaves no print: its place is taken through it.
        middle = f"through the middle of {each} eyelet"
        through = middle if leads == "eyelet" else f"through {each} buttonhole, {pin}"
        if paper:
            return f"{paper} {through}"
        comma = "," if leads == "buttonhole" else ""
        return f"{closed[0].upper()}{closed[1:]}, {and_} put a pin {through}{comma} into the {second_lap}"
    if "pens do" in words or "cloth: not told" in words:
        return f"Chalk {each} {leads}, {closed}, and push {it} on to the {second_lap}"
    # Chalk is lost in a pile, and stays on leather and silk: a strip of paper takes it in their place.
    strip = f"Hold a strip of paper along the {second_lap} at its ends, chalk {each} {leads}, {closed}"
    return f"{strip}, and push {it} on to the paper"
