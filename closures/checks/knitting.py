"""Is the gauge one that somebody counted? Rows and stitches of one swatch stand in a usual proportion."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.finding import Finding
from closures.said import for_author

if TYPE_CHECKING:
    from closures.checks.checked import Checked


def check_gauge(checked: Checked) -> list[Finding]:
    """Are there as many rows to a stitch as knitting usually has? If not, they may be exchanged, or of two lengths."""
    gauge = checked.placement.plan.gauge
    if gauge is None:
        return []
    least, most = checked.rule("rows to a stitch, least"), checked.rule("rows to a stitch, most")
    found = gauge.rows / gauge.stitches
    if least.value.value <= found <= most.value.value:
        return []
    few = found < least.value.value
    over = checked.show(gauge.over_mm)
    usual = (
        "a swatch usually has as many rows as stitches or more"
        if few
        else f"a swatch seldom has more than {most.value.value:g} rows to a stitch"
    )
    swapped = f"stitches = {gauge.rows:g} and rows = {gauge.stitches:g}"
    text = (
        f"{gauge.rows:g} rows beside {gauge.stitches:g} stitches over {over}: {usual}. Count both anew over one length "
        "of the washed swatch, rows upwards and stitches across"
        + for_author(f"; were they exchanged, write {swapped} under [gauge].", ".")
        + " If they were counted so, all is well: every place of the list hangs on them."
    )
    return [
        Finding("gauge", "warn", text, checked.source("rows to a stitch, least" if few else "rows to a stitch, most"))
    ]
