"""What the page says of gape and hold, and how it asks for what was measured, one by one with a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from closures.app.pulling import beside_of, gape_of, helps_of
from closures.app.web.fields import label_of
from closures.jobs.gape.asking import BY_COMMAND, measures_for
from closures.jobs.gape.known import coupon_pitch_mm
from closures.report.gape import gap_lines, head_lines, helping_lines

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.placing.placement import Placement

_PICTURE = "measure-"


def measures_told(placement: Placement) -> list[dict[str, Any]]:
    """Each thing to measure: its title, its steps, its fields and its picture's file."""
    # A row of one closure has no gap, and no coupon is drawn until it is told how far apart its two closures are.
    apart = (
        f"A row of one closure has no gap. Tell “{label_of('pull.coupon_pitch')}” first, as wide as the coupon's two "
        "closures are to stand: there is no coupon to print without it."
    )
    first = {"coupon": () if coupon_pitch_mm(placement) else (apart,)}
    coupon = f"“{label_of('sheets.pull_coupon')}”, under “{label_of('sheets')}”"
    return [
        {
            "title": one.title,
            "how": [*first.get(one.name, ()), *(step.replace(BY_COMMAND, coupon) for step in one.how)],
            "fields": [f"pull.{key}" for key in one.keys],
            "picture": f"{_PICTURE}{one.name}.svg",
        }
        for one in measures_for(placement)
    ]


def gape_told(answer: Answer) -> dict[str, Any] | None:
    """The answer for the list of findings; None where the plan tells no pull."""
    gape = gape_of(answer)
    if gape is None:
        return None
    return {
        "lines": head_lines(gape, answer.placement),
        "gaps": gap_lines(gape),
        "helps": helping_lines(helps_of(answer, gape)),
        "has_rows": answer.edges is not None,
    }


def pulled_picture(name: str, answer: Answer) -> bytes | None:
    """One of the pictures of this page by its file name; None where there is none."""
    if name == "rows.svg":
        rows = beside_of(answer)
        if rows is None:
            return None
        from closures.drawing.extras.rows_picture import draw_two_rows

        return draw_two_rows(rows)
    if name.startswith(_PICTURE):
        from closures.drawing.extras.measuring import measure_picture

        known = {f"{_PICTURE}{one.name}.svg": one for one in measures_for(answer.placement)}
        return measure_picture(known[name]) if name in known else None
    return None
