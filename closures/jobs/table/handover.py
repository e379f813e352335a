"""A placement handed to somebody else: where, how exactly, how measured, with what, lap by lap."""

from __future__ import annotations

import csv
import io
from functools import partial
from typing import TYPE_CHECKING

from closures.checks.finding import numbers_in_words
from closures.frozen import frozen
from closures.lengths import TOLD_ALIKE_MM, format_inches, format_mm
from closures.placing.edge_to_edge import apart_in_words
from closures.placing.marking import are_along_alike
from closures.placing.role import face_of, told_role
from closures.placing.run_mark import run_mark

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener, LapName
    from closures.placing.lap import Lap
    from closures.placing.placement import Placement
    from closures.plan.top import Units

_LAPS: tuple[LapName, LapName] = ("over", "under")
HEADINGS = (
    "lap",
    "side",
    "mark",
    "from_first_end_mm",
    "from_first_end_in",
    "from_finished_edge_mm",
    "level_mm",
    "tolerance_mm",
    "what",
    "parts",
    "face",
    "cap_mm",
    "stack_mm",
    "run",
)


@frozen
class Handover:
    """What a colleague or a factory is told.

    Attributes:
        tolerance_mm: how far a centre may lie from its place.
        tolerance_source: where that comes from.
        measured: how distances are measured, in whole sentences.
        sizes: the closure's figures, a line each.
        layers: for each lap its layers, a line each.
        rows: one for each mark on each lap, as in `HEADINGS`; along that lap's own line, and a distance from the
            finished edge below nothing where the centre lies out past it.
    """

    tolerance_mm: float
    tolerance_source: str
    measured: tuple[str, ...]
    sizes: tuple[str, ...]
    layers: dict[str, tuple[str, ...]]
    rows: tuple[tuple[str, ...], ...]


def hand_over(placement: Placement, catalogue: Catalogue) -> Handover:
    """Gather what is handed over.

    Args:
        placement: closures along an edge.
        catalogue: where the tolerance and its source are kept.
    """
    rule = catalogue.rule("halves meet")
    laps, units = placement.laps, placement.plan.units
    sizes = tuple(dict.fromkeys(line for share in placement.shares for line in _sizes(share.fastener, units)))
    apart = apart_in_words(placement, partial(_told, units=units))
    measured = (
        f"From the {placement.ends[0]}, along the closing line, to the centre of each closure, the tape left in "
        "place; never from one closure to the next.",
        f"The closing line lies {_lies(laps.over, units)} the over lap's finished edge, square to it, and "
        f"{_lies(laps.under, units)} the under lap's. {_long(placement)}",
        *(
            (f"The edges are worn {apart}.",)
            if (apart := apart_in_words(placement, partial(_told, units=units)))
            else ()
        ),
        "Measured on the finished lap, lying flat and not stretched." + _state(placement),
    )
    layers: dict[str, tuple[str, ...]] = {lap: _layers(placement, lap) for lap in _LAPS}
    return Handover(
        rule.value.value,
        rule.value.provenance.text,
        measured,
        tuple(dict.fromkeys(sizes)),
        layers,
        _rows(placement, rule.value.value),
    )


def _sizes(fastener: Fastener, units: Units) -> list[str]:
    cap = _told(fastener.cap_mm, units, 2) if fastener.cap else "not known"
    sizes = [f"{fastener.name}; largest part {cap}" + (f" {fastener.cap_way}" if fastener.cap else "")]
    if fastener.inner is not None:
        sizes.append(f"inner part {format_mm(fastener.inner.value, 2)} across")
    if fastener.hole is not None and fastener.hole.diameter is not None:
        sizes.append(f"hole {format_mm(fastener.hole.diameter.value, 2)}")
    if fastener.grip is not None:
        low, high = (format_mm(end.value, 2) for end in fastener.grip)
        sizes.append(f"clamps {low} to {high} on either lap")
    return sizes


def handover_csv(handover: Handover) -> bytes:
    """Write the rows as a table file: commas, a heading row, UTF-8 (RFC 4180)."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADINGS)
    writer.writerows(handover.rows)
    return text.getvalue().encode()


def _state(placement: Placement) -> str:
    wish = placement.plan.shrinkage
    if wish is None:
        return ""
    lost = f"{100 * wish.along:g} % along and {100 * wish.across:g} % across"
    return f" The cloth is unwashed; it is reckoned to lose {lost} in its first wash."


def _lies(lap: Lap, units: Units) -> str:
    """How far a lap's line lies inside its edge, or past it: of drawn edges it may differ from place to place."""
    least, most = lap.edge_lies_mm
    ends = (_told(least, units), _told(most, units))
    far = ends[0] if most - least < TOLD_ALIKE_MM else " to ".join(ends)
    return f"{far} {'past' if lap.past_edge_mm else 'inside'}"


def _long(placement: Placement) -> str:
    """How long the closing line is, and whether each lap goes by figures of its own."""
    laps, units = placement.laps, placement.plan.units
    over, under = laps.over.line.length_mm, laps.under.line.length_mm
    told = f"It is {_told(over, units)} long"
    if abs(over - under) >= TOLD_ALIKE_MM:
        told += f" on the over lap and {_told(under, units)} on the under lap"
    return f"{told}." if are_along_alike(placement.all_marks) else f"{told}: each lap is marked by its own figures."


def _layers(placement: Placement, lap: LapName) -> tuple[str, ...]:
    stacks = [on.stack for on in (m.on(lap) for m in placement.marks) if on is not None]
    known = [stack for stack in stacks if stack is not None]
    patched = numbers_in_words([m.n for m in placement.marks if (m.n, lap) in placement.uncounted])
    untold = (f"{patched}: a patch besides, whose cloth is not told; it is in no figure",) if patched else ()
    if not known:
        return ("layers not told", *untold)
    thickest = max(known, key=lambda stack: stack.typical_mm)
    rows = [f"{layer.plies} × {layer.name}, {format_mm(layer.typical_mm, 2)}" for layer in thickest.layers]
    return (*rows, f"in all {format_mm(thickest.typical_mm, 2)}", *untold)


def _rows(placement: Placement, tolerance_mm: float) -> tuple[tuple[str, ...], ...]:
    run, is_alike = run_mark(placement), are_along_alike(placement.all_marks)
    rows = []
    for lap in _LAPS:
        side = placement.laps[lap].side or ""
        is_past, has_own_line = bool(placement.laps[lap].past_edge_mm), lap == "under" and not is_alike
        for mark in placement.all_marks:
            on_lap = mark.on(lap)
            if on_lap is None:
                continue
            fastener = placement.fastener_of(mark.n)
            parts = " + ".join(part.name for part in fastener.parts_on(lap)) or "buttonhole"
            # A figure without the patch that is clamped there would be read as all there is.
            is_more = (mark.n, lap) in placement.uncounted
            rows.append(
                (
                    lap,
                    side,
                    str(mark.n),
                    tenth(on_lap.along_mm),
                    format_inches(on_lap.along_mm).removesuffix(" in"),
                    tenth(-on_lap.edge_distance_mm if is_past else on_lap.edge_distance_mm),
                    # A level is told of the over lap: drawn apart, the other may lie anywhere in its drawing.
                    "" if has_own_line else tenth(mark.level_mm),
                    f"{tolerance_mm:.1f}",
                    told_role(placement, mark.n),
                    parts,
                    face_of(placement, mark.n, lap),
                    f"{fastener.cap_mm:.2f}" if fastener.cap else "",
                    "" if on_lap.stack is None or is_more else f"{on_lap.stack.typical_mm:.2f}",
                    run,
                )
            )
    return tuple(rows)


def tenth(mm: float) -> str:
    """Write mm to a tenth, rounded as on every page."""
    return f"{float(format_mm(mm).removesuffix(' mm')):.1f}"


def _told(mm: float, units: Units, places: int = 1) -> str:
    # Whoever gets the page may measure in either.
    pair = (format_mm(mm, places), format_inches(mm))
    return "{} ({})".format(*(pair if units == "mm" else reversed(pair)))
