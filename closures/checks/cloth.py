"""Rules on what a fastener clamps: how thick, how even, and whether it holds.

Terms: the *grip* is the range of thickness, on one lap, that a fastener is made for; a
*backing* is interfacing or a second layer that the fastener bites into.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.catalogue.values import PROVENANCE_KINDS
from closures.checks.bands import unlike_bands, untold_interfacing
from closures.checks.bearing import cut_in_openwork
from closures.checks.checked import Checked, first_least
from closures.checks.finding import Finding
from closures.checks.substitutes import for_too_thick, for_too_thin, holds, lightest_backing
from closures.lengths import SAME_MM, format_mm
from closures.placing.interfaced import lays_interfacing
from closures.placing.layers_between import is_one_alone, is_only_measured
from closures.placing.role import is_for_show
from closures.placing.single_layer import is_interfacing
from closures.said import Said, for_author, to_both

# Half of the last figure that is told of a thickness.
_SAME_FIGURE_MM = 0.005
_MOST_MM = 15.0
"""Squeezed, more than an edge of any garment at its thickest, such as padded coating turned twice: our own rule."""
_PULLED = "hook"
"""The setting of what holds against a pull, and hangs on its stitches: common practice."""
_SEWN_ON = ("sew-on", "covered snap", "hook", "sewn button")
"""Settings whose parts are sewn on within the band, and not through to the face that shows."""

if TYPE_CHECKING:
    from closures.catalogue.values import Figure, LapName
    from closures.placing.lap import Lap
    from closures.placing.placement import Mark
    from closures.placing.stack import Layer, Stack


def check_layer_thickness(checked: Checked) -> list[Finding]:
    """Does the fastener reach through the stack, and does the stack fill it, on each lap and at each mark?"""
    findings = [*_absurd(checked), *unlike_bands(checked), *_clamps_nothing(checked)]
    grip = checked.fastener.grip
    if grip is None:
        text = (
            f"What the {checked.fastener.kind} of this size clamps is not known here, so the layers were held against "
            "nothing. Read it off the pack"
            + for_author(', and write it as grip, such as grip = ["0.5 mm", "1.5 mm"].', ".")
        )
        unknown = [Finding("layer thickness", "warn", text, "our own rule", lap) for lap in checked.fastener.clamps]
        return [*findings, *unknown, *untold_interfacing(checked)]
    source = max((end.provenance for end in grip), key=lambda one: PROVENANCE_KINDS.index(one.kind)).text
    for lap, marks in checked.on_laps():
        if lap.name not in checked.fastener.clamps:
            continue
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        more = {mark.n for mark, _ in marks if (mark.n, lap.name) in checked.placement.uncounted}
        if not stacks:
            text = (
                f"The plan tells no layers of the {lap.name} lap, so it is not known whether the fastener suits "
                f"them. It clamps {_mm(grip[0].value)} to {_mm(grip[1].value)}: measure the "
                "layers pinched together" + for_author(", and add a [[layer]].", ".")
            )
            text += for_author(f" What the patches are of is not told either: {_PATCH_CLOTH}.") if more else ""
            findings.append(Finding("layer thickness", "warn", text, source, lap.name))
            continue
        judged = [(_room_mm(of, grip), _judge_stack(checked, lap.name, mark, of, source)) for mark, of in stacks]
        # What lies under a patch of which nothing is told cannot be judged too thin: the patch comes to it.
        short = [
            finding
            for _, finding in judged
            if finding.result != "pass" and not (finding.mark in more and finding.limit_mm == grip[0].value)
        ]
        fits = [entry for entry in judged if entry[1].mark not in more]
        # What is clamped under a patch of which nothing is told is no stack that fits.
        passed = [first_least(fits, lambda entry: entry[0])[1]] if fits and not short else []
        bare = [(mark, of) for mark, of in stacks if mark.n not in more]
        findings += _with_backing(checked, lap.name, bare, short or passed)
        findings += [_uncounted(mark, of, grip, lap.name) for mark, of in stacks if mark.n in more]
    return [*findings, *untold_interfacing(checked)]


def _clamps_nothing(checked: Checked) -> list[Finding]:
    """Ask whether the kind is the one meant where a grip is told of what is sewn on."""
    if checked.placement.plan.closure.grip_mm is None or checked.fastener.clamps:
        return []
    text = (
        for_author("grip", "What the closures clamp")
        + f" is told, and a {checked.fastener.kind} clamps no cloth. "
        + for_author(
            "See whether kind is the one meant; if so, leave grip out.", "See whether the kind is the one meant."
        )
    )
    return [Finding("layer thickness", "warn", text, "our own rule")]


def _absurd(checked: Checked) -> list[Finding]:
    """Ask of layers that no garment has at its edge whether they are told right, whatever closes it."""
    findings = []
    for lap, marks in checked.on_laps():
        if checked.fastener.grip is not None and lap.name in checked.fastener.clamps:
            # It is held against what the fastener clamps.
            continue
        thick = [(mark, on.stack) for mark, on in marks if on.stack is not None and on.stack.clamped_mm[0] > _MOST_MM]
        if not thick:
            continue
        mark, stack = first_least(thick, lambda entry: -entry[1].clamped_mm[0])
        least, most = stack.clamped_mm
        text = (
            f"The layers told are {_mm(least)} to {_mm(most)} squeezed, and no edge of a garment is thicker than about "
            f"{_mm(_MOST_MM)}: look at count and thickness of each [[layer]], and whether each lies on this lap."
        )
        findings.append(
            Finding("layer thickness", "warn", text, "our own rule", lap.name, mark.n, least, _MOST_MM, "most")
        )
    return findings


_ON_ONE = (
    "is held by one layer, the one that its stitches take up, which bears no more than a light pull; the other lies "
    "against it unsewn."
)
_PATCH_CLOTH = "write patch_cloth under [swap]"


def _uncounted(mark: Mark, stack: Stack, grip: tuple[Figure, Figure], lap: LapName) -> Finding:
    """Ask of a patch what it is of: it is clamped besides what is told, and every figure is one without it."""
    least, most = stack.clamped_mm
    squeezed = _mm(most) if most - least <= _SAME_FIGURE_MM else f"{_mm(least)} to {_mm(most)}"
    low, high = grip[0].value, grip[1].value
    room = f"which leaves {_mm(high - most)} for it" if high - most > SAME_MM else "which leaves no room for it"
    if low - least > SAME_MM and high - most > SAME_MM:
        room = f"which wants {_mm(low - least)} of it, squeezed, and leaves {_mm(high - most)} at most"
    text = (
        f"A patch is clamped here besides, and the plan does not tell what it is of, so it is in no figure: the stack "
        f"without it is {squeezed} squeezed, and the fastener clamps {_mm(low)} to {_mm(high)}, {room}."
    ) + for_author(f" {_PATCH_CLOTH[0].upper()}{_PATCH_CLOTH[1:]}, and look again.")
    # No limit is missed: how thick the patch is, is not known.
    return Finding("layer thickness", "warn", text, "our own rule", lap, mark.n)


def _with_backing(
    checked: Checked, lap: str, stacks: list[tuple[Mark, Stack]], findings: list[Finding]
) -> list[Finding]:
    """Say of a lap whose closures want a backing that is no layer of the plan that it was reckoned without it."""
    least, knitted = round(checked.limit_mm("layers least")), checked.placement.plan.gauge is not None
    lacking = [stack for _, stack in stacks if _lacking(stack, least, is_knitted=knitted)]
    if not lacking:
        return findings
    told = []
    for finding in findings:
        text = finding.text + (
            " That is without the backing that is asked for"
            + for_author(": add it as a [[layer]], and look again.", ".")
        )
        result = finding.result
        low, high, name = lightest_backing(checked.catalogue)
        least_mm, most_mm = lacking[0].clamped_mm
        if result == "pass" and not holds(checked.fastener, (least_mm + low, most_mm + high), checked.catalogue):
            result = "warn"
            text += f" With {name}, the lightest here, it may come out too thick: {_mm(least_mm + low)} to "
            text += f"{_mm(most_mm + high)} squeezed."
        told.append(replace(finding, text=text, result=result))
    return told


def _room_mm(stack: Stack, grip: tuple[Figure, Figure]) -> float:
    """How far a stack lies within a grip, at its nearer end."""
    least, most = stack.clamped_mm
    return min(least - grip[0].value, grip[1].value - most)


def _judge_stack(checked: Checked, lap: str, mark: Mark, stack: Stack, source: str) -> Finding:
    """Hold the range of a clamped stack against the grip: well within it, only touching it, or out of it.

    What is told as found of one that misses the grip is the end of its range that lies furthest out.
    """
    grip = checked.fastener.grip
    low, high = (0.0, 0.0) if grip is None else (grip[0].value, grip[1].value)
    least, most = stack.clamped_mm
    lies = f"{_stack_in_words(stack)} and the fastener clamps {_mm(low)} to {_mm(high)}"
    rule = "layer thickness"
    # What comes to 0.00 mm is no miss that anybody could measure.
    if least > high + _SAME_FIGURE_MM:
        text = f"{lies}: too short by {_mm(least - high)}{_at_least(stack)}. {for_too_thick(checked, stack)}"
        return Finding(rule, "fail", text, source, lap, mark.n, most, high, "most")
    if most < low - _SAME_FIGURE_MM:
        text = (
            f"{lies}: too long by {_mm(low - most)}{_at_least(stack)}, so it would sit loose. "
            f"{for_too_thin(checked, stack, (low, high))}"
        )
        return Finding(rule, "fail", text, source, lap, mark.n, least, low, "least")
    if holds(checked.fastener, stack.clamped_mm, checked.catalogue):
        return Finding(rule, "pass", f"{lies}: it fits.{_taken(stack)}", source, lap, mark.n, (least + most) / 2, high)
    is_thick = most - high > low - least
    what = for_too_thick(checked, stack) if is_thick else for_too_thin(checked, stack, (low, high))
    out = f"it may well come out too {'thick' if is_thick else 'thin'}. Set one on a trial piece"
    text = Said(
        f"{lies}: {out}, see whether it rattles, sits right or bulges, and tell it (closures trial), or squeeze your "
        f"own layers and measure them. Where it is so: {what}",
        f"Squeezed, the layers are {_mm(least)} to {_mm(most)}, and the fastener clamps {_mm(low)} to {_mm(high)}: "
        f"{out}, or squeeze your own layers and measure them.",
    )
    if is_thick:
        return Finding(rule, "warn", text, source, lap, mark.n, most, high, "most")
    return Finding(rule, "warn", text, source, lap, mark.n, least, low, "least")


def _stack_in_words(stack: Stack) -> str:
    least, most = stack.clamped_mm
    beyond = ", the layer beyond its washer left out," if stack.beyond else ""
    if most - least <= _SAME_FIGURE_MM:
        return f"The stack{beyond} is {_mm(most)}"
    free = f"{_mm(stack.low_mm)} to {_mm(stack.high_mm)}"
    if stack.high_mm - stack.low_mm <= _SAME_FIGURE_MM:
        free = _mm(stack.high_mm)
    return f"Lying free the stack{beyond} is {free}, squeezed {_mm(least)} to {_mm(most)},"


def _at_least(stack: Stack) -> str:
    return "" if stack.clamped_mm[1] - stack.clamped_mm[0] <= _SAME_FIGURE_MM else " at the least"


def _taken(stack: Stack) -> str:
    if not any(layer.is_taken_as_clamped for layer in stack.layers):
        return ""
    return " The thickness you measured is taken as squeezed; if it was not, write clamped = false."


def _mm(mm: float) -> str:
    # Thicknesses are told in hundredths of a millimetre in either system: a sixteenth of an
    # inch is more than most stacks.
    return format_mm(mm, 2)


def check_backing(checked: Checked) -> list[Finding]:
    """Has every closure two layers or an interfacing to hold in, and a knit something that does not stretch?"""
    source = checked.source("layers least")
    least = round(checked.limit_mm("layers least"))
    findings = []
    for lap, marks in checked.on_laps():
        if checked.placement.plan.gauge is not None and lap.name == checked.fastener.mark.buttonhole_lap:
            # A buttonhole that is knitted needs nothing to be sewn or set in.
            continue
        told = []
        stacks = [(mark, on_lap.stack) for mark, on_lap in marks if on_lap.stack is not None]
        if stacks and checked.placement.plan.tape is not None:
            text = "The closures hold in their tape, which does not stretch and is sewn on along its whole length."
            findings.append(Finding("backing", "pass", text, "common practice", lap.name))
            continue
        for mark, stack in stacks:
            reason = _lacking(stack, least, is_knitted=checked.placement.plan.gauge is not None)
            if (mark.n, lap.name) in checked.placement.uncounted and is_one_alone(stack.layers, least):
                # The patch that is told lies there too, whatever it is of.
                reason = ""
            if _is_backing_alone(checked) and is_one_alone(stack.layers, least) and "knit" not in stack.structures:
                # The garment's own cloth, which is not told, lies on the backing that is.
                reason = ""
            if lays_interfacing(checked.placement.plan, lap):
                # It lies behind the whole band, though no layer tells it, which is asked for elsewhere.
                reason = ""
            alone = "" if reason else _sewn_to_one(checked, lap, mark, stack)
            cut = cut_in_openwork(checked, lap.name, stack)
            if cut or reason or alone:
                text = to_both("") + (cut or f"{reason or alone} " + _to_back(checked, stack))
                why = "common practice" if cut or alone or "knit alone" in reason else source
                told.append(Finding("backing", "warn", text, why, lap.name, mark.n))
        if stacks and not told:
            text, why = "Every closure has two layers or an interfacing to hold in.", source
            if all(_plies(stack) < least and "leather" in stack.structures for _, stack in stacks):
                text, why = "Leather bears a closure in one layer.", "common practice"
            elif all(_hangs_on_one(checked, lap, mark, stack) for mark, stack in stacks):
                text, why = f"What is sewn on here {_ON_ONE}", "common practice"
            if _is_backing_alone(checked):
                text = "The backing that is told lies behind every closure; the plan does not tell the cloth itself."
            if any(is_only_measured(stack.layers) for _, stack in stacks):
                text = (
                    "The plan tells a thickness and not how many layers it is: look that there are two, or an "
                    "interfacing."
                )
            told = [Finding("backing", "pass", text, why, lap.name)]
        findings += told
    return findings


def _is_backing_alone(checked: Checked) -> bool:
    """Whether the backing that is cut is the only layer that the plan tells."""
    one = checked.placement
    plan = one.plan
    has_backing = plan.sheets is not None and plan.sheets.backing_cloth is not None
    is_cut = any(one.is_backed(mark.n, "over") or one.is_backed(mark.n, "under") for mark in one.marks)
    return has_backing and not plan.layers and is_cut


def _lacking(stack: Stack, least: int, is_knitted: bool) -> str:
    if is_only_measured(stack.layers):
        return "The band is knitted, and the plan tells no layer that does not stretch." if is_knitted else ""
    if not stack.layers:
        return "No layer that is told lies under it: look at how far each of them reaches."
    # An interfacing that is a knit itself has a way that does not stretch, and is fused with that way along the edge.
    firm = [layer for layer in stack.layers if "knit" not in layer.structures or "fusible" in layer.structures]
    if not firm:
        return "The fastener holds in knit alone, which stretches out from under it."
    if is_one_alone(stack.layers, least):
        return "The fastener holds in one layer alone and may tear out."
    return ""


def _sewn_to_one(checked: Checked, lap: Lap, mark: Mark, stack: Stack) -> str:
    """Say where a part that is pulled, or one on a child's garment, hangs on the one layer that it is sewn to."""
    if not _hangs_on_one(checked, lap, mark, stack):
        return ""
    is_within = _lies_inside(checked, lap.name)
    is_knit = "knit" in _sewn_to(stack, is_within)
    if is_within and (checked.fastener.setting == _PULLED or checked.placement.plan.is_for_child or is_knit):
        text = "It is sewn to the inner layers alone, so that no stitch shows, and that is a single one here"
        text += ", a knit, which stretches out from under it" * is_knit
        if any(is_interfacing(layer) for layer in stack.layers):
            text += ": the one interfacing lies behind the side that will lie outside"
            text += for_author(" (count = 2 lays one behind either side)", "")
        return f"{text}."
    if checked.fastener.setting == _PULLED:
        return "It is sewn to the layer it lies on alone, so that no stitch goes through to the inside."
    if is_knit:
        return "It is sewn to the layer it lies on alone, a knit, which stretches out from under it."
    return ""


def _sewn_to(stack: Stack, is_within: bool) -> frozenset[str]:
    """How the cloth is made that takes up the stitches of a part: the innermost on an inside, else the outermost."""
    cloths = [layer for layer in stack.layers if not is_interfacing(layer)]
    return cloths[-1 if is_within else 0].structures if cloths else frozenset()


def _lies_inside(checked: Checked, lap: LapName) -> bool:
    plan = checked.placement.plan
    return lap == "over" or (plan.garment is not None and plan.garment.is_meeting)


def _hangs_on_one(checked: Checked, lap: Lap, mark: Mark, stack: Stack) -> bool:
    """Whether what is sewn on is held by one layer of the cloth that is told, and by nothing that stiffens it."""
    if lays_interfacing(checked.placement.plan, lap) or checked.placement.is_backed(mark.n, lap.name):
        return False
    if checked.fastener.setting not in _SEWN_ON:
        return False
    if checked.fastener.setting == "sewn button" and not _lies_inside(checked, lap.name):
        # It is sewn to the outside through all layers.
        return False
    if not checked.fastener.parts_on(lap.name) or is_for_show(checked.placement):
        # A buttonhole holds nothing, and a button for show is sewn through all layers.
        return False
    if "leather" in _sewn_to(stack, _lies_inside(checked, lap.name)) or is_only_measured(stack.layers):
        return False
    behind = [layer for layer in stack.layers if is_interfacing(layer)]
    if _plies(stack) - sum(layer.plies for layer in behind) > round(checked.limit_mm("layers least")):
        return False
    return not behind or _lies_on_the_other(checked, lap, behind)


def _lies_on_the_other(checked: Checked, lap: Lap, behind: list[Layer]) -> bool:
    """Whether the one interfacing of a strap lies behind the piece outside, and the parts are sewn to its facing."""
    strap = checked.placement.strap
    if strap is None or strap.is_made or strap.made == "one layer" or strap.interfacings != 1:
        return False
    return _lies_inside(checked, lap.name) and sum(layer.plies for layer in behind) == 1


def _to_back(checked: Checked, stack: Stack) -> str:
    """What to back it with: where the backing that is told stretches itself, another is asked for in its place."""
    sheets = checked.placement.plan.sheets
    told = None if sheets is None else sheets.backing_cloth
    if told is not None and any(layer.name == told and "knit" in layer.structures for layer in stack.layers):
        return (
            f"The backing that is told, {told}, is a knit too and stretches with it: take one that does not, such as "
            "cotton lawn" + for_author(", as backing_cloth under [sheets].", ".")
        )
    return "Back it with interfacing, a tape or a patch that does not stretch."


def _plies(stack: Stack) -> int:
    return sum(layer.plies for layer in stack.layers)
