"""Place closures along a garment's closing line and draw marking templates for both laps.

The whole job in three calls::

    from pathlib import Path
    import closures

    plan = closures.load_plan(Path("plan.toml"))
    answer = closures.place_plan(plan, Path("plan.toml"))
    files = closures.result_files(answer, "a4")

Names are imported when they are first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"

_HOME = {
    "Answer": "closures.job",
    "check_plan": "closures.job",
    "load_plan": "closures.job",
    "place_plan": "closures.job",
    "result_files": "closures.job",
    "Plan": "closures.plan",
    "read_plan": "closures.plan",
    "Placement": "closures.placement",
    "Mark": "closures.placement",
    "Finding": "closures.checks",
    "Catalogue": "closures.catalogue",
    "load_catalogue": "closures.catalogue",
    "ClosureError": "closures.errors",
    "parse_length": "closures.lengths",
    "format_length": "closures.lengths",
}

__all__ = [*sorted(_HOME), "__version__"]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'closures' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOME[name]), name)
