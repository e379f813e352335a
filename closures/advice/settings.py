"""How each way of setting is worked, read once from its table."""

from __future__ import annotations

from functools import cache

from closures.advice.tables import rows_of
from closures.errors import CatalogueError
from closures.frozen import frozen


@frozen
class Setting:
    """One way of setting.

    Attributes:
        key: its name.
        leads: the part by which the lap that is set first is known.
        lead, other: the sentence for either half.
        trial: what is done on a trial piece.
        undo: why it cannot be undone; empty where it can.
        removal: how one comes off again, and what it leaves.
        facts: what holds of every job that sets so.
    """

    key: str
    leads: str
    lead: str
    other: str
    trial: str
    undo: str
    removal: str
    facts: tuple[str, ...] = ()


@cache
def settings() -> dict[str, Setting]:
    """Read every way of setting, by its name.

    Raises:
        CatalogueError: a row is wrong.
    """
    texts_told = ("key", "leads", "lead", "other", "trial", "undo", "removal")
    found = {}
    for row in rows_of("settings", "setting"):
        row.check_keys((*texts_told, "facts"))
        row.provenance()
        texts = {key: row.text(key, is_required=key != "undo") for key in texts_told}
        found[texts["key"]] = Setting(**texts, facts=row.texts("facts"))
        row.raise_faults()
    return found


def setting_of(key: str) -> Setting:
    """Look up a way of setting.

    Raises:
        CatalogueError: there is none of this name.
    """
    known = settings()
    if key not in known:
        mend = f"There are: {', '.join(known)}."
        raise CatalogueError(f"there is no way of setting {key!r}", where="settings.toml", mend=mend)
    return known[key]
