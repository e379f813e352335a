"""What is wrong, in the words of the fields: a page shows no section, no key and no bracket.

The plan's reader tells a fault in the plan's own words, `Add pieces = "pair" under [garment]`, which are right for who
reads the text. Here each key becomes the label of its field, and each value what one would write in it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from closures.app.web.fields import BY_NAME, CHOICES, FIELDS, Field, field_named, values_of
from closures.app.web.own_names import own_names, told_apart
from closures.errors import OfDrawing, Where
from closures.plan.editing import nth_of
from closures.plan.one_line import shown

if TYPE_CHECKING:
    from closures.app.repairing import Repair
    from closures.errors import ClosureError
    from closures.plan.plan import Plan

_LIST_OF = r"\[(?:[^\[\]]|\[(?:[^\[\]]|\[[^\[\]]*\])*\])*\]"
_VALUE = rf'(?:"[^"]*"|{_LIST_OF}|\{{[^}}]*\}}|true|false|-?\d[\d.]*\d|\d)'
_SAID = re.compile(rf"\b([a-z][a-z_]*) = ({_VALUE})")
_OF_TABLE = re.compile(r"\b([a-z_]+) ([a-z_]+)(?= = )")
_SECTION = re.compile(r"\[\[?([a-z_]+)\]?\]")
_LIST = r"[a-z_]+(?:(?:, | and | or )[a-z_]+)*"
_LEFT_OUT = re.compile(rf"\b[Ll]eave ({_LIST}) out under \[([a-z_]+)\]")
_UNDER = re.compile(rf"(?<![\w\"=] )(?<![\w\"])({_LIST})(?: =)? under \[([a-z_]+)\]")
_WITHIN = re.compile(r"\b([a-z_]+) in ([a-z_]+) under \[([a-z_]+)\]")
_ROW = re.compile(r"\b(add|with) (?:an? )?\[\[([a-z_]+)\]\]")
_IN_PLAN_WORDS = re.compile(rf"\[\[?[a-z_]+\]|\b[a-z_]+ = {_VALUE}")
_BESIDE_TITLE = re.compile(rf"(?<![:”] )\b({_LIST})(?= under “([^”]*)”)")
_NAMED = (
    re.compile(rf"(?<=one of )({_LIST})(?= is needed)"),
    re.compile(rf"(?<=there are )({_LIST})"),
    re.compile(rf"(?<=goes with )({_LIST})(?= only)"),
    re.compile(rf"(?<=[Ll]eave )({_LIST})(?= out)"),
    re.compile(r"(?<=take )([a-z_]+)(?= out)"),
    re.compile(r"(?<=or mend )([a-z_]+)(?=\.)"),
    re.compile(r"(?<=edge is told by )([a-z_]+)"),
    re.compile(r"(?<=in place of )([a-z_]+)(?= \(the lines)"),
    re.compile(rf"(?<= needs )({_LIST})(?= as well)"),
    re.compile(rf"(?<=Add )({_LIST})(?=\.|, or leave )"),
    re.compile(r"(?<![:”] )\b([a-z]+)(?= or “[^”]*” under “)"),
    re.compile(r"\b([a-z]+_[a-z_]+)\b"),
)
_PLAIN = (
    (re.compile(r" \(or --[^)]*\)"), ""),
    (re.compile(r"\bWrite true or false, without quotes"), "Choose yes or no"),
    (re.compile(r"is neither true nor false"), "is neither yes nor no"),
    (re.compile(r", without quotes(?: or a point)?"), ""),
    (re.compile(r"\bit is missing\. Add (“[^”]*”): "), r"\1 is not told yet. Such as: "),
    (re.compile(r" at the top, before the first section\b"), ""),
    (re.compile(r"-\{size\}"), "- and the name of the size"),
    (re.compile(r"\bexactly one of "), "just one of "),
    (
        re.compile(
            r"\band there is none\. (?:Add|Write) path = …; the lines of (.*?) are told by closures edges [^“]*$"
        ),
        r"and none is told. Name the line that is meant among those of \1.",
    ),
    (re.compile(r"\band there is none\. Add one, such as"), "and none is told. Fill in one, such as"),
    (re.compile(r"\bLeave (“[^”]*”) out\b"), r"Empty \1"),
    (re.compile(r"\bleave (“[^”]*”) out\b"), r"empty \1"),
    (re.compile(r"\bLeave it out\b"), "Empty it"),
    (re.compile(r"\bleave it out\b"), "empty it"),
    (re.compile(r"\btake (“[^”]*”) out\b"), r"empty \1"),
    (re.compile(r" \(the lines of [^()]* are told by closures edges [^()]*\)"), ""),
    (re.compile(r"\b[Aa] table (?=is |does )"), "This "),
    (re.compile(r"\b[Tt]rue: ([^.]*), false: "), r"yes: \1, no: "),
    (re.compile(r"\bthe other sections hold\b"), "all other fields hold"),
    (re.compile(r"\bgoes with (“[^”]*”(?:(?:, | and | or )“[^”]*”)*) only\b"), r"only goes with \1"),
    (re.compile(r"\bthe plan does not say(?: it\b)?"), "it is not told"),
    (re.compile(r"`closures cloths` lists them"), "Its field lists them as you type"),
    (re.compile(r"[\[\]{}]+"), ""),
)


_COMMANDS = (
    (re.compile(r": see closures edges [^“]*$"), "."),
    (re.compile(r" ?`closures edges` [^.]*\."), ""),
    (re.compile(r", as closures (?:start [a-z-]+ does|swap lists it)"), ""),
    (re.compile(r', or units = "in" at the top, before the first section'), ""),
    (re.compile(r'(?<=change it: )units = "in" at the top, before the first section'), "write their unit behind them"),
    (re.compile(r"(?<=unit are mm), as units has it(?=, )"), ""),
)
"""What a terminal offers, and the page has no words for; its switch of units changes no length."""

_IN_DRAWING = {
    ("anchor", "at"),
    *(("edge", key) for key in ("path", "from", "to", "via", "under", "under_from", "under_to", "under_via", "line")),
    ("edge", "level_zero"),
}
"""The fields that take a name of the drawing."""

_TITLED = {section.title: name for name, section in BY_NAME.items() if section.title}
_AS_HEADED = (
    (re.compile(r"\ban anchor\b"), "a fixed place"),
    (re.compile(r"\banchor\b"), "fixed place"),
    (re.compile(r"\banchors\b"), "fixed places"),
    (re.compile(r"\bclear zones\b"), "clear stretches"),
    (re.compile(r"\bclear zone\b"), "clear stretch"),
    (re.compile(r"\bthe pitch of (?=\d)"), "the wanted gap of "),
    (re.compile(r"\bthe pitch that (?:is|was) (?:wanted|asked for)"), "the wanted gap"),
    (re.compile(r"\bhold the pitch\b"), "keep the gap"),
    (re.compile(r"\bpitch\b"), "gap"),
)
"""What the page calls fixed places, clear stretches and the wanted gap, as its headings and its fields do."""


def as_headed(text: str) -> str:
    """Call fixed places, clear stretches and the wanted gap as the headings and the fields of the page do."""
    for pattern, plain in _AS_HEADED:
        text = pattern.sub(plain, text)
    return text


def sentences_of(what: str, mend: str) -> str:
    """What is wrong and how to mend it, after each other."""
    return f"{what.rstrip('.')}. {mend}".rstrip()


def in_sentences(error: ClosureError) -> str:
    """Tell an error as it stands by itself: what names no place begins as a sentence does, a file's name as it is."""
    return "\n".join(_begun(str(fault)) if not fault.where else str(fault) for fault in error.faults)


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]


def in_fields(text: str, place: str, own: tuple[str, ...] = ()) -> str:
    """Tell a fault in the words of the fields.

    Args:
        text: what is wrong and how to mend it, in the words of the plan's text.
        place: the field that it speaks of, or the section; empty for none.
        own: names that stay as they are.
    """
    return told_apart(text, own, lambda text: _in_fields(text, place))


def _without_commands(text: str) -> str:
    for pattern, plain in _COMMANDS:
        text = pattern.sub(plain, text)
    return text


def _in_fields(text: str, place: str) -> str:
    section, near, text = _scope(place), _near(place), _without_commands(text)
    text = _LEFT_OUT.sub(lambda m: _emptied(m[1], m[2], m[0]), text)
    text = _WITHIN.sub(_within, text)
    text = _ROW.sub(
        lambda m: f"{'fill in' if m[1] == 'add' else 'with'} “{BY_NAME[m[2]].title}”" if m[2] in BY_NAME else m[0], text
    )
    text = _UNDER.sub(lambda m: _under(m[1], m[2], m[0]), text)
    text = _SECTION.sub(lambda m: f"“{BY_NAME[m[1]].title or m[1]}”" if m[1] in BY_NAME else m[0], text)
    text = _OF_TABLE.sub(lambda m: m[2] if any(f"{one}.{m[1]}.{m[2]}" in FIELDS for one in BY_NAME) else m[0], text)
    held: list[str] = []
    if near is not None:
        text = _literals(text, near, held)
    text = _SAID.sub(lambda m: _assigned(m, section), text)
    text = _BESIDE_TITLE.sub(
        lambda m: re.sub(r"[a-z_]+", lambda w: _called(w[0], _TITLED.get(m[2], section)), m[1]), text
    )
    for pattern in _NAMED:
        text = pattern.sub(lambda m: re.sub(r"[a-z_]+", lambda w: _called(w[0], section), m[1]), text)
    for pattern, plain in _PLAIN:
        text = pattern.sub(plain, text)
    text = as_headed(text)
    # What is to be typed into a field stands as it is: the words before "=" are no fields there.
    text = re.sub(r"\0(\d+)\0", lambda m: held[int(m[1])], text)
    return re.sub(r"(^|[.!?] )([a-z])", lambda m: m[1] + m[2].upper(), text)


def of_its_own(said: str, name: str) -> str:
    """Tell what stands beside a field, or after its name, without calling it by name once more."""
    found = field_named(name)
    label = "" if found is None else f"“{found[0].label}” is not told yet"
    return f"It is not told yet{said.removeprefix(label)}" if label and said.startswith(label) else said


def of_a_placed(text: str, plan: Plan) -> str:
    """Tell the same of a plan that is placed: the names that its user gave stay as they were written."""
    return of_a_plan(text, own=own_names(plan))


def of_a_plan(text: str, section: str = "", own: tuple[str, ...] = ()) -> str:
    """Tell what a check, a drawing or a job says in the words of the fields; what names no key stays as it is.

    Args:
        text: what is said, in which a key may be named in the plan's own words.
        section: where keys stand that are named without their section.
        own: names that stay as they are.
    """
    return told_apart(text, own, lambda text: _of_a_plan(text, section))


def _of_a_plan(text: str, section: str) -> str:
    text = _without_commands(text)
    if not _IN_PLAN_WORDS.search(text):
        return as_headed(text)
    found = _SECTION.search(text)
    told = _in_fields(text, found[1] if found is not None and found[1] in BY_NAME else section)
    # It may begin with a name that somebody gave.
    return text[:1] + told[1:] if told[:1] == text[:1].upper() else told


def offers_in_words(found: Sequence[Repair], text: str) -> tuple[tuple[str, str], ...]:
    """Tell ways to mend a plan in the words of the page, each with the whole text that it gives."""
    own = own_names(text)
    return tuple((of_a_plan(" and ".join(one.words), own=own), one.text) for one in found)


def _within(found: re.Match[str]) -> str:
    """Name a key of a table that stands within a section."""
    key, table, section = found.groups()
    field = FIELDS.get(f"{section}.{table}.{key}")
    return found[0] if field is None else f"“{field.label}” under “{BY_NAME[section].title}”"


def _under(keys: str, section: str, whole: str) -> str:
    """Name keys of a section by their labels, where all of them are its keys."""
    words = re.findall(r"[a-z_]+", keys)
    named = [word for word in words if word not in ("and", "or")]
    if section not in BY_NAME or not all(list(_fields(word, section)) for word in named):
        # The last word alone may be one: "write under_inset under".
        return whole
    told = re.sub(r"[a-z_]+", lambda w: _called(w[0], section), keys)
    return f"{told} under “{BY_NAME[section].title}”"


def _emptied(keys: str, section: str, whole: str) -> str:
    """Say what becomes of fields that are to be left out: a list goes back to what is usual, any other is emptied."""
    told = _under(keys, section, whole)
    field = _field_of(keys, section)
    if told == whole:
        return whole
    if field is not None and field.kind.shape == "switch":
        return f"choose “{field.label}”: {'as is usual' if field.is_on is None else said_of(field, field.is_on)}"
    return f"empty {told}"


def _scope(place: str) -> str:
    """The section that a field stands in, with the key of the table there that it is a part of."""
    head, *rest = place.split(".")
    return f"{head}.{rest[0]}" if rest and any(name.startswith(f"{head}.{rest[0]}.") for name in FIELDS) else head


def _near(place: str) -> Field | None:
    head, _, rest = place.partition(".")
    return FIELDS.get(place) or FIELDS.get(f"{head}.{re.sub(r'^[0-9]+[.]', '', rest)}")


def _called(word: str, section: str) -> str:
    if word in ("and", "or"):
        return word
    found = _field_of(word, section)
    return f"“{found.label}”" if found else f"“{BY_NAME[word].title}”" if word in BY_NAME and word else word


def _assigned(found: re.Match[str], section: str) -> str:
    # "under" tells where it stands, if it stands in another part than the one that is spoken of.
    under = re.match(r"(?:, [\d.]+)* under “([^”]*)”", found.string[found.end() :])
    home = _TITLED.get(under[1], section) if under else section
    field = _field_of(found[1], home)
    if field is None:
        return found[0]
    if len(field.path) > 1 and found[2].startswith("{"):
        return ", ".join(_inner(field, found[2])) or found[0]
    return f"“{field.label}”: {_shown(field, found[2])}"


def _inner(field: Field, literal: str) -> Iterator[str]:
    """A table that is told in one line, whose keys are fields of their own."""
    try:
        table = _read(literal)
    except tomllib.TOMLDecodeError:
        return
    for key, value in table.items():
        one = FIELDS.get(f"{field.section.name}.{field.path[0]}.{key}")
        if one is not None:
            yield f"“{one.label}”: {said_of(one, value)}"


def _literals(text: str, field: Field, held: list[str]) -> str:
    def kept(found: re.Match[str]) -> str:
        if found[0].startswith("= "):
            return found[0]
        held.append(_shown(field, found[0]))
        return f"\0{len(held) - 1}\0"

    return re.sub(rf"= {_LIST_OF}|(?<!= )(?:\[(?:\[|\{{|\"|-?\d).*\]|\{{ .*? \}})(?=[.,;]|$| from )", kept, text)


def _shown(field: Field, literal: str) -> str:
    try:
        return said_of(field, _read(literal))
    except (tomllib.TOMLDecodeError, TypeError, ValueError, KeyError, AttributeError):
        return literal


def said_of(field: Field, value: Any) -> str:
    """What one chooses or writes in a field for a value."""
    # What was written is to be typed as it stands: a scale has more decimals than a field shows.
    told = value if isinstance(value, str) else shown(field.kind, value)
    chosen = CHOICES.get(field.name, {}).get(told)
    return told if chosen is None else f"“{chosen}”"


@lru_cache(maxsize=64)
def _read(literal: str) -> Any:
    return tomllib.loads(f"it = {literal}")["it"]


def _field_of(key: str, section: str) -> Field | None:
    """The field of a key: of the section that is spoken of, else the only one of that name."""
    own = list(_fields(key, section))
    every = own or list(_fields(key, ""))
    if len(every) > 1 and not own:
        # A drawing lies on a band: what is said of one and is told elsewhere too is the band's.
        every = [field for field in every if field.section.name == "band"]
    return every[0] if own or len(every) == 1 else None


def _fields(key: str, section: str) -> Iterator[Field]:
    section, _, table = section.partition(".")
    if table and f"{section}.{table}.{key}" in FIELDS:
        yield FIELDS[f"{section}.{table}.{key}"]
    for field in FIELDS.values():
        if field.path[-1] == key and section in ("", field.section.name):
            yield field
    if section:
        yield from (field for field in FIELDS.values() if field.section.name == section and field.path[0] == key)


def _names_drawn(name: str) -> bool:
    """Whether a field takes the name of a line or a point of the drawing."""
    found = field_named(name)
    return found is not None and (found[0].section.name, found[0].path[-1]) in _IN_DRAWING


def place_of(where: str, text: str, typed: Mapping[str, str] | None = None) -> str:
    """Find the field of a place in a plan, its section where it has none; empty where it is no place in a plan.

    Args:
        where: the place; of a thing in a drawing it is the one field that names that thing.
        text: the plan's text, empty where there is none yet.
        typed: what stands in the fields in place of what the text says.
    """
    if isinstance(where, OfDrawing):
        told = {**(values_of(text) if text else {}), **(typed or {})}
        named = [name for name, value in told.items() if _names_drawn(name) and where.name in value.split("; ")]
        return named[0] if len(named) == 1 else ""
    if not isinstance(where, Where) or not (where.section or where.key):
        return ""
    nth = where.nth or (nth_of(text, where.section, where.name) if where.name else 0) or 0
    section = f"{where.section}.{nth - 1}" if nth else where.section
    words = where.key.split()
    # What is within a value stands after its key: "first to".
    for many in range(len(words), 0, -1):
        path = ".".join(words[:many])
        if f"{where.section}.{path}" in FIELDS:
            return f"{section}.{path}"
    return f"{section}.name" if nth and where.name else section
