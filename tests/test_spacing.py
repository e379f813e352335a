"""The best row: worked examples, rules that must hold, and properties."""

import math
import random
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from work import calls_of

from closures.errors import SpacingError
from closures.spacing import Anchor, Clear, NoSpacing, Shift, Wish, best_spacing, evaluate_spacing
from closures.spacing.rows import Way, is_better
from closures.spacing.taut import pull_taut

INCH = 25.4


def line(length, first, last, **more):
    return Wish(length, (first, first), (last, last), more.pop("closest_mm", 10.0), **more)


# Worked examples


def test_six_buttons_on_eighteen_inches_are_three_and_three_fifths_apart():
    """18 in from first to last, 6 buttons: 3.6 in. Source: a sewing handout, 2023."""
    found = best_spacing(line(18 * INCH, 0, 0, count=6))
    assert [gap / INCH for gap in found.gaps_mm] == pytest.approx([3.6] * 5, abs=1e-12)
    assert found.positions_mm[-1] == 18 * INCH
    assert found.reason == "6 closures: 5 gaps of 91.44 mm, all equal."


def test_six_buttons_on_a_front_a_quarter_inch_longer_are_spaced_anew():
    """18 to 18 1/4 in, 6 buttons: 3.60 to 3.65 in. Source: Univ. of Minnesota 4-H M-35, with a trade grade."""
    found = best_spacing(line(18.25 * INCH, 0, 0, count=6))
    assert [gap / INCH for gap in found.gaps_mm] == pytest.approx([3.65] * 5, abs=1e-12)


def test_four_holes_two_inches_apart_need_a_strip_of_eight_inches():
    """4 holes 2 in apart, 1 in beyond each end: 8 in. Source: newspaper column, Sun (Auckland), 1927."""
    found = best_spacing(line(8 * INCH, INCH, INCH, pitch_mm=2 * INCH))
    assert [place / INCH for place in found.positions_mm] == pytest.approx([1, 3, 5, 7])
    assert found.departure_mm == pytest.approx(0, abs=1e-9)
    assert "exactly the pitch wanted" in found.reason


def test_hooks_every_inch_and_a_quarter_both_ways_from_the_waist():
    """Hooks 1 1/4 in apart, from the waist up and down. Source: Text-Book on Domestic Art, c. 1911."""
    pitch, waist = 1.25 * INCH, 7.3 * INCH
    wish = Wish(14 * INCH, (5, 5 + pitch), (5, 5 + pitch), 10, pitch_mm=pitch, anchors=(Anchor("waist", waist),))
    found = best_spacing(wish)
    steps = [(place - waist) / pitch for place in found.positions_mm]
    assert steps == pytest.approx([round(step) for step in steps], abs=1e-9)
    assert found.positions_mm[found.shifts[0].mark_index] == waist
    assert found.departure_mm == pytest.approx(0, abs=1e-9)


PLACKET = line(620, 25, 30, clear=(Clear("waist seam", 370 - 7.5, 390 + 7.5),))


@pytest.mark.parametrize(
    ("count", "pitch", "held"),
    [
        pytest.param(8, 565 / 7, {4: 347.857, 5: 428.571}, id="8 pass the seam evenly"),
        pytest.param(10, 565 / 9, {6: 401.667}, id="10 pass the seam evenly, 4.17 from it"),
    ],
)
def test_placket_with_a_waist_seam_is_even_where_the_even_row_passes_it(count, pitch, held):
    found = best_spacing(replace(PLACKET, count=count))
    assert found.gaps_mm == pytest.approx([pitch] * (count - 1), abs=1e-9)
    for index, place in held.items():
        assert found.positions_mm[index] == pytest.approx(place, abs=0.001)


def test_placket_with_nine_moves_the_closure_that_would_fall_in_the_seam():
    # Evenly, number 6 would sit at 25 + 5 * 70.625 = 378.125, inside 362.5 to 397.5. Best: number 6 on the
    # upper bound (5 gaps of 67.5, 3 of 75.83, spread 8.33). On the lower: 74.5 and 64.17, spread 10.33.
    found = best_spacing(replace(PLACKET, count=9))
    assert found.positions_mm[5] == 362.5
    assert found.spread_mm == pytest.approx(227.5 / 3 - 67.5, abs=1e-9)


def test_duvet_foot_takes_seven_gaps_when_none_may_exceed_two_hundred():
    found = best_spacing(line(1400, 50, 50, pitch_mm=200, widest_mm=200))
    expected = [50, 235.714, 421.429, 607.143, 792.857, 978.571, 1164.286, 1350]
    assert found.positions_mm == pytest.approx(expected, abs=0.001)
    assert found.reason == (
        "8 closures: 7 gaps of 185.71 mm, at most 14.29 mm off the pitch of 200.00 mm. "
        "With 7 the limits cannot be kept; with 9 the gaps would be 162.50 mm."
    )


def test_reason_with_the_exact_pitch_names_both_neighbours():
    found = best_spacing(line(7 * 76.2, 0, 0, pitch_mm=76.2), show=lambda mm: f"{mm:.1f} mm")
    assert found.reason == (
        "8 closures: 7 gaps of 76.2 mm, exactly the pitch wanted. "
        "With 7 the gaps would be 88.9 mm; with 9 the gaps would be 66.7 mm."
    )


def test_reason_with_a_count_made_uneven_names_what_is_kept_to():
    reason = best_spacing(replace(PLACKET, count=9)).reason
    assert reason.endswith("uneven by 8.33 mm; no row of 9 that keeps to clear zone waist seam is more even.")


# Smallest cases


def test_one_closure_sits_in_the_middle_of_what_both_ends_allow():
    found = best_spacing(Wish(100, (40, 60), (30, 70), 10, count=1))
    assert found.positions_mm == (50,)
    assert (found.gaps_mm, found.smallest_mm, found.largest_mm, found.spread_mm) == ((), 0, 0, 0)


def test_one_closure_with_an_anchor_goes_as_near_to_it_as_it_can():
    found = best_spacing(Wish(100, (40, 60), (30, 70), 10, count=1, anchors=(Anchor("waist", 65, 9),)))
    assert found.positions_mm == (60,)
    assert found.shifts == (Shift(0, 0, -5.0),)


def test_two_closures_of_fixed_ends_have_the_one_gap():
    found = best_spacing(line(100, 10, 20, count=2))
    assert found.gaps_mm == (70,)
    assert found.departure_mm is None


def test_line_of_no_length_holds_one_closure():
    assert best_spacing(Wish(0, (0, 0), (0, 0), 10, count=1)).positions_mm == (0,)


def test_free_ends_take_the_pitch_and_the_middles_of_their_ranges():
    found = best_spacing(Wish(500, (10, 30), (10, 30), 10, pitch_mm=90))
    assert found.gaps_mm == pytest.approx([90] * 5)
    assert found.positions_mm[0] == pytest.approx(25)
    assert 500 - found.positions_mm[-1] == pytest.approx(25)


def test_free_ends_that_allow_one_closure_still_give_a_row_when_a_row_is_as_good():
    assert len(best_spacing(Wish(200, (0, 200), (0, 200), 10, pitch_mm=60)).positions_mm) > 1


def test_row_that_ends_where_another_may_begin_keeps_its_better_list():
    # Free are 54 to 84 and 122 to 124. The gap from 84 to 122 departs by 18 whatever the row; 64 to 84 by nothing, and
    # 64 lies as near to the middle of the first range, 74, as 84 does: so the row of more closures is the best.
    zones = (Clear("waist", -10, 54), Clear("belt", 84, 122), Clear("tail", 124, 257))
    wish = Wish(201.0, (13.0, 135.0), (14.0, 80.0), 8.0, pitch_mm=20.0, clear=zones)
    assert best_spacing(wish).positions_mm == (64.0, 84.0, 122.0)


def test_count_with_ends_that_may_lie_anywhere_has_no_gap_to_want_and_still_a_row():
    # The middles of both ranges are one place, so an even row between them would have gaps of nothing.
    anchors = tuple(Anchor(str(at), at) for at in (100.0, 130.0, 250.0))
    assert best_spacing(Wish(300.0, (0, 300), (0, 300), 10.0, count=3, anchors=anchors)).positions_mm == (100, 130, 250)


def test_anchor_with_no_freedom_is_hit_exactly_at_any_length():
    at = 3333.3333333333335
    found = best_spacing(Wish(9000, (7, 9), (7, 9), 10, pitch_mm=61.7, anchors=(Anchor("waist", at),)))
    assert found.positions_mm[found.shifts[0].mark_index] == at


def test_limits_that_leave_one_row_give_that_row():
    pitch = 76.2
    wish = Wish(
        7 * pitch + 40, (15.3, 15.3), (24.7, 24.7), pitch, pitch, count=8,
        anchors=(Anchor("bust", 15.3 + 3 * pitch),),
    )  # fmt: skip
    assert best_spacing(wish).gaps_mm == pytest.approx([pitch] * 7, abs=1e-9)


def test_end_of_a_clear_zone_is_allowed():
    found = best_spacing(line(100, 0, 0, count=3, clear=(Clear("belt", 50, 60),)))
    assert found.positions_mm == (0, 50, 100)


def test_clear_zones_that_touch_leave_no_place_between_them():
    zones = (Clear("belt", 40, 50), Clear("seam", 50, 62))
    found = best_spacing(line(100, 0, 0, count=3, clear=zones))
    assert found.positions_mm == (0, 40, 100)


def test_clear_zones_that_touch_but_for_rounding_leave_no_place_between_them():
    zones = (Clear("belt", 40, 50), Clear("seam", math.nextafter(50, 51), 62))
    assert best_spacing(line(100, 0, 0, count=3, clear=zones)).positions_mm == (0, 40, 100)


def test_two_anchors_may_share_one_closure():
    anchors = (Anchor("bust", 48, 5), Anchor("dart", 52, 5))
    found = best_spacing(line(100, 0, 0, count=3, anchors=anchors))
    assert found.positions_mm == pytest.approx((0, 50, 100))
    assert [shift.mark_index for shift in found.shifts] == [1, 1]
    assert [shift.shift_mm for shift in found.shifts] == pytest.approx([2, -2])


def test_equal_gaps_with_free_ends_come_as_near_to_the_anchor_as_they_can():
    # 4 closures on 0..300 with both ends free by 20: the anchor at 113 can be met exactly by equal gaps.
    wish = Wish(300, (0, 20), (0, 20), 10, count=4, anchors=(Anchor("bust", 113, 30),))
    found = best_spacing(wish)
    assert found.spread_mm == pytest.approx(0, abs=1e-6)
    assert found.shifts[0].shift_mm == pytest.approx(0, abs=0.002)


def test_even_stretch_holds_no_error_from_adding_gaps():
    found = best_spacing(line(4999 * 0.7, 0, 0, count=5000, closest_mm=0.1))
    worst = max(abs(place - i * 0.7) for i, place in enumerate(found.positions_mm))
    assert worst < 1e-9


def test_rows_with_the_same_figures_yield_to_the_one_nearest_the_pitch():
    # The stretch from 0 to 46 settles the departure (14), that from 46 to 114 the spread (22) and the shift
    # (5). Beyond, gaps from 46 to 68 would all do; those nearest to 60 are taken.
    anchors = (Anchor("a", 46), Anchor("b", 119, 5))
    wish = Wish(400, (0, 0), (10, 50), 30, pitch_mm=60, anchors=anchors)
    found = best_spacing(wish)
    assert found.positions_mm == pytest.approx([0, 46, 114, 174, 234, 294, 354], abs=1e-6)


# Taut string


def test_taut_string_cannot_be_bettered_by_moving_any_places():
    dice = random.Random(4)
    for _ in range(40):
        count, gap = dice.randint(2, 9), dice.uniform(-2, 2)
        centre = [10 * i + dice.uniform(-6, 6) for i in range(count)]
        low = [c - dice.uniform(0, 4) for c in centre]
        high = [c + dice.uniform(0, 4) for c in centre]
        row = pull_taut(low, high, 10 + gap, centre[0], centre[-1])
        best = strain(row, 10 + gap)
        for _ in range(60):
            share = dice.choice([1.0, 0.1, 0.001])
            other = [p + share * (dice.uniform(a, b) - p) for p, a, b in zip(row, low, high, strict=True)]
            assert strain(other, 10 + gap) >= best - 1e-9
        assert all(a <= p <= b for p, a, b in zip(row, low, high, strict=True))


def strain(row, gap):
    return sum((b - a - gap) ** 2 for a, b in pairwise(row))


# Faulty figures


@pytest.mark.parametrize(
    ("change", "message"),
    [
        pytest.param({"length_mm": math.nan}, "length of the closing line is nan", id="length not a number"),
        pytest.param({"length_mm": -1.0}, "length of the closing line is -1 mm", id="length negative"),
        pytest.param({"first": (5.0, 4.0)}, "first closure runs from 5 mm down to 4 mm", id="first upside down"),
        pytest.param({"last": (-1.0, 4.0)}, "last end is -1 mm", id="last negative"),
        pytest.param({"last": (1.0, math.inf)}, "last end is inf", id="last without end"),
        pytest.param({"closest_mm": 0.0}, "closest gap is 0 mm. Write a length above 0", id="closest nothing"),
        pytest.param({"widest_mm": math.nan}, "widest gap is nan", id="widest not a number"),
        pytest.param({"count": 0}, "the count is 0", id="no closures"),
        pytest.param({"count": 2.5}, "the count is 2.5, not a whole number", id="half a closure"),
        pytest.param({"count": True}, "the count is True, not a whole number", id="yes is no count"),
        pytest.param({"count": 5001}, "5001 closures are more than the 5000", id="one too many"),
        pytest.param({"count": 1_000_000}, "1000000 closures are more than the 5000", id="a million"),
        pytest.param({"count": None}, "a row needs a pitch or a count", id="neither pitch nor count"),
        pytest.param({"count": None, "pitch_mm": 0.0}, "the pitch is 0 mm", id="no pitch"),
        pytest.param(
            {"count": None, "pitch_mm": 0.01, "closest_mm": 0.01}, "make more than the 5000", id="pitch too fine"
        ),
        pytest.param({"anchors": (Anchor("bust", math.inf),)}, "anchor bust, its place is inf", id="anchor"),
        pytest.param({"anchors": (Anchor("bust", 5, -1),)}, "anchor bust, within is -1 mm", id="within"),
        pytest.param({"clear": (Clear("belt", 9, 8),)}, "clear zone belt ends at 8 mm, before", id="zone"),
    ],
)
def test_wish_with_a_faulty_figure_is_refused_naming_it(change, message):
    with pytest.raises(SpacingError, match=message) as caught:
        best_spacing(replace(line(500, 10, 10, count=5), **change))
    assert not isinstance(caught.value, NoSpacing)


# A row that is already there


def test_evaluate_spacing_gives_the_figures_of_a_row_that_breaks_the_rules():
    wish = line(300, 10, 10, pitch_mm=60, anchors=(Anchor("bust", 100), Anchor("waist", 181)))
    found = evaluate_spacing(wish, [5, 70, 140, 190])
    assert found.gaps_mm == (65, 70, 50)
    assert (found.smallest_mm, found.largest_mm, found.spread_mm, found.departure_mm) == (50, 70, 20, 10)
    assert found.shifts == (Shift(0, 1, -30), Shift(1, 3, 9))
    assert found.reason == "4 closures where given: 3 gaps from 50.00 mm to 70.00 mm."


@pytest.mark.parametrize(
    ("places", "message"),
    [
        pytest.param([], "at least one place", id="none"),
        pytest.param([5, math.nan], "a place is nan", id="not a number"),
        pytest.param([5, 9, 9], "place at 9.00 mm does not lie beyond", id="twice the same"),
        pytest.param([9, 5], "place at 5.00 mm does not lie beyond", id="out of order"),
    ],
)
def test_evaluate_spacing_refuses_places_that_are_no_row(places, message):
    with pytest.raises(SpacingError, match=message):
        evaluate_spacing(line(300, 10, 10, count=3), places)


# Properties


def lengths(low, high):
    """Lengths as people give them, to a hundredth: below the engine's touch nothing is promised."""
    return st.floats(low, high).map(lambda value: round(value, 2))


@st.composite
def wishes(draw):
    length = draw(lengths(120, 900))
    ends = []
    for _ in range(2):
        low = draw(st.sampled_from([0.0, 12.7, 20.0]))
        ends.append((low, low + draw(st.sampled_from([0.0, 5.0, 30.0]))))
    place = lengths(0, length)
    anchors = draw(st.lists(st.tuples(place, st.sampled_from([0.0, 2.0, 12.0])), max_size=3))
    zones = draw(st.lists(st.tuples(place, lengths(0, 60)), max_size=2))
    by_count = draw(st.booleans())
    return Wish(
        length,
        *ends,
        closest_mm=draw(lengths(5, 30)),
        widest_mm=draw(st.sampled_from([math.inf, 95.0, 140.0])),
        pitch_mm=None if by_count else draw(lengths(25, 110)),
        count=draw(st.integers(1, 12)) if by_count else None,
        anchors=tuple(Anchor(f"anchor {i}", *a) for i, a in enumerate(anchors)),
        clear=tuple(Clear(f"zone {i}", at, at + wide) for i, (at, wide) in enumerate(zones)),
    )


def try_spacing(wish):
    try:
        return best_spacing(wish)
    except NoSpacing:
        return None


def figures(found):
    shift = max((abs(s.shift_mm) for s in found.shifts), default=0.0)
    return found.departure_mm or 0.0, found.spread_mm, shift


def departures(wish, found):
    """List how far the gaps depart from the pitch, largest first; a single closure has the whole line as its gap."""
    gaps = found.gaps_mm or (wish.length_mm,)
    return sorted((abs(gap - wish.pitch_mm) for gap in gaps), reverse=True)


def looks_even(wish, found):
    if wish.pitch_mm is None:
        return True
    return found.departure_mm <= wish.pitch_mm / 3 + 1e-6 and found.spread_mm <= wish.pitch_mm / 4 + 1e-6


def is_no_worse(left, right, near=0.004):
    """Tell whether figures are no worse, the first that truly differs deciding."""
    size = max(len(left), len(right))
    for a, b in zip(*([*side, *[0.0] * (size - len(side))] for side in (left, right)), strict=True):
        if abs(a - b) > near:
            return a < b
    return True


@settings(max_examples=250, deadline=None)
@given(wishes())
def test_best_spacing_keeps_every_hard_rule(wish):
    found = try_spacing(wish)
    if found is None:
        return
    places = found.positions_mm
    assert wish.first[0] <= places[0] <= wish.first[1]
    assert wish.length_mm - wish.last[1] - 1e-9 <= places[-1] <= wish.length_mm - wish.last[0] + 1e-9
    for gap in found.gaps_mm:
        assert wish.closest_mm - 1e-6 <= gap <= wish.widest_mm + 1e-6
    for anchor in wish.anchors:
        assert min(abs(place - anchor.at_mm) for place in places) <= anchor.within_mm + 1e-9
    for zone in wish.clear:
        assert not any(zone.low_mm + 1e-9 < place < zone.high_mm - 1e-9 for place in places)
    assert wish.count is None or len(places) == wish.count
    assert len(places) > 1 or wish.length_mm <= wish.widest_mm


@pytest.mark.long
@settings(max_examples=120, deadline=None)
@given(wishes())
def test_best_spacing_of_the_reversed_line_has_the_same_figures(wish):
    length = wish.length_mm
    reversed_wish = replace(
        wish,
        first=wish.last,
        last=wish.first,
        anchors=tuple(replace(a, at_mm=length - a.at_mm) for a in wish.anchors),
        clear=tuple(Clear(z.name, length - z.high_mm, length - z.low_mm) for z in wish.clear),
    )
    compare(try_spacing(wish), try_spacing(reversed_wish))


@pytest.mark.long
@settings(max_examples=120, deadline=None)
@given(wishes(), st.sampled_from([0.5, 2.0, 3.0]))
def test_best_spacing_of_the_scaled_line_has_scaled_figures(wish, factor):
    scaled = replace(
        wish,
        length_mm=wish.length_mm * factor,
        first=tuple(v * factor for v in wish.first),
        last=tuple(v * factor for v in wish.last),
        closest_mm=wish.closest_mm * factor,
        widest_mm=wish.widest_mm * factor,
        pitch_mm=wish.pitch_mm and wish.pitch_mm * factor,
        anchors=tuple(Anchor(a.name, a.at_mm * factor, a.within_mm * factor) for a in wish.anchors),
        clear=tuple(Clear(z.name, z.low_mm * factor, z.high_mm * factor) for z in wish.clear),
    )
    compare(try_spacing(wish), try_spacing(scaled), factor)


def compare(one, other, factor=1.0):
    assert (one is None) == (other is None)
    if one is not None:
        left, right = figures(one), tuple(value / factor for value in figures(other))
        assert is_no_worse(left, right, 0.012)
        assert is_no_worse(right, left, 0.012)


@pytest.mark.long
@settings(max_examples=150, deadline=None)
@given(wishes(), st.randoms(use_true_random=False))
def test_best_spacing_with_more_freedom_is_never_worse(wish, dice):
    freer = dice.choice(
        [
            replace(wish, first=(max(wish.first[0] - 4, 0), wish.first[1] + 4)),
            replace(wish, last=(wish.last[0], wish.last[1] + 15)),
            replace(wish, widest_mm=wish.widest_mm + 20),
            replace(wish, closest_mm=wish.closest_mm / 2),
            replace(wish, clear=wish.clear[1:]),
            replace(wish, anchors=tuple(replace(a, within_mm=a.within_mm + 3) for a in wish.anchors)),
        ]
    )
    before, after = try_spacing(wish), try_spacing(freer)
    if before is not None:
        assert after is not None
        if looks_even(freer, after):
            assert is_no_worse(figures(after), figures(before))
        else:
            assert is_no_worse(departures(freer, after), departures(wish, before), 0.012)


def test_best_spacing_with_an_anchor_on_a_chosen_place_changes_nothing():
    before = best_spacing(Wish(620, (20, 30), (25, 40), 20, pitch_mm=76.2))
    anchors = (Anchor("bust", before.positions_mm[2]), Anchor("waist", before.positions_mm[5]))
    after = best_spacing(Wish(620, (20, 30), (25, 40), 20, pitch_mm=76.2, anchors=anchors))
    assert figures(after) == pytest.approx(figures(before), abs=1e-6)


# Hard rules and ties


def test_forced_gap_does_not_make_all_others_like_it():
    # A bust 18.1 mm below the first closure: all gaps of 18 mm would be even, and as far from the pitch.
    found = best_spacing(Wish(691.3, (15.9, 15.9), (50.8, 50.8), 12, pitch_mm=76.2, anchors=(Anchor("bust", 34),)))
    assert found.gaps_mm == pytest.approx([18.1, *[606.5 / 8] * 8])


@pytest.mark.parametrize(
    "wish",
    [
        pytest.param(Wish(361, (10, 48), (10, 131), 35, count=10, clear=(Clear("belt", 127, 153),)), id="closest told"),
        pytest.param(
            Wish(361, (10, 48), (10, 131), 35, count=10, clear=(Clear("belt", 127, 153),), least_mm=35), id="fastener's"
        ),
        pytest.param(Wish(187.4, (19.7, 24), (10, 51.7), 20, 130.2, count=2), id="widest, free ends"),
    ],
)
def test_count_and_clear_zone_never_undercut_the_limits_of_gaps(wish):
    found = best_spacing(wish)
    assert found.smallest_mm >= wish.closest_mm - 1e-9
    assert found.largest_mm <= wish.widest_mm + 1e-9
    assert not any(zone.low_mm < place < zone.high_mm for zone in wish.clear for place in found.positions_mm)


def test_single_closure_has_the_whole_line_as_its_gap():
    # More of them 100 apart are as wanted; one alone would be 240 off.
    found = best_spacing(Wish(340, (0, 340), (0, 340), 10, pitch_mm=100, anchors=(Anchor("waist", 170),)))
    assert len(found.positions_mm) > 1
    assert best_spacing(Wish(30, (0, 30), (0, 30), 20, pitch_mm=40)).departure_mm == 10
    with pytest.raises(NoSpacing, match="1 closure; no gap wider than 80"):
        best_spacing(Wish(90, (10, 80), (10, 80), 10, 80, count=1))


@settings(max_examples=150, deadline=None)
@given(wishes(), st.integers(0, 20), st.floats(0.05, 0.4), st.floats(0.2, 0.9))
def test_condition_that_the_row_meets_already_moves_no_mark(wish, at, begins, fills):
    found = try_spacing(wish)
    if found is None or not found.gaps_mm:
        return
    places = found.positions_mm
    i = at % len(found.gaps_mm)
    # Clear of both marks: a zone that touches another would join it, and close the place between.
    low = places[i] + begins * found.gaps_mm[i]
    met = [
        replace(wish, anchors=(*wish.anchors, Anchor("met", places[i]))),
        replace(wish, clear=(*wish.clear, Clear("met", low, low + fills * (places[i + 1] - low)))),
        replace(wish, widest_mm=found.largest_mm),
        replace(wish, closest_mm=found.smallest_mm),
    ]
    for other in met:
        # Rows whose departures differ by less than a hundredth are one (SAME_DEPARTURE_MM), so a place may lie by some
        # hundredths elsewhere; it was up to 65 mm before there was a last rule.
        assert best_spacing(other).positions_mm == pytest.approx(places, abs=0.05)


def test_even_row_with_a_count_may_be_held_by_three_rules_at_once():
    wish = Wish(
        311.6, (10, 60.9), (11.1, 16.1), 20, count=7,
        anchors=(Anchor("a", 208.9, 5), Anchor("b", 170, 5), Anchor("c", 145.2, 15), Anchor("d", 50.7 + 3 * 40.8)),
    )  # fmt: skip
    assert best_spacing(wish).gaps_mm == pytest.approx([40.8] * 6, abs=1e-9)


def test_boxes_of_gaps_with_the_same_smallest_gap_are_told_apart():
    # The anchors force a gap of 26.8; beside it a largest gap of 53.9 and one of 51.13 are possible.
    wish = Wish(
        323.7, (16.7, 40.5), (10, 10), 20, 84.2, count=8,
        anchors=(Anchor("a", 233), Anchor("b", 254.8, 5), Anchor("c", 208.9, 15)),
    )  # fmt: skip
    assert best_spacing(wish).spread_mm == pytest.approx(51.1333333 - 26.8, abs=1e-6)


# Speed


@pytest.mark.parametrize("wanted", [{"pitch_mm": 76.2}, {"count": 12}], ids=["pitch", "count"])
def test_dozen_closures_with_two_anchors_and_a_belt_are_little_work(wanted):
    wish = Wish(
        900, (15, 25), (40, 60), 20, 120,
        anchors=(Anchor("bust", 235), Anchor("waist", 440, 5)), clear=(Clear("belt", 372, 418),), **wanted,
    )  # fmt: skip
    assert calls_of(lambda: best_spacing(wish)) < 30_000


@pytest.mark.parametrize("wanted", [{"pitch_mm": 74.0}, {"count": 200}], ids=["pitch", "count"])
def test_two_hundred_closures_with_ten_windows_are_bounded_work(wanted):
    dice = random.Random(8)
    anchors = tuple(Anchor(str(i), 1500 * i + dice.uniform(200, 1300), 5) for i in range(10))
    wish = Wish(15000, (16, 16), (50, 50), 20, 120, anchors=anchors, **wanted)
    assert calls_of(lambda: best_spacing(wish)) < 3_000_000


@pytest.mark.parametrize(
    ("wanted", "most"), [({"pitch_mm": 12.0}, 500_000), ({"count": 480}, 300_000)], ids=["pitch", "count"]
)
def test_closures_past_many_zones_are_bounded_work(wanted, most):
    # In every ten gaps of 12 mm a seam of 11 mm that no centre may lie in, anywhere.
    dice = random.Random(4)
    starts = [120 * n + 60 + dice.uniform(-24, 24) for n in range(48)]
    clear = tuple(Clear(str(n), start, start + 11) for n, start in enumerate(starts))
    wish = Wish(5760, (10, 20), (10, 20), 5, clear=clear, **wanted)
    assert calls_of(lambda: best_spacing(wish)) < most


@pytest.mark.parametrize(
    ("over_mm", "says"), [(0.0, "exactly the pitch"), (0.4, "less than a tape shows"), (14.0, "at most")]
)
def test_gaps_off_by_less_than_a_sixteenth_are_never_told_as_nothing_off(over_mm: float, says: str) -> None:
    from closures.lengths import format_inches

    # Seven gaps of 3 in, and so much more over them all; shown in inches, to a sixteenth.
    told = best_spacing(line(7 * 76.2 + over_mm, 0, 0, pitch_mm=76.2), show=format_inches).reason
    assert says in told
    assert " 0 in" not in told


@pytest.mark.parametrize(
    ("wishes", "why"),
    [
        ({"pitch_mm": 13, "least_mm": 16, "closest_mm": 16}, " A pitch of 13.00 mm is less than the 16.00 mm that the fastener takes."),
        ({"pitch_mm": 30, "closest_mm": 40}, " A pitch of 30.00 mm is less than the 40.00 mm that the plan's closest allows."),
        ({"pitch_mm": 60, "widest_mm": 40}, " A pitch of 60.00 mm is more than the 40.00 mm that widest allows."),
        ({"pitch_mm": 16, "least_mm": 16, "closest_mm": 16}, ""),
        ({"pitch_mm": 40, "widest_mm": 40}, ""),
    ],
)  # fmt: skip
def test_reason_tells_that_no_gap_can_have_the_pitch_that_is_wanted(wishes, why):
    found = best_spacing(line(260, 10, 10, **wishes)).reason
    assert ("A pitch of" in found) == bool(why)
    assert found.endswith(why)


def test_rows_that_part_late_are_told_apart_without_a_look_at_where_they_agree():
    way = Way(None, 0.0, 0, 0.0, 1, (), 0.0)
    for k in range(1, 300):
        way = Way(way, 20.0 * k, 1, 0.0, k + 1, (), 0.0)
    nearer, further = (
        Way(Way(way, 6000.0 + off, 1, 0.0, 301, (), 0.0), 6020.0, 1, 0.0, 302, (), 0.0) for off in (0.0, 0.5)
    )
    assert (is_better(nearer, further), is_better(further, nearer), is_better(nearer, nearer)) == (True, False, False)
    assert calls_of(lambda: is_better(further, nearer)) < 40


def test_of_one_gap_and_a_lone_closure_that_miss_the_pitch_alike_the_two_at_the_middles_are_taken():
    # Places are left from 50 to 100. Two at 50 and 100 have a gap of 50, one alone the line of 150 for its gap: both 50 off
    # the pitch. The middles of the two ranges are 50 and 100, where the two lie and one cannot.
    clear = (Clear("above", -1, 50), Clear("below", 100, 151))
    found = best_spacing(Wish(150, (0, 100), (0, 100), 10, pitch_mm=100, clear=clear))
    assert found.positions_mm == pytest.approx((50, 100), abs=1e-6)


# The first lies at 50 of 100: two closures 50 apart miss a pitch of 75 by 25, and so does one alone, whose gap is the line.
TIES = {
    "nearer to the middles than two would be, one stays alone": ((0, 60), (50,)),
    "as near to the middles, there are two": ((0, 50), (50, 100)),
}


@pytest.mark.parametrize(("last", "places"), TIES.values(), ids=TIES)
def test_tie_between_one_closure_and_more_is_settled_in_the_one_order_of_all_rows(last, places):
    found = best_spacing(Wish(100, (50, 50), last, 10, pitch_mm=75))
    assert found.positions_mm == pytest.approx(places, abs=1e-6)
