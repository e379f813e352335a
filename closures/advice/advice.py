"""All that is said about one job beside its figures, made from one set of facts, so that no two pages can differ."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.cautions import cautions_for, wearer_notes
from closures.advice.facts import Facts, facts_of
from closures.advice.halves import halves_in_words
from closures.advice.marking import Marked, marking_page, marking_together, sign_of
from closures.advice.order import Order, Told, order_of_work
from closures.advice.whole_order import one_order
from closures.advice.wording import called
from closures.checks.finding import numbers_in_words, share_in_words
from closures.frozen import frozen
from closures.placing.column_room import back_to_back
from closures.placing.looped import loop_of
from closures.placing.role import is_for_show

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.jobs.swap.swap import Swap
    from closures.placing.placement import Placement
    from closures.plan.band import Face

_HELD_BACK = "planned, and held back: mark and cut nothing here"
_TRIALS = ("trial", "trial sewn", "trial swatch")
"""Steps that take what is bought for the trial piece."""


@frozen
class Advice:
    """What is said about a job.

    Attributes:
        facts: that all of it follows from.
        order: the order of work.
        marking: how to mark the cloth in hand, and what to beware of; whole sentences.
        cautions: what to heed, each with where it comes from.
        notes: headings for those who wear it, each with its sentences.
        halves: which half goes where.
        signs: what the key of a sheet says of the signs whose meaning the cloth decides.
    """

    facts: Facts
    order: Order
    marking: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[tuple[str, tuple[str, ...]], ...]
    halves: str
    signs: Mapping[str, str]


def advise(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    swap: Swap | None = None,
    among: Sequence[Placement] = (),
    faces: Mapping[LapName, Face] | None = None,
) -> Advice:
    """Say everything that is to be said of a job.

    Args:
        placement: the closures as placed.
        findings: what the checks found.
        catalogue: cloths and rules.
        swap: what was there before, and the offer taken; None where nothing was.
        among: all closures of a row that differ, where these are some of them.
        faces: which face of either lap the sheets that are printed lie on; None or empty for the usual ones.
    """
    if placement.is_mixed:
        closing = [share for share in placement.shares if not is_for_show(share)]
        advices = [advise(share, _own(findings, share), catalogue, swap, closing, faces) for share in closing]
        advice = together(
            list(zip(map(share_in_words, closing), _tried_each(closing, advices), strict=True)),
            _for_show(placement),
        )
        return replace(advice, signs=_signs_of(closing, [one.facts for one in advices], _for_show(placement)))
    placement = placement.to_set
    facts = facts_of(placement, findings, catalogue, swap, among, faces)
    is_worn = "worn" in facts.words

    def named(lines: Sequence[str]) -> tuple[str, ...]:
        return tuple(called(line, is_worn=is_worn) for line in lines)

    return Advice(
        facts,
        _named(order_of_work(facts), is_worn=is_worn),
        () if placement.is_withheld else named(marking_page(facts)),
        named(cautions_for(facts)),
        tuple((heading, named(lines)) for heading, lines in wearer_notes(facts)),
        "" if placement.is_withheld else halves_in_words(placement),
        _signs_of([placement], [facts]),
    )


def signs_of_key(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    swap: Swap | None = None,
    faces: Mapping[LapName, Face] | None = None,
) -> Mapping[str, str]:
    """Say what the key of a sheet does, and nothing else of all the `Advice`; arguments are those of `advise`."""
    if not placement.is_mixed:
        placement = placement.to_set
        return _signs_of([placement], [facts_of(placement, findings, catalogue, swap, (), faces)])
    closing = [share for share in placement.shares if not is_for_show(share)]
    facts = [facts_of(share.to_set, _own(findings, share), catalogue, swap, closing, faces) for share in closing]
    return _signs_of(closing, facts, _for_show(placement))


def _for_show(placement: Placement) -> list[Placement]:
    """What is only sewn on for show; nothing where the row is held back."""
    return [] if placement.is_withheld else [share for share in placement.shares if is_for_show(share)]


def _signs_of(closing: Sequence[Placement], facts: Sequence[Facts], shown: Sequence[Placement] = ()) -> dict[str, str]:
    """The signs of closures that lie on the same sheets, whose key is one, and of what is for show beside them."""
    if any(share.is_withheld for share in closing):
        # The sheets show what is planned, and nothing is done by them.
        return dict.fromkeys(("mark", "nest mark", "slits"), _HELD_BACK)
    sign = sign_of([_marked(share, one) for share, one in zip(closing, facts, strict=True)])
    for_show = "".join(f"; {_shown_in_key(share)}" for share in shown)
    # Where the sizes lie in each other dots alone are drawn, and no ends of holes.
    return {"mark": sign + for_show, "nest mark": f"{sign.partition(';')[0]}{for_show}, your size only"}


def _shown_in_key(share: Placement) -> str:
    marks = numbers_in_words([mark.n for mark in share.marks])
    dots = "their dots" if len(share.marks) > 1 else "its dot"
    return f"for show ({marks}) on the outside of the over lap, at {dots}"


def _marked(placement: Placement, facts: Facts) -> Marked:
    """Closures of one kind, with what of them is marked beside their middles."""
    # A tape is sewn on along its edges, and no ring of it is marked.
    has_rings = placement.laps.under.past_edge_mm and not placement.fastener.is_taped
    rings = "of an eye, its rings" if has_rings else ""
    feet = "of a loop, its feet" if loop_of(placement) else ""
    marks = numbers_in_words([mark.n for mark in placement.marks])
    return Marked(marks, facts, tuple(filter(None, (rings, feet))))


def _named(order: Order, *, is_worn: bool) -> Order:
    steps = tuple(
        replace(step, text=called(step.text, is_worn=is_worn), done=called(step.done, is_worn=is_worn))
        for step in order.steps
    )
    return replace(order, steps=steps)


def _tried_each(closing: Sequence[Placement], advices: Sequence[Advice]) -> list[Advice]:
    """Ask for a trial of every kind, size and way of a buttonhole, where one sentence would stand for several.

    The coupon has a piece for each of them.
    """
    tried: dict[str, dict[str, None]] = {}
    ways: dict[tuple[str, str], set[str | None]] = {}
    for share in closing:
        ways.setdefault((share.fastener.kind, share.fastener.size), set()).add(share.plan.closure.hole)

    def named(share: Placement) -> str:
        kind, size, hole = share.fastener.kind, share.fastener.size, share.plan.closure.hole
        return f"{kind} {size}" + (f", its buttonhole {hole}" if hole and len(ways[kind, size]) > 1 else "")

    for share, advice in zip(closing, advices, strict=True):
        for step in advice.order.steps:
            if step.key in _TRIALS:
                tried.setdefault(step.text, {})[named(share)] = None
    more = {text: f"{text} Make one for each: {'; '.join(kinds)}." for text, kinds in tried.items() if len(kinds) > 1}

    def told(step: Told) -> Told:
        return replace(step, text=more.get(step.text, step.text))

    return [replace(a, order=replace(a.order, steps=tuple(map(told, a.order.steps)))) for a in advices]


def _own(findings: Sequence[Finding], share: Placement) -> list[Finding]:
    """What speaks of the marks of a share, or of the whole row."""
    marks = {None, *(mark.n for mark in share.marks)}
    return [finding for finding in findings if finding.mark in marks]


def together(told: Sequence[tuple[str, Advice]], shown: Sequence[Placement] = ()) -> Advice:
    """Put together what is said about closures that differ, each named; what holds for all is said once.

    Args:
        told: of every kind that closes, by its name.
        shown: what is only sewn on for show.
    """
    advices = [advice for _, advice in told]
    notes: dict[str, dict[str, None]] = {}
    for advice in advices:
        for heading, lines in advice.notes:
            notes.setdefault(heading, {}).update(dict.fromkeys(lines))
    halves: dict[str, list[str]] = {}
    for name, advice in told:
        halves.setdefault(advice.halves, []).append(name)
    return Advice(
        advices[0].facts,
        one_order(
            {name: advice.order for name, advice in told},
            {share_in_words(one): _show(one, advices[0].facts) for one in shown},
        ),
        (*marking_together({name: advice.marking for name, advice in told}), *map(_show_marked, shown)),
        tuple(dict.fromkeys(line for advice in advices for line in advice.cautions)),
        tuple((heading, tuple(lines)) for heading, lines in notes.items()),
        _each_half(halves),
        advices[0].signs,
    )


def _each_half(halves: Mapping[str, Sequence[str]]) -> str:
    """Which half goes where, of each kind by its name where they differ; in both voices."""
    told = ""
    for text, names in halves.items():
        if not text:
            continue
        told = told + (" " if told else "") + (f"{'; '.join(names)}: " if len(halves) > 1 else "") + text
    return told


_OUTSIDE_UP = ", which for these is printed once more with its outside face up,"


def _show_marked(share: Placement) -> str:
    """Where buttons for show are marked, on the page that tells how the row is."""
    marks = numbers_in_words([mark.n for mark in share.marks])
    return f"For show, {marks}: on the outside of the over lap, where they are sewn, at their dots on its sheet."


def _show(share: Placement, row: Facts) -> Order:
    """What is to be done with buttons for show, beside the row that closes."""
    marks = numbers_in_words([mark.n for mark in share.marks])
    # What a child could pull off has more behind it than what holds nothing asks for.
    held = (
        " and a patch of firm cloth behind"
        if share.plan.is_for_child
        else ": they hold nothing, and need nothing behind"
    )
    within = "inside as told" in row.words
    done = "They stand level with the row and as far from it as the sheet has them, all the way."
    text = (
        f"Mark the places of the buttons for show, {marks}, on the outside of the over lap, by its sheet"
        f"{_OUTSIDE_UP * within} and in the way of its other marks, and sew them on there, through its layers{held}."
    )
    for other in share.row.shares:
        met = back_to_back(share, [other])
        if met is None:
            continue
        n, behind = met
        if other.fastener.setting == "sewn button":
            text += (
                f" Leave out mark {n}: its button is marked and sewn on together with that of mark {behind}, which "
                "lies behind it, in the step that sews that one on."
            )
        else:
            part = " and ".join(one.name for one in other.fastener.parts_on("over"))
            text += f" At mark {n} take up the outer cloth alone: the {part} of mark {behind} lies there."
    return Order((Told(1, "show", text, done),), None, "", "")
