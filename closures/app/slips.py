"""Answers as people type them: what is plainly meant is understood, all else is left for the question to ask again.

Nothing here guesses: a word is dropped or a sign put in only where one thing can be meant, and whoever asks says back
what it understood.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from closures.nearest import NUMBER_WORDS, in_figures
from closures.plan.layers import PURPOSES

_NUMBER = rf"\d{{1,3}}|{'|'.join(NUMBER_WORDS)}"
_ABOUT = re.compile(
    r"^(?:it is |it's |it will be )?(?:about|around|approximately|approx\.?|roughly|ca\.?|circa|some|~)\s*", re.I
)
_ITS = re.compile(r"^(?:it is|it's|they are)\s+", re.I)
_UNKNOWN = re.compile(
    r"(?:i\s+)?(?:do\s?n['’]?t|do\s+not|dunno|no\s+idea|not\s+sure|unsure|unknown|i\s+have\s+no\s+idea|idk|\?+)"
    r"(?:\s+(?:really\s+)?know)?(?:\s+yet)?[.!]?|i['’]?m not sure[.!]?",
    re.I,
)
_NO = re.compile(r"(?:no|none|nothing|nowhere|nope|no thanks?|no thank you|-|–)(?: more)?[.!]?", re.I)
_YES = re.compile(r"(?:yes|y|yes,? please|please|ok|okay|sure|si|ja|oui)[.!]?", re.I)
_COUNTED = re.compile(
    rf"({_NUMBER})(?:\s*(?:x|×|of them|pieces?|pcs)?\s*(?:[a-z-]+ ){{0,3}}"
    r"(?:snap|button|hook|eyelet|closure|fastener|stud|magnet)s?)?"
    r"(?:\s+of them)?",
    re.I,
)
_APART = re.compile(
    r"^(?:one\s+)?(?:every|each|gaps?\s+of)\s+|\s+(?:apart|between|between them|from each other)$", re.I
)
_PLACED = re.compile(r"(?P<name>.*?[^\W\d_])[\s,:]+(?:(?:at|from|between)\s+)?(?P<at>along\s+\S.*|[\d½¼¾⅛⅜⅝⅞].*)", re.I)
# What stands before a figure and is no name: "5 or 6", "about 3 or 4".
_NO_NAME = re.compile(r"^[\d½¼¾⅛⅜⅝⅞]|\b(?:or|and|to|about|every)$", re.I)
_FRACTION = re.compile(r"(?:\d+(?:\s+|-))?\d+\s*[/⁄]\s*\d+|\d*\s*[½¼¾⅛⅜⅝⅞]")
_LAYERS = re.compile(
    rf"(?P<count>{_NUMBER}|a|double)\s*(?:x|×|times)?\s*(?:layers?|plies|ply)?\s*(?:of\s+)?(?P<cloth>[^\W\d_].*)", re.I
)
_LAYERS_LAST = re.compile(
    rf"(?P<cloth>[^\W\d_].*?)[\s,]+(?:x\s*)?(?P<count>{_NUMBER})\s*(?:x|layers?|times|plies|ply)?", re.I
)

_AS = re.compile(rf"\s+as\s+(?:the\s+|an?\s+)?({'|'.join(sorted(PURPOSES, key=len, reverse=True))})$", re.I)

# A figure is one part with its decimals: the 5 of 9.5 mm is none that anybody means.
_PARTS = re.compile(r"\d+(?:[./]\d+)*|[^\W\d_][^\W_]*")


def is_unknown(told: str) -> bool:
    """Whether somebody says that they do not know."""
    return _UNKNOWN.fullmatch(told.strip()) is not None


def is_no(told: str) -> bool:
    """Whether somebody says that there is none."""
    return _NO.fullmatch(told.strip()) is not None


def is_yes(told: str) -> bool:
    """Whether somebody says yes to a question that asks for more than that."""
    return _YES.fullmatch(told.strip()) is not None


def length_meant(told: str, units: str = "") -> str:
    """A length without the words about it: ``about 40 cm.`` is 40 cm; where bare numbers are inches, 1 1/2 is 1 1/2 in.

    Args:
        told: what was typed.
        units: what a bare number means, mm or in; empty where that is not known.
    """
    bare = _ITS.sub("", _ABOUT.sub("", told.strip()))
    bare = re.sub(r"(?<=[a-z])\.$", "", re.sub(r"\s+(?:long|wide|or so)\.?$", "", bare))
    return f"{bare} in" if units == "in" and _FRACTION.fullmatch(bare) else bare


def row_meant(told: str, units: str = "") -> tuple[str, str]:
    """``count`` or ``pitch`` and its value: ``8 snaps`` is a count, ``every 3 in`` a pitch."""
    bare = length_meant(told, units)
    counted = _COUNTED.fullmatch(bare)
    if counted is not None:
        return "count", _figure(counted[1])
    return "pitch", length_meant(_APART.sub("", bare), units)


def place_meant(told: str, units: str = "") -> str:
    """A named place with its sign: ``bust at 9 1/4 in`` is ``bust @ 9 1/4 in``."""
    name, sign, at = told.strip().partition("@")
    if not sign:
        found = _PLACED.fullmatch(told.strip())
        if found is None or _NO_NAME.search(found["name"]):
            return told
        name, at = found["name"], length_meant(found["at"]).replace(" and ", " to ")
    along = "along " if at.strip().lower().startswith("along ") else ""
    bare = at.strip()[len(along) :]
    lengths = [length_meant(part, units) for part in re.split(r"(?<=\S) to (?=\S)", bare)]
    if sign and lengths == [bare]:
        return told
    return f"{name.strip()} @ {along}{' to '.join(lengths)}"


def layer_meant(told: str, units: str = "") -> str:
    """Layers of a cloth with their sign: ``2 linen`` and ``linen, two layers`` are ``2 x linen``."""
    told = told.strip().rstrip(".")
    purpose = _AS.search(told)
    told = told if purpose is None else told[: purpose.start()]
    own = "" if purpose is None else f" as {purpose[1].lower()}"
    lap = re.search(r"\s+on\s+(?:the\s+)?(over|under|both)(?:\s+laps?|\s+sides?)?$", told, re.I)
    cloth = told if lap is None else told[: lap.start()]
    found = _LAYERS.fullmatch(cloth) or _LAYERS_LAST.fullmatch(cloth)
    if found is None or re.match(r"(?:mm|cm|in|inch|oz)\b", found["cloth"], re.I):
        return told + own
    count = {"a": "1", "double": "2"}.get(found["count"].casefold(), found["count"])
    return f"{_figure(count)} x {found['cloth']}" + (f" on {lap[1].lower()}" if lap else "") + own


def choice_meant(told: str, words: Iterable[str], has_numbers: bool = True) -> tuple[str, ...]:
    """What of several may be meant: by its number, its name, or a part of it that only this one has.

    Args:
        told: what was typed.
        words: the names of the choices, or what is said of them.
        has_numbers: whether they are numbered, from 1.

    Returns:
        The one that is meant; several where more than one has the part; none where none has.
    """
    words = tuple(words)
    bare = re.sub(r"^(?:number|no\.?|nr\.?|the|a|an)\s+", "", told.strip().strip(".)!").casefold())
    if not bare:
        return ()  # Enter alone chooses nothing, also where some choices have no words of their own
    exact = tuple(word for word in words if word.casefold() == bare or word.casefold() == bare.removesuffix("s"))
    if exact:
        return exact
    number = _figure(bare)
    if number.isdecimal() and has_numbers:
        return (words[int(number) - 1],) if 1 <= int(number) <= len(words) else ()
    parts = [part.removesuffix("s") for part in _PARTS.findall(bare) if part not in ("the", "it", "is", "a")]
    looked_for = [rf"(?<![\d.]){re.escape(p)}(?![\d.]*\d)" if p[0].isdecimal() else rf"\b{re.escape(p)}" for p in parts]
    return tuple(word for word in words if parts and all(re.search(one, word.casefold()) for one in looked_for))


def _figure(told: str) -> str:
    return in_figures(told) or told
