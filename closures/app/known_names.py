"""Whether the cloths and closures that a plan names are in the catalogue or in the user's own supplies."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from closures import files
from closures.catalogue.loading import load_catalogue
from closures.errors import CatalogueError, ClosureError

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.plan.kinds import Names
    from closures.plan.reading import Known


def names_known(beside: files.Beside) -> Known:
    """Make the judge of names for a plan and the supplies beside it.

    Args:
        beside: the plan file, or the files beside it by name; None for the current folder.
    """

    def known(names: Names, fields: Mapping[str, Any], key: str, supplies: str | None) -> tuple[str, str] | None:
        try:
            data = None if supplies is None else files.read_beside(beside, supplies, "supplies")
            catalogue = load_catalogue(data, supplies or "")
        except ClosureError:
            # What is wrong with the supplies is told when they are read for the job.
            return None
        try:
            _look_up(catalogue, names, fields, key)
        except CatalogueError as error:
            return error.faults[0].what, error.faults[0].mend
        return None

    return known


def _look_up(catalogue: Catalogue, names: Names, fields: Mapping[str, Any], key: str) -> None:
    """Look one name up.

    Raises:
        CatalogueError: it is not there.
    """
    *table, own = key.split()
    if names == "cloth":
        catalogue.cloth(fields[own])
    elif names == "closure":
        catalogue.describe(fields[own])
    elif "kind" in fields and _has_kind(catalogue, fields["kind"]):
        # A size that is not listed will do where its largest part was measured; a table within a section has no key
        # for that.
        catalogue.fastener(fields["kind"], fields[own], cap_mm=fields.get("cap"), takes_cap=not table)


def _has_kind(catalogue: Catalogue, kind: str) -> bool:
    try:
        catalogue.describe(kind)
    except CatalogueError:
        return False
    return True
