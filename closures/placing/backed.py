"""Pieces of backing, cut out of a lap's band: which marks they are cut for, and why none is cut for the others.

Terms: a *strip* follows the closing line under the whole row; a *patch* lies under one closure.

A stack counts a backing only where it is cut: `with_backing_that_is_cut` is asked once, when all marks lie.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from closures.errors import EdgeError, in_section
from closures.frozen import frozen
from closures.placing.backing_cut import WIDER_OR_ALL_OVER, cut_within, form_of, need_at
from closures.placing.placed import Unbacked
from closures.placing.seats import at_rings, refuse_unbacked, ring_mm
from closures.placing.stack import clamped_layers
from closures.plan.shown import shown_beside

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.backing_cut import BackingPiece, Need
    from closures.placing.lap import Lap
    from closures.placing.marking import LapMark, Mark
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer, Stack
    from closures.plan.shown import Show


@frozen
class Cut:
    """What is cut for one lap.

    Attributes:
        form: strip or patches.
        pieces: to cut; empty where none fits.
        left_out: the marks that no piece is cut for, with why; all of them where none fits.
    """

    form: Literal["strip", "patches"]
    pieces: tuple[BackingPiece, ...]
    left_out: tuple[Unbacked, ...]

    @property
    def trouble(self) -> str:
        """Why nothing is cut, empty where something is."""
        return "" if self.pieces or not self.left_out else self.left_out[0].why


def is_bare(placement: Placement, name: LapName) -> bool:
    """Whether no backing is laid on a lap by its nature: it would lie over buttonholes that are knitted."""
    return placement.plan.gauge is not None and name == placement.fastener.mark.buttonhole_lap


def cut_for(placement: Placement, name: LapName, catalogue: Catalogue) -> Cut:
    """Cut the backing of a lap.

    Args:
        placement: closures along an edge whose plan asks for backing; marks that are known to get none get none.
        name: the lap, which carries a mark.
        catalogue: rules, from which the lengths of buttonholes come.

    Returns:
        A strip for all marks or for none, or a patch for each mark that has the room.
    """
    wish = placement.plan.sheets
    asked = "strip" if wish is None or wish.backing is None else wish.backing
    form: Literal["strip", "patches"] = "patches" if asked == "patches" else "strip"
    width_mm = None if wish is None else wish.backing_width_mm
    numbers = [mark.n for mark in placement.new_on(name)]
    known = tuple(one for one in placement.unbacked if one.lap == name and one.mark in numbers)
    short = {one.mark for one in known}
    if len(short) == len(numbers):
        return Cut(form, (), known)

    def none(error: EdgeError, *, is_short: bool) -> Cut:
        why = _in_words(error)
        return Cut(form, (), tuple(Unbacked(n, name, why, is_short) for n in numbers))

    try:
        refuse_unbacked(placement, name)
    except EdgeError as error:
        return none(error, is_short=False)
    show = shown_beside(placement.plan.units)
    try:
        held = at_rings(placement, name)
        lap, rim_mm = held.laps[name], held.rim_mm
        marks = [mark for mark in held.new_on(name) if mark.n not in short]
        needs = [need_at(held, lap, mark, catalogue, ring_mm(placement, name, mark.n)) for mark in marks]
        form = form_of(asked, held, needs)
        if form == "patches":
            needs, lacking = _with_room(rim_mm, lap, needs, width_mm, show)
            known += tuple(Unbacked(n, name, _in_words(error)) for n, error in lacking.items())
        pieces = cut_within(rim_mm, lap, needs, form, width_mm, show)
        _refuse_near(pieces, held, name, {one.mark for one in known}, catalogue)
    except EdgeError as error:
        return none(error, is_short=True)
    return Cut(form, pieces, known)


def _with_room(
    rim_mm: float, lap: Lap, needs: Sequence[Need], width_mm: float | None, show: Show
) -> tuple[list[Need], dict[int, EdgeError]]:
    """Part the marks whose patch lies within the band from those whose patch does not; all of them where none does."""
    fit, lacking = [], {}
    for need in needs:
        try:
            cut_within(rim_mm, lap, (need,), "patches", width_mm, show)
            fit.append(need)
        except EdgeError as error:
            lacking[need.mark.n] = error
    return (fit, lacking) if fit else (list(needs), {})


def _refuse_near(
    pieces: Sequence[BackingPiece], held: Placement, name: LapName, bare: set[int], catalogue: Catalogue
) -> None:
    """Refuse patches that would end under the flange of a mark which gets none, or near it: it would tilt there."""
    keep = held.rim_mm + catalogue.rule("ridge").value.value
    marks = {mark.n: mark for mark in held.on(name)}
    for piece in pieces:
        reach = math.hypot(piece.width_mm, piece.along_mm or 0.0) / 2
        for n in bare:
            if any(math.dist(marks[n].at, marks[own].at) < reach + keep for own in piece.marks):
                raise EdgeError(
                    f"at mark {n} the {name} lap has no room for a patch, and that of its neighbour would end under "
                    "its flange",
                    where=in_section("sheets", "backing"),
                    mend=WIDER_OR_ALL_OVER,
                )


def _in_words(error: EdgeError) -> str:
    # On a page of the set nobody looks for a key of the plan.
    told = " ".join(str(replace(fault, where="")) for fault in error.faults)
    return told[:1].upper() + told[1:]


def with_backing_that_is_cut(placement: Placement, catalogue: Catalogue) -> Placement:
    """Find where the backing that a plan tells is cut, and take it out of every stack under which none will lie.

    Args:
        placement: closures along an edge.
        catalogue: rules.

    Returns:
        The placement with `unbacked` filled in; the same where the plan tells no backing, or leaves it to the checks.
    """
    wish = placement.plan.sheets
    if wish is None or wish.backing is None or (wish.backing == "as needed" and wish.backing_cloth is None):
        return placement
    found: list[Unbacked] = []
    for lap in placement.laps.both:
        marks = placement.on(lap.name)
        if marks and is_bare(placement, lap.name):
            found += [Unbacked(mark.n, lap.name) for mark in marks]
        elif marks:
            found += cut_for(placement, lap.name, catalogue).left_out
    # Beside the row no plan that tells a backing has anything.
    return with_backing_as_cut(placement, found)


def with_backing_as_cut(placement: Placement, unbacked: Sequence[Unbacked]) -> Placement:
    """Take the backing out of every stack under which none lies.

    Args:
        placement: whose stacks count the backing that is told everywhere.
        unbacked: marks and laps behind which no piece is cut, of this row or of the same one before its first wash.
    """
    if not unbacked:
        return placement
    bare = {(one.mark, one.lap) for one in unbacked}

    def on_lap(mark: Mark, name: LapName) -> LapMark | None:
        on = mark.on(name)
        if on is None or on.stack is None or (mark.n, name) not in bare:
            return on
        return replace(on, stack=_without_backing(on.stack, placement))

    marks = tuple(replace(one, over=on_lap(one, "over"), under=on_lap(one, "under")) for one in placement.marks)
    return replace(placement, marks=marks, unbacked=tuple(unbacked))


def _without_backing(stack: Stack, placement: Placement) -> Stack | None:
    """The stack without the backing, which lies everywhere under its flange: it makes no border."""
    plan = placement.plan
    cloth = None if plan.sheets is None else plan.sheets.backing_cloth
    if cloth is None:
        return stack
    if len(clamped_layers(plan)) == 1:
        # Nothing else is told.
        return None

    def parted(layers: Sequence[Layer]) -> tuple[tuple[Layer, ...], Layer | None]:
        # It is the last of its cloth: the garment may be of the same.
        at = max((n for n, layer in enumerate(layers) if layer.name == cloth), default=None)
        if at is None:
            return tuple(layers), None
        return (*layers[:at], *layers[at + 1 :]), layers[at]

    layers, backing = parted(stack.layers)
    if backing is None:
        return replace(stack, beyond=parted(stack.beyond)[0])
    return replace(
        stack,
        layers=layers,
        low_mm=stack.low_mm - backing.low_mm,
        typical_mm=stack.typical_mm - backing.typical_mm,
        high_mm=stack.high_mm - backing.high_mm,
        thinnest_mm=stack.thinnest_mm - backing.typical_mm,
        clamped_mm=(stack.clamped_mm[0] - backing.clamped_mm[0], stack.clamped_mm[1] - backing.clamped_mm[1]),
    )
