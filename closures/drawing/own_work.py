"""What one job asks for that no strip shows: the steps of a swap, and the list to knit a band by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.checks.page_words import findings_on_page
from closures.drawing.paper.words import Section
from closures.jobs.knitting.instructions import knit
from closures.jobs.knitting.words import holes_in_words, knitting_line, list_to_knit_by
from closures.placing.cords import cords_of_a_child, is_barred

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Finding
    from closures.drawing.marking import Marking
    from closures.drawing.sheets.subject import Subject
    from closures.placing.placement import Placement


def work_sections(marking: Marking) -> list[Section]:
    """What is done before and beside the marking, for a cover: who prints it alone has no other page of it."""
    sections = cord_sections(marking.placement)
    if marking.swap is not None:
        sections.append(Section("What becomes of the old closures", marking.swap.offer.changes, tight=True))
    sheets = marking.placement.plan.sheets
    if sheets is None or not sheets.order:
        sections += knit_sections(marking.placement, marking.catalogue)
    return sections


def check_sections(placement: Placement, findings: Sequence[Finding]) -> list[Section]:
    """What failed and what is to be looked at, in words of whoever sews; nothing where every check passes."""
    if placement.is_withheld:
        # What is to be looked at once it is set waits till the plan was changed.
        findings = [one for one in findings if one.result == "fail"]
    found = findings_on_page(findings, placement.side_word, placement.plan.units)
    if not found:
        return []
    return [Section("What the checks found", (*found, "The report tells each in full, and what mends it."), tight=True)]


def cord_sections(placement: Placement) -> list[Section]:
    """What there is to look at before a child is laced into it; nothing where none is, or the check fails of it."""
    cords = "" if is_barred(placement) else cords_of_a_child(placement)
    return [Section("Look: a lace on a child", (cords,))] if cords else []


def knit_sections(placement: Placement, catalogue: Catalogue) -> list[Section]:
    """The list to knit a band by, which the order of work sends to; nothing where none is knitted."""
    knitted = knit(placement, catalogue)
    if knitted is None:
        return []
    also = tuple(filter(None, holes_in_words(knitted, placement.plan.units)))
    return [
        Section("Knit it", (knitting_line(knitted),)),
        Section("Knit it, row by row", tuple(list_to_knit_by(knitted, placement.plan.units)), 1, tight=True),
        *([Section("", also)] if also else []),
    ]


def are_knitted(subjects: Sequence[Subject]) -> list[Subject]:
    """The laps whose buttonholes or marks are knitted by the list, and not marked by their strips."""
    return [one for one in subjects if one.placement.plan.gauge is not None and _is_knitted(one)]


def _is_knitted(subject: Subject) -> bool:
    lap = subject.placement.fastener.mark.buttonhole_lap
    return lap is None or subject.name == lap
