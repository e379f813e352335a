"""A row worked out: a waistband, cuff, collar, bib or wing with closures placed by the user."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.errors import SpacingError, in_section
from closures.lengths import format_length
from closures.placing.single_layer import made_of
from closures.placing.strap.advice import written
from closures.placing.strap.outline import lay_out, rounded_tip
from closures.placing.strap.settings import meeting_overlaps, met_at, middle_index, settings_at
from closures.placing.strap.thickness import notes_on_layers, strap_thickness_mm
from closures.placing.strap.values import SAME_SEAT_MM, Seat, Strap
from closures.said import for_author

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.plan.plan import Plan
    from closures.plan.row import RowWish
    from closures.plan.strap import SpotWish
    from closures.plan.top import Units

    _Show = Callable[[float], str]


def make_row(plan: Plan, row: RowWish, catalogue: Catalogue) -> Strap:
    """Work out a row.

    Args:
        plan: for its layers and units.
        row: what is asked.
        catalogue: cloths.

    Returns:
        The row, every setting in which its halves meet, and the places on both ends.

    Raises:
        SpacingError: a place off the strap, halves that cannot meet, or no setting of the length or
            overlap asked for.
        CatalogueError: a cloth that the catalogue does not hold.
    """

    def show(mm: float) -> str:
        return format_length(mm, plan.units)

    over = _seats(row.over, row.height_mm)
    under = _seats(row.under, row.height_mm) if row.under else _mates(over, row, show)
    for name, seats in (("over", over), ("under", under)):
        far = seats[-1].from_tip_mm
        if far >= row.length_mm:
            raise SpacingError(
                f"a place {show(far)} from the tip is off the strap, {show(row.length_mm)} long",
                where=in_section("row", f"{name}"),
                mend="Write a smaller distance, or a longer length.",
            )
    overlaps = meeting_overlaps(over, under)
    if not overlaps:
        raise SpacingError(
            _why_not(over, under, show),
            where=in_section("row"),
            mend=_what_would(over, under, plan.units),
        )
    _refuse_twice_round(overlaps, row.length_mm, show)
    chosen = _chosen(row, overlaps, show)
    few = min(len(over), len(under))
    thickness = strap_thickness_mm(row.thickness_mm, plan.layers, catalogue)
    made = made_of(plan, catalogue)
    return Strap(
        section="row",
        piece=row.piece,
        finished_mm=row.length_mm,
        width_mm=row.height_mm,
        thickness_mm=thickness,
        measured="middle",
        ends=row.ends,
        made=made,
        allowance_mm=row.allowance_mm,
        under_allowance_mm=row.under_allowance_mm,
        settings=settings_at(overlaps, chosen, row.length_mm, over[0].from_tip_mm, thickness, few),
        over=over,
        under=under,
        between_rims_mm=row.between_rims_mm,
        rim_to_edge_mm=row.rim_to_edge_mm,
        layout=lay_out(over, under, overlaps[chosen], row.length_mm, row.height_mm, row.ends, row.lap, row.corner_mm),
        pieces=2 if row.pair else 1,
        corner_mm=row.corner_mm,
        notes=(
            *rounded_tip(row.ends, row.corner_mm, row.height_mm, plan),
            *_notes(over, under),
            *_one_cuff(plan),
            *notes_on_layers(made, plan.layers, catalogue),
        ),
    )


def _seats(wishes: Sequence[SpotWish], height_mm: float) -> tuple[Seat, ...]:
    seats = [Seat(wish.from_tip_mm, height_mm / 2 if wish.height_mm is None else wish.height_mm) for wish in wishes]
    return tuple(sorted(seats, key=lambda seat: (seat.from_tip_mm, seat.height_mm)))


def _mates(over: Sequence[Seat], row: RowWish, show: _Show) -> tuple[Seat, ...]:
    """Work out the under end from the over end and the overlap, told itself or by the closed length."""
    overlap, key = row.overlap_mm or 0.0, "overlap"
    if row.target_mm is not None:
        overlap, key = row.length_mm - row.target_mm, "target"
        if overlap <= 0:
            raise SpacingError(
                f"a strap of {show(row.length_mm)} cannot lap and close at {show(row.target_mm)}",
                where=in_section("row", "target"),
                mend=f"Write a target of less than {show(row.length_mm)}, or a longer length.",
            )
    mates = [Seat(overlap - seat.from_tip_mm, seat.height_mm) for seat in over]
    least = min(mate.from_tip_mm for mate in mates)
    if least <= 0:
        raise SpacingError(
            f"with an overlap of {show(overlap)} the closure {show(overlap - least)} from the over end's tip lies "
            "beyond the under end",
            where=in_section("row", f"{key}"),
            mend=f"Write an overlap of more than {show(overlap - least)}."
            if key == "overlap"
            else f"Write a target of less than {show(row.length_mm - overlap + least)}, or a longer length.",
        )
    return tuple(sorted(mates, key=lambda seat: (seat.from_tip_mm, seat.height_mm)))


def _why_not(over: Sequence[Seat], under: Sequence[Seat], show: _Show) -> str:
    if not {round(seat.height_mm, 6) for seat in over} & {round(seat.height_mm, 6) for seat in under}:
        return "the halves cannot meet: no closure of one end has the height of one on the other"
    few = min(len(over), len(under))
    best = max(met_at(over, under, a.from_tip_mm + b.from_tip_mm) for a in over for b in under)
    over_at, under_at = (_listed(seats, show) for seats in (over, under))
    return (
        f"the halves cannot meet: over {over_at} and under {under_at} from their tips never bring more than {best} "
        f"of {few} together"
    )


def _what_would(over: Sequence[Seat], under: Sequence[Seat], units: Units) -> str:
    """Give the other end's places that would meet these, the nearest tip kept."""
    keep, change, name = (over, under, "under") if len(over) >= len(under) else (under, over, "over")
    start = change[0].from_tip_mm + keep[-1].from_tip_mm
    mates = sorted((start - seat.from_tip_mm, seat.height_mm) for seat in keep)[: len(change)]
    middle = len({round(seat.height_mm, 6) for seat in (*over, *under)}) == 1
    listed = ", ".join(
        f'"{written(at, units)}"' if middle else f'["{written(at, units)}", "{written(height, units)}"]'
        for at, height in mates
    )
    return f"These would meet: {name} = [{listed}]."


def _listed(seats: Sequence[Seat], show: _Show) -> str:
    return " and ".join(dict.fromkeys(show(seat.from_tip_mm) for seat in seats))


def _chosen(row: RowWish, overlaps: Sequence[float], show: _Show) -> int:
    """Which setting is the target."""
    wanted = row.overlap_mm
    if row.target_mm is not None:
        wanted = row.length_mm - row.target_mm
    if wanted is None:
        return middle_index(len(overlaps))
    for i, overlap in enumerate(overlaps):
        if abs(overlap - wanted) <= SAME_SEAT_MM:
            return i
    if row.target_mm is not None:
        lengths = ", ".join(show(row.length_mm - overlap) for overlap in overlaps)
        raise SpacingError(
            f"no setting closes at {show(row.target_mm)}; these do: {lengths}",
            where=in_section("row", "target"),
            mend=f"Write one of them, or length = {show(row.target_mm + overlaps[middle_index(len(overlaps))])}.",
        )
    raise SpacingError(
        f"no setting has an overlap of {show(wanted)}; these are: {', '.join(show(one) for one in overlaps)}",
        where=in_section("row", "overlap"),
        mend="Write one of them, or leave under out to have it worked out from the overlap.",
    )


def _refuse_twice_round(overlaps: Sequence[float], length_mm: float, show: _Show) -> None:
    tightest = overlaps[-1]
    if length_mm - tightest < tightest:
        left_mm = length_mm - tightest
        found = f"more than once round the {show(left_mm)} that are left of it"
        if left_mm <= SAME_SEAT_MM:
            found = f"and the whole piece is {show(length_mm)} long"
        raise SpacingError(
            f"at its tightest the ends lap by {show(tightest)}, {found}",
            where=in_section("row", "length"),
            mend=f"Write a length of {show(2 * tightest)} or more, or closures nearer the tips.",
        )


def _notes(over: Sequence[Seat], under: Sequence[Seat]) -> tuple[str, ...]:
    if len(over) == len(under):
        return ()
    name, many, few = ("over", over, under) if len(over) > len(under) else ("under", under, over)
    return (
        f"The {name} end carries {len(many)} for {len(few)} on the other: in each setting {len(few)} of them "
        f"hold{'s' if len(few) == 1 else ''} and the rest stay free. "
        "Count what to buy for each end apart, not in pairs.",
    )


def _one_cuff(plan: Plan) -> tuple[str, ...]:
    """A garment with one cuff is rare: that the plan tells one alone is said."""
    if plan.row is None or plan.row.piece != "cuff" or plan.row.pair:
        return ()
    told = "One cuff alone is told, drawn and counted."
    return (told + for_author(plan.in_words(" Of two alike write pair = true under [row].")),)
