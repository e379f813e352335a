"""Lengths: the way people write them, to mm and back.

One grammar reads them all, anchored at both ends, so that a text is either a length as a
whole or refused. Inside, a length is an exact fraction of a millimetre. A *line* (also
*ligne*) is the button trade's unit of diameter, 1/40 inch.
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from closures.errors import LengthError
from closures.nearest import INCH_ABROAD, nearest_length, nearest_name

if TYPE_CHECKING:
    import pint

__all__ = [
    "LARGEST_MM",
    "SMALLEST_MM",
    "format_both",
    "format_inches",
    "format_length",
    "format_mm",
    "is_length",
    "parse_length",
    "parse_length_mm",
    "shown_value",
    "unit_in_mm",
    "unit_of",
]

LARGEST_MM = 100_000
"""100 m: far beyond any garment, so a larger figure is a slip of the pen."""

SMALLEST_MM = Fraction(1, 10**6)
"""A nanometre: below it a length other than 0 is a slip too, and could not be written in full."""

# The inch has been 25.4 mm exactly since the international yard and pound agreement of 1959.
_INCH_MM = Fraction(254, 10)
# Nearly every plan is written in these two. pint does the others: importing it and making its registry takes about
# 150 ms of processor time (three runs on the machine it was written on), nine times what this module takes.
_FREQUENT_MM = {"mm": Fraction(1), "in": _INCH_MM}

_DEFINITIONS = (
    "mm = [length]",
    "cm = 10 mm",
    "m = 1000 mm",
    "in = 25.4 mm",
    "ft = 12 in",
    "yd = 36 in",
    "line = 1/40 in",
)

_SPELLINGS = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "in": ("in", "inch", "inches", '"', "″", "”"),
    "ft": ("ft", "foot", "feet"),
    "yd": ("yd", "yds", "yard", "yards"),
}
# A small l is left out: "16 l" is too easily read as 161.
_SIZE_SPELLINGS = ("L", "line", "lines", "ligne", "lignes")
_UNIT_OF = {spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings}

_VULGAR = {sign: Fraction(*map(int, unicodedata.normalize("NFKC", sign).split("⁄"))) for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"}

# Pasted texts bring no-break and thin spaces along.
_SPACE = "[ \t\u00a0\u2009\u202f]"
_LENGTH = re.compile(
    rf"""
    (?P<sign>[-−])?
    (?: (?P<decimal> [0-9]+ (?:\.[0-9]+)? | \.[0-9]+ )
      | (?: (?P<whole>[0-9]+) (?:{_SPACE}+|-) )?   (?P<top>[0-9]+) [/⁄] (?P<bottom>[0-9]+)
      | (?: (?P<before>[0-9]+) (?:{_SPACE}*|-) )?  (?P<vulgar>[{"".join(_VULGAR)}])
    )
    (?: {_SPACE}* (?P<unit>[A-Za-z]+|["″”]) )?
    """,
    re.VERBOSE,
)
SAME_MM = 1e-6
"""Two lengths that differ by less are one: a thousand times what floats lose on the way, far below any thread."""
TOLD_ALIKE_MM = 0.05
"""Lengths that differ by less are told alike, to a tenth of a millimetre."""
_LONGEST_TEXT = 60
# A millionth of a micrometre: far above what floats lose, far below what is shown.
_NOISE_DECIMALS = 9
_SIXTEENTHS = tuple(str(Fraction(i, 16)) for i in range(16))


def parse_length(
    text: object,
    units: str = "mm",
    *,
    sizes: bool = False,
    least_mm: float | None = 0,
    zero: bool = True,
    where: str = "",
) -> Fraction:
    """Read a length exactly.

    Args:
        text: a text such as ``1 1/2 in``, or a bare int or float.
        units: the unit that a bare number is in.
        sizes: take button lines too, ``16 L``.
        least_mm: refuse anything less; None lets any length pass, negative ones too.
        zero: whether 0 makes sense.
        where: the place to name in an error.

    Returns:
        The length in mm, exact.

    Raises:
        LengthError: it is no length, or one that makes no sense here.

    >>> parse_length("1 1/2 in")
    Fraction(381, 10)
    """
    if isinstance(text, str):
        length_mm = _read_text(text, units, sizes, where)
    else:
        length_mm = _read_number(text, where) * unit_in_mm(units)
    _refuse_senseless(length_mm, text, least_mm, zero, where)
    return length_mm


def parse_length_mm(
    text: object,
    units: str = "mm",
    *,
    sizes: bool = False,
    least_mm: float | None = 0,
    zero: bool = True,
    where: str = "",
) -> float:
    """Read a length as `parse_length` does, and give the float in mm nearest to it."""
    return float(parse_length(text, units, sizes=sizes, least_mm=least_mm, zero=zero, where=where))


def is_length(text: str) -> bool:
    """Tell whether a text is a length of 0 or more, bare numbers taken as mm."""
    try:
        parse_length(text)
    except LengthError:
        return False
    return True


def unit_of(text: str) -> str | None:
    """Tell which unit a length is written in, by its plain name; None where it is a bare number or no length."""
    match = _LENGTH.fullmatch(text.strip()) if len(text) <= _LONGEST_TEXT else None
    if match is None or match["unit"] is None:
        return None
    spelling: str = match["unit"]
    return _UNIT_OF.get(spelling if len(spelling) == 1 else spelling.lower())


@cache
def unit_in_mm(name: str) -> Fraction:
    """Tell how many mm one of a unit is, exactly.

    Args:
        name: mm, cm, m, in, ft, yd or line.

    Raises:
        ValueError: there is no such unit.
    """
    if name in _FREQUENT_MM:
        return _FREQUENT_MM[name]
    if name not in _SPELLINGS and name != "line":
        raise ValueError(f"{name!r} is not a unit of length known here")
    # The factor of a defined unit is a Fraction here, never a float: see _registry.
    return Fraction(_registry().Quantity(Fraction(1), name).to("mm").magnitude)


# A picture and its tables say most of their lengths several times, and the next picture says them again.
@lru_cache(maxsize=1 << 12)
def format_length(mm: float, units: str = "mm") -> str:
    """Write a length for people, in mm or in inches, rounded once.

    Args:
        mm: the length in mm.
        units: "mm" or "in".
    """
    if units not in _FREQUENT_MM:
        raise ValueError(f"lengths are written in mm or in, not in {units!r}")
    return format_mm(mm) if units == "mm" else format_inches(mm)


def format_mm(mm: float, decimals: int = 1) -> str:
    """Write a length in mm with at most so many decimals, halves away from zero.

    >>> format_mm(25.4), format_mm(30.0)
    ('25.4 mm', '30 mm')
    """
    exact = Decimal(repr(_settled(mm)))
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    digits = f"{rounded:f}"
    if "." in digits:
        digits = digits.rstrip("0").rstrip(".")
    return f"{'0' if digits == '-0' else digits} mm"


def format_inches(mm: float) -> str:
    """Write a length in inches to the nearest 1/16, halves away from zero; one that this makes nothing to 1/32.

    >>> format_inches(38.1), format_inches(0.6)
    ('1 1/2 in', '1/32 in')
    """
    # In whole numbers throughout, as a drag writes some sixty lengths at every step: what is settled is a whole
    # number of 1e-9 mm, and 1/16 in is 127/80 mm.
    settled = int(Decimal(repr(_settled(mm))).scaleb(_NOISE_DECIMALS))
    whole, rest = divmod(_half_up(abs(settled) * 80, 127 * 10**_NOISE_DECIMALS), 16)
    if not whole and not rest and abs(settled) * 320 >= 127 * 10**_NOISE_DECIMALS:
        # Told as nothing it would say that there is none.
        return f"{'-' if settled < 0 else ''}1/32 in"
    words = ([str(whole)] if whole or not rest else []) + ([_SIXTEENTHS[rest]] if rest else [])
    return f"{'-' if settled < 0 and (whole or rest) else ''}{' '.join(words)} in"


def format_both(mm: float) -> str:
    """Write a length both ways, ``38.1 mm (1 1/2 in)``."""
    return f"{format_mm(mm)} ({format_inches(mm)})"


def shown_value(value: object) -> str:
    """Describe any value of a TOML file briefly, for a message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return repr(value if len(value) <= _LONGEST_TEXT else value[:_LONGEST_TEXT] + "…")
    if isinstance(value, int) and abs(value) >= 10**12:
        # Python refuses to write out a number of thousands of digits.
        return "a number of many digits"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return str(value)[:_LONGEST_TEXT]


@lru_cache(maxsize=2048)
def _read_text(text: str, units: str, sizes: bool, where: str) -> Fraction:
    stripped = text.strip(" \t\u00a0\u2009\u202f")
    match = _LENGTH.fullmatch(stripped) if len(stripped) <= _LONGEST_TEXT else None
    if match is None:
        what = f"{shown_value(text)} is not a length" if stripped else "no length is told"
        raise LengthError(what, where=where, mend=_advice(stripped, sizes))
    number = _number(match, text, where)
    if match["unit"] is None:
        if match["decimal"] is None:
            # Whether 1 1/2 is inches cannot be told from the text, and mm have no halves.
            raise LengthError(f"{shown_value(text)} has no unit", where=where, mend=f"Write {stripped} in.")
        return number * unit_in_mm(units)
    return number * _unit(match["unit"], number, text, sizes, where)


def _number(match: re.Match[str], text: str, where: str) -> Fraction:
    if match["decimal"] is not None:
        number = Fraction(match["decimal"])
    else:
        if match["vulgar"] is not None:
            part, whole = _VULGAR[match["vulgar"]], match["before"]
        else:
            if int(match["bottom"]) == 0:
                raise LengthError(
                    f"{shown_value(text)} divides by zero",
                    where=where,
                    mend="Write a fraction such as 5/8 in.",
                )
            part, whole = Fraction(int(match["top"]), int(match["bottom"])), match["whole"]
        if whole is not None and part >= 1:
            raise LengthError(
                f"{shown_value(text)} is not a length: {part} beside a whole number is not less than one",
                where=where,
                mend=f"Write {_mixed(int(whole) + part)} {match['unit'] or 'in'} if that is meant.",
            )
        number = int(whole or 0) + part
    return -number if match["sign"] else number


def _unit(spelling: str, number: Fraction, text: str, sizes: bool, where: str) -> Fraction:
    # Single letters keep their case: M is no metre, and l is no line.
    lowered = spelling if len(spelling) == 1 else spelling.lower()
    if lowered in _UNIT_OF:
        return unit_in_mm(_UNIT_OF[lowered])
    if lowered in _SIZE_SPELLINGS:
        line_mm = unit_in_mm("line")
        if sizes:
            return line_mm
        raise LengthError(
            f"{shown_value(text)} is a button size, not a length",
            where=where,
            mend=f"Write {_decimal(number * line_mm)} mm.",
        )
    known = [*_SPELLINGS, *(("L",) if sizes else ())]
    near = "inch" if lowered in INCH_ABROAD else nearest_name(lowered, _UNIT_OF)
    mend = f"Did you mean {_UNIT_OF[near]}? " if near else ""
    raise LengthError(
        f"{shown_value(spelling)} in {shown_value(text)} is not a unit known here",
        where=where,
        mend=f"{mend}Write one of {', '.join(known)}.",
    )


def _read_number(value: object, where: str) -> Fraction:
    mend = "Write a number such as 12, or a text such as 12 mm or 1 1/2 in."
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise LengthError(f"{shown_value(value)} is not a length", where=where, mend=mend)
    if isinstance(value, float):
        if not math.isfinite(value):
            raise LengthError(f"{value} is not a length", where=where, mend=mend)
        # The shortest text of the float is what the user wrote; its binary value is not.
        return Fraction(repr(value))
    return Fraction(value)


def _refuse_senseless(length_mm: Fraction, text: object, least_mm: float | None, zero: bool, where: str) -> None:
    shown = shown_value(text)
    if abs(length_mm) > LARGEST_MM:
        raise LengthError(
            f"{shown} is more than {LARGEST_MM // 1000} m", where=where, mend="Look at the number and unit."
        )
    if length_mm == 0 and not zero:
        raise LengthError(f"{shown} is nothing", where=where, mend="Write a length of more than 0.")
    if least_mm is not None and length_mm < least_mm:
        if least_mm == 0:
            least = "0 or more" if zero else "more than 0"
            raise LengthError(f"{shown} is negative", where=where, mend=f"Write a length of {least}.")
        raise LengthError(f"{shown} is too little", where=where, mend=f"Write {format_mm(least_mm)} or more.")
    if length_mm and abs(length_mm) < SMALLEST_MM:
        raise LengthError(f"{shown} is too small to be meant", where=where, mend="Write 0, or a length in mm.")


def _advice(text: str, sizes: bool) -> str:
    """Say what to write instead of a text that the grammar does not take."""
    pointed = text.replace(",", ".")
    if "," in text and text.count(",") == 1:
        try:
            parse_length(pointed, sizes=sizes, least_mm=None)
        except LengthError:
            pass
        else:
            if re.match(r"-?[1-9][0-9]{0,2},[0-9]{3}(?![0-9])", text.strip()):
                # A comma parts thousands in some countries and decimals in others.
                few = re.sub(r"(\.\d*[1-9])0+(?!\d)|\.0+(?!\d)", r"\1", pointed)
                return f"Write {text.replace(',', '')} if the comma parts thousands, or {few} if it parts decimals."
            return f"Write {pointed}, with a point for the decimals."
    if re.search(r"[0-9]e[-+]?[0-9]", text, re.IGNORECASE):
        return "Write the number in full, such as 1200 mm."
    if any(sign.isdigit() and sign not in "0123456789" for sign in text):
        return "Write it with the plain digits 0 to 9, such as 12 mm."
    near = nearest_length(text, _reads_as_length)
    return near or "Write one number in figures and its unit, such as 12 mm, 1.5 cm, 5/8 in or 1 1/2 in."


def _reads_as_length(text: str) -> bool:
    match = _LENGTH.fullmatch(text)
    return match is not None and (match["unit"] is None or unit_of(text) is not None)


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    """Make a registry of our few units; reading pint's own list takes fifty times as long."""
    import pint

    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    for definition in _DEFINITIONS:
        registry.define(definition)
    return registry


def _half_up(top: int, bottom: int) -> int:
    """The whole number nearest to a fraction that is not negative, the greater one of two."""
    return (2 * top + bottom) // (2 * bottom)


def _mixed(number: Fraction) -> str:
    sign = "-" if number < 0 else ""
    whole, rest = divmod(abs(number), 1)
    words = ([str(whole)] if whole or not rest else []) + ([str(rest)] if rest else [])
    return sign + " ".join(words)


def _decimal(number: Fraction) -> str:
    return f"{round(float(number), 4):g}"


def _settled(mm: float) -> float:
    """A finite length without the noise of its arithmetic, so that 19.05 never reads 19 here and 19.1 there."""
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a length")
    return round(float(mm), _NOISE_DECIMALS)
