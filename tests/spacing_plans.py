"""Random wishes held against the solver from outside; run by hand over all of them.

    python tests/spacing_plans.py [HOW MANY]

Ends in ranges, up to three anchors with tolerances, clear zones of which some touch, limits on the gaps, counts and
pitches. Every figure must be within 0.02 mm of what the solver finds; it prints how many were of which kind.
"""

import math
import random
import sys
from collections import Counter

from spacing_solver import best_with_count, best_with_pitch

from closures.spacing.advice import NoSpacing
from closures.spacing.best import best_spacing
from closures.spacing.wish import Anchor, Clear, Wish

PROMISED_MM = 0.02


def random_wish(seed):
    """Give a wish of up to a dozen closures."""
    dice = random.Random(seed)
    length = dice.choice([round(dice.uniform(180, 620), 1), dice.randint(18, 62) * 10.0])

    def end():
        low = dice.choice([0.0, 10.0, round(dice.uniform(0, 40), 1)])
        return low, low + dice.choice([0.0, 5.0, round(dice.uniform(0, 60), 1)])

    anchors = tuple(
        Anchor(f"anchor {k}", round(dice.uniform(10, length - 10), 1), dice.choice([0.0, 2.0, 5.0, 15.0]))
        for k in range(dice.choice([0, 0, 1, 1, 2, 3]))
    )
    zones = []
    for k in range(dice.randint(0, 2)):
        low = round(dice.uniform(0, length), 1)
        high = low + round(dice.uniform(2, 50), 1)
        zones.append(Clear(f"zone {k}", low, high))
        if dice.random() < 0.4:
            zones.append(Clear(f"zone {k} and what touches it", high, high + round(dice.uniform(1, 20), 1)))
    pitch = round(dice.uniform(50, 120), 1)
    by_count = dice.random() < 0.4
    return Wish(
        length,
        end(),
        end(),
        dice.choice([8.0, 12.0, round(dice.uniform(8, 45), 1)]),
        dice.choice([math.inf, math.inf, round(dice.uniform(80, 160), 1)]),
        pitch_mm=None if by_count else pitch,
        count=min(dice.randint(1, 9), round(length / 45)) if by_count else None,
        anchors=anchors,
        clear=tuple(zones),
    )


def compare(wish):
    """Hold the row against the solver's.

    Returns:
        the kind of case, our figures and the solver's, in mm.
    """
    try:
        found = best_spacing(wish)
    except NoSpacing:
        found = None
    if wish.count is not None:
        best = best_with_count(wish)
    else:
        most = min(wish.length_mm / wish.closest_mm, 1.7 * wish.length_mm / wish.pitch_mm + 2)
        best = best_with_pitch(wish, range(2, int(most) + 2))
    if found is None or best is None:
        return "none", [found is None], [best is None]
    if not best.looks_even:
        gaps = found.gaps_mm or (wish.length_mm,)
        ours = sorted((abs(gap - wish.pitch_mm) for gap in gaps), reverse=True)
        size = max(len(ours), len(best.departures))
        pad = [0.0] * size
        return "spoils only itself", (ours + pad)[:size], ([*best.departures, *pad])[:size]
    shift = max((abs(shift.shift_mm) for shift in found.shifts), default=0.0)
    kind = "count" if wish.count is not None else "looks even"
    return kind, [found.departure_mm or 0.0, found.spread_mm, shift], [best.departure or 0.0, best.spread, best.shift]


def is_near(ours, theirs):
    """Tell whether all figures are within what is promised."""
    return all(abs(a - b) <= PROMISED_MM for a, b in zip(ours, theirs, strict=True))


def main():
    """Run over all of them, and say what was found."""
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    kinds, far, done = Counter(), 0.0, 0
    for seed in range(100_000):
        kind, ours, theirs = compare(random_wish(seed))
        kinds[kind] += 1
        if not is_near(ours, theirs):
            sys.exit(f"wish {seed}, {kind}: {ours} where the solver finds {theirs}")
        if kind != "none":
            far = max(far, *(abs(a - b) for a, b in zip(ours, theirs, strict=True)))
            done += 1
        if done == how_many:
            break
    print(f"{done} rows, none further than {far:.5f} mm from the solver's: {dict(kinds)}")


if __name__ == "__main__":
    main()
