"""What the sentences name: marks by their numbers, laps by their names, lengths in the plan's units."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.bands import bands_figures
from closures.advice.both_laps import both_laps, cloth_of, turn_held
from closures.advice.comparing import compared, eased, held_against, shown_on_the_other
from closures.advice.cords import feet_of_loops, lace_figures, loop_figures
from closures.advice.done import edges_hooked, halves_done, trial_done
from closures.advice.halves import covered_first, faces_pushed_through, held_by, sewn_through
from closures.advice.magnets import magnet_figures
from closures.advice.pairs import all_of_it, made_once_or_twice, pieces_fused
from closures.advice.phrases import phrases_at, phrases_of
from closures.advice.settings import setting_of
from closures.advice.straight import marks_agree, span
from closures.advice.tapes import guiding
from closures.advice.wearer_facts import put_on_as_answered
from closures.advice.wording import filled, put
from closures.checks.finding import cut_in_words, numbers_in_words
from closures.lengths import format_length
from closures.placing.buttonhole import buttonhole_for, cut_lengths
from closures.placing.marked_face import is_sewn_within
from closures.placing.role import is_for_show, tried_alike
from closures.placing.single_layer import single_laps
from closures.placing.strap.buttons_between import buttons_between
from closures.placing.strap.carrier_words import carriers_in_words, evenly_in_words
from closures.placing.trial_piece import trial_piece, tried_with
from closures.series import how_many, in_a_row

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence, Set

    from closures.advice.worked import Worked
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.placing.strap.values import Strap
    from closures.plan.top import Units


_LAID = {"what it is laid to": "its finished edge"}


def figures_of(
    placement: Placement,
    catalogue: Catalogue,
    words: frozenset[str],
    laps: Mapping[LapName, Worked],
    cut: Sequence[int] | None = None,
    seen: frozenset[str] | None = None,
    backed: Set[LapName] = frozenset(),
) -> dict[str, str]:
    """Gather what the sentences of a job name.

    Args:
        placement: the closures as placed.
        catalogue: rules.
        words: the facts that hold so far.
        laps: the cloth of either lap.
        cut: numbers of the marks whose buttonholes are cut anew; None for all.
        seen: the facts, were all cloth that which lies outside; None where it is.
        backed: the laps whose closures all have a backing behind them by the time they are set.

    Returns:
        Words in braces to what stands in their place.
    """
    first, second = laps_in_order(placement)
    lead = lead_lap(placement)
    setting = setting_of(placement.fastener.setting)
    names = {lap: "end" if placement.strap is not None else "lap" for lap in (first, second)}
    marks = {lap: _marks(placement, lap) for lap in (first, second)}
    leads = _leading_part(placement, first)
    single = single_laps(placement.plan, catalogue)
    numbers = {mark.n for mark in placement.on(first)}
    cut_marks = marks[first] if cut is None else numbers_in_words(cut)
    figures = {
        "lap word": names[first],
        "lead": lead,
        "first lap": f"{first} {names[first]}",
        "second lap": f"{second} {names[second]}",
        "over lap": f"over {names[first]}",
        "under lap": f"under {names[first]}",
        "first marks": marks[first] or "no mark",
        "front marks": numbers_in_words([n for n in on_the_front(placement) if n in numbers]) or "no mark",
        "new hole marks": cut_marks,
        "worked marks": cut_marks if cut is not None else _worked(placement),
        "new": "" if cut_marks == marks[first] else "new ",
        "second marks": marks[second] or "no mark",
        "all marks": numbers_in_words([mark.n for mark in placement.marks]),
        "first part": leads,
        "hole": _hole(placement),
        "all of it": all_of_it(placement.row),
        "as answered": put_on_as_answered(words),
        "it on": "the garment on" if placement.strap is not None and placement.strap.pieces > 1 else "it on",
        "buttonhole way": "",
        **dict.fromkeys(("past open holes", "openings cut"), ""),
        "buttonhole": "",
        "shank": "",
        "pin": "",
        "trial is done": trial_done(words, cloth_of(laps[lead])),
        "try settings": _try_settings(placement, first, leads),
        "with patch": _with_patch(placement),
        "tried with": tried_with(placement),
        **phrases_of(words, seen),
        **both_laps(placement, words, laps, first, lead),
        **span(placement.row, first),
        **marks_agree(placement, first),
        **halves_done(
            words,
            edges_hooked(placement),
            cloth_of(laps[first]),
            cloth_of(laps[second]),
            is_hook_first=placement.fastener.mark.on(first) == "hook",
            has_buttons_between=buttons_between(placement) > 0,
        ),
        "tried on": trial_piece(placement),
        **_washed(placement),
        **_strap(placement),
        "lining held": turn_held(laps["over"].facing),
        **pieces_fused(placement, words),
        **lace_figures(placement),
        **loop_figures(placement, words, first, single),
        **bands_figures(placement, words, single, catalogue),
        **magnet_figures(words, lead, single),
        **_buttonhole(placement, catalogue),
        "where not dot": _eyes_past(placement) + feet_of_loops(placement),
    }
    other: LapName = "under" if lead == "over" else "over"
    named = figures | {
        "lead lap": f"{lead} {names[lead]}",
        "lead within": "inside of the " * is_sewn_within(placement, lead),
        "other within": "inside of the " * is_sewn_within(placement, other),
        "lead marks": cut_marks if "buttonholes" in words else marks[lead],
        "counted": how_many(len(placement.on(lead)), "closure"),
        "other lap": f"{other} {names[other]}",
        "other marks": marks[other],
        **faces_pushed_through(lead, words),
        **covered_first(placement, lead, first),
        "lead layers": sewn_through(lead, words, "lead marks", is_single=lead in single, is_backed=lead in backed),
        "other layers": sewn_through(other, words, "other marks", is_single=other in single, is_backed=other in backed),
        "behind": held_by(other, words, placement, is_single=other in single),
        "other part": next((part.name for part in placement.fastener.parts_on(other)), "eye"),
    }
    # Each half is worked as the cloth of its own lap bears.
    own = {lap: named | phrases_at(replace(worked, words=worked.closed)) for lap, worked in laps.items()}
    halves = {lead: filled(setting.lead, own[lead]), other: filled(setting.other, own[other])}
    if placement.fastener.kind == "hook and eye" and "ends: meeting" not in words:
        straight = "{other marks?Take a straight eye, which is a bar|Take straight eyes, which are bars}"
        halves[other] += put(f" {straight} of metal; round ones are for edges that meet.", named)
    if "ends: meeting" in words and "set: hook" in words:
        past = format_length(placement.laps.under.past_edge_mm, placement.plan.units)
        bow = put("{other marks?its bow|the bow of each}", named)
        halves["under"] += f" Let {bow} stand out {past} past the edge, at its mark on the sheet."
    trial = (
        put("Make one bound {tried hole}{lies as on it}, and pass the button {tried through},", own[lead])
        if "bound" in words
        else put(setting.trial, own[lead])
    )
    from_inside = lead == "under" and leads == "buttonhole"
    onto = laps[second].closed | (words & {"cloth: knit"})
    show = put(
        shown_on_the_other(
            onto, laps[second].marked, leads, figures["second lap"], figures["pin"], from_inside=from_inside
        ),
        figures,
    )
    held = put(held_against(placement), figures)
    told = {"trial": trial, "set first": halves[first], "set second": halves[second]}
    also = {"show": show, "hold against": held, "first end": placement.ends[0], "eased": eased(placement)}
    for is_meeting, ends in ((False, ""), (True, " meeting")):
        how = compared(placement, words, is_meeting=is_meeting)
        also |= {
            f"{name}{ends}": put(text, figures | also) for name, text in zip(("compare", "compared"), how, strict=True)
        }
    return figures | told | also


def on_the_front(placement: Placement) -> list[int]:
    """The marks that do not lie on a collar stand, which is worked before it is sewn on."""
    return [mark.n for mark in placement.marks if placement.plan.stand is None or mark.n > 1]


def _worked(placement: Placement) -> str:
    """The marks whose buttonholes are worked in one go: those of the whole row, whichever button each is for.

    Of a strap of several settings one buttonhole goes over one button of many: the others have none.
    """
    marks = [
        mark.n
        for share in placement.row.shares
        if (lap := share.fastener.mark.buttonhole_lap) is not None
        and share.plan.closure.bound == placement.plan.closure.bound
        and not is_for_show(share)
        for mark in share.marks
        if mark.on(lap) is not None
    ]
    return numbers_in_words(sorted(marks))


def _eyes_past(placement: Placement) -> str:
    """Where an eye is marked whose working end stands out past the edge: the dot has no cloth under it."""
    past_mm = placement.laps.under.past_edge_mm
    if not past_mm or placement.plan.tape is not None:
        # A tape is sewn on along its own edges.
        return ""
    past = format_length(past_mm, placement.plan.units)
    return f" The dot of an eye lies {past} past the edge, where there is no cloth: mark the two rings of each instead."


def _with_patch(placement: Placement) -> str:
    """Whether the trial piece has a patch as the closures have; some stand on none, and what they clamp is thinner."""
    if placement.is_partly_patched:
        return ", once with the patch and once without"
    return ", with the patch" if placement.patched else ""


def laps_in_order(placement: Placement) -> tuple[LapName, LapName]:
    """Tell which lap is set first: the one with the part that leads, on a strap the one with the more places."""
    first = lead_lap(placement)
    other: LapName = "under" if first == "over" else "over"
    has_row = placement.strap is not None and placement.fastener.mark.buttonhole_lap is None
    if has_row and len(placement.on(other)) > len(placement.on(first)):
        return (other, first)
    return (first, other)


def lead_lap(placement: Placement) -> LapName:
    buttonholes = placement.fastener.mark.buttonhole_lap
    if buttonholes is not None:
        return buttonholes
    leads = setting_of(placement.fastener.setting).leads
    on_under = any(part.name == leads for part in placement.fastener.parts_on("under"))
    on_over = any(part.name == leads for part in placement.fastener.parts_on("over"))
    return "under" if on_under and not on_over else "over"


def _marks(placement: Placement, lap: LapName) -> str:
    own = [mark for mark in placement.marks if mark.n not in placement.sewn_apart]
    numbers = [mark.n for mark in own if mark.on(lap) is not None]
    return numbers_in_words(guiding(numbers) if placement.fastener.is_taped else numbers)


def _leading_part(placement: Placement, first: LapName) -> str:
    if placement.fastener.mark.buttonhole_lap is not None:
        return "buttonhole"
    leads = setting_of(placement.fastener.setting).leads
    names = [part.name for part in placement.fastener.parts_on(first)]
    # The part that meets the other half, not the one that shows outside, is what the other lap is held against.
    eyes = ("eye", "round eye", "straight eye", "bar")
    meets = ("socket", "stud", leads, "socket half", *eyes, "counter half")
    return next((name for name in meets if name in names), names[0])


def _try_settings(placement: Placement, first: LapName, leads: str) -> str:
    """How the ends of a strap are held against each other before the second is set."""
    if placement.strap is None:
        return ""
    is_one = len(placement.strap.settings) == 1
    at, each = ("as it is worn", "") if is_one else ("at its tightest and at its loosest setting", " each time")
    every, one = ("the", "the") if is_one and len(placement.marks) == 1 else ("every", "a")
    found = f"{every} mark of the over end lies on {one} {leads}"
    if first == "over":
        found = f"{every} {leads} lies on {one} mark of the under end"
    return f"Lay the over end on the under end {at}, and look whether {found}{each}."


def _hole(placement: Placement) -> str:
    hole = placement.fastener.hole
    if hole is None or hole.diameter is None:
        return "a hole as wide as the post"
    return f"a hole of {hole.diameter.value:g} mm, no wider than the post,"


def _washed(placement: Placement) -> dict[str, str]:
    # What lies beside the row is washed with it, and told in the row's figures: the sentence is one for all.
    wish, washed = placement.plan.shrinkage, placement.row.washed
    if wish is None or washed is None:
        return {"shrinkage": "", "washed": ""}
    units = placement.plan.units
    gaps = " and ".join(dict.fromkeys(format_length(gap, units) for gap in _ends_of(washed.gaps_mm)))
    lengths = {format_length(washed.length_mm, units): "the closing line"}
    under = format_length(washed.worn.laps.under.line.length_mm, units)
    if under not in lengths:
        lengths = {next(iter(lengths)): "the over lap's closing line", under: "the under lap's"}
    told = [f"{line} should come to {length}" for length, line in lengths.items()]
    if gaps:
        told[0] += f", its gaps to {gaps}"
    return {
        "shrinkage": f"{100 * wish.along:g} % along and {100 * wish.across:g} % across",
        "washed": f"{'; '.join(told)}.",
    }


def _ends_of(gaps: Sequence[float]) -> tuple[float, ...]:
    return (min(gaps), max(gaps)) if gaps else ()


def _strap(placement: Placement) -> dict[str, str]:
    strap, units = placement.strap, placement.plan.units
    if strap is None:
        return {
            "the piece": "",
            "finished": "",
            "width": "",
            "cut width": "",
            "the block": "",
            "own allowance": "",
            "of two cloths": "",
            "sew and turn": "",
            "joined": "",
            **dict.fromkeys(("strap finished", "lining cut", "lining turned"), ""),
            "inner sewn": "through the inner layers of the over end",
            "if a waistband": "where this band is a waistband, ",
            "pair": "",
        } | _LAID
    return {
        **made_once_or_twice(strap, units),
        "finished": _finished(strap, units),
        "of two cloths": f": {strap.cloths_in_words}" if strap.cloths else "",
        "own allowance": ", with your own seam allowance added on every side" if strap.lacks_allowance else "",
        "sew and turn": "Hem" if strap.made == "one layer" else "Sew and turn",
        "width": format_length(strap.width_mm, units),
        "carriers": _carriers(strap, units),
    }


def _finished(strap: Strap, units: Units) -> str:
    """How long a strap is: in every size of a chart, by which each is cut."""
    if not strap.sizes:
        return format_length(strap.finished_mm, units)
    return in_a_row([f"{format_length(size.finished_mm, units)} ({size.name})" for size in strap.sizes])


def _carriers(strap: Strap, units: Units) -> str:
    carriers = strap.carriers
    if carriers is None:
        return ""
    count = len(carriers.round_mm)
    each, it, its = ("1 carrier", "it", "its") if count == 1 else (f"{count} carriers, each", "them", "their")
    cut, places, unwashed = carriers_in_words(carriers, units)
    return (
        f"Cut {each} {cut} long, and sew {it} to the garment, best before that is lined and its seams are closed, "
        f"{its} ends turned in: {carriers.where}, from the closure at centre front round the garment "
        f"{in_a_row(places)}{evenly_in_words(carriers, strap)}.{unwashed}"
    )


def _buttonhole(placement: Placement, catalogue: Catalogue) -> dict[str, str]:
    hole = buttonhole_for(placement.fastener, placement.plan, catalogue)
    if hole is None:
        return {}
    units = placement.plan.units
    # The words are those of the row; what differs from it is told of its own.
    first = placement.shares[0]
    long = cut_in_words(cut_lengths((first,), catalogue), lambda mm: format_length(mm, units))
    washed = "" if hole.washed_mm is None else format_length(hole.washed_mm, units)
    if washed not in ("", format_length(hole.length_mm, units)):
        long += f" ({washed} once washed)"
    edge = "the edge" if placement.strap is None else "the tip"
    nearer = edge if hole.way == "across" else f"the {placement.ends[0]}"
    # A trial piece is of all that are made in the same way, a second column with them.
    groups = tried_alike(placement.row)
    alike = next((alike for alike in groups if any(one.marks == first.marks for one in alike)), (first,))
    cuts = [format_length(mm, units) for mm, _ in cut_lengths(alike, catalogue)]
    told = {
        "buttonhole": long,
        "tried hole": f"buttonhole of each length, {in_a_row(cuts)}," if cuts[1:] else "buttonhole",
        "tried through": "through each" if cuts[1:] else "through it",
        "buttonhole way": f"{hole.way} the closing line",
        "pin": f"{format_length(hole.before_mm, units)} from its end nearer to {nearer}",
    }
    if placement.strap is not None:
        # The line runs across the strap from edge to edge, and a slit across the line lies along the strap.
        told["buttonhole way"] = "along the strap" if hole.way == "across" else "across the strap"
    if placement.fastener.kind == "shank button":
        told["shank"] = ", by {other marks?its own shank|their own shanks}"
    elif placement.fastener.is_ball:
        told["shank"] = (
            ", on {other marks?its own shank or, where it has none|their own shanks or, where they have none}, on a "
            "thread shank as long as the buttonhole layer is thick"
        )
    else:
        told["shank"] = ", with a thread shank as long as the buttonhole layer is thick"
    return told
