"""Rules on the garment around the row: what opens, which way the edge runs, whether two pieces are as long.

None of them fails a row: what contradicts the plan for certain is refused before a row is placed.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from closures.checks.checked import Checked
from closures.checks.finding import Finding
from closures.curve import parallel
from closures.edges.hand import UPRIGHT
from closures.errors import EdgeError
from closures.lengths import SAME_MM, format_length, parse_length
from closures.placing.buttonhole import READING_MM
from closures.placing.counted_from import height_of_first_end, told_by_level
from closures.placing.easing import Stretch, between_marks, contrary_columns, stretches_of, whole_of
from closures.placing.garment import runs_across, runs_up
from closures.placing.lap import offset_sign
from closures.placing.stack import layers_on
from closures.said import for_author

if TYPE_CHECKING:
    from closures.placing.lap import Laps
    from closures.placing.stack import Layer

# A button this large may be a jacket's, whatever its cloth, and so may cloth this heavy: our own rule.
_COAT_BUTTON_MM, _COAT_CLOTH_G_M2 = 17.78, 300.0
# What opens there is no coat's or jacket's front: common practice.
_NEVER_A_COAT = {"flat", "crotch", "inseam", "left shoulder", "right shoulder"}
# Lines that differ by no more are as long: what a drawing is out by, our own rule.
_AS_LONG_MM = 1.0
# Levels that fall by less than this along the row say nothing of its direction: our own rule.
_FALLS_MM = 5.0


def check_opening(checked: Checked) -> list[Finding]:
    """Does the plan say what opens, and was it taken for a shirt where it may be a coat?"""
    laps = checked.placement.laps
    if laps.garment.opens is not None:
        return _taken_for_a_shirt(checked)
    over, under = (lap.side for lap in laps.both)
    text = (
        f"The plan does not say what opens: it is taken as the front, with the wearer's {over} over {under}. At the "
        "back the cloth lies on the other side of the edge, and these sheets would be wrong"
    ) + for_author(': write opens = "front" or opens = "back" under [garment].', ".")
    return [Finding("garment", "warn", text, "our own rule"), *_taken_for_a_shirt(checked)]


def _taken_for_a_shirt(checked: Checked) -> list[Finding]:
    """Were a shirt's gaps or buttonholes taken where large buttons or heavy cloth may be a jacket's or a coat's?"""
    placement, what = checked.placement, may_be_a_coat(checked)
    if not what:
        return []
    told = "\n".join(placement.row.assumed)
    taken, write = [], []
    if "even gaps on the front of a shirt" in told:
        about = checked.show(checked.limit_mm("gap, coat"))
        taken.append("gaps")
        write.append(f"pitch or count under [spacing], whose gaps are about {about} there")
    if "as on the band of a shirt" in told:
        taken.append("buttonholes")
        write.append('hole = "across" under [closure]')
    if not taken:
        return []
    text = (
        f"{what} may be a jacket's or a coat's, and {' and '.join(taken)} were taken as a shirt has them"
    ) + for_author(
        ", since no layer told is bulky, padded, coated or leather. If it is a coat or a jacket, write "
        f"{'; and '.join(write)}. If not, all is well.",
        ".",
    )
    return [Finding("garment", "warn", text, "our own rule")]


def may_be_a_coat(checked: Checked) -> str:
    """What may make a garment a coat or a jacket that is told to be neither, to begin a sentence; empty for nothing."""
    placement = checked.placement
    plan, fastener = placement.plan, placement.fastener
    is_large = fastener.mark.buttonhole_lap is not None and fastener.cap_mm > _COAT_BUTTON_MM - SAME_MM
    heavy = heavy_layer(checked)
    is_garment = placement.laps.garment.opens not in _NEVER_A_COAT and plan.gauge is None
    if not is_garment or not (is_large or heavy is not None) or plan.is_under_three:
        return ""
    if heavy is not None and not is_large:
        return f"Such cloth as {heavy.name}"
    return f"A button of {checked.show(fastener.cap_mm)}"


def heavy_layer(checked: Checked) -> Layer | None:
    """The first layer of a pile, or of cloth too heavy for most shirts; None where there is none."""
    layers = layers_on("over", checked.placement.plan.layers, checked.catalogue)
    return next((layer for layer in layers if _is_heavy(checked, layer)), None)


def _is_heavy(checked: Checked, layer: Layer) -> bool:
    """Whether a layer is of a pile, or of named cloth too heavy for most shirts."""
    known = next((cloth for cloth in checked.catalogue.cloths if cloth.name == layer.name), None)
    mass = None if known is None else known.mass_g_m2
    return "pile" in layer.structures or (mass is not None and mass >= _COAT_CLOTH_G_M2)


def check_wrap(checked: Checked) -> list[Finding]:
    """Is it known how the edge of a lap that is a piece of the garment runs beside the line?"""
    laps, (edge, _, _) = checked.placement.laps, checked.placement.plan.along_an_edge
    if (
        not laps.under.has_strip_without_edge
        or edge.under is not None
        or laps.garment.opens not in (None, "front", "back")
    ):
        return []
    lies = checked.show(laps.under.edge_lies_mm[1])
    garment = checked.placement.plan.garment
    is_told = garment is not None and garment.pieces == "separate"
    text = (
        f"The under lap's finished edge is taken to run beside the closing line, {lies} from it. If this is a wrap, "
        "whose two edges cross, it does not: "
        + for_author(
            "draw both fronts as they lie closed, and write its line as under, below [edge]"
            + ("" if is_told else ', and pieces = "separate" below [garment]')
            + "; or "
        )
        + "mark the under lap through the closed over lap."
    )
    return [Finding("garment", "warn", text, "our own rule", "under")]


def check_ends(checked: Checked) -> list[Finding]:
    """Do the edge, and the levels along it, run the way that the names of its ends say, from where they may begin?"""
    return [*_way_of_ends(checked), *_beginning_of_levels(checked)]


def _beginning_of_levels(checked: Checked) -> list[Finding]:
    """Look at a height told as the beginning of levels that may be meant from the first end, and not in the drawing."""
    placement = checked.placement
    wish, _, _ = placement.plan.along_an_edge
    height_mm, begins_mm = wish.level_zero, height_of_first_end(placement.laps)
    if not isinstance(height_mm, float) or not told_by_level(placement.plan):
        return []
    first = placement.ends[0] if placement.plan.stand is None else "neck seam"
    is_drawn, below_mm = bool(wish.names) or wish.trace is not None, height_mm - begins_mm
    # Heights of most drawings begin at their top; in a DXF and beside a viewBox that begins elsewhere they do not.
    is_off = is_drawn and height_mm < 0.0 < begins_mm
    if below_mm <= _FALLS_MM and not is_off:
        return []
    far, side = checked.show(abs(below_mm)), "below" if below_mm > 0 else "above"
    text = (
        f"Levels are counted from {far} {side} the {first}: {_as_written(checked, height_mm)} is a height of the "
        f"{'drawing' if is_drawn else 'edge'}, counted down from where its figures begin, with minus above that."
    ) + for_author(
        f" If a place {checked.show(abs(height_mm))} above the {first} is meant, write level_zero = "
        f"{_as_written(checked, begins_mm - abs(height_mm))} under [edge]; if not, all is well."
    )
    return [Finding("ends", "warn", text, "our own rule", None, None, abs(below_mm), _FALLS_MM)]


def _way_of_ends(checked: Checked) -> list[Finding]:
    placement = checked.placement
    garment, edge = placement.laps.garment, placement.laps.over.edge
    first, last = garment.ends
    wish, _, _ = placement.plan.along_an_edge
    turn = "exchange from and to" if wish.begins is not None else "write reverse = true"
    if garment.opens in UPRIGHT and runs_up(edge):
        drawn = wish.names or wish.trace is not None
        mend = f"{turn} under [edge]" if drawn else "write the points from the other end"
        text = (
            f"The {first} lies {checked.show(edge.start[1] - edge.end[1])} lower than the {last}: was the edge drawn "
            f"from the {last} to the {first}?"
            + for_author(f" Then {mend}.")
            + " If the drawing lies upside down, all is well."
        )
        return [Finding("ends", "warn", text, "our own rule")]
    if garment.opens in UPRIGHT and runs_across(edge):
        text = (
            f"The edge runs across the drawing, and one from the {first} to the {last} runs down the body. Check that "
            "it is the edge that closes, not the hem or neckline of the same piece"
            + for_author(": write another path or other corners as from and to.", ".")
            + " If the piece lies on its side in the drawing, all is well."
        )
        return [Finding("ends", "warn", text, "our own rule")]
    levels = [mark.level_mm for mark in placement.marks]
    told = any(anchor.level_mm is not None for anchor in placement.plan.anchors) or any(
        zone.level_mm is not None for zone in placement.plan.clear
    )
    if told and levels[-1] < levels[0] - _FALLS_MM:
        text = (
            f"The levels fall along the row, from {checked.show(levels[0])} at mark 1 to {checked.show(levels[-1])} "
            f"at the last: levels are measured straight down. "
            + for_author(
                f"If the edge was drawn from the {last} to the {first}, {turn} under [edge].",
                f"Was the edge drawn from the {last} to the {first}?",
            )
        )
        return [Finding("ends", "warn", text, "our own rule")]
    return []


def check_two_lines(checked: Checked) -> list[Finding]:
    """Are the lines of two pieces that are laid together as long? They are eased as they are sewn, before a wash."""
    return _eased(checked) if checked.placement.laps.under.pins_mm else []


def check_taken_inset(checked: Checked) -> list[Finding]:
    """Do the two halves of one piece close on one line of it, where the plan tells the line of one half alone?"""
    laps, (_, band, _) = checked.placement.laps, checked.placement.plan.along_an_edge
    if not laps.under.pins_mm or laps.garment.pieces != "pair" or not band.assumes_under_inset:
        return []
    over, under = checked.show(band.inset_mm), checked.show(band.under_inset_mm)
    differ = abs(band.inset_mm - band.under_inset_mm)
    if differ < READING_MM:
        return []
    text = (
        f"One piece is cut twice, and its two halves close on different lines of it: {over} from the edge on the over "
        f"lap, {under} on the under lap, where half the band's width was taken because the plan does not say. The laps "
        f"overlap by {checked.show(band.inset_mm + band.under_inset_mm)}. If both close on the same line of the piece, "
        f"such as its centre, write under_inset = {_as_written(checked, band.inset_mm)} under [band]; if "
        f"not, write under_inset = {_as_written(checked, band.under_inset_mm)}."
    )
    return [Finding("two lines", "warn", text, "our own rule", None, None, differ, READING_MM, "most")]


def _as_written(checked: Checked, mm: float) -> str:
    """A length as a plan holds it, exact."""
    told, minus = format_length(abs(mm), checked.placement.plan.units), "-" if mm < 0 else ""
    exact = abs(parse_length(told) - Fraction(abs(mm))) < SAME_MM
    return f'"{minus}{told}"' if exact else f'"{mm:.6g} mm"'


def _eased(checked: Checked) -> list[Finding]:
    laps = checked.placement.laps
    if laps.under.facing is None or laps.garment.is_meeting:
        return [_eased_between_pins(checked)]
    between_marks = _eased_between_marks(checked)
    if not laps.is_apart or not any(one.wants_a_look for one in stretches_of(laps)):
        return [between_marks]
    between_pins = _eased_between_pins(checked)
    return [between_marks] if between_pins.result == "pass" else [between_marks, between_pins]


def _matches_turned_over(laps: Laps) -> bool:
    """Whether an under line would be as much longer than its edge as the over line, on the other hand."""
    over, under = laps.over, laps.under
    longer_mm = over.line.length_mm - over.edge.length_mm
    if abs(under.line.length_mm - under.edge.length_mm - longer_mm) <= 2 * _AS_LONG_MM or under.facing is not None:
        return False
    try:
        other = parallel(under.edge, -offset_sign(under.cloth_on) * under.inset_mm)
    except EdgeError:
        return False
    return abs(other.length_mm - under.edge.length_mm - longer_mm) <= _AS_LONG_MM


def _eased_between_pins(checked: Checked) -> Finding:
    # Of edges that meet the edges themselves, else the closing lines: what lies on or against each other when closed.
    laps, show = checked.placement.laps, checked.show
    stretches = stretches_of(laps)
    lines = "closing lines" if laps.under.facing is None else "finished edges"
    more = ", ".join(
        f"{show(abs(one.longer_mm))} of the {one.longer_lap} lap from {one.begins} to {one.ends}"
        for one in stretches
        if show(abs(one.longer_mm)) != show(0.0) or len(stretches) == 1
    )
    more = f": {more}."
    if laps.is_apart:
        more += " If that is not meant, check which lines they are, where they begin and end, and the scale of both"
        more += "." if len(stretches) == 1 else ", and that each pair of match is sewn level."
        if _matches_turned_over(laps):
            more += " The under lap's edge bends as a piece does that was drawn over again: is it to be turned over?"
    whole = whole_of(stretches)
    wide = [one for one in stretches if one.wants_a_look_beside(whole)]
    if not wide or whole.wants_a_look:
        return _two_lengths(checked, f"The {lines} are", whole, more)
    worst = max(wide, key=lambda one: abs(one.longer_mm) - one.look_mm)
    is_more = any(one.differs_more_than(whole) for one in wide)
    where = "more between the places that are sewn level" if is_more else "within a short stretch of that"
    text = (
        f"The {lines} are {show(whole.over_mm)} on the over lap and {show(whole.under_mm)} on the under lap, and "
        f"differ {where}. There must be eased in{more}"
    )
    return Finding("two lines", "warn", text, "our own rule", None, None, abs(worst.longer_mm), worst.look_mm, "most")


def _eased_between_marks(checked: Checked) -> Finding:
    """Of laps whose halves lie level by their edges, as those with a second column: what lies between their marks."""
    row = checked.placement.marks[0].n
    between = between_marks(checked.placement) or Stretch(f"mark {row}", f"mark {row}", (0.0, 0.0), (0.0, 0.0))
    columns = contrary_columns(checked.placement)
    if columns is not None and all(one.wants_a_look for one in columns):
        return _contrary(checked, columns)
    return _two_lengths(checked, f"From {between.begins} to {between.ends} the closing lines are", between, ".")


def _contrary(checked: Checked, columns: tuple[Stretch, Stretch]) -> Finding:
    told = (
        f"from {one.begins} to {one.ends} the {one.longer_lap} lap is longer by {checked.show(abs(one.longer_mm))}"
        for one in columns
    )
    text = (
        f"The two columns contradict each other: {' and '.join(told)}. Both cannot be eased in at once. Both laps are "
        "cut to this curve alike, and lie too unlike on it where the columns are: begin both where the edge runs "
        "straight, by from and to under [edge] or by first and last under [spacing]; bring the columns nearer to each "
        "other, by apart under [column]; or take pieces that are cut for each lap on its own, with pieces under "
        "[garment]."
    )
    worst = max(columns, key=lambda one: abs(one.longer_mm))
    return Finding("two lines", "fail", text, "our own rule", None, None, abs(worst.longer_mm), worst.look_mm, "most")


def _two_lengths(checked: Checked, said: str, whole: Stretch, more: str) -> Finding:
    differ, limit = abs(whole.longer_mm), whole.look_mm
    text = f"{said} {checked.show(whole.over_mm)} on the over lap and {checked.show(whole.under_mm)} on the under lap"
    if not whole.wants_a_look:
        return Finding("two lines", "pass", f"{text}.", "our own rule", None, None, differ, limit, "most")
    text += f": the {whole.longer_lap} lap is longer by {checked.show(differ)}, which must be eased in{more}"
    return Finding("two lines", "warn", text, "our own rule", None, None, differ, limit, "most")
