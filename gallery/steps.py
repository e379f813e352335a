"""Make the pictures that stand in the guide beside its steps, each drawn from a starting plan.

Run it from anywhere::

    python gallery/steps.py

Needs the packages of the ``test`` extra, for pictures of PDF pages.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

from make import PAGE_PX, in_greys, one_page

from closures import shipped
from closures.app.job import check_plan, load_plan, place_plan
from closures.app.listing import edges_of, edges_picture, marker_sheet
from closures.app.pages import booklet_of, pages_as_pdf
from closures.drawing.sheets.on_piece import piece_picture
from closures.drawing.write.picture import write_picture
from closures.drawing.write.svg import write_svg

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.drawing.paper.booklet import Booklet


@cache
def placed(name: str) -> Answer:
    """Place a starting plan."""
    path = shipped.starting_plans()[name] / "plan.toml"
    return place_plan(load_plan(path), path)


def on_piece(name: str) -> bytes:
    """Picture a row on its piece."""
    path = shipped.starting_plans()[name] / "plan.toml"
    return _as_png(piece_picture(check_plan(load_plan(path), path).placement))


def cover(name: str) -> bytes:
    """Picture the first page of a plan's PDF."""
    return in_greys(one_page(pages_as_pdf(_booklet(name)), 0))


def templates(name: str) -> bytes:
    """Picture the first page of a plan's PDF that is cut out."""
    booklet = _booklet(name)
    return in_greys(one_page(pages_as_pdf(booklet), booklet.covers))


def sheet(name: str, lap: str) -> bytes:
    """Picture a whole sheet."""
    return _as_png(write_svg(next(one for one in placed(name).sheets if one.lap == lap)))


def lines(name: str, drawing: str) -> bytes:
    """Picture what a plan's drawing holds, with numbers on the lines."""
    data = (shipped.starting_plans()[name] / drawing).read_bytes()
    return in_greys(edges_picture(edges_of(data, drawing)))


def _booklet(name: str) -> Booklet:
    answer = placed(name)
    return booklet_of(answer, answer.catalogue.paper("a4"))


def _as_png(svg: bytes) -> bytes:
    return in_greys(write_picture(svg, PAGE_PX))


STEPS: dict[str, Callable[[], bytes]] = {
    "step-row-on-piece.png": lambda: on_piece("curved-front"),
    "step-lines.png": lambda: lines("curved-front", "front.svg"),
    "step-cover.png": lambda: cover("curved-front"),
    "step-templates.png": lambda: templates("curved-front"),
    "step-points.png": lambda: on_piece("cardigan-band"),
    "step-buttonholes.png": lambda: templates("shirt-front"),
    "step-belt.png": lambda: templates("sash-belt"),
    "step-cuff.png": lambda: sheet("cuff", "over"),
    "step-stripes.png": lambda: templates("striped-shirt"),
    "step-markers.png": lambda: in_greys(one_page(marker_sheet("a4"), 0)),
    "step-knitted.png": lambda: on_piece("cardigan-rows"),
    "step-pattern-page.png": lambda: in_greys(
        one_page((shipped.starting_plans()["from-pdf"] / "pattern.pdf").read_bytes(), 1)
    ),
}
"""File name to what draws it."""


def main(folder: Path = HERE) -> None:
    """Write the pictures of all steps."""
    for name, draw in STEPS.items():
        (folder / name).write_bytes(draw())


if __name__ == "__main__":
    main()
