"""A swap as one value: the old row, the offers for the new one, and what both laps lack."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from closures.errors import PlanError, in_section, naming
from closures.frozen import frozen
from closures.jobs.swap.lengthen import Lengthened, lengthen
from closures.jobs.swap.needs import LapNeed, lap_needs
from closures.jobs.swap.offer import FALSE_BUTTONS, Offer, make_shop
from closures.jobs.swap.offers import NotOffered, make_offers
from closures.jobs.swap.old_row import OldRow, old_row
from closures.jobs.swap.pull import pull_in_words
from closures.jobs.swap.trouble import what_would_work, why_none_works
from closures.lengths import SAME_MM
from closures.placing.buttonhole import buttonhole_for
from closures.placing.laps import laps_of
from closures.placing.line_named import line_of_band
from closures.placing.placement import place, prepare
from closures.placing.usual_gap import BABYWEAR, usual_gap_key
from closures.placing.usual_row import Usual
from closures.plan.swap import HoleWish, SwapWish

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.checks.finding import Finding
    from closures.edges.reading import Edges
    from closures.errors import Where
    from closures.placing.buttonhole import Buttonhole
    from closures.placing.placement import Placement, Prepared
    from closures.plan.band import BandWish
    from closures.plan.plan import Plan


@frozen
class Swap:
    """Old closures, and every offer of new ones in their place.

    Attributes:
        old: what is there now, on the line as it is after any change of the pattern.
        offers: at least one, numbered from 1.
        not_offered: ways that do not work here.
        needs: what each lap has and needs.
        pull: which way the opening pulls, in sentences.
        recommended: number of the offer that is taken where none is named.
        taken: number of the offer in hand.
        cannot: why no offer works; empty where one does.
        would: what was tried and would work; meant where `cannot` is not empty.
        lengthened: the change of the pattern, None where there was none.
    """

    old: OldRow
    offers: tuple[Offer, ...]
    not_offered: tuple[NotOffered, ...]
    needs: tuple[LapNeed, ...]
    pull: str
    recommended: int
    taken: int
    cannot: tuple[str, ...]
    would: tuple[str, ...]
    lengthened: Lengthened | None

    @property
    def offer(self) -> Offer:
        """The offer in hand."""
        return self.offers[self.taken - 1]

    @property
    def buttonhole(self) -> Buttonhole | None:
        """That of the new closure in the offer in hand, None for closures without."""
        return self.offer.buttonhole

    def take(self, n: int, where: str = "--take") -> Swap:
        """Take another offer in hand.

        Args:
            n: its number.
            where: where that was told.

        Raises:
            PlanError: there is no offer of this number.
        """
        if not 1 <= n <= len(self.offers):
            raise PlanError(f"there is no offer {n}", where=where, mend=f"Write a number from 1 to {len(self.offers)}.")
        return replace(self, taken=n)

    def take_told(self, plan: Plan) -> Swap:
        """Take the offer in hand that a plan tells; the recommended one where it tells none.

        Raises:
            PlanError: there is no such offer here.
        """
        for section, wish in (("swap", plan.swap), ("change", plan.change)):
            if wish is not None and wish.take is not None:
                return self._take_named(wish.take, in_section(section, "take"))
        return self

    def _take_named(self, name: str, where: Where) -> Swap:
        found = next((offer.n for offer in self.offers if offer.name == name), None)
        if found is not None:
            return self.take(found, where)
        why = next((f": {no.why.rstrip('.')}" for no in self.not_offered if no.name == name), " here")
        names = " or ".join(f'"{offer.name}"' for offer in self.offers)
        raise PlanError(f'"{name}" cannot be offered{why}', where=where, mend=f"Write {names}; or leave it out.")


def no_swap() -> PlanError:
    """The error of a plan that does not speak of old closures."""
    return PlanError(
        "the plan does not tell what is there now",
        where=in_section("swap"),
        mend="Add [swap], with kind, size and places; or [change] with lengthen.",
    )


def need_swap(plan: Plan) -> BandWish:
    """Refuse a plan that no offers can be made for.

    Returns:
        The plan's band.

    Raises:
        PlanError: it does not tell what is there now, or its closures do not run along an edge.
    """
    if not plan.speaks_of_old:
        raise no_swap()
    if plan.edge is None or plan.band is None:
        raise PlanError(
            "closures are swapped along an edge, and this plan has none",
            where=in_section("edge"),
            mend="Give the edge, or leave [swap] and [change] out.",
        )
    hole = None if plan.swap is None else plan.swap.hole
    if hole is not None and hole.made and _is_cut_pieces(plan):
        raise PlanError(
            "cut pieces have no closures yet, and the old holes are told as made",
            where=in_section("swap", "hole"),
            mend='Write made = false, or state = "finished" or "sewn band" under [garment].',
        )
    return plan.band


def _is_cut_pieces(plan: Plan) -> bool:
    return plan.state == "cut pieces"


def make_swap(plan: Plan, edges: Edges, catalogue: Catalogue, *, is_trial: bool = False) -> Swap:
    """Find the old closures and make every offer of new ones.

    A plan with a change of the pattern and no old closures told changes its own: the row that it
    had before.

    Args:
        plan: with a swap, a change, or both.
        edges: the curves that the plan's edge arrived as.
        catalogue: fasteners, cloths and rules.
        is_trial: the plan is what something else would offer: what would make an offer work is not tried.

    Returns:
        The swap, with its recommended offer in hand.

    Raises:
        CatalogueError: a fastener or cloth that the catalogue does not hold.
        EdgeError: the band cannot follow the edge, or a place or a cut does not lie on the line.
        PlanError: the plan has neither, or what it says of the old holes does not suit them.
        SpacingError: the row before a change could not be found.
    """
    need_swap(plan)
    wish = plan.swap or _own_row(plan, edges, catalogue)
    if wish.hole is None and _is_cut_pieces(plan):
        wish = replace(wish, hole=HoleWish(False))
    lengthened = None
    if plan.change is not None:
        with line_of_band(plan.band):
            laps = laps_of(plan, edges)
        before = old_row(wish, laps, catalogue, plan)
        wish = replace(wish, places_mm=before.places_mm, first_mm=None, last_mm=None, count=None)
        lengthened = lengthen(replace(plan, swap=wish), edges, laps, plan.change.lengthen)
        plan, edges, wish = lengthened.plan, lengthened.edges, lengthened.plan.swap or wish
    prepared = prepare(plan, edges, catalogue)
    is_turned = _is_turned(wish, prepared, catalogue)
    old = old_row(wish, prepared.laps, catalogue, prepared.plan, is_turned=is_turned)
    if old.made and (plan.garment is None or plan.garment.state is None):
        told = Usual(
            "The garment is finished, since it has closures", "as this program has it", "state under [garment]"
        )
        old = replace(old, notes=(*old.notes, told.told))
    shop = make_shop(prepared, old, catalogue, (wish.patch_mm or 0.0) / 2)

    def needs_of(placement: Placement) -> tuple[LapNeed, ...]:
        return lap_needs(placement, catalogue)

    offers, not_offered = make_offers(shop, needs_of)
    # Where every closure stays nothing is set: what the laps lack is told of an offer that sets some.
    needs = next((lacking for offer in offers if (lacking := needs_of(offer.placement))), ())
    cannot = why_none_works(offers)
    ranked = partial(
        _rank, old=old, is_divided_anew=lengthened is not None, is_fewer_better=_is_fewer_better(prepared, catalogue)
    )
    recommended = min(offers, key=ranked).n
    return Swap(
        old=old,
        offers=offers,
        not_offered=not_offered,
        needs=needs,
        pull=pull_in_words(
            old, prepared.fastener, prepared.laps, None if shop.buttonhole is None else shop.buttonhole.way
        ),
        recommended=recommended,
        taken=recommended,
        cannot=cannot,
        would=what_would_work(plan, edges, catalogue, offers, needs) if cannot and not is_trial else (),
        lengthened=lengthened,
    )


def _is_turned(wish: SwapWish, prepared: Prepared, catalogue: Catalogue) -> bool:
    """Whether the halves of the old closures are turned: as is told of them, else as the same closures lie again.

    Raises:
        PlanError: the new closures are others and turned, and nothing tells how the old ones lie.
    """
    if wish.halves is not None:
        return wish.halves == "turned"
    if prepared.plan.closure.halves != "turned":
        return False
    with naming(in_section("swap")):
        old = catalogue.fastener(wish.kind, wish.size, cap_mm=wish.cap_mm, thickness_mm=wish.thickness_mm)
    new = prepared.fastener
    if (new.kind, new.size, new.cap_mm) == (old.kind, old.size, old.cap_mm):
        # One kind and size lies one way.
        return True
    turned = old.turned()
    if old.lies_as(turned):
        return False
    raise PlanError(
        f"the halves of the new closures are told to be turned, and not how those of the old {old.kind}s lie",
        where=in_section("swap", "halves"),
        mend=f'Write halves = "usual" under [swap] where they have {_on_laps(old)}, or halves = "turned" where they '
        f"have {_on_laps(turned)}.",
    )


def _on_laps(fastener: Fastener) -> str:
    """What a closure has on either lap, half a sentence."""
    named = {
        lap: " and ".join(dict.fromkeys(part.name for part in fastener.parts_on(lap))) or "buttonhole"
        for lap in ("over", "under")
    }
    return f"the {named['over']} on the over lap and the {named['under']} on the under lap"


def _own_row(plan: Plan, edges: Edges, catalogue: Catalogue) -> SwapWish:
    """The plan's own closures before the pattern changed, as they would be drawn on it."""
    before = place(replace(plan, change=None), edges, catalogue)
    own = buttonhole_for(before.fastener, plan, catalogue)
    hole = HoleWish(False) if own is None else HoleWish(False, own.way, own.length_mm, own.before_mm)
    return SwapWish(
        kind=plan.closure.kind,
        size=plan.closure.size,
        cap_mm=plan.closure.cap_mm,
        thickness_mm=plan.closure.thickness_mm,
        places_mm=before.spacing.positions_mm,
        hole=hole,
        halves=plan.closure.halves,
    )


def _is_fewer_better(prepared: Prepared, catalogue: Catalogue) -> bool:
    """Whether fewer closures are better than gaps nearer to the usual ones: on what a small child wears, untold gaps.

    Each is two holes more, and one thing more that comes off and is swallowed (our own rule).
    """
    is_usual = any(one.key == "pitch" for one in prepared.usual)
    return is_usual and usual_gap_key(prepared.plan, prepared.fastener, catalogue) == BABYWEAR


_HELD_SO_FAR = 1.5
"""Times the widest gap within which a gap that the garment had till now is tried on before closures are added: our own
rule, as the look at it asks on those for whom few are wanted."""


def _held_so_far(finding: Finding, old: OldRow) -> bool:
    """Whether a gap that is looked at is no wider than the garment had till now, and not too far over the limit."""
    found, limit = finding.found_mm, finding.limit_mm
    had = max((b - a for a, b in pairwise(old.places_mm)), default=0.0)
    return old.made and found is not None and limit is not None and found <= min(had + SAME_MM, _HELD_SO_FAR * limit)


def _rank(offer: Offer, old: OldRow, is_divided_anew: bool, is_fewer_better: bool) -> tuple[float, ...]:
    """What is wrong with an offer, worst first; then the order of the list.

    Failed checks, anchors missed, buttons for show on a child (they close nothing, and may come off), holes that a
    wearer would see, gaps off the wish (a wider one counts twice: it gapes, a closer one only costs a closure), other
    warnings, changes. After a change of the pattern an even row counts before all but the first four: that is what it
    is divided again for. Where fewer are better, gaps within the limit are as good as the usual one, and so
    are those that held till now.
    """
    failed = sum(finding.result == "fail" for finding in offer.findings)
    missed = sum(not anchor.is_met for anchor in offer.anchors)
    warned = sum(finding.result == "warn" for finding in offer.findings)
    spread = round(offer.placement.spacing.spread_mm, 2) if is_divided_anew else 0.0
    is_within = is_fewer_better and not any(
        one.rule == "widest gap" and one.result != "pass" and not _held_so_far(one, old) for one in offer.findings
    )
    off = 0.0 if is_divided_anew or is_within else _off_the_pitch_mm(offer)
    count = len(offer.places_mm) if is_within else 0
    loose = offer.kind in FALSE_BUTTONS and offer.placement.plan.is_for_child
    return (failed, missed, loose, len(offer.in_sight), spread, off, count, warned, offer.change_count, offer.n)


def _off_the_pitch_mm(offer: Offer) -> float:
    """How far the gaps are off the one wished, to a mm, a wider one counted twice; 0 where a count was wished."""
    spacing = offer.placement.plan.spacing
    pitch = None if spacing is None else spacing.pitch_mm
    if pitch is None:
        return 0.0
    return float(round(sum(max(2 * (gap - pitch), pitch - gap) for gap in offer.placement.spacing.gaps_mm)))
