"""What an answer says, in the words of whoever typed the job."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.placing.assumed import reworded

if TYPE_CHECKING:
    from closures.app.job import Answer


def as_typed(answer: Answer) -> Answer:
    """Say what was found and assumed by options where there is no plan file, else as it is."""
    placement = answer.placement
    if placement.plan.where:
        return answer
    words = placement.plan.in_words
    notes, assumed = (tuple(reworded(line, words) for line in lines) for lines in (placement.notes, placement.assumed))
    findings = tuple(replace(finding, text=reworded(finding.text, words)) for finding in answer.findings)
    return replace(answer, placement=replace(placement, notes=notes, assumed=assumed), findings=findings)
