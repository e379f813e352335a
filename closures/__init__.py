"""Place closures along a garment's closing line and draw marking templates for both laps.

In one call, or with everything that is written::

    import closures

    placement = closures.place("plan.toml")

    plan = closures.load_plan(Path("plan.toml"))
    answer = closures.place_plan(plan, Path("plan.toml"))
    files = closures.result_files(answer, "a4")

Names are imported when they are first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_HOMES = {
    "closures.app.job": ("Answer", "check_plan", "load_plan", "place_plan", "result_files"),
    "closures.app.simple": ("place",),
    "closures.app.sizing": ("check_sizes", "place_sizes", "size_files"),
    "closures.plan.plan": ("Plan",),
    "closures.plan.reading": ("read_plan",),
    "closures.placing.placement": ("Placement",),
    "closures.placing.marking": ("Mark",),
    "closures.checks.finding": ("Finding",),
    "closures.catalogue.catalogue": ("Catalogue",),
    "closures.catalogue.loading": ("load_catalogue",),
    "closures.errors": ("ClosureError",),
    "closures.lengths": ("parse_length", "format_length"),
}

__all__ = [*sorted(name for names in _HOMES.values() for name in names), "__version__"]

_HOME_OF = {name: module for module, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> Any:
    if name not in _HOME_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME_OF[name]), name)
