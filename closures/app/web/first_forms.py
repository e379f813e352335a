"""What comes in on the first pages: the plan among the files handed in, and what a first form lacks yet."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from closures.app.web.bench import Refusal
from closures.app.web.fields import BY_NAME, FIELDS
from closures.app.web.own_names import own_names
from closures.app.web.wording import in_fields, of_a_plan, place_of, sentences_of
from closures.app.whole import both_name
from closures.errors import PlanError
from closures.files import other_file
from closures.plan.garment_file import both_sides, is_garment, tells_both_sides

if TYPE_CHECKING:
    from closures.errors import ClosureError

_UNTOLD = "Not told yet: fill it in, or choose."
_UNHEADED = re.compile(" under “[^”]*”")


def not_yet(error: ClosureError, typed: Mapping[str, str]) -> Refusal:
    """Tell why a first form makes no plan yet: beside each field what is wrong with it, and the rest as sentences.

    A first form has the fields of several sections under no headings: a section that is missing is told field by field,
    and none is named.
    """
    words: dict[str, str] = {}
    sentences: list[str] = []
    sections: list[str] = []
    own = own_names(*typed.values())
    for fault in error.faults:
        place = place_of(fault.where, "", typed)
        if place in BY_NAME and fault.what == "this section is missing":
            words |= {name: _UNTOLD for name in _first_asked(place, typed)}
            continue
        said = sentences_of(fault.what, fault.mend)
        if place in FIELDS:
            told = _UNHEADED.sub("", in_fields(said, place, own))
            words[place] = f"{words[place]} {told}" if place in words else told
        elif len(both := _of_one_kind(place, typed)) > 1:
            words |= {name: in_fields(said, place, own) for name in both}
        elif place:
            sections.append(place)
            sentences.append(_UNHEADED.sub("", in_fields(said, place, own)))
        else:
            sentences.append(_UNHEADED.sub("", of_a_plan(str(fault), "edge", own)))
    return Refusal(tuple(sentences), (*words, *sections), typed, words)


def _of_one_kind(section: str, typed: Mapping[str, str]) -> tuple[str, ...]:
    """The fields that were filled of those of which a section takes exactly one."""
    found = BY_NAME.get(section)
    keys = found.one_of[0] if found is not None and found.one_of else ()
    return tuple(f"{section}.{key}" for key in keys if typed.get(f"{section}.{key}", "").strip())


def _first_asked(section: str, typed: Mapping[str, str]) -> tuple[str, ...]:
    """The fields of a first form that a section cannot do without."""
    if section == "edge":
        is_arc = typed.get("shape") == "arc"
        return (
            ("edge.arc.length", "edge.arc.radius")
            if is_arc
            else ("edge.straight",)
            if "shape" in typed
            else ("edge.trace.through",)
            if "edge.trace.through" in typed
            else ("edge.path",)
        )
    return tuple(f"{section}.{key.name}" for key in BY_NAME[section].keys if key.needed)


_AS_TEXT = "Copy its text into a plain text editor, save that in UTF-8 under a name that ends in .toml, and open it."
_AS_DRAWING = "Hand it in under “Begin from your drawing”, or here together with the plan that names it."
_NAMES = {section.name for section in BY_NAME.values() if section.name}


def as_plans(handed: Sequence[tuple[str, bytes]]) -> list[tuple[str, bytes]]:
    """Call a plan by its own name where an editor hung .txt on it, or where it has no ending that tells what it is."""
    is_told = any(name.lower().endswith(".toml") for name, _ in handed)

    def called(name: str, data: bytes) -> str:
        if name.lower().endswith(".toml.txt"):
            return name[: -len(".txt")]
        bare = name.lower().endswith(".txt") or "." not in name
        if is_told or not bare or not (_NAMES | {"opening"}) & _table(data).keys():
            return name
        return f"{name[: -len('.txt')] if name.lower().endswith('.txt') else name}.toml"

    return [(called(name, data), data) for name, data in handed]


def refuse_other(name: str, data: bytes) -> None:
    """Refuse what is no plan, whatever it is called.

    Raises:
        PlanError: it is another kind of file; told with what to do with it.
    """
    other = other_file(data)
    if other is not None:
        what = other[0]
        mend = _AS_TEXT if what.startswith("a word processor's") else _AS_DRAWING
        mend = "Open the plan that it was made of." if what.startswith("a report") else mend
        raise PlanError(f"this is {what}, not a plan", where=name, mend=mend)


def refuse_without_plan(handed: Sequence[tuple[str, bytes]]) -> None:
    """Say of files that were handed in without a plan among them what they are.

    Raises:
        PlanError: always.
    """
    for name, data in handed:
        refuse_other(name, data)
        raise PlanError("this is no plan", where=name, mend="Choose a plan: a text file whose name ends in .toml.")
    raise PlanError("no plan was chosen", mend="Choose a plan file; its name ends in .toml.")


def the_plan(handed: Sequence[tuple[str, bytes]]) -> tuple[str, bytes]:
    """Find the plan among the files that were handed in together, which may be its supplies too.

    Raises:
        PlanError: there are several.
    """
    tables = {name: _table(data) for name, data in handed}
    supplies = {str(table.get("supplies")) for table in tables.values()}
    plans = [one for one in handed if one[0] not in supplies] or list(handed)
    if supplies != {"None"}:
        # Supplies that are called otherwise than the plan says are asked about, and are no second plan.
        plans = [one for one in plans if _NAMES & tables[one[0]].keys()] or plans
    if len(plans) > 1:
        raise PlanError(
            f"several plans were handed in: {', '.join(name for name, _ in plans)}",
            mend="Open one at a time, together with what it names: each has its own window. "
            "To have them as one garment, hand in a garment file with them.",
        )
    return plans[0]


def a_garment(handed: Sequence[tuple[str, bytes]]) -> tuple[str, bytes] | None:
    """Find the file that puts plans together among those that were handed in; None where there is none.

    A plan of a row on both sides of a body comes to one.

    Raises:
        PlanError: there are several plans, and one of them is such a plan.
    """
    found = next((one for one in handed if is_garment(_table(one[1]))), None)
    if found is not None or not any(tells_both_sides(_table(data)) for _, data in handed):
        return found
    name, data = the_plan(handed)
    return both_name(name), both_sides(_table(data), name)


def _table(data: bytes) -> Mapping[str, Any]:
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError):
        # What is wrong with it is told when it is read as a plan.
        return {}
