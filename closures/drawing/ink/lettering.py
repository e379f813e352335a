"""Words as outlines, from a font that comes with the package.

Fonts differ from machine to machine and some machines have none. The outlines here come from
Source Sans Pro (SIL Open Font License), read once for each letter and kept.
"""

from __future__ import annotations

import re
from functools import lru_cache
from threading import Lock
from typing import TYPE_CHECKING, Any
from unicodedata import name as called
from unicodedata import normalize

from closures.errors import OutputError
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from closures.drawing.ink.shapes import Command, Weight, Words

EM = 1000
CAP_HEIGHT = 0.66
"""About how high capitals stand, as a share of the em, round ones with their overshoot: words are centred by it."""
LEAST_CAP_HEIGHT, LEAST_FIGURE_HEIGHT = 0.652, 0.635
"""The lowest that flat capitals and figures are drawn, those of the bold face, as shares of the em."""
_FACES = {"regular": "SourceSansPro", "semibold": "SourceSansProSemibold", "bold": "SourceSansProBold"}
# The last two stand for numbers that are settled later, of at most two figures.
_SPELT = {
    "⁄": "/", "→": "->", "‑": "-", "\t": " ", "\n": " ", "\u00a0": " ", "\u2009": " ", "\u202f": " ",
    "\u00ad": "", "\u200b": "", "\u200d": "", "\ufe0f": "", "\ufeff": "", "\ue000": "00", "\ue001": "00",
}  # fmt: skip


_FIGURE = re.compile(r"\(?[\d./]+(?: \d+/\d+)?$")
_HYPHENED = re.compile(r"[^-]+-*|-+")
_SLASH = "/"
UNBROKEN = "\u00a0"
"""A space at which no line is broken; it is written as any other."""

_WORD = re.compile(rf"(?:\S|{UNBROKEN})+")
_COUNT = re.compile(r"(\d) of (\d)")
_OF_FIGURE = re.compile(r"(?:\d+/\d+|mm|cm|in|%|L)\W*$")


@frozen
class Glyph:
    """One letter in font units, 1000 to the em, y up.

    Attributes:
        advance: how far the next letter stands from this one.
        commands: the outline, closed subpaths of M, L, C and Z.
        box: left, lowest, right, highest; all 0 for a blank.
    """

    advance: int
    commands: tuple[Command, ...]
    box: tuple[int, int, int, int]


_READING = Lock()
"""A font is unpacked letter by letter as it is read, in one place for all: two threads at once get broken outlines."""


@lru_cache(maxsize=3)
def _face(weight: Weight) -> tuple[Any, dict[int, str]]:
    try:
        import font_source_sans_pro
        from fontTools.ttLib import TTFont
    except ImportError as error:
        raise OutputError(
            f"the lettering needs the package {error.name}", mend="Install it beside closures."
        ) from error
    font = TTFont(font_source_sans_pro.font_files_otf[_FACES[weight]], lazy=True)
    return font.getGlyphSet(), font.getBestCmap()


@lru_cache(maxsize=1024)
def glyph(char: str, weight: Weight) -> Glyph:
    """Look up the outline of one letter.

    Raises:
        OutputError: the font lacks it, or is not installed.
    """
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    with _READING:
        glyphs, names = _face(weight)
    pen = DecomposingRecordingPen(glyphs)
    if ord(char) not in names:
        raise _missing(char, (char,))
    with _READING:
        shape = glyphs[names[ord(char)]]
        shape.draw(pen)
        width = round(shape.width)
    letters = {"moveTo": "M", "lineTo": "L", "curveTo": "C", "closePath": "Z", "endPath": "Z"}
    commands: list[Command] = []
    xs: list[int] = [0]
    ys: list[int] = [0]
    for name, points in pen.value:
        numbers = [round(value) for point in points for value in point]
        commands.append((letters[name], *numbers))
        xs += numbers[0::2]
        ys += numbers[1::2]
    box = (min(xs), min(ys), max(xs), max(ys)) if commands else (0, 0, 0, 0)
    return Glyph(width, tuple(commands), box)


# Labels are measured again at every place where they are tried.
@lru_cache(maxsize=4096)
def spelt(text: str) -> str:
    """Write a text in letters that the font draws, the way every reader can search for it.

    Raises:
        OutputError: the font lacks some of them: no sheet goes out with a sign in their place.
    """
    letters = "".join(_SPELT.get(char, char) for char in normalize("NFC", text))
    _, names = _face("regular")
    missing = tuple(dict.fromkeys(char for char in letters if ord(char) not in names))
    if missing:
        raise _missing(text, missing)
    return letters


def _missing(text: str, chars: Sequence[str]) -> OutputError:
    told = ", ".join(
        f"{char if char.isprintable() else 'a sign'} ({called(char, hex(ord(char)))})" for char in chars[:3]
    )
    more = f" and {len(chars) - 3} more" if len(chars) > 3 else ""
    return OutputError(
        f"the sheets cannot letter '{text}': their font has no {told}{more}",
        mend="Write it in Latin, Greek or Cyrillic letters, as it is spoken.",
    )


def set_glyphs(text: str, weight: Weight) -> tuple[tuple[int, str, Glyph], ...]:
    """Set a line of type: for each letter its place on the baseline in font units, itself, its outline."""
    place = 0
    result: list[tuple[int, str, Glyph]] = []
    for char in spelt(text):
        letter = glyph(char, weight)
        result.append((place, char, letter))
        place += letter.advance
    return tuple(result)


def width_of(text: str, size_mm: float, weight: Weight = "regular") -> float:
    """Measure a line of type, in mm."""
    return _advance_of(text, weight) * size_mm / EM


@lru_cache(maxsize=4096)
def _advance_of(text: str, weight: Weight) -> int:
    return sum(glyph(char, weight).advance for char in spelt(text))


@lru_cache(maxsize=4096)
def ink_of(text: str, weight: Weight) -> tuple[float, float]:
    """Measure how far the letters of a text reach below and above the baseline, in em, y up."""
    boxes = [glyph(char, weight).box for char in spelt(text)]
    return (min((box[1] for box in boxes), default=0) / EM, max((box[3] for box in boxes), default=0) / EM)


def start_of(words: Words) -> tuple[float, float]:
    """Find the left end of the baseline, in mm, before the words are turned by their angle.

    The turn is about ``words.x, words.y``; the place returned is relative to that point.
    """
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.align]
    return (-share * width_of(words.text, words.size_mm, words.weight), 0.0)


def fitted_size(text: str, size_mm: float, room_mm: float, weight: Weight = "regular") -> float:
    """Find the size, at most `size_mm`, at which a line of type is no wider than `room_mm`."""
    width = width_of(text, size_mm, weight)
    return size_mm if width <= room_mm else size_mm * room_mm / width


def wrapped(text: str, size_mm: float, room_mm: float, weight: Weight = "regular") -> tuple[str, ...]:
    """Break a text between words into lines no wider than `room_mm`; a longer word at its hyphens, or where it must be.

    A figure stays with its fraction and its unit: "2" at the end of a line and "in" on the next are read wrong. One
    length stays with the same in other units behind a slash. Words with spaces between them that break no line stay
    together.
    """

    def is_let(words: str) -> bool:
        return width_of(words, size_mm, weight) <= room_mm

    lines: list[str] = []
    for word in _both_ways(_with_units(_WORD.findall(text), size_mm, room_mm, weight), is_let):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size_mm, weight) <= room_mm:
            lines[-1] = longer
            continue
        lines.append("")
        # Cut within itself only where it is too long for a line: first into what its hyphens part.
        for part in (word,) if is_let(word) else _HYPHENED.findall(word):
            if lines[-1] and not is_let(lines[-1] + part):
                lines.append("")
            for char in (part,) if is_let(lines[-1] + part) else part:
                if lines[-1] and not is_let(lines[-1] + char):
                    lines.append("")
                lines[-1] += char
    return tuple(line.replace(UNBROKEN, " ") for line in lines)


def counts_kept_whole(text: str) -> str:
    """The text, with spaces that break no line in what says which of how many: "7 of" and "7" are two numbers."""
    return _COUNT.sub(rf"\1{UNBROKEN}of{UNBROKEN}\2", text)


def _both_ways(words: Sequence[str], is_let: Callable[[str], bool]) -> list[str]:
    """Words of a text, what a slash parts joined as far as it is let; else the slash goes with what it comes before."""
    kept: list[str] = []
    for word in words:
        joins = kept and (word == _SLASH or kept[-1] == _SLASH or kept[-1].endswith(f" {_SLASH}"))
        if joins and is_let(f"{kept[-1]} {word}"):
            kept[-1] = f"{kept[-1]} {word}"
        elif joins and kept[-1].endswith(f" {_SLASH}"):
            kept[-1] = kept[-1].removesuffix(f" {_SLASH}")
            kept.append(f"{_SLASH} {word}")
        else:
            kept.append(word)
    return kept


def _with_units(words: Sequence[str], size_mm: float, room_mm: float, weight: Weight) -> list[str]:
    """Words of a text, figures joined to what belongs to them as far as that is no wider than the room."""
    kept: list[str] = []
    for word in words:
        longer = f"{kept[-1]} {word}" if kept else word
        if kept and _FIGURE.match(kept[-1]) and _OF_FIGURE.match(word) and width_of(longer, size_mm, weight) <= room_mm:
            kept[-1] = longer
        else:
            kept.append(word)
    return kept
