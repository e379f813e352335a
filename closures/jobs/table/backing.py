"""Backing: pieces that closures bite into where the cloth alone does not hold.

Terms: a *strip* follows the closing line under the whole row; a *patch* lies under one closure.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Literal

from closures.frozen import frozen
from closures.jobs.table.backing_side import FACING, inner_of, is_made, lies_on_facing, made_side
from closures.placing.backed import cut_for, is_bare
from closures.placing.interfaced import STAY_OF_NET, is_openwork
from closures.placing.layers_between import is_one_alone
from closures.placing.marked_face import is_held_within
from closures.placing.single_layer import single_laps
from closures.placing.stack import ends_within
from closures.series import numbered

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.placing.backing_cut import BackingPiece
    from closures.placing.marking import LapMark
    from closures.placing.placed import Unbacked
    from closures.placing.placement import Placement


@frozen
class Backing:
    """What backs one lap.

    Attributes:
        lap: which.
        form: strip or patches.
        reasons: why, in whole sentences.
        pieces: to cut; empty where none fits.
        trouble: why none fits, empty where it does.
        cloth: what it is cut from, None where the plan does not say.
        left_out: the marks that no piece is cut for, with why.
        is_on_facing: its closures are held by the facing alone.
        is_sewn: they are sewn to what it backs, and go through nothing.
        is_knitted: it lies behind a knitted band, which is one layer.
        made: where it lies on a band that is closed already; empty where the band is open.
        is_single: the plan tells one layer, and so no facing.
        inner: what lies on the inside of the band: its facing, or its own inner half where it is folded.
        stay: what backs net and lace, where the plan does not say; empty of other cloth.
    """

    lap: LapName
    form: Literal["strip", "patches"]
    reasons: tuple[str, ...]
    pieces: tuple[BackingPiece, ...]
    trouble: str
    cloth: str | None
    left_out: tuple[Unbacked, ...] = ()
    is_on_facing: bool = False
    is_sewn: bool = False
    is_knitted: bool = False
    made: str = ""
    is_single: bool = False
    inner: str = FACING
    stay: str = ""

    @property
    def of(self) -> str:
        """What it is cut of, in the one name that every page has for it."""
        return self.cloth or self.stay or "interfacing, or cloth that does not stretch"

    @property
    def side(self) -> str:
        """On which side it lies."""
        if self.is_on_facing:
            held = "is sewn to" if self.is_sewn else "goes through"
            return (
                f"on the inside of the {self.lap} lap: against the wrong side of {self.inner}, which each part {held}, "
                "under the outer cloth"
            )
        if self.is_knitted:
            return f"on the inside of the {self.lap} lap, against the wrong side of the knitted band"
        if self.made:
            return f"on the inside of the {self.lap} lap, {self.made}"
        if self.is_single:
            return f"on the inside of the {self.lap} lap, against the wrong side of its one layer"
        return f"on the inside of the {self.lap} lap: against the wrong side of the outer cloth, under {self.inner}"

    def size(self, show: Callable[[float], str]) -> str:
        """How large each of its pieces is, in words; there must be one."""
        piece = self.pieces[0]
        if piece.along_mm is not None:
            return f"{show(piece.along_mm)} along the line and {show(piece.width_mm)} across"
        return f"{show(piece.width_mm)} {'across' if self.form == 'patches' else 'wide'}"

    @property
    def without(self) -> tuple[str, ...]:
        """Which marks of a lap with pieces get none, and why, in whole sentences."""
        if not self.pieces or not self.left_out:
            return ()
        whys = dict.fromkeys(one.why for one in self.left_out)
        return (f"None is cut for {numbered('mark', [one.mark for one in self.left_out])}. {' '.join(whys)}",)

    @property
    def grain(self) -> str:
        """How it is cut from the cloth."""
        if self.form == "strip":
            return "the way that does not stretch runs along the strip"
        return "the way that does not stretch runs along the closing line"


def back_laps(placement: Placement, findings: Sequence[Finding], catalogue: Catalogue) -> tuple[Backing, ...]:
    """Find the backing of either lap.

    Args:
        placement: closures along an edge.
        findings: what the checks say, from which the need for backing is read.
        catalogue: rules, from which the lengths of buttonholes come.

    Returns:
        The backing of each lap that needs it, or of both where the plan wishes for it; none where it does not.
    """
    wish = placement.plan.sheets
    if wish is None or wish.backing is None or placement.strap is not None or placement.is_withheld:
        return ()
    backings, knitted = [], placement.plan.gauge is not None
    for lap in placement.laps.both:
        reasons = _reasons(findings, lap.name)
        # For what lies beside the row nothing is cut, and what is there already stays as it is held.
        bare = {one.mark for one in placement.unbacked if one.lap == lap.name and not one.why}
        marks = [mark for mark in placement.new_on(lap.name) if mark.n not in bare]
        if is_bare(placement, lap.name):
            continue
        if not marks or (wish.backing == "as needed" and not reasons and wish.backing_cloth is None):
            continue
        cut = cut_for(placement, lap.name, catalogue)
        short = {one.mark for one in cut.left_out}
        if cut.pieces and short:
            # What the checks say is of the marks that no piece is cut for.
            reasons = ()
        if not reasons:
            reasons = _without(wish.backing_cloth, [mark for mark in marks if mark.n not in short])
        if placement.staying and wish.backing == "strip":
            reasons = (*reasons, "A strip would run through the closures that stay: patches are cut in its place.")
        is_opened = ends_within(placement.fastener, placement.plan)
        made = made_side(placement) if is_made(placement.plan) and not is_opened else ""
        single = lap.name in single_laps(placement.plan, catalogue)
        # What lies beneath an outer layer has an inner one, also where the plan tells one layer.
        on_facing = lies_on_facing(placement, lap.name) and (placement.is_beneath or not single)
        sewn = on_facing and is_held_within(placement, lap.name) and placement.fastener.family != "magnetic snap"
        own = (on_facing, sewn, knitted, made, single)
        what = (cut.form, reasons, cut.pieces, cut.trouble, wish.backing_cloth, cut.left_out)
        backings.append(Backing(lap.name, *what, *own, inner=inner_of(placement), stay=stay_of(placement, (lap.name,))))
    return tuple(backings)


def backing_at_hand(backings: Sequence[Backing]) -> tuple[str, ...]:
    """What is to be had at hand for the pieces that are cut, a line for each cloth."""
    laps: dict[str, list[str]] = {}
    for backing in backings:
        if backing.pieces:
            laps.setdefault(backing.of, []).append(backing.lap)
    return tuple(
        f"{of}, for the backing of {'both laps' if len(own) > 1 else f'the {own[0]} lap'}" for of, own in laps.items()
    )


def stay_of(placement: Placement, laps: Sequence[LapName]) -> str:
    """What backs laps that are of net or lace at their closures; empty where other cloth lies there."""
    stacks = [mark.stack for lap in laps for mark in placement.on(lap) if mark.stack is not None]
    return STAY_OF_NET if stacks and all(map(is_openwork, stacks)) else ""


def _reasons(findings: Sequence[Finding], lap: LapName) -> tuple[str, ...]:
    told = []
    for finding in findings:
        if finding.lap != lap or finding.result == "pass":
            continue
        found, limit = finding.found_mm, finding.limit_mm
        thin = finding.rule == "layer thickness" and found is not None and limit is not None and found < limit
        if finding.rule == "backing" or (thin and finding.result == "fail"):
            told.append(finding.text)
    return tuple(dict.fromkeys(told))


def _without(cloth: str | None, marks: Sequence[LapMark]) -> tuple[str, ...]:
    """What the closures of a lap would hold in if the backing that is counted in the stack were not there."""
    for mark in marks:
        if cloth is None or mark.stack is None or all(layer.name != cloth for layer in mark.stack.layers):
            continue
        left = list(mark.stack.layers)
        # The backing is the last of its cloth: the garment may be of the same.
        del left[max(n for n, layer in enumerate(left) if layer.name == cloth)]
        if left and all("knit" in layer.structures for layer in left):
            return ("Without it the closures would hold in knit alone, which stretches out from under them.",)
        if left and is_one_alone(left):
            return ("Without it the closures would hold in one layer alone and might tear out.",)
    return ("The plan asks for it.",)
