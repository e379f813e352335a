"""Both laps again, each whole on paper from a roll."""

from __future__ import annotations

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.write.pdf import write_pages
from closures.placing.run_mark import run_mark


def _files(drawn: Drawn) -> dict[str, bytes]:
    from closures.drawing.marking import Marking, make_booklet

    marking = Marking(
        drawn.placement,
        drawn.findings,
        drawn.catalogue,
        drawn.templates,
        drawn.faces,
        drawn.swap,
        run=run_mark(drawn.placement),
        opening=drawn.opening,
    )
    booklet = make_booklet(marking, drawn.catalogue.paper("roll"), has_more=False)
    return {
        "roll.pdf": write_pages(
            booklet.pages, f"{booklet.title}: marking templates", None, booklet.bookmarks, booklet.run
        )
    }


EXTRA = Extra("roll", "both laps whole, as roll.pdf", 66, *switched("roll"), on_strap=True, files=_files)
