"""Which closure it is: asked by its name, and by its size as people know it: its number, its lines or its width."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from closures.app import slips
from closures.app.asking import needed
from closures.catalogue.names import both_ways, find_size
from closures.errors import CatalogueError
from closures.lengths import format_inches, format_mm
from closures.plan.editing import set_key, value_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.app.asking import Asking
    from closures.catalogue.values import Fastener

_KIND = (
    "Nothing can be placed without it, but it can be changed in the plan later: take the one that looks like what you "
    "hold. closures fasteners tells what each is."
)
_SIZE = "Lay a ruler across the largest part of one: the figure beside each size is how wide that is."


def closure_asked(text: str, asking: Asking, section: str = "closure", question: str = "What closes it?") -> str:
    """Ask for a kind of closure and its size, and put both into a section."""
    kinds = dict.fromkeys(asking.catalogue.kinds(), "")
    return size_asked(text, asking, section, needed(asking, question, kinds, _KIND, partial(kind_meant, asking)))


def size_asked(text: str, asking: Asking, section: str, kind: str) -> str:
    """Ask for the size of a kind of closure, and put both into a section."""
    # In mm as well: sizes a line apart are one figure to the nearest sixteenth of an inch.
    units = value_of(text, "", "units")
    more = "" if units == "mm" else ", {}"
    sizes = {size: _across(asking.catalogue.fastener(kind, size), more) for size in asking.catalogue.sizes(kind)}
    question = "Which size? Buttons go by their width too, such as 11.5 mm" if "button" in kind else "Which size?"
    size = next(iter(sizes)) if len(sizes) == 1 else ""
    size = size or needed(asking, question, sizes, _SIZE, partial(_size_meant, asking, kind, sizes, units))
    return set_key(set_key(text, section, "kind", kind), section, "size", size)


def kind_meant(asking: Asking, told: str) -> str | None:
    """A kind that goes by another name in the trade; why there is none where a word stands for nothing here."""
    kinds = asking.catalogue.kinds()
    if not any(map(str.isalpha, told)) or slips.choice_meant(told, kinds):
        return None
    return asking.catalogue.describe(told).kind


def _size_meant(asking: Asking, kind: str, sizes: Mapping[str, str], units: str, told: str) -> str | None:
    """A size by another writing of it, or of a kind that goes by its width any width, such as 11.5 mm."""
    told = slips.length_meant(told, units)
    label = find_size(told, sizes)
    if label is not None:
        return label
    is_unclear = bool(both_ways(told, sizes))
    if not is_unclear and len(slips.choice_meant(told, sizes.values(), has_numbers=False)) == 1:
        return None
    try:
        return asking.catalogue.fastener(kind, told).size
    except CatalogueError:
        if is_unclear:
            raise
        return None


def _across(fastener: Fastener, more: str) -> str:
    """How wide one is, where it has a cap: a hook is known by its number alone."""
    cap_mm = fastener.cap_mm
    return f"{format_mm(cap_mm)}{more.format(format_inches(cap_mm))} {fastener.cap_way}" if cap_mm else ""
