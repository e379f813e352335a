"""When no row meets the rules: which of them conflict, and the smallest sets of changes that would do.

A conflict is found by leaving out one rule after another for good, as long as what is left still cannot be met; what
remains cannot be met together, and leaving out any one of them mends that conflict. Rules that mend everything together
must hold one of each conflict. So the smallest sets that do are tried; where one fails, what is left holds a conflict
not known before, which the next sets must hold one of too. That ends at the smallest sets there are. Every change
offered has passed the test it was made for.
"""

from collections.abc import Callable, Iterator, Sequence

from closures.errors import SpacingError
from closures.spacing.even import place_alone
from closures.spacing.mending import Offer, Rule, Test, rules_of
from closures.spacing.reach import reach, ruled_line
from closures.spacing.search import seek
from closures.spacing.wish import Show, Wish

_MANY = 16
"""More rules than this are left out in batches first."""

_MOST_CHANGES = 6
"""So many changes together are looked for at most."""

_MOST_SETS = 3
"""So many sets of equally few changes are told."""


class NoSpacing(SpacingError):
    """No row of closures meets all the rules.

    Args:
        conflict: the rules that cannot hold together, in words; without any one of them a row exists.
        others: further conflicts that share no rule with the first or with each other.
        mends: sets of as few changes as can be that do together; may be empty.
        wish: that no row meets.
        long: how long the line is, for people; empty where that is not said.

    Attributes:
        conflict, others, mends, wish: likewise.
        level_at: gives the level in mm of a place on the line, where whoever asked knows of levels.
    """

    def __init__(
        self,
        conflict: tuple[str, ...],
        others: tuple[tuple[str, ...], ...] = (),
        mends: tuple[tuple[Offer, ...], ...] = (),
        *,
        wish: Wish,
        long: str = "",
    ) -> None:
        self.conflict, self.others, self.mends, self.wish = conflict, others, mends, wish
        self.level_at: Callable[[float], float] | None = None
        rules = "; ".join(conflict)
        together = "all of these together: " if len(conflict) > 1 else ""
        # A length in another unit than was meant shows at once.
        line = f" on a line of {long}" if long else ""
        what = f"no row of closures{line} can have {together}{rules}"
        for other in others:
            what += f"; nor can it have {'all of these together: ' if len(other) > 1 else ''}{'; '.join(other)}"
        offers = self.offers
        if not offers and mends:
            sets = "; or ".join(" and ".join(changes) for changes in self.together[:_MOST_SETS])
            mend = f"No single change mends it. These together would do: {sets}."
        elif not offers:
            mend = "No change of these that was tried mends it; leave out some of them."
        elif len(offers) == 1:
            mend = f"This would do: {offers[0]}."
        else:
            mend = f"Any one of these would do: {'; '.join(offers)}."
        super().__init__(what, mend=mend)

    @property
    def offers(self) -> tuple[str, ...]:
        """The single changes that would do, in words."""
        return tuple(mend[0].words for mend in self.mends if len(mend) == 1)

    @property
    def together(self) -> tuple[tuple[str, ...], ...]:
        """Where no single change does: the sets of changes, in words."""
        return tuple(tuple(offer.words for offer in mend) for mend in self.mends if len(mend) > 1)


def is_possible(wish: Wish) -> bool:
    """Tell whether any row meets the hard rules; with a pitch, any count will do."""
    if wish.count in (1, None) and place_alone(wish) is not None:
        return True
    if wish.count == 1:
        return False
    line, box = ruled_line(wish), (wish.closest_mm, wish.widest_mm)
    if wish.rooms is not None:
        return seek(wish, line, box, wish.count, wish.pitch_mm or wish.closest_mm) is not None
    _, works = reach(line, *box, wish.count)
    return bool(works)


def advise(wish: Wish, show: Show, step_mm: float, possible: Test = is_possible) -> NoSpacing:
    """Make the error for a wish that no row meets.

    Args:
        wish: the wish.
        show: writes a length for people.
        step_mm: offers come in whole steps of this, rounded to the side that works.
        possible: tells whether any row meets the rules, where closures may not sit anywhere.
    """
    rules = rules_of(wish, show, step_mm)
    clashes = _clashes(wish, rules, possible)
    said = [tuple(rule.words for rule in clash) for clash in clashes]
    return NoSpacing(
        said[0], tuple(said[1:]), _mends(wish, rules, clashes, possible), wish=wish, long=show(wish.length_mm)
    )


def _clashes(wish: Wish, rules: list[Rule], possible: Test) -> list[list[Rule]]:
    """Find conflicts that share no rule, until without all of their rules a row exists."""
    found: list[list[Rule]] = []
    while not possible(wish):
        conflict = _conflict(wish, rules, possible)
        if not conflict:
            break
        found.append(conflict)
        for rule in conflict:
            wish = rule.without(wish)
        rules = [rule for rule in rules if rule not in conflict]
    return found


def _conflict(wish: Wish, rules: list[Rule], possible: Test) -> list[Rule]:
    """Leave out rule after rule as long as no row exists; what is left cannot hold together."""
    size = len(rules)
    while size > _MANY:  # whole batches at once, where there are many
        size //= 2
        for begin in range(0, len(rules), size):
            batch = rules[begin : begin + size]
            loosened = wish
            for rule in batch:
                loosened = rule.without(loosened)
            if not possible(loosened):
                wish = loosened
                rules = [rule for rule in rules if rule not in batch]
                break
    loosened, kept = wish, []
    for rule in reversed(rules):  # so that limits give way before anchors, and anchors before the count
        without = rule.without(loosened)
        if possible(without):
            kept.append(rule)
        else:
            loosened = without
    return kept[::-1]


def _mends(wish: Wish, rules: list[Rule], clashes: list[list[Rule]], possible: Test) -> tuple[tuple[Offer, ...], ...]:
    """Find the smallest sets of changes that mend all conflicts together, each tried: all single ones, else a few."""
    known, size = [*clashes], max(len(clashes), 1)
    found: dict[frozenset[int], tuple[tuple[Offer, ...], ...]] = {}
    while size <= _MOST_CHANGES:
        held = len(known)
        for chosen in _one_of_each(known, size):
            key = frozenset(map(id, chosen))
            if key in found:
                continue
            loosened = wish
            for rule in chosen:
                loosened = rule.without(loosened)
            if not possible(loosened):
                known.append(_conflict(loosened, [rule for rule in rules if rule not in chosen], possible))
                break
            found[key] = _changes(wish, [rule for rule in rules if rule in chosen], possible)
            if size > 1 and sum(map(bool, found.values())) == _MOST_SETS:
                break
        if len(known) > held:
            continue
        mends = tuple(mend for each in found.values() for mend in each)
        if mends:
            return mends
        size += 1
    return ()


def _one_of_each(
    conflicts: Sequence[Sequence[Rule]], size: int, chosen: tuple[Rule, ...] = ()
) -> Iterator[tuple[Rule, ...]]:
    """Give the sets of so many rules or fewer that hold one of each conflict, of rules that can be changed."""
    unmet = next((conflict for conflict in conflicts if not any(rule in chosen for rule in conflict)), None)
    if unmet is None:
        yield chosen
    elif len(chosen) < size:
        for rule in unmet:
            if not rule.is_fixed:
                yield from _one_of_each(conflicts, size, (*chosen, rule))


def _changes(wish: Wish, chosen: list[Rule], possible: Test) -> tuple[tuple[Offer, ...], ...]:
    """Change rules one after another, each by as little as does while those after it are left out.

    Returns:
        every change of a single rule; of several rules a set or two, or none where one cannot be changed so.
    """
    if len(chosen) == 1:
        return tuple((offer,) for offer in chosen[0].offers(wish, possible))
    # A place that is moved must come to lie just right; one that is met less strictly bears rounding.
    sets = (_set_of(wish, chosen, possible, without) for without in ("", "at"))
    return tuple(dict.fromkeys(found for found in sets if found))


def _set_of(wish: Wish, chosen: list[Rule], possible: Test, without: str) -> tuple[Offer, ...]:
    """Change several rules by their first offers, but for those of one key; empty where one has none."""
    offers: list[Offer] = []
    # The count comes first in the list and is changed last: which counts there are is known once all else is settled.
    in_turn = chosen[::-1]
    for i, rule in enumerate(in_turn):
        rest = in_turn[i + 1 :]

        def works(changed: Wish, rest: list[Rule] = rest) -> bool:
            for other in rest:
                changed = other.without(changed)
            return possible(changed)

        offer = next((offer for offer in rule.offers(wish, works) if offer.key != without), None)
        if offer is None:
            return ()
        offers.append(offer)
        wish = offer.wish
    return tuple(offers[::-1])
