"""What is said about the work of all sizes of a pattern: once for all of them, by size where they differ.

Each size is advised as it would be alone. Their steps are the same but for numbers of marks, places and distances: a
step stands once, and in it what differs is said by size.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.advice import advise
from closures.advice.order import Order
from closures.advice.whole_order import one_order
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from closures.advice.advice import Advice
    from closures.catalogue.values import LapName
    from closures.jobs.sizes.sized import Sizes
    from closures.plan.band import Face

_PIECES = re.compile(r"\d[\d./ ]*(?:mm|cm|in)\b\S*|\S+")
"""Words, and lengths with their units, with what is pointed behind them."""
_POINTS = ".,;:"


_BY_ONE_SIZE = (
    "Work from the file of one size, marking-SIZE.pdf, on which buttonholes, slits and rims are drawn: the sheets of "
    "all sizes together hold dots alone."
)


def advise_sizes(sizes: Sizes, faces: Mapping[LapName, Face] | None = None) -> Advice:
    """Say everything that is to be said of the work on all sizes that could be placed.

    Args:
        sizes: placed.
        faces: as for `advise`; the sheets of all sizes lie on one face.

    Returns:
        The advice, with the facts and signs of the base; of one size that of a row alone.
    """
    each = {size.name: advise(size.placement, size.findings, sizes.catalogue, faces=faces) for size in sizes.placed}
    base = each[sizes.base.name]
    headings = dict.fromkeys(heading for advice in each.values() for heading, _ in advice.notes)
    notes = tuple(
        (heading, _lines({name: dict(advice.notes).get(heading, ()) for name, advice in each.items()}))
        for heading in headings
    )
    return replace(
        base,
        order=orders_of_sizes({name: advice.order for name, advice in each.items()}),
        marking=(
            *([_BY_ONE_SIZE] if len(each) > 1 and any(advice.marking for advice in each.values()) else []),
            *_lines({name: advice.marking for name, advice in each.items()}),
        ),
        cautions=_lines({name: advice.cautions for name, advice in each.items()}),
        notes=notes,
        halves=by_size({name: advice.halves for name, advice in each.items()}),
    )


def by_size(told: Mapping[str, str]) -> str:
    """Say a sentence of several sizes once, and in it by size what differs.

    >>> by_size({"3m": "It is 60 mm to mark 5.", "6m": "It is 75 mm to mark 5."})
    'It is (size 3m: 60 mm; size 6m: 75 mm) to mark 5.'

    Args:
        told: what is said of each size by its name.
    """
    alike: dict[str, list[str]] = {}
    for name, text in told.items():
        alike.setdefault(text, []).append(name)
    if len(alike) < 2:
        return next(iter(alike), "")
    pieces = [_PIECES.findall(text) for text in alike]
    shortest = min(map(len, pieces))
    begin = _alike(pieces, shortest)
    end = _alike([row[::-1] for row in pieces], shortest - begin)
    if shortest == begin + end:
        # Where one has nothing between what all have, it would be told an empty word.
        begin, end = (begin - 1, end) if begin else (begin, end - 1 if end else 0)
    own = [" ".join(row[begin : len(row) - end]) for row in pieces]
    point = own[0][-1:] if len({text[-1:] for text in own}) == 1 and own[0][-1:] in _POINTS else ""
    each = "; ".join(
        f"{_sizes(names)}: {text.removesuffix(point)}" for text, names in zip(own, alike.values(), strict=True)
    )
    return " ".join((*pieces[0][:begin], f"({each}){point}", *pieces[0][len(pieces[0]) - end :]))


def _alike(rows: Sequence[Sequence[str]], most: int) -> int:
    """How many of their first pieces all rows share, at most so many."""
    return next((n for n in range(most) if len({row[n] for row in rows}) > 1), most)


def _sizes(names: Iterable[str]) -> str:
    row = list(names)
    return f"{'size' if len(row) == 1 else 'sizes'} {in_a_row(row)}"


def _headed(names: Iterable[str]) -> str:
    words = _sizes(names)
    return f"{words[0].upper()}{words[1:]}"


def _lines(told: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Each sentence once; what does not hold for all begins with its sizes."""
    found: dict[str, list[str]] = {}
    for name, lines in told.items():
        for line in lines:
            found.setdefault(line, []).append(name)
    return tuple(line if len(names) == len(told) else f"{_headed(names)}: {line}" for line, names in found.items())


def orders_of_sizes(orders: Mapping[str, Order]) -> Order:
    """One order of all: sizes that have the same steps share them, and what only some have is named with these."""
    alike: dict[tuple[object, ...], dict[str, Order]] = {}
    for name, order in orders.items():
        steps = tuple((step.key, step.source) for step in order.steps)
        alike.setdefault((steps, order.stop_before), {})[name] = order
    shared = {_headed(own): _of_alike(own) for own in alike.values()}
    return next(iter(shared.values())) if len(shared) == 1 else one_order(shared)


def _of_alike(orders: Mapping[str, Order]) -> Order:
    first = next(iter(orders.values()))
    steps = tuple(
        replace(
            step,
            text=by_size({name: order.steps[k].text for name, order in orders.items()}),
            done=by_size({name: order.steps[k].done for name, order in orders.items()}),
        )
        for k, step in enumerate(first.steps)
    )
    stop, removal, why = (
        by_size({name: getattr(order, key) for name, order in orders.items()}) for key in ("stop", "removal", "why")
    )
    return replace(first, steps=steps, stop=stop, removal=removal, why=why)
