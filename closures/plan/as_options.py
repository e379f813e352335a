"""What is said of a plan, in the words of somebody who has none: by the option that is to be typed.

What is wrong, assumed or advised is written once, in the words of a plan: ``write inset = "18 mm" under [band]``. A job
that is told by options alone has no sections. Here a key becomes its option, or ``--set "section.key = value"`` where
it has none of its own, and a section the option by which one begins it. The page does the same with its labels.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Any

from closures.errors import ClosureError, Fault, Where
from closures.plan.naming import OptionNaming, begun
from closures.plan.one_line import shown
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section

_VALUE = r'(?:"[^"]*"|\[[^=]*?\](?=[.,;)\s]|$)|\{[^}]*\}|true\b|false\b|-?\d[\d.]*\d|\d)'
_LITERAL = re.compile(r"(?<!= )(?:\[(?:\[|\{|\"|-?\d).*\]|\{ .* \})(?=[.,;]|$)")
_HELD = "⟦⟧"
_SAID = re.compile(rf"(?<![\w.-])([a-z][a-z_]*) = ({_VALUE})")
_HEADING = re.compile(r"`?\[\[?([a-z_]+)\]\]?`?")
_UNDER = re.compile(r"\b(?:[Uu]nder|below|out of|[Ii]n) \[\[?([a-z_]+)\]")
_LIST = r"[a-z_]+(?:(?:, | and | or )[a-z_]+)*"
_FROM = r"(?:under|out of|below|in|at)"
_OF = re.compile(rf"(?<![\w\"-])({_LIST})(?: =)? {_FROM} \[\[?([a-z_]+)\]\]?")
_BEFORE = re.compile(rf"\b(?:([Uu])nder|([Ii])n) \[\[?([a-z_]+)\]\]?:? ((?:write )?)({_LIST})\b(?! =)")
_KEY_OF = re.compile(r"(?<!\[)\[([a-z_]+)\] ([a-z_]+)(?: ([a-z_]+))?\b(?! =)")
_ROW = re.compile(r'\[\[([a-z_]+)\]\] name = "([^"]*)"')
_STANDS = re.compile(r", (?:under|below|in|of) ⟦[a-z_]+⟧,?| (?:under|below|in|of) ⟦[a-z_]+⟧")
_STANDS_FIRST = re.compile(r"\bUnder ⟦[a-z_]+⟧,? ([a-z])")
_LEFT = re.compile(r"\bunder ⟦([a-z_]+)⟧")
_MARKED = re.compile(r"(?:\ban? )?⟦([a-z_]+)⟧")
_HINT = re.compile(r" \(or --[^)]*\)")
_NAMED = tuple(
    re.compile(pattern)
    for pattern in (
        rf"(?<=one of )({_LIST})(?= is needed)",
        rf"(?<=there are )({_LIST})\b",
        rf"(?<=goes with )({_LIST})(?= only)",
        rf"(?<=Leave )({_LIST})(?= out)",
        rf"(?<= needs )({_LIST})(?= as well)",
        rf"(?<=Add )({_LIST})(?=\.)",
        r"(?<=edge as )(path)\b",
        r"(?<= as )(under|path|apart|level|first|last)(?=[.,;]| and)",
        r"(?:(?<= by )|(?<=exchange ))(from and to|under)\b",
        r"(?<![\w\"⟦.-])([a-z]+_[a-z_]+)\b(?! =)",
    )
)
_PLAIN = (
    (re.compile(r"\b(T|t)he plan does not say what opens"), r"\1he job does not say what opens"),
    (re.compile(r"\b(T|t)he plan (does not|tells|has)\b"), r"\1he job \2"),
    (re.compile(r"\bwrite in the plan (?=--)"), "write "),
    (re.compile(r', within --set "[^"]*"'), ""),
    (re.compile(r" at the top, before the first section\b"), ""),
)
# Words that are keys too, and that sentences need for themselves.
_COMMON = frozenset({"and", "or", "in", "on", "for", "at", "of"})


def in_options(text: str, *spoken_of: str) -> str:
    """Tell what is said in the words of a plan by options.

    Args:
        text: what is said, in which a key may be named in the plan's own words.
        spoken_of: the sections in which keys stand that are named without one, nearest first.

    Returns:
        The same, with no section in it.
    """
    if not (_HEADING.search(text) or _SAID.search(text) or spoken_of):
        return text
    under = [name for name in _UNDER.findall(text) if name in _BY_NAME]
    homes = [name for name in _HEADING.findall(text) if name in _BY_NAME]
    text = _HINT.sub("", text)
    text = _ROW.sub(lambda found: f'{_begun(found[1])} "{found[2]} @ ..."' if found[1] in _BY_NAME else found[0], text)
    # What is named without a section, and is no key of those that are spoken of, is of the edge: most sentences are.
    near = (*under, *spoken_of, *homes, "edge")
    text = _OF.sub(lambda found: _listed(found[1], found[2], found[0]), text)
    text = _BEFORE.sub(_told_after, text)
    text = _KEY_OF.sub(_of_heading, text)
    text = _SAID.sub(lambda found: _assigned(found, near), text)
    text = _HEADING.sub(lambda found: f"⟦{found[1]}⟧" if found[1] in _BY_NAME else found[0], text)
    for pattern in _NAMED:
        text = pattern.sub(lambda found: _each(found[1], near), text)
    if "--" in text:
        text = _STANDS_FIRST.sub(lambda found: found[1].upper(), text)
        text = _STANDS.sub("", text)
    text = _LEFT.sub(lambda found: f"with {_begun(found[1])}", text)
    text = _MARKED.sub(lambda found: _begun(found[1]), text)
    for pattern, plain in _PLAIN:
        text = pattern.sub(plain, text)
    return text


def error_in_options(error: ClosureError) -> ClosureError:
    """The same error with its places and its words told by options."""
    error.faults = tuple(_fault(fault) for fault in error.faults)
    return error


def _fault(fault: Fault) -> Fault:
    where, near, key = fault.where, _HEADING.findall(fault.what), None
    if isinstance(where, Where):
        near = [where.section, *near] if where.section else near
        key = _at(where)
        if not where.told and not where.file:
            where = OptionNaming().place(_BY_NAME.get(where.section, TOP), where.nth, where.key, where.name)
    else:
        where = in_options(where)
    literals = [] if key is None else _LITERAL.findall(fault.mend)
    mend = in_options(_LITERAL.sub(_HELD, fault.mend) if literals else fault.mend, *near)
    for literal in literals:
        mend = mend.replace(_HELD, _in_line(key, literal), 1)
    return replace(fault, where=where, what=in_options(fault.what, *near), mend=mend)


def _at(where: Where) -> Key | None:
    """The key that a place names, or the one that it is within."""
    section, found = _BY_NAME.get(where.section), None
    for name in where.key.split():
        key = None if section is None else section.key(name)
        if key is None:
            break
        section, found = (key.kind if isinstance(key.kind, Section) else None), key
    return found


def _in_line(key: Key | None, literal: str) -> str:
    """A value that is written out in TOML, as it is typed."""
    if key is None:
        return literal
    try:
        value = tomllib.loads(f"it = {literal}")["it"]
    except tomllib.TOMLDecodeError:
        return literal
    return literal if isinstance(key.kind, Section) else _value(key, value, literal)


_BY_NAME = {section.name: section for section in (TOP, *SECTIONS)}


@lru_cache(maxsize=1)
def _keys() -> dict[str, list[tuple[Section, tuple[str, ...], Key]]]:
    """Every key of a plan by its own name, with its section and the tables on the way."""
    found: dict[str, list[tuple[Section, tuple[str, ...], Key]]] = {}

    def walk(section: Section, home: Section, path: tuple[str, ...]) -> None:
        for key in section.keys:
            found.setdefault(key.name, []).append((home, (*path, key.name), key))
            if isinstance(key.kind, Section):
                walk(key.kind, home, (*path, key.name))

    for section in (TOP, *SECTIONS):
        walk(section, section, ())
    return found


def _find(name: str, near: tuple[str, ...]) -> tuple[Section, tuple[str, ...], Key] | None:
    """The key that a name stands for: of a section that is spoken of, else the only one of that name."""
    every = _keys().get(name, [])
    own = [one for home in near for one in every if one[0].name == home and (home != "edge" or len(one[1]) == 1)]
    own += [one for home in near[:-1] for one in every if one[0].name == home]
    if own:
        return own[0]
    return every[0] if len(every) == 1 else None


def _option(found: tuple[Section, tuple[str, ...], Key], value: Any = None, literal: str = "") -> str:
    """What is typed for a key, with a value or without."""
    home, path, key = found
    told = "" if value is None and not literal else _value(key, value, literal)
    if key.option:
        if told in ("yes", "no") and isinstance(value, bool):
            return key.option if value else f"no {key.option}"
        if not told:
            return key.option
        return f"{key.option} {told}" if re.fullmatch(r"[\w./-]+", told) else f'{key.option} "{told}"'
    if home.repeated and home.option and len(path) == 1:
        return f"{path[0]} {told} of {home.option}" if told else f"{path[0]} of {home.option}"
    name = ".".join((home.name, *(("1",) if home.repeated else ()), *path) if home.name else path)
    return f'--set "{name} = {told or "..."}"'


def _value(key: Key, value: Any, literal: str) -> str:
    if isinstance(key.kind, Section) or value is None:
        return literal.strip('"').replace('"', "")
    return shown(key.kind, value).replace('"', "").replace("\n", "; ")


def _assigned(said: re.Match[str], near: tuple[str, ...]) -> str:
    found = _find(said[1], near)
    if found is None:
        return said[0]
    try:
        value = tomllib.loads(f"it = {said[2]}")["it"]
    except tomllib.TOMLDecodeError:
        value = None
    if isinstance(found[2].kind, Section) and isinstance(value, dict):
        return " ".join(_inner(found, value))
    return _option(found, value, said[2])


def _inner(found: tuple[Section, tuple[str, ...], Key], table: dict[str, Any]) -> Iterator[str]:
    """A table that is told in one line, each of whose keys is told by itself."""
    home, path, key = found
    for name, value in table.items():
        one = key.kind.key(name) if isinstance(key.kind, Section) else None
        if one is not None:
            yield _option((home, (*path, name), one), value, str(value))


def _each(words: str, near: tuple[str, ...]) -> str:
    return re.sub(r"[a-z_]+", lambda word: _called(word[0], near), words)


def _called(word: str, near: tuple[str, ...]) -> str:
    found = None if word in _COMMON else _find(word, near)
    return word if found is None or (not near and "_" not in word) else _option(found)


def _listed(keys: str, section: str, whole: str) -> str:
    """Name keys of a section by their options, where all of them are its keys; else as many of the last as are."""
    if section not in _BY_NAME:
        return whole
    parts = re.split(r"( and | or |, )", keys)
    begin = len(parts)
    while begin > 0 and _own(parts[begin - 1], section):
        begin -= 2
    begin = max(begin, -1) + 1
    if begin >= len(parts):
        return whole
    told = "".join(_each(part, (section,)) if n % 2 == 0 else part for n, part in enumerate(parts[begin:]))
    return "".join(parts[:begin]) + told + (" out" if " out of [" in whole else "")


def _own(word: str, section: str) -> bool:
    return any(home.name == section for home, _, _ in _keys().get(word, []))


def _told_after(found: re.Match[str]) -> str:
    """``In [pull]: ease, state``: keys that follow on the name of their section."""
    section, words = found[3], found[5]
    parts = re.split(r"( and | or |, )", words)
    if not all(_own(word, section) for word in parts[::2]):
        return found[0]
    # Here even "at" is a key and no word of the sentence.
    return found[4] + "".join(_keyed(part, section) if n % 2 == 0 else part for n, part in enumerate(parts))


def _keyed(word: str, section: str) -> str:
    found = _find(word, (section,))
    return word if found is None else _option(found)


def _of_heading(found: re.Match[str]) -> str:
    """``[edge] arc length``: a key behind the name of its section, as places are named."""
    section, key, inner = found[1], found[2], found[3]
    if section not in _BY_NAME or not _own(key, section):
        return found[0]
    held = next(one for one in _keys()[key] if one[0].name == section)
    if inner and isinstance(held[2].kind, Section) and held[2].kind.key(inner):
        return _option((held[0], (*held[1], inner), held[2].kind.key(inner)))  # type: ignore[arg-type]
    return _option(held) + (f" {inner}" if inner else "")


def _begun(section: str) -> str:
    return _BY_NAME[section].option or begun(_BY_NAME[section])
