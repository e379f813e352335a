"""How a stack is made thinner, by what it is made of; all of it is common practice.

Terms: to *grade* is to trim seam allowances to steps; leather is *skived*, pared thinner from its flesh side; a *ply*
is one thickness of cloth.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.stack import worked_cloths

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.checks.checked import Checked
    from closures.placing.stack import Layer, Stack

# Of more plies than a face and what backs it, some can be seam allowances: common practice.
_TWO_FACES = 2
_OPENED = {
    "sewn band": "For that, open the band on its inner side first.",
    "finished": "For that, open the finished garment on its inside first.",
}


def how_to_thin(checked: Checked, stack: Stack) -> str:
    """Say what makes a stack thinner, in sentences that fit what it is made of.

    Args:
        checked: for the state of the garment, and what is cut in one piece.
        stack: what is clamped.

    Returns:
        What can be done with these layers; empty where nothing can.
    """
    plan = checked.placement.plan
    is_made = plan.state in _OPENED
    if plan.gauge is not None:
        return "" if is_made else "Knit the band finer, or back it with a thinner ribbon."
    told = list(_by_making(checked, stack, is_made=is_made))
    if any("fusible" in layer.structures for layer in stack.layers) and not is_made:
        told.append("A lighter interfacing takes less.")
    return " ".join([*told, _OPENED[plan.state]] if told and plan.state in _OPENED else told)


def _by_making(checked: Checked, stack: Stack, *, is_made: bool) -> Sequence[str]:
    cloths = [layer for layer in stack.layers if "fusible" not in layer.structures]
    made = worked_cloths(cloths, checked.placement.plan, checked.fastener.kind)
    if not made:
        return (
            "The plan tells how thick the stack is and not what it is made of: seam allowances in it are trimmed and "
            "graded, leather is skived from its flesh side, wadding is taken out under the part.",
        )
    told = []
    if "padded" in made:
        told.append(
            "Take the wadding out where the part will sit, to some way past its rim, and sew the layers together "
            "round that place."
        )
    is_leather = "leather" in made
    leathers = [layer for layer in cloths if is_leather and layer.structures <= {"leather"}]
    if leathers:
        what = "Skive the leather" if _plies(leathers) == 1 else "Skive the plies of leather, the hidden one first,"
        told.append(f"{what} from the flesh side where the part will sit.")
    others = [layer for layer in cloths if layer not in leathers and "padded" not in layer.structures]
    if is_leather or "padded" in made:
        told.extend(["End the lining short of the part."] if is_leather and others else [])
    elif _plies(others) > _TWO_FACES:
        inner = "lining" if checked.placement.strap is not None else "facing"
        how = "" if is_made else f", or make the {inner} one layer with a backing behind it"
        told.append(f"Trim and grade the allowances there{how}.")
    elif _plies(others) == _TWO_FACES and not is_made:
        told.append(
            "The plan tells two layers and no allowance between them: let the one that does not show be of a thinner, "
            "firm cloth."
        )
    return told


def _plies(layers: Sequence[Layer]) -> int:
    return sum(layer.plies for layer in layers)
