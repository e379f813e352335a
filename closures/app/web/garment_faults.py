"""What is wrong with a garment, as its page tells it: openings by their names, fields as their own page calls them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import PurePath
from typing import TYPE_CHECKING

from closures.app.web.own_names import told_apart
from closures.app.web.table import spoken
from closures.app.web.wording import of_a_plan, sentences_of
from closures.errors import Where
from closures.series import in_a_row

if TYPE_CHECKING:
    from closures.app.web.garments import GarmentSet, Rack
    from closures.errors import ClosureError, Fault


def told_of_openings(rack: Rack, hung: GarmentSet, error: ClosureError) -> tuple[str, ...]:
    """Tell every fault; one that two openings of a plan share is told once, of both."""
    openings: dict[Fault, list[str]] = {}
    for fault in error.faults:
        openings.setdefault(replace(fault, opening=""), []).append(fault.opening)
    own = (*rack.names(hung), *(one.name for one in hung.garment.openings))
    return tuple(_told(rack, hung, fault, tuple(filter(None, of)), own) for fault, of in openings.items())


def _told(rack: Rack, hung: GarmentSet, fault: Fault, of: tuple[str, ...], own: tuple[str, ...]) -> str:
    if not of:
        said = of_a_plan(str(fault), own=own)
        return _by_names(hung, said if fault.where else said[:1].upper() + said[1:], own)
    whose, opening = in_a_row(of), next(one for one in hung.garment.openings if one.name == of[0])
    if isinstance(fault.where, Where):
        said = spoken(fault, rack.bench_of(hung, opening).step.text, own, None)
        return f"{whose}, {_by_names(hung, said, own)}"
    files = (hung.title, opening.plan, PurePath(opening.plan).name)
    is_named = fault.where.startswith(files)
    said = of_a_plan(sentences_of(fault.what, fault.mend) if is_named or not fault.where else str(fault), own=own)
    return f"{whose}: {said}" if is_named or not fault.where else f"{whose}, {said}"


def _by_names(hung: GarmentSet, text: str, own: tuple[str, ...]) -> str:
    """Name the openings in place of the files of their plans."""

    def named(text: str) -> str:
        for plan in sorted({one.plan for one in hung.garment.openings}, key=len, reverse=True):
            whose = in_a_row([one.name for one in hung.garment.openings if one.plan == plan])
            text = re.sub(rf"(?<![\w./-]){re.escape(plan)}(?![\w/-])", whose.replace("\\", r"\\"), text)
        return text

    return told_apart(text, own, named)
