"""How steps of the order of work lay the sheets and make the marks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.advice.comparing import second_sheet
from closures.advice.marking import AT_THE_DOT, mark_there, measured_on, shown_on, way_to_mark, ways_of_laps
from closures.advice.marks_off import clear_marks
from closures.advice.wording import is_one, put

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.advice.facts import Facts
    from closures.advice.marking import Way


def ways_of_marking(facts: Facts) -> dict[str, Way]:
    """How the lap set first is marked, on its patches where it has any, and how the other is."""
    # The step itself says that buttonholes are marked at their ends, and which closures of a tape are.
    at_dot = AT_THE_DOT if is_one(facts.figures["first marks"]) else None
    where = "" if {"buttonholes", "taped"} & facts.words else at_dot
    return {"first": way_to_mark(facts.on_patches, where), "second": way_to_mark(facts.on_lap(facts.second), where)}


def _laid_for_bound(told: Mapping[str, str], *, is_within: bool) -> dict[str, str]:
    """How a sheet is laid where bound buttonholes are marked: the outer cloth is alone then, and has no facing yet."""
    if not is_within:
        return {"lay bound": told["lay sheet"], "bound on": "on the outer cloth"}
    lay = "Lay the sheet of the {first lap}, inside face up, on the wrong side of its outer cloth,"
    is_taped = "tape" in told.get("tacked", "")
    on = "on that side" if is_taped else "right through the outer cloth, to be seen on its right side too,"
    return {"lay bound": put(lay, told), "bound on": on}


def marked_in_words(facts: Facts, ways: Mapping[str, Way]) -> dict[str, str]:
    """What steps say of marks: how they are made, and how they are taken away once their place is worked."""
    first, second = ways["first"], ways["second"]
    told = dict(facts.figures) | {"how to mark": first.text}
    lay = "Lay the sheet of the {first lap}"
    if "marked within" in facts.on_lap(facts.first).words:
        lay = "Turn the {first lap} over and lay its sheet, inside face up,"
    told |= {"lay sheet": put(lay, told)}
    told |= _laid_for_bound(told, is_within="marked within" in facts.on_lap(facts.first).words)
    is_laid = measured_on(facts.on_lap(facts.first)) is None
    told |= {"lay first": f"{told['lay sheet']} to its finished edge. " if is_laid else ""}
    told |= {"face named": ", on the face that it names," if "marked within" in facts.words else ""}
    told |= {"lay both": put(_lay_both(facts), told), "mark second": put(_mark_second(facts), told)}
    together = "At {first marks} of the {first lap} and {second marks} of the {second lap} {how to mark}"
    if ways_of_laps(facts):
        # Each lap is marked as its own cloth bears.
        together = f"At {{first marks}} of the {{first lap}} {first.text} At {{second marks}} of the {{second lap}} "
        together += second.text
    on_second = facts.on_lap(facts.second)
    cleared = clear_marks(second.key, facts.laps[facts.second].closed, on_second.words)["clear second"]
    sheet = second_sheet(
        is_within="marked within" in on_second.words,
        is_back=shown_on(on_second) is not None,
        measured=measured_on(on_second),
    )
    on_it = facts.on_patches.words if facts.patches else facts.laps[facts.first].closed
    drawn = clear_marks(first.key, on_it, facts.laps[facts.first].marked)["draw out"]
    names = ("lay sheet", "lay first", "lay both", "lay bound", "bound on", "mark second", "face named")
    laid = {name: told[name] for name in names}
    return laid | {
        "how to mark": first.text,
        "mark together": put(together, told),
        "clear second": cleared,
        "draw out": drawn,
        **{name: put(words, told) for name, words in sheet.items()},
        "there": mark_there(second, on_second),
    }


def _lay_both(facts: Facts) -> str:
    """Lay the sheets of both laps at once: not one from which nothing is marked, since its places are measured."""
    laid = [lap for lap in facts.laps if measured_on(facts.on_lap(lap)) is None]
    if not laid:
        return ""
    one = None if len(laid) == len(facts.laps) else f"the sheet of the {laid[0]} {facts.figures['lap word']}"
    if "on: strap" in facts.words:
        return f"Lay {one or 'each sheet'}{{face named}} to the tip it names. "
    return f"Lay {one or 'the sheet of either lap'}{{face named}} to its {'' if one else 'own '}finished edge. "


def _mark_second(facts: Facts) -> str:
    """Mark the end of a strap that carries the buttons, from its own sheet: nothing is shown on it through a hole."""
    told = facts.on_lap(facts.second)
    lay = "Lay the sheet of the {second lap}"
    if "marked within" in told.words:
        lay = "Turn the {second lap} over and lay its sheet, inside face up,"
    at_dot = AT_THE_DOT if is_one(facts.figures["second marks"]) else None
    way = way_to_mark(told, at_dot, has_slits=False).text
    return f"{lay} to {{what it is laid to}}. At {{second marks}} {way}"
