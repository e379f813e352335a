"""The program asked as a user asks it: the words of a plan in, the report or the refusal out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import closures
from closures.report.figures import report_figures


def report_of(plan: str, files: Mapping[str, bytes] | None = None) -> dict[str, Any]:
    """What a plan comes to, as the report tells it."""
    answer = closures.check_plan(closures.read_plan(plan.encode(), "test.toml"), files or {})
    return report_figures(answer.placement, answer.findings, ())


def refusal_of(plan: str, files: Mapping[str, bytes] | None = None) -> str:
    """The message with which a plan is refused; empty where it is not."""
    try:
        report_of(plan, files)
    except closures.ClosureError as error:
        return str(error)
    return ""


def checks_of(report: Mapping[str, Any], rule: str, lap: str | None = None) -> list[dict[str, Any]]:
    """The checks of one rule, of one lap where one is named."""
    return [one for one in report["checks"] if one["rule"] == rule and (lap is None or one["lap"] == lap)]
