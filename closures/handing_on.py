"""A package's face whose modules are imported when a name of theirs is first used.

Most runs need one of the many jobs that this package does, and importing them all takes longer
than doing one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any


def handing_on(package: str, homes: Mapping[str, Sequence[str]]) -> Callable[[str], Any]:
    """Make the ``__getattr__`` of a package that hands names on.

    Args:
        package: its name.
        homes: for each module the names that come from it.

    Returns:
        A function from a name to what it stands for; a name that is not handed on raises AttributeError.
    """
    home_of = {name: module for module, names in homes.items() for name in names}

    def find(name: str) -> Any:
        if name not in home_of:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        from importlib import import_module

        return getattr(import_module(home_of[name]), name)

    return find
