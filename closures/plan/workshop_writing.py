"""What a plan says of the work at the table, written as TOML."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from closures.plan.edge_writing import text_as_toml
from closures.plan.size_writing import fit_rows

if TYPE_CHECKING:
    from closures.plan.plan import Plan

Row = tuple[str, str | None]
Quoted = Callable[[float], str]
"""Writes a length in mm as it stands in a plan, with its quotes."""


def workshop_parts(plan: Plan, quoted: Quoted) -> list[tuple[str, list[Row]]]:
    """Write the sections that are there, each with its heading."""

    def length(mm: float | None) -> str | None:
        return None if mm is None else quoted(mm)

    parts: list[tuple[str, list[Row]]] = []
    if (sheets := plan.sheets) is not None:
        parts.append(
            (
                "[sheets]",
                [
                    *(
                        (name, "true" if getattr(sheets, name) else None)
                        for name in ("coupon", "order", "strip", "handover", "stencil", "roll", "projector")
                    ),
                    ("backing", text_as_toml(sheets.backing)),
                    ("backing_cloth", text_as_toml(sheets.backing_cloth)),
                    ("backing_width", length(sheets.backing_width_mm)),
                    ("closing", text_as_toml(sheets.closing)),
                    ("stencil_hole", length(sheets.stencil_hole_mm)),
                ],
            )
        )
    if (bands := plan.bands) is not None:
        parts.append(
            (
                "[bands]",
                [
                    ("allowance", quoted(bands.allowance_mm)),
                    ("made", None if bands.made == "two pieces" else text_as_toml(bands.made)),
                    ("turn", quoted(bands.turn_mm) if bands.turn_mm or bands.turn_cloth else None),
                    ("turn_cloth", text_as_toml(bands.turn_cloth)),
                    ("interfacing", None if bands.interfacing == 1 else str(bands.interfacing)),
                ],
            )
        )
    if (shrinkage := plan.shrinkage) is not None:
        parts.append(
            (
                "[shrinkage]",
                [
                    ("along", _percent(shrinkage.along)),
                    ("across", _percent(shrinkage.across) if shrinkage.across else None),
                    ("measured", text_as_toml(shrinkage.measured)),
                ],
            )
        )
    if (stripe := plan.stripe) is not None:
        parts.append(
            (
                "[stripe]",
                [
                    ("every", quoted(stripe.every_mm)),
                    ("at", quoted(stripe.at_mm)),
                    ("on", None if stripe.on == "repeat" else text_as_toml(stripe.on)),
                ],
            )
        )
    if (wearer := plan.wearer) is not None:
        names = ", ".join(str(text_as_toml(name)) for name in wearer.profiles)
        asked = None if wearer.implants == "not asked" else text_as_toml(wearer.implants)
        fit = [] if wearer.fit is None else fit_rows(wearer.fit, quoted)
        parts.append(("[wearer]", [("profiles", f"[{names}]" if names else None), ("implants", asked), *fit]))
    return parts


def _percent(share: float) -> str:
    # A share came from at most four decimals of a percent, so six decimals give it back.
    return f'"{(Decimal(repr(share)) * 100).quantize(Decimal("0.0001")).normalize():f} %"'
