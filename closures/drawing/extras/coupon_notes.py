"""What is noted of a trial, and what waits for it: rows of the coupon's table, by the ways in which kinds are set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.frozen import frozen
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from closures.catalogue.values import Fastener, LapName

_LAPS: tuple[LapName, LapName] = ("over", "under")
_LIES = "flat, central, nothing turns: yes or no"
_TABS = "length of the slits for the tabs; the halves attract: yes or no"
_FITS = "easy, firm, too tight"
_NOTES = (
    ("opening", "opens by a pull square to the cloth: easy, firm, hard"),
    ("", "after 50 times: the same, looser"),
    ("cleaning", "cleaned once as the garment will be: the same, looser{faults}"),
    ("pull", "pulled by hand until the cloth gives, or not"),
)


@frozen
class Tried:
    """A kind of closure that is tried.

    Attributes:
        fastener: it.
        words: the facts of the job that it is.
    """

    fastener: Fastener
    words: Set[str]

    @property
    def is_struck(self) -> bool:
        """Whether a hammer or a press drives its parts together, with a die."""
        return bool({"hammered", "pressed"} & self.words)

    @property
    def has_tabs(self) -> bool:
        """Whether its tabs go through slits."""
        return self.fastener.setting == "magnetic"

    @property
    def has_slit(self) -> bool:
        """Whether it is buttoned through a buttonhole."""
        return self.fastener.mark.buttonhole_lap is not None

    @property
    def is_sewn(self) -> bool:
        """Whether a needle has part in its setting."""
        return self.has_slit or not (self.is_struck or self.has_tabs)

    @property
    def held_by(self) -> str:
        """What of its parts stitches go through; empty where a part is not held by single stitches."""
        if self.fastener.setting == "hook":
            return "ring" if self.fastener.kind == "hook and eye" else "hole"
        if self.fastener.setting == "sewn button":
            return "shank" if self.fastener.kind == "shank button" else "hole"
        return "hole" if "sewn on" in self.words else "foot of a loop" if self.fastener.family == "loop" else ""


def notes_of(tried: Sequence[Tried], side: str, faults: str) -> tuple[tuple[str, str], ...]:
    """List what is noted of a trial, each with its group where that begins.

    Args:
        tried: every kind that is tried.
        side: lap, or end of a strap.
        faults: what cleaning may do to the cloth in hand.
    """
    is_laced = all(one.fastener.family == "eyelet" for one in tried)
    after = [(group, text.format(faults=faults)) for group, text in (_NOTES[2:] if is_laced else _NOTES)]
    return (*_made(tried, side), *after, ("tried with", _with(tried)))


def waits(tried: Sequence[Tried]) -> str:
    """What is not done to the garment before the trial holds."""
    if _is_knitted(tried):
        return "knit the bands"
    cut = any(one.has_tabs or (one.has_slit and "old buttonholes serve" not in one.words) for one in tried)
    done = ["pierce"] * any(one.is_struck for one in tried) + ["cut into"] * cut
    return f"{' or '.join(done) or 'work on'} the garment"


def begun(tried: Sequence[Tried]) -> str:
    """How a trial is begun."""
    each = " of each" if len(tried) > 1 else ""
    if all(one.fastener.family == "eyelet" for one in tried):
        return f"Set one eyelet{each} in either, and pull at a cord through it. Note what it took."
    if any(one.fastener.is_taped for one in tried):
        more = ", and set one whole closure of each other kind" if len(tried) > 1 else ""
        return f"Sew on a short piece of each tape{more}. Close them and open them. Note what it took."
    return f"Set one whole closure{each}. Close it and open it. Note what it took."


def _made(tried: Sequence[Tried], side: str) -> list[tuple[str, str]]:
    """What is noted of the making: blows where parts are struck, tabs of magnets, stitches and holes of the rest."""
    struck = [one.fastener for one in tried if one.is_struck]
    told = [f"strikes or squeezes, {lap} {side}" for lap in _LAPS if any(lap in one.clamps for one in struck)]
    told += [_TABS] * any(one.has_tabs for one in tried)
    told += [_LIES] if told else []
    groups = (("setting", told), ("making", _sewn([one for one in tried if one.is_sewn])))
    return [(group if nth == 0 else "", text) for group, rows in groups for nth, text in enumerate(rows)]


def _sewn(tried: Sequence[Tried]) -> list[str]:
    if not tried:
        return []
    through = [one.has_slit or one.fastener.family == "loop" for one in tried]
    is_taped = [one.fastener.is_taped for one in tried]
    held = list(dict.fromkeys(one.held_by for one in tried if one.held_by))
    made = ["length of the hole"] * any(one.has_slit for one in tried)
    made += ["length of the loop"] * any(one.fastener.family == "loop" for one in tried)
    made += [f"stitches to a {' or '.join(held)}"] if held else []
    made += ["length of a stitch along the tape"] * any(is_taped)
    works = " or ".join(["goes through"] * any(through) + ["closes"] * (not all(through)))
    part = "tape" if all(is_taped) else "part"
    return [in_a_row(made), f"{works}: {_FITS}", f"lies flat, nothing gapes between cloth and {part}"]


def _with(tried: Sequence[Tried]) -> str:
    stuff = ["yarn", "needles"] if _is_knitted(tried) else ["cloth"]
    stuff += ["needle"] * (not _is_knitted(tried) and any(one.is_sewn for one in tried))
    return ", ".join([*stuff, *["die"] * any(one.is_struck for one in tried), "date"])


def _is_knitted(tried: Sequence[Tried]) -> bool:
    return any({"knitted", "state: cut pieces"} <= one.words for one in tried)
