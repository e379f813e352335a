"""A placement as sheets for both laps."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from closures.advice.advice import signs_of_key
from closures.cores import all_done
from closures.drawing.ink.type_scale import type_scale
from closures.drawing.paper.join_places import LEAST_CLEAR_MM
from closures.drawing.sheets.lap_strip import lap_piece
from closures.drawing.sheets.marks import Look, look_of
from closures.drawing.sheets.sheet import failures_in_words, lap_sheet
from closures.drawing.sheets.subject import Subject
from closures.placing.buttonhole import buttonhole_for, hole_at
from closures.placing.marked_face import faces_to_mark
from closures.placing.role import is_for_show

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.checks.finding import Finding
    from closures.drawing.paper.piece import LongPiece
    from closures.drawing.sheets.sheet import Sheet
    from closures.jobs.sizes.sized import Sizes
    from closures.jobs.swap.swap import Swap
    from closures.placing.lap import Lap
    from closures.placing.placement import Placement
    from closures.plan.band import Face, FaceWish


def draw_sheets(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    face: FaceWish = "usual",
    whole: bool = False,
    swap: Swap | None = None,
) -> tuple[Sheet, ...]:
    """Draw both laps.

    Args:
        placement: the row and its garment, in mm, in the frame of the user's drawing.
        findings: what the checks found; failed ones are named on both sheets.
        catalogue: where the figures of a buttonhole are kept.
        face: which face of the cloth lies up when marking; "inside" turns both sheets over.
        whole: draw a strap without a break, however long it is; for paper on a roll.
        swap: the closures that were there before, None where there were none.

    Returns:
        The sheet of the over lap, then of the under lap; of a pair the left piece's, then the right's.
    """
    faces = faces_to_mark(placement, catalogue, face)
    subjects = subjects_of(placement, findings, catalogue, faces, swap)
    told = signs_of_key(placement, findings, catalogue, swap, faces)
    if placement.strap is not None:
        from closures.drawing.sheets.strap_sheet import strap_sheets

        return _with_signs(strap_sheets(subjects[0], findings, whole), told)
    return _with_signs(tuple(lap_sheet(subject, findings) for subject in subjects), told)


def subjects_of(
    placement: Placement,
    findings: Sequence[Finding],
    catalogue: Catalogue,
    faces: Mapping[LapName, Face] | None = None,
    swap: Swap | None = None,
    opening: str = "",
) -> tuple[Subject, Subject]:
    """Gather both laps with what decides how they are drawn; arguments are those of `draw_sheets`.

    Which face of either lap lies up is told, or is the usual one; of a garment with several openings, `opening` is the
    name of this one.
    """
    buttonhole = buttonhole_for(placement.fastener, placement.plan, catalogue)
    scale = type_scale(placement.plan.has_large_letters)
    failures = failures_in_words(findings, placement.side_word)
    up = faces or faces_to_mark(placement, catalogue)
    shown = (buttonhole, swap, scale, failures, opening)
    over, under = (
        Subject(placement, lap.name, up, *shown, _differing(placement, lap, catalogue)) for lap in placement.laps.both
    )
    # Crosses end before those of their neighbours, so that a join finds its place between.
    over, under = (replace(one, arms_mm=one.closest_mm / 2 - 2 * LEAST_CLEAR_MM) for one in (over, under))
    return (over, under)


def _differing(placement: Placement, lap: Lap, catalogue: Catalogue) -> dict[int, Look]:
    """What marks look like that are not as the others are."""
    own = buttonhole_for(placement.fastener, placement.plan, catalogue)
    row = look_of(placement.fastener, lap.name, own)
    found: dict[int, Look] = {}
    for nth, share in enumerate(placement.shares):
        for mark in share.on(lap.name):
            hole = hole_at(share, share.laps[lap.name], mark, catalogue)
            # Closed, the stitches of buttons for show are seen beside those of the row: they lie the same way.
            look = look_of(share.fastener, lap.name, own if is_for_show(share) else hole)
            if nth or look != row:
                found[mark.n] = look
            if mark.n in placement.sewn_apart:
                found[mark.n] = look_of(share.fastener_of(mark.n), lap.name, None)
    return found


def _with_signs(sheets: tuple[Sheet, ...], signs: Mapping[str, str]) -> tuple[Sheet, ...]:
    """Let the key of each sheet say how this cloth is marked."""
    told = tuple(signs.items())
    return tuple(replace(one, text=replace(one.text, sign_words=(*one.text.sign_words, *told))) for one in sheets)


def long_pieces(subjects: Sequence[Subject], whole: bool = False, run: str = "") -> tuple[LongPiece, ...]:
    """Make both laps, or both ends of a strap, ready to be cut into pages.

    Args:
        subjects: both laps.
        whole: leave nothing out, however long they are.
        run: the run mark in words, to be lettered on every part.
    """
    if subjects[0].placement.strap is None:
        return tuple(lap_piece(subject, not whole, run) for subject in subjects)
    from closures.drawing.sheets.strap_sheet import strap_ends
    from closures.drawing.sheets.strap_strip import strap_piece

    return tuple(strap_piece(end, run) for end in strap_ends(subjects[0], whole))


def draw_sizes(sizes: Sizes, face: FaceWish = "usual", cores: int = 1) -> Sizes:
    """Draw the sheets of every size, and the nest of all.

    Args:
        sizes: placed.
        face: which face of the cloth lies up when marking; "inside" turns all sheets over.
        cores: how many may be at work; more than one only from a process without threads.

    Returns:
        The same with its sheets.
    """
    from closures.drawing.sheets.nest import nest_sheet, size_slugs
    from closures.jobs.sizes.sized import Sized

    slugs = size_slugs(sizes)

    def sheets_of(size: Sized) -> tuple[Sheet, ...]:
        drawn = draw_sheets(size.placement, size.findings, sizes.catalogue, face)
        return tuple(replace(sheet, stem=f"{sheet.lap}-{slugs[size.name]}") for sheet in drawn)

    drawn = iter(all_done([partial(sheets_of, size) for size in sizes.placed], cores))
    sizes = replace(
        sizes, all=tuple(replace(size, sheets=next(drawn)) if isinstance(size, Sized) else size for size in sizes.all)
    )
    up = faces_to_mark(sizes.base.placement, sizes.catalogue, face)
    told = dict(signs_of_key(sizes.base.placement, sizes.base.findings, sizes.catalogue, faces=up))
    if not sizes.has_base:
        whose = f"of size {sizes.base.name}"
        told |= {"nest edge": f"finished edge, {whose}", "nest line": f"closing line, {whose}"}
    over, under = _with_signs((nest_sheet(sizes, "over", up["over"]), nest_sheet(sizes, "under", up["under"])), told)
    return replace(sizes, nest=(over, under))
