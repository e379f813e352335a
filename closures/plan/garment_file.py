"""A garment file: the plans of one garment, put together.

It names each opening and the plan that places its closures; nothing of a plan is written into it again.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from closures.frozen import frozen
from closures.nearest import nearest_name
from closures.plan.edge import name_or_names
from closures.plan.kinds import any_length, choice, more_than_nothing, text, whole, yes_or_no
from closures.plan.naming import spoken_stem
from closures.plan.section import Key, Section

_OTHER_SIDE = {"left": "right", "right": "left"}
MOST_OPENINGS = 40
OPENING_PLAN = "plan"
"""The key by which an opening names its plan."""
MOST_IN_PACK = 10_000


@frozen
class Crossing:
    """Where a strap runs over another opening.

    Attributes:
        over: the name of that opening.
        level_mm: where the middle of the strap runs, as a level of that opening's plan.
    """

    over: str
    level_mm: float


@frozen
class Opening:
    """One opening of a garment.

    Attributes:
        name: as its files, pages and parts are called.
        plan: the plan file, beside the garment file.
        crossing: where its strap runs over another opening; None where it does not.
        pack: how many closures one pack of it holds; None where the garment's own number holds, or none is told.
        mirrored: it is the plan's opening on the other side of the body; None where nothing is told.
        clear_of: the openings whose closures are known to be clear of its own.
        behind: the openings behind whose closures its own lie on purpose, on another layer of cloth.
    """

    name: str
    plan: str
    crossing: Crossing | None = None
    pack: int | None = None
    mirrored: bool | None = None
    clear_of: tuple[str, ...] = ()
    behind: tuple[str, ...] = ()


@frozen
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


def slug(name: str) -> str:
    """An opening's name as a part of a file name."""
    return re.sub(r"[^\w]+", "-", name.casefold()).strip("-") or "opening"


def against_each_other(openings: Sequence[Opening]) -> Iterator[tuple[int, str, str, str]]:
    """Tell what is wrong between openings: which, counted from 1, its key, what, and how to mend it."""
    for nth, opening in enumerate(openings, start=1):
        if alike := _named_alike(openings[: nth - 1], opening.name):
            yield nth, "name", alike, "Give each its own."
        others = [other.name for other in openings if other is not opening]
        named = [("over", "run over", opening.crossing.over)] if opening.crossing is not None else []
        named += [("clear_of", "be clear of", one) for one in opening.clear_of]
        named += [("behind", "lie behind", one) for one in opening.behind]
        for key, what, name in named:
            if name not in others:
                near = nearest_name(name, others)
                mend = f"Did you mean {near}?" if near else "Name another opening of this file."
                yield nth, key, f"there is no opening '{name}' to {what}", mend
        yield from _against_behind(nth, opening, openings)
        round_it = _ring(openings, opening)
        # Told once, at the first of them.
        if round_it and nth == min(openings.index(one) for one in round_it) + 1:
            runs = ", ".join(f"'{one.name}' runs over '{one.crossing.over}'" for one in round_it if one.crossing)
            yield (
                nth,
                "over",
                f"each lies on the other: {runs}",
                "Leave over and level out of the one that lies beneath.",
            )


def _against_behind(nth: int, own: Opening, openings: Sequence[Opening]) -> Iterator[tuple[int, str, str, str]]:
    """What an opening that lies behind another cannot be besides."""
    for name in own.behind:
        other = next((one for one in openings if one.name == name and one is not own), None)
        if other is None:
            continue
        if name in own.clear_of or own.name in other.clear_of:
            what = f"'{own.name}' is told to lie behind '{name}', and to be clear of it"
            yield nth, "behind", what, "Leave clear_of out between the two, or behind."
        if own.name in other.behind and openings.index(other) > openings.index(own):
            what = f"'{own.name}' and '{name}' are each told to lie behind the other"
            yield nth, "behind", what, "Leave behind out of the one that lies in front."
        if any(one.crossing is not None and one.crossing.over in (own.name, name) for one in (own, other)):
            what = f"'{own.name}' is told to lie behind '{name}', and one of them runs over the other"
            yield nth, "behind", what, "Leave behind out: over tells which of them lies on top."


def _named_alike(earlier: Sequence[Opening], own: str) -> str:
    """Tell the opening before one whose files it would write over; nothing where its files are its own."""
    alike = next((one.name for one in earlier if slug(one.name) == slug(own)), None)
    if alike is None:
        return ""
    if alike.casefold() == own.casefold():
        return f"there are two openings '{own}'"
    return f"there are two openings whose files would bear one name, {slug(own)}: '{alike}' and '{own}'"


def _ring(openings: Sequence[Opening], first: Opening) -> list[Opening]:
    """The straps of which each runs over the next and the last over the first; empty where the first is in no ring."""
    found = [first]
    while (crossing := found[-1].crossing) is not None:
        beneath = next((one for one in openings if one.name == crossing.over), None)
        if beneath is first:
            return found
        if beneath is None or beneath in found:
            break
        found.append(beneath)
    return []


def _opening(
    name: str,
    plan: str,
    over: str | None = None,
    level_mm: float | None = None,
    pack: int | None = None,
    mirrored: bool | None = None,
    clear_of: str | tuple[str, ...] = (),
    behind: str | tuple[str, ...] = (),
) -> Opening:
    crossing = None if over is None or level_mm is None else Crossing(over, level_mm)
    clear, hidden = ((told,) if isinstance(told, str) else told for told in (clear_of, behind))
    return Opening(name, plan, crossing, pack, mirrored, clear, hidden)


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
        Key(OPENING_PLAN, text, '"front.toml"', "its plan, looked up beside this file", needed=True),
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
        Key(
            "behind",
            name_or_names,
            '["front"]',
            "openings behind whose closures its own lie on purpose, on another layer of cloth, as a hidden row does: "
            "nothing is asked where the drawing shows them on each other",
            default="none",
        ),
    ),
    value=_opening,
    needed=True,
    repeated=True,
    named_by="name",
    only_with=(("level", "over"), ("over", "level")),
    meaning="One opening.",
)


# What a plan cannot do without: where none of it stands, a slip in the name of the openings is a garment's.
_OF_A_PLAN = ("edge", "band", "belt", "row", "closure", "spacing")


def named_for_openings(table: Mapping[str, Any]) -> str:
    """The first section of what is no garment file that names a plan, as only an opening does; empty: none."""
    for name, held in table.items():
        rows = held if isinstance(held, list) else [held]
        if any(isinstance(row, Mapping) and OPENING_PLAN in row for row in rows):
            return name
    return ""


def is_garment(table: Mapping[str, Any]) -> bool:
    """Whether what was read is meant as a garment file, and not as a plan.

    A section of openings makes it one; so does a name that is nearly that one, where nothing of a plan stands.
    """
    if OPENING.name in table:
        return True
    return not any(name in table for name in _OF_A_PLAN) and any(nearest_name(n, (OPENING.name,)) for n in table)


def strange_in_garment(name: str, section: Section, plans: Mapping[str, Section]) -> tuple[str, str] | None:
    """Tell of a name that a garment file does not know whether a plan does: what is wrong, and where it belongs.

    Args:
        name: as it stands in the file.
        section: where it stands: the garment's own keys, or an opening.
        plans: the sections of a plan by their names, its first keys under the empty name.
    """
    if section is GARMENT_TOP and name in plans:
        what = f"[{name}] is a section of a plan, and this is a garment file: it names openings and their plans"
        return what, 'Move it into a plan of its own, and name that below an [[opening]], as plan = "front.toml".'
    if section is GARMENT_TOP and nearest_name(name, (OPENING.name,)):
        mend = 'Write [[opening]] above each opening, and below it name = "front" and plan = "front.toml".'
        return "it is not a section of a garment file", mend
    if section is GARMENT_TOP and OPENING.key(name) is not None:
        return "it belongs to one opening", "Write it below the [[opening]] that it is of."
    if section is OPENING and GARMENT_TOP.key(name) is not None:
        return "it holds for the whole garment", "Write it at the top, before the first [[opening]]."
    home = next((home for home in plans.values() if home.key(name) is not None), None)
    if home is None:
        return None
    under = f"under [{home.name}]" if home.name else "at its top"
    return "it is a key of a plan, and this is a garment file", f"Write it into the plan of its opening, {under}."


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
