"""What the options of the command mean: a job told without a plan file, and the words that some options take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from closures.errors import PlanError

if TYPE_CHECKING:
    from closures.jobs.table.printer import Correction
    from closures.plan import Plan, Units

# Option, type, what it says, and the name that the plan's reader gives it.
WISHES: tuple[tuple[str, object, str, str], ...] = (
    ("--straight", str, 'A straight edge of this length, for example "24 in".', "straight"),
    ("--arc", str, "An edge that is one arc, of this length.", "arc"),
    ("--radius", str, "The radius of that arc.", "radius"),
    ("--bows", str, "The arc bows out (away from the cloth) or in.", "bows"),
    ("--band", str, "Finished width of the band.", "band"),
    ("--under-band", str, "The same of the under lap, where it differs.", "under_band"),
    ("--inset", str, "Finished edge to closing line; half the band if left out.", "inset"),
    ("--under-inset", str, "The same of the under lap, where it differs.", "under_inset"),
    ("--lap", str, '"right over left" or "left over right", the wearer\'s sides.', "lap"),
    ("--closure", str, 'The kind of closure, for example "prong snap".', "closure"),
    ("--size", str, 'Its size, for example "16 L".', "size"),
    ("--cap", str, "Measured diameter of its largest part.", "cap"),
    ("--grip", str, 'From the pack, for example "0.5 mm to 1.5 mm".', "grip"),
    ("--thickness", str, "Thickness of a button.", "thickness"),
    ("--hole", str, "Buttonholes along or across the closing line.", "hole"),
    ("--halves", str, "usual, or turned: the cap on the under lap.", "halves"),
    ("--spare", int, "Closures to have over.", "spare"),
    ("--trial", int, "Closures for a trial piece.", "trial"),
    ("--first", str, 'First end to first centre, or a range "1/2 in to 3/4 in".', "first"),
    ("--last", str, "Last centre to last end, or a range.", "last"),
    ("--pitch", str, "Wanted gap, centre to centre.", "pitch"),
    ("--count", int, "How many closures.", "count"),
    ("--widest", str, "No gap wider than this.", "widest"),
    ("--closest", str, "No gap closer than this.", "closest"),
    ("--anchor", list[str], 'A closure must sit here: "bust point @ 9 1/4 in". Repeat it.', "anchors"),
    ("--clear", list[str], 'No closure may sit here: "belt @ 15 in to 17 in". Repeat it.', "clear"),
    ("--layer", list[str], 'A cloth or a thickness: "2 x cotton sateen on over". Repeat it.', "layers"),
    ("--supplies", str, "A file of your own fasteners and cloths.", "supplies"),
    ("--units", str, "What a bare number means: mm or in.", "units"),
    ("--title", str, "Printed on the sheets.", "title"),
)


def plan_asked(path: Path | None, wishes: dict[str, Any]) -> Plan:
    """The plan of a file, or of options; both together are refused."""
    from closures.app.job import load_plan
    from closures.plan import plan_from_options

    if path is None:
        return plan_from_options(**{key: _as_typed(value) for key, value in wishes.items()})
    if wishes:
        names = ", ".join(name for name, *_, key in WISHES if key in wishes)
        raise PlanError(
            f"{names} cannot go with a plan file",
            where=str(path),
            mend="Write it into the plan, or leave the file out.",
        )
    return load_plan(path)


def _as_typed(value: Any) -> Any:
    """Words of an option as they were typed: a system without a language setting hands on bytes that it cannot read."""
    if isinstance(value, list):
        return [_as_typed(one) for one in value]
    if isinstance(value, str) and any("\udc80" <= sign <= "\udcff" for sign in value):
        try:
            return value.encode("utf-8", "surrogateescape").decode("utf-8")
        except UnicodeDecodeError:
            return value
    return value


def units_asked(word: str) -> Units:
    """What a bare number means, by its word."""
    if word not in ("mm", "in"):
        raise PlanError(f"'{word}' is neither mm nor in", where="--units", mend="Write mm or in.")
    return "in" if word == "in" else "mm"


def face_asked(word: str) -> Literal["outside", "inside"]:
    """A face of the cloth, by its word."""
    if word not in ("outside", "inside"):
        raise PlanError(f"'{word}' is not a face of the cloth", where="--face", mend="Write outside or inside.")
    return "inside" if word == "inside" else "outside"


def lengths_measured(across: str, down: str, of: str) -> tuple[float, float, float]:
    """What was measured across and down, and what the sheet says, in mm."""
    from closures.lengths import parse_length_mm

    told = ((across, "across"), (down, "down"), (of, "--of"))
    first, second, third = (parse_length_mm(text, "mm", zero=False, where=where) for text, where in told)
    return first, second, third


def correction_asked(correct: tuple[str, str] | None, of: str | None) -> Correction | None:
    """The correction that two measurements ask for; a length without them, or they without it, is refused."""
    if correct is None and of is None:
        return None
    if correct is None or of is None:
        raise PlanError(
            "--correct and --of go together",
            where="--of" if of is None else "--correct",
            mend="Write --correct 149.2 150.6 --of 150: measured across, down, and what the sheet says.",
        )
    from closures.jobs.table.printer import correction_for

    return correction_for(*lengths_measured(*correct, of))
