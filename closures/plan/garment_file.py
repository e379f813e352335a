"""A garment file: the plans of one garment, put together.

It names each opening and the plan that places its closures; nothing of a plan is written into it again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from closures.plan.edge import name_or_names
from closures.plan.kinds import any_length, choice, more_than_nothing, text, whole, yes_or_no
from closures.plan.naming import spoken_stem
from closures.plan.section import Key, Section

_OTHER_SIDE = {"left": "right", "right": "left"}
MOST_OPENINGS = 40
MOST_IN_PACK = 10_000


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a strap runs over another opening.

    Attributes:
        over: the name of that opening.
        level_mm: where the middle of the strap runs, as a level of that opening's plan.
    """

    over: str
    level_mm: float


@dataclass(frozen=True, slots=True)
class Opening:
    """One opening of a garment.

    Attributes:
        name: as its files, pages and parts are called.
        plan: the plan file, beside the garment file.
        crossing: where its strap runs over another opening; None where it does not.
        pack: how many closures one pack of it holds; None where the garment's own number holds, or none is told.
        mirrored: it is the plan's opening on the other side of the body; None where nothing is told.
        clear_of: the openings whose closures are known to be clear of its own.
    """

    name: str
    plan: str
    crossing: Crossing | None = None
    pack: int | None = None
    mirrored: bool | None = None
    clear_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GarmentFile:
    """A garment put together of plans.

    Attributes:
        title: printed on the cover.
        where: the file's name, for messages.
        openings: as they are told.
        pack: how many closures a pack holds.
        apart_mm: how far rims of different openings stay apart; None for the least between closures of one row.
        order: names of all openings, in the order in which they are worked; empty for that in which a garment is made.
    """

    title: str
    where: str
    openings: tuple[Opening, ...]
    pack: int | None = None
    apart_mm: float | None = None
    order: tuple[str, ...] = ()

    def pack_of(self, opening: Opening) -> int | None:
        """How many closures of an opening are in a pack."""
        return self.pack if opening.pack is None else opening.pack


def _opening(
    name: str,
    plan: str,
    over: str | None = None,
    level_mm: float | None = None,
    pack: int | None = None,
    mirrored: bool | None = None,
    clear_of: str | tuple[str, ...] = (),
) -> Opening:
    crossing = None if over is None or level_mm is None else Crossing(over, level_mm)
    return Opening(name, plan, crossing, pack, mirrored, (clear_of,) if isinstance(clear_of, str) else clear_of)


GARMENT_TOP = Section(
    name="",
    keys=(
        Key("title", text, '"Meadow romper"', "printed on the cover", default="the file's name"),
        Key("units", choice("mm", "in"), '"mm"', "what a bare number means: `mm` or `in`", default='"mm"'),
        Key("pack", whole(1, MOST_IN_PACK), "12", "closures in one pack, for the packs to buy", default="not told"),
        Key(
            "apart",
            more_than_nothing,
            '"6 mm"',
            "rims of different openings stay so far apart where they lie on one drawing",
            default="as for closures of one row",
        ),
        Key(
            "order",
            name_or_names,
            '["crotch", "front"]',
            "all openings in the order in which you work them",
            default="that in which a garment is made",
        ),
    ),
    value=dict,
    meaning="What holds for the whole garment.",
)

OPENING = Section(
    name="opening",
    keys=(
        Key("name", text, '"front"', "what it is called in files and on pages", needed=True),
        Key("plan", text, '"front.toml"', "its plan, looked up beside this file", needed=True),
        Key("over", text, '"front"', "of a belt or another strap: the opening that it runs over", default="none"),
        Key("level", any_length, '"400 mm"', "with `over`: where its middle runs, as a level of that opening's plan"),
        Key("pack", whole(1, MOST_IN_PACK), "10", "closures in one pack, where it differs", default="as above"),
        Key("mirrored", yes_or_no, "true", "its plan's opening on the other side of the body", default="false"),
        Key(
            "clear_of",
            name_or_names,
            '["belt"]',
            "openings whose closures are known to be clear of its own: they lie elsewhere, or it was measured",
            default="asked for where no drawing shows it",
        ),
    ),
    value=_opening,
    needed=True,
    repeated=True,
    named_by="name",
    only_with=(("level", "over"), ("over", "level")),
    meaning="One opening.",
)


def is_garment(table: Mapping[str, Any]) -> bool:
    """Whether what was read is a garment file and no plan."""
    return OPENING.name in table and not any(name in table for name in ("edge", "band", "belt", "row", "closure"))


def tells_both_sides(table: Mapping[str, Any]) -> bool:
    """Whether what was read is a plan of a row that the body has on its other side too."""
    garment = table.get("garment")
    return isinstance(garment, dict) and garment.get("pair_of_rows") is True


def both_sides(table: Mapping[str, Any], where: str) -> bytes:
    """Write the garment file of a plan of a row that the body has on both sides.

    Args:
        table: the plan as it was read.
        where: the plan's file name.
    """
    opens = str(table["garment"].get("opens", ""))
    own, _, rest = opens.partition(" ")
    if own in _OTHER_SIDE:
        names = (opens, f"{_OTHER_SIDE[own]} {rest}")
    else:
        # Which half was drawn, a crotch or an inseam does not say.
        names = (f"{opens or 'side'} as drawn", f"{opens or 'side'} mirrored")
    title, plan = (json.dumps(text, ensure_ascii=False) for text in (title_of(_text(table.get("title")), where), where))
    first, second = (f'[[opening]]\nname = "{name}"\nplan = {plan}\n' for name in names)
    return f"title = {title}\n\n{first}\n{second}mirrored = true\n".encode()


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None


def title_of(title: str | None, where: str) -> str:
    """The garment's title: its own, or the name of its file."""
    return title or spoken_stem(where) or "Garment"
