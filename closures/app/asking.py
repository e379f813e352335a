"""How a question is put: asked until the answer can stand, judged by the key's own reader, said back as understood."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from closures.app import slips
from closures.errors import ClosureError, Where
from closures.frozen import frozen
from closures.plan.editing import set_key, value_of
from closures.plan.kinds import Kind, Place
from closures.plan.one_line import meant
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.edges.listing import Listing

Asks = Callable[[str], str]
"""Shows a question and gives what was typed."""

Tells = Callable[[str], None]

Otherwise = Callable[[str], str | None]
"""Reads an answer that is not listed; None where it cannot, a ClosureError where it must be told otherwise."""


@frozen
class Asking:
    """Who asks, and what the questions need to know.

    Attributes:
        ask: shows a question and gives what was typed.
        tell: says something.
        catalogue: what closures and cloths there are.
        drawing: lists the lines of a drawing by its file's name.
        trial: places a plan by its text; raises what is wrong with it.
        repaired: the repairs of a plan that no row meets: what each changes, and the text as it becomes.
    """

    ask: Asks
    tell: Tells
    catalogue: Catalogue
    drawing: Callable[[str], Listing]
    trial: Callable[[str], None]
    repaired: Callable[[str], Mapping[str, str]]


def understood(asking: Asking, told: str, meant: str, what: str = "") -> str:
    """Say back what was understood, where it is not what was typed."""
    if meant != told and meant:
        asking.tell(f"  Understood: {meant}{what}.")
    return meant


def length_told(told: str, text: str) -> str:
    """A length as it is meant in a plan, whose text tells what bare numbers are."""
    return slips.length_meant(told, value_of(text, "", "units") or "")


def needed(
    asking: Asking, question: str, choices: Mapping[str, str], unknown: str, otherwise: Otherwise | None = None
) -> str:
    """Ask for one of several until one is chosen; who does not know is told how to find out."""
    while (chosen := one_of(asking, question, choices, unknown, otherwise)) is None:
        continue
    return chosen


def one_of(
    asking: Asking, question: str, choices: Mapping[str, str], unknown: str, otherwise: Otherwise | None = None
) -> str | None:
    """Ask for one of several, by its number or by its name; None where it is not known, which is answered.

    Where names begin with figures themselves, as sizes do, nothing is numbered: the 1 that is typed is the one so
    called, and 18 is no longer the eighteenth of them.

    Args:
        asking: who asks.
        question: the question.
        choices: the answers, each with what is said of it.
        unknown: what is said to those who do not know.
        otherwise: reads an answer that need not be among those listed, before any other reading.
    """
    words = list(choices)
    has_numbers = not any(word[:1].isdecimal() for word in words)
    asking.tell(question)
    for n, (word, says) in enumerate(choices.items(), 1):
        asking.tell(f"  {n if has_numbers else '':>2}  {word}{f' ({says})' if says else ''}")
    while True:
        told = asking.ask("Its number or its name" if has_numbers else "Its name").strip()
        if slips.is_unknown(told):
            asking.tell(f"  {unknown}")
            return None
        try:
            read = otherwise(told) if otherwise is not None and told else None
        except ClosureError as error:
            asking.tell(why(error))
            continue
        if read is not None:
            return read if read.casefold() == told.casefold() else understood(asking, told, read)
        found = slips.choice_meant(told, words, has_numbers)
        found = found or slips.choice_meant(told, choices.values(), has_numbers)
        if len(found) == 1:
            chosen = found[0] if found[0] in choices else words[list(choices.values()).index(found[0])]
            is_plain = told.isdecimal() or told.casefold() == chosen.casefold()
            return chosen if is_plain else understood(asking, told, chosen)
        if found:
            such_as = f"number or its name, such as {_number_of(found[0], choices)} or {found[0]}"
            such_as = such_as if has_numbers else f"name as it stands there, such as {found[0]}"
            asking.tell(f"That may be {' or '.join(found)}. Type its {such_as}.")
        else:
            what = f"number from 1 to {len(words)}, or a name" if has_numbers else "name"
            asking.tell(f"There is no such answer. Type a {what}, such as {words[0]}.")


def _number_of(found: str, choices: Mapping[str, str]) -> int:
    """The number of a choice in its list, by its name or by what is said of it."""
    return list(choices if found in choices else choices.values()).index(found) + 1


def put(text: str, asking: Asking, section: str, key: str, told: str) -> str:
    """Judge an answer and put it under its key.

    Raises:
        ClosureError: the key's reader does not take it.
    """
    home = section_of(section)
    entry = key_of(home, key)
    value = told if isinstance(entry.kind, Section) else meant(entry.kind, told)
    judged(home, entry, value, asking, text)
    return set_key(text, section, key, value)


def judged(section: Section, key: Key, value: Any, asking: Asking, text: str) -> None:
    units = value_of(text, "", "units") or "mm"
    if isinstance(key.kind, Kind):
        key.kind(value, Place(Where(section=section.name, key=key.name), key.name, units, in_file=False))
        if key.kind.names == "cloth":
            asking.catalogue.cloth(value)


def section_of(name: str) -> Section:
    return next(one for one in (TOP, *SECTIONS) if one.name == name)


def key_of(section: Section, name: str) -> Key:
    return next(key for key in section.keys if key.name == name)


def why(error: ClosureError) -> str:
    """What is wrong with an answer and how to mend it, without the place, which is the question just asked."""
    return "\n".join(_sentences(error))


def _sentences(error: ClosureError) -> Iterable[str]:
    for fault in error.faults:
        yield f"  {fault.what[:1].upper()}{fault.what[1:]}. {fault.mend}".rstrip()
