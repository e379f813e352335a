"""Rows that cannot be: which rules conflict, and changes that do mend it."""

import math
import random
import re
from dataclasses import replace
from itertools import combinations

import pytest

from closures.spacing import Anchor, Clear, NoSpacing, Wish, best_spacing
from closures.spacing.advice import is_possible
from closures.spacing.mending import rules_of
from closures.spacing.reach import reach, ruled_line
from closures.spacing.wish import show_mm

FRONT = Wish(620, (25, 25), (30, 30), 20, 80)


def refusal(wish, **more):
    with pytest.raises(NoSpacing, match="no row of closures") as caught:
        best_spacing(wish, **more)
    return caught.value


def test_count_too_small_for_the_widest_gap_offers_count_gap_and_ends():
    # 565 mm in 5 gaps is 113 each; 565 / 80 = 7.06 gaps, so 9 closures.
    error = refusal(replace(FRONT, count=6))
    assert error.conflict == (
        "6 closures",
        "the first closure 25.00 mm from the first end",
        "the last closure 30.00 mm from the last end",
        "no gap wider than 80.00 mm",
    )
    assert error.offers == (
        "9 closures",
        "the first closure 25.00 mm to 190.00 mm from the first end",
        "the last closure 30.00 mm to 195.00 mm from the last end",
        "gaps of up to 113.00 mm",
    )
    assert "Any one of these would do: 9 closures; " in str(error)


def test_count_too_large_for_the_closest_gap_offers_the_nearest_count_and_a_closer_gap():
    error = refusal(replace(FRONT, count=60))
    assert error.conflict == ("60 closures", "no gap closer than 20.00 mm")
    assert error.offers == ("29 closures", "gaps down to 9.57 mm")  # 565 / 59 = 9.576, rounded down


def test_closer_gap_is_never_offered_below_the_fasteners_own():
    assert refusal(replace(FRONT, count=60, least_mm=9.6)).offers == ("29 closures",)
    assert refusal(replace(FRONT, count=60, least_mm=9.5)).offers == ("29 closures", "gaps down to 9.57 mm")


def test_offers_come_in_whole_steps_of_what_can_be_shown():
    error = refusal(replace(FRONT, count=60), show=lambda mm: f"{mm / 25.4 * 16:g}/16 in", step_mm=25.4 / 16)
    assert error.offers == ("29 closures", "gaps down to 6/16 in")  # 6.03 sixteenths, rounded down


def test_anchor_inside_a_clear_zone_conflicts_with_it_and_with_nothing_else():
    wish = replace(FRONT, pitch_mm=70, anchors=(Anchor("waist", 235),), clear=(Clear("belt", 210, 255),))
    error = refusal(wish)
    assert error.conflict == (
        "anchor waist at 235.00 mm, met within 0.00 mm",
        "clear zone belt, no centre between 210.00 mm and 255.00 mm",
    )
    assert error.offers == (
        "anchor waist moved 20.00 mm toward the last end",
        "anchor waist met within 20.00 mm",
        "clear zone belt 25.00 mm shorter at its end toward the first end",
        "clear zone belt 20.00 mm shorter at its end toward the last end",
        "clear zone belt left out",
    )


def test_clear_zone_wider_than_the_widest_gap_can_be_shortened_or_jumped():
    error = refusal(replace(FRONT, pitch_mm=50, widest_mm=60, clear=(Clear("belt", 200, 270),)))
    assert "clear zone belt 10.00 mm shorter at its end toward the first end" in error.offers
    assert "gaps of up to 70.00 mm" in error.offers


def test_anchors_nearer_than_the_closest_gap_conflict_with_it():
    anchors = (Anchor("bust", 200), Anchor("dart", 212))
    error = refusal(replace(FRONT, pitch_mm=70, anchors=anchors))
    assert [words.split(" at ")[0] for words in error.conflict] == [
        "anchor bust",
        "anchor dart",
        "no gap closer than 20.00 mm",
    ]
    assert "anchor bust moved 8.00 mm toward the first end" in error.offers
    assert "anchor dart moved 8.00 mm toward the last end" in error.offers
    assert "anchor dart met within 8.00 mm" in error.offers
    assert "gaps down to 12.00 mm" in error.offers


def test_first_range_beyond_the_line_conflicts_alone():
    error = refusal(replace(FRONT, first=(700, 710), count=3, widest_mm=math.inf))
    assert error.conflict == ("the first closure 700.00 mm to 710.00 mm from the first end",)
    assert error.offers == ("the first closure 550.00 mm to 710.00 mm from the first end",)
    assert "This would do: " in str(error)


def test_anchor_beyond_the_line_conflicts_alone():
    error = refusal(replace(FRONT, pitch_mm=70, anchors=(Anchor("hip", 900, 2),)))
    assert error.conflict == ("anchor hip at 900.00 mm, met within 2.00 mm",)
    assert error.offers[0] == "anchor hip moved 308.00 mm toward the first end"


def test_closest_above_widest_is_no_row_of_two_even_with_free_ends():
    # A range of first places must not make up for gap limits that no gap can keep.
    wish = Wish(620, (25, 190), (30, 195), closest_mm=90, widest_mm=80, count=6)
    error = refusal(wish)
    assert error.conflict == ("no gap wider than 80.00 mm", "no gap closer than 90.00 mm")
    assert error.offers == ("gaps of up to 90.00 mm", "gaps down to 80.00 mm")


def test_two_faults_with_nothing_in_common_leave_no_single_change():
    anchors = (Anchor("bust", 200), Anchor("dart", 212), Anchor("waist", 400), Anchor("hip", 405))
    wish = replace(FRONT, pitch_mm=70, closest_mm=20, least_mm=20, anchors=anchors)
    error = refusal(wish)
    assert error.offers == ()
    assert error.together[0] == (
        "anchor bust moved 8.00 mm toward the first end",
        "anchor waist moved 5.00 mm toward the last end",
    )
    for changes in error.together:
        best_spacing(mend_all(wish, changes))


def test_zone_that_the_line_crosses_twice_is_one_rule():
    zones = (Clear("belt", 100, 200), Clear("belt", 400, 500))
    error = refusal(replace(FRONT, pitch_mm=70, clear=zones, widest_mm=90))
    assert error.conflict[0] == (
        "clear zone belt, no centre between 100.00 mm and 200.00 mm, nor between 400.00 mm and 500.00 mm"
    )
    assert "clear zone belt left out" in error.offers


def mend_all(wish, changes):
    for change in changes:
        wish = mend(wish, change)
    return wish


def clashing_wish(dice):
    """Give a wish with a few rules, of which some clash on their own."""
    length = 600.0
    places = [dice.uniform(60, 540) for _ in range(dice.randint(1, 2))]
    anchors = [Anchor(f"a{i}{side}", at + side * dice.uniform(3, 15)) for i, at in enumerate(places) for side in (0, 1)]
    zones = [
        Clear(f"z{i}", at - 6, at + dice.uniform(5, 9))
        for i, at in enumerate([dice.uniform(60, 540)] * dice.randint(0, 1))
    ]
    if zones and dice.random() < 0.7:
        anchors.append(Anchor("inside", zones[0].low_mm + 3))
    return Wish(
        length, (15, 15), (20, 20), 20, dice.choice([math.inf, 90.0]), pitch_mm=70.0, anchors=tuple(anchors),
        clear=tuple(zones), least_mm=20,
    )  # fmt: skip


def fewest_by_trying(wish, rules):
    """Leave out every set of rules, smaller ones first, but never what the fastener itself needs."""
    free = [rule for rule in rules if not rule.is_fixed]
    for size in range(1, len(free) + 1):
        for chosen in combinations(free, size):
            loosened = wish
            for rule in chosen:
                loosened = rule.without(loosened)
            if is_possible(loosened):
                return size
    return None


def test_changes_together_are_as_few_as_can_be_and_do_what_they_say():
    dice, sizes = random.Random(5), []
    for _ in range(80):
        wish = clashing_wish(dice)
        try:
            best_spacing(wish)
        except NoSpacing as error:
            fewest = fewest_by_trying(wish, rules_of(wish, show_mm, 0.01))
            sets = tuple((offer,) for offer in error.offers) or error.together
            assert {len(changes) for changes in sets} == {fewest}
            for changes in sets:
                best_spacing(mend_all(wish, changes))
            sizes.append(fewest)
    assert {1, 2, 3} <= set(sizes)


def random_wish(dice):
    length = dice.uniform(200, 700)
    by_count = dice.random() < 0.5
    return Wish(
        length,
        *((low, low + dice.choice([0, 4])) for low in (dice.uniform(0, 40), dice.uniform(0, 40))),
        closest_mm=dice.uniform(15, 60),
        widest_mm=dice.choice([math.inf, dice.uniform(60, 110)]),
        pitch_mm=None if by_count else dice.uniform(40, 100),
        count=dice.randint(1, 14) if by_count else None,
        anchors=tuple(Anchor(f"a{i}", dice.uniform(0, length), dice.choice([0, 2])) for i in range(dice.randint(0, 3))),
        clear=tuple(
            Clear(f"z{i}", at, at + dice.uniform(5, 80))
            for i in range(dice.randint(0, 2))
            for at in (dice.uniform(0, length),)
        ),
    )


def mend(wish, offer):
    """Do what an offer says, from its words alone."""
    figures = [float(value) for value in re.findall(r"(\d+\.\d\d) mm", offer)]
    name = offer.split()[2] if offer.startswith("clear") else offer.split()[1]

    def each(things, **change):
        return tuple(replace(x, **{k: f(x) for k, f in change.items()}) if x.name == name else x for x in things)

    if re.fullmatch(r"\d+ closures?", offer):
        return replace(wish, count=int(offer.split()[0]))
    if offer.startswith("gaps of up to"):
        return replace(wish, widest_mm=figures[0])
    if offer.startswith("gaps down to"):
        return replace(wish, closest_mm=figures[0])
    if offer.startswith("the "):
        end = offer.split()[1]
        low, high = getattr(wish, end)
        # An end that stays is shown rounded; the user leaves it as it is.
        low = low if abs(low - figures[0]) < 0.0051 else figures[0]
        high = high if abs(high - figures[1]) < 0.0051 else figures[1]
        return replace(wish, **{end: (low, high)})
    if "moved" in offer:
        step = figures[0] if "last end" in offer else -figures[0]
        return replace(wish, anchors=each(wish.anchors, at_mm=lambda a: a.at_mm + step))
    if "met within" in offer:
        return replace(wish, anchors=each(wish.anchors, within_mm=lambda a: figures[0]))
    if "left out" in offer:
        return replace(wish, clear=tuple(z for z in wish.clear if z.name != name))
    if "toward the first end" in offer:
        return replace(wish, clear=each(wish.clear, low_mm=lambda z: z.low_mm + figures[0]))
    assert "toward the last end" in offer
    return replace(wish, clear=each(wish.clear, high_mm=lambda z: z.high_mm - figures[0]))


@pytest.mark.long
def test_every_offer_taken_at_its_words_gives_a_row():
    dice, kinds, refused = random.Random(11), set(), 0
    for _ in range(400):
        wish = random_wish(dice)
        try:
            best_spacing(wish)
        except NoSpacing as error:
            refused += 1
            for offer in error.offers:
                best_spacing(mend(wish, offer))
                kinds.add(re.sub(r"[az]?\d[\d.]*", "#", offer))
    assert refused > 100
    assert len(kinds) >= 11, kinds


@pytest.mark.long
def test_conflict_holds_only_rules_that_matter():
    """Without any one rule of the conflict, and with those outside it left out, there is a row."""
    dice, seen = random.Random(12), 0
    for _ in range(80):
        wish = random_wish(dice)
        try:
            best_spacing(wish)
        except NoSpacing as error:
            alone = only(wish, error.conflict)
            with pytest.raises(NoSpacing, match="no row"):
                best_spacing(alone)
            for rule in error.conflict:
                best_spacing(only(wish, tuple(other for other in error.conflict if other != rule)))
            seen += 1
    assert seen > 25


def only(wish, rules):
    """Keep only the rules named."""
    words = "; ".join(rules)
    whole = (0.0, wish.length_mm)
    has_count = re.search(r"\d+ closures?\b", words) is not None
    return replace(
        wish,
        count=wish.count if has_count else None,
        pitch_mm=None if has_count else 60.0,
        first=wish.first if "first closure" in words else whole,
        last=wish.last if "last closure" in words else whole,
        closest_mm=wish.closest_mm if "closer" in words else 0.001,
        widest_mm=wish.widest_mm if "wider" in words else math.inf,
        anchors=tuple(a for a in wish.anchors if f"anchor {a.name} " in words),
        clear=tuple(z for z in wish.clear if f"zone {z.name}," in words),
    )


def test_pass_without_an_end_stops_where_it_comes_no_further() -> None:
    """Where closures may touch, only the slack of the least gap goes on to shift: that was a pass of 5,000 steps."""
    wish = Wish(600.0, (10.0, 20.0), (10.0, 20.0), 0.0, 60.0, pitch_mm=50.0, clear=(Clear("seam", 200.0, 300.0),))
    levels, works = reach(ruled_line(wish), 0.0, 60.0, None)
    assert works == [] and len(levels) < 10
    assert not is_possible(wish) and is_possible(replace(wish, widest_mm=101.0))
    # A pass that lists counts goes on: where closures may touch, every count works.
    _, counts = reach(ruled_line(replace(wish, clear=())), 0.0, 60.0, None, whole=True)
    assert counts[:3] == [11, 12, 13] and len(counts) > 4000
