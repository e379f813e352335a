"""Both laps again, each whole on paper from a roll."""

from __future__ import annotations

from closures.drawing.extras.extra import Drawn, Extra, switched
from closures.drawing.write.pdf import write_pdf


def _files(drawn: Drawn) -> dict[str, bytes]:
    return {"roll.pdf": write_pdf(drawn.templates, drawn.catalogue.paper("roll"))}


EXTRA = Extra("roll", "both laps whole, as roll.pdf", 66, *switched("roll"), on_strap=True, files=_files)
