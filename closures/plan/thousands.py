"""A point that may part thousands: 1.200 mm is 1.2 mm in one country and 1200 mm in the next."""

from __future__ import annotations

import re

from closures.errors import LengthError
from closures.lengths import shown_value

# Nobody writes a thousandth of a millimetre that is none: three figures of which the last is 0 may be hundreds. Others
# may be an inch in mm, such as 9.525 mm.
_PARTED = re.compile(r"\s*(-?)([1-9][0-9]{0,2})\.([0-9]{2}0)\s*(?:(mm|millimet(?:re|er)s?)\s*)?", re.IGNORECASE)

_MOST_MM = 20_000
"""No edge is longer, by a rule of this program: a reading beyond it is none."""


def refuse_parted_thousands(value: object, units: str, where: str) -> None:
    """Refuse a length in mm whose point may part thousands.

    Args:
        value: what was written; only a text can tell that it ends in 0.
        units: what a bare number means.
        where: the place to name in an error.

    Raises:
        LengthError: it can be read both ways.
    """
    found = _PARTED.fullmatch(value) if isinstance(value, str) else None
    if found is None or (found[4] is None and units != "mm") or int(found[2] + found[3]) > _MOST_MM:
        return
    # A minus tells on which side of an end a level begins: what is to be written keeps it.
    many, few = f"{found[1]}{found[2]}{found[3]} mm", f"{found[1]}{float(f'{found[2]}.{found[3]}'):g} mm"
    raise LengthError(
        f"{shown_value(value)} can be read as {many} and as {few}",
        where=where,
        mend=f"Write {many} if the point parts thousands, or {few} if it parts decimals.",
    )
