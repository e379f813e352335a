"""What is said about the work, as sections of a page and as figures for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from closures.checks.mended_first import IN_REPORT
from closures.report.telling import plain

if TYPE_CHECKING:
    from closures.advice.advice import Advice


def advice_sections(advice: Advice) -> tuple[str, ...]:
    """Write the sections of the page: which half goes where, how to mark, the order of work, whom and what to heed."""
    order = advice.order
    rows = ["## Order of work", ""]
    if "fails" in advice.facts.words and "withheld" not in advice.facts.words:
        rows += [f"**{IN_REPORT}**", ""]
    for step in order.steps:
        if step.n == order.stop_before:
            rows += ["", f"**{order.stop}**", ""]
        source = f" *({plain(step.source)})*" if step.source else ""
        rows.append(f"{step.n}. {plain(step.text)} Right when: {plain(step.done)}{source}")
    rows += ["", f"**To take one off again:** {order.removal}"] if order.removal else []
    return (
        f"## Which half goes where\n\n{advice.halves}" if advice.halves else "",
        listed("How to mark", advice.marking),
        "\n".join(rows),
        *(listed(heading, lines) for heading, lines in advice.notes),
        listed("Cautions", advice.cautions),
    )


def listed(heading: str, lines: Sequence[str]) -> str:
    """Set sentences as a section with a list; empty where there are none."""
    return "\n".join((f"## {heading}", "", *(f"- {line}" for line in lines))) if lines else ""


def advice_figures(advice: Advice) -> dict[str, Any]:
    """Put the order of work, the marking and the cautions into plain values."""
    order = advice.order
    return {
        "work": {
            "steps": [{"n": step.n, "text": step.text, "done": step.done} for step in order.steps],
            "stop_before": order.stop_before,
            "stop": order.stop,
            "marking": list(advice.marking),
            "removal": order.removal,
            "cautions": list(advice.cautions),
            "notes": [f"{heading}: {line}" for heading, lines in advice.notes for line in lines],
        }
    }
