"""A few questions in words of the trade, and the noted plan that their answers make.

Each answer is judged at once by the key's own reader, so that what is wrong is asked again and never written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from closures.errors import ClosureError, PlanError, Where
from closures.plan.drawing import KNOWN
from closures.plan.editing import add_section, set_key, value_of
from closures.plan.garment import SIDES_OF
from closures.plan.kinds import Place
from closures.plan.one_line import meant
from closures.plan.plan import SECTIONS, TOP
from closures.plan.section import Key, Section

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.edges.listing import Listing

Asks = Callable[[str], str]
"""Shows a question and gives what was typed."""

Tells = Callable[[str], None]

_DRAWINGS = (".svg", ".dxf", ".pdf")

_HEAD = """\
# {title}: made from your answers. Change any figure here, and run closures place on it again.
# What a plan may hold is told by: closures help plan
"""


@dataclass(frozen=True, slots=True)
class Asking:
    """Who asks, and what the questions need to know.

    Attributes:
        ask: shows a question and gives what was typed.
        tell: says something.
        catalogue: what closures and cloths there are.
        drawing: lists the lines of a drawing by its file's name.
    """

    ask: Asks
    tell: Tells
    catalogue: Catalogue
    drawing: Callable[[str], Listing]


def plan_asked_for(asking: Asking) -> str:
    """Ask for what the shortest sound plan needs, and for what spoils a front where it is forgotten.

    Returns:
        The plan's text, with a note beside each figure.
    """
    asking.tell("Enter alone skips a question that says so. Lengths are written as 24 in, 1 1/2 in, 38 mm.\n")
    title = asking.ask("What is it? A name for the sheets, such as Summer dress (Enter: none)").strip()
    text = _HEAD.format(title=title or "A new plan")
    if title:
        text = _set(text, asking, "", "title", title)
    units = _one_of(asking, "Is a bare number in mm or in inches?", {"mm": "millimetres", "in": "inches"})
    text = set_key(text, "", "units", units)
    opens = _one_of(asking, "Where does it open?", {word: "" for word in SIDES_OF if word is not None})
    text = set_key(text, "garment", "opens", opens)
    text = _edge(text, asking)
    text = _length(text, asking, "band", "width", "How wide is the finished band (the lap, from edge to stitching)?")
    one, other = SIDES_OF[opens]  # type: ignore[index]
    sides = {f"{one} over {other}": "", f"{other} over {one}": ""}
    whose = ", the wearer's own sides" if one == "right" else ""
    text = set_key(text, "band", "lap", _one_of(asking, f"Which side lies on top{whose}?", sides))
    text = _closure(text, asking)
    text = _row(text, asking)
    text = _rows(text, asking, "anchor", "Where must one sit, measured down from the top? bust @ 9 1/4 in")
    text = _rows(text, asking, "clear", "Where may none sit? belt @ 15 in to 17 in")
    text = _rows(text, asking, "layer", "What cloth, and how many layers? 2 x cotton sateen, or 1 x fusible on over")
    return _noted(text)


def _edge(text: str, asking: Asking) -> str:
    while True:
        told = asking.ask("The edge: how long is it, if straight? Or the file of a drawing (SVG, DXF, PDF)").strip()
        if len(told) > 1 and told[0] in "'\"" and told[-1] == told[0]:
            # Some terminals put a file that is dragged in between quotes.
            told = told[1:-1]
        try:
            if not told.casefold().endswith(_DRAWINGS):
                return _set(text, asking, "edge", "straight", told)
            listing = asking.drawing(told)
        except ClosureError as error:
            asking.tell(_why(error))
            continue
        text = set_key(text, "", "drawing", told.replace("\\", "/"))
        lines = {
            one.path: f"{one.length_mm:.0f} mm, {one.shape}" if listing.has_size else one.shape
            for one in listing.candidates
        }
        path = _one_of(asking, "Which line is the over lap's finished edge?", lines)
        text = set_key(text, "edge", "path", path)
        if not listing.has_size:
            text = _known(text, asking, path)
        cut = {"pair": "one piece, cut twice, the second turned over", "separate": "two pattern pieces"}
        return set_key(text, "garment", "pieces", _one_of(asking, "How are the two pieces cut?", cut))


def _known(text: str, asking: Asking, path: str) -> str:
    """Ask for what a drawing does not say: how large it is."""
    asking.tell("The drawing does not say how large it is.")
    while True:
        told = asking.ask("How long is that line on the pattern? Lay a tape along it").strip()
        try:
            _judged(KNOWN, _key(KNOWN, "length"), told, asking, text)
        except ClosureError as error:
            asking.tell(_why(error))
        else:
            return set_key(text, "edge", "known", {"path": path, "length": told})


def _closure(text: str, asking: Asking) -> str:
    kind = _one_of(asking, "What closes it?", dict.fromkeys(asking.catalogue.kinds(), ""))
    sizes = dict.fromkeys(asking.catalogue.sizes(kind), "")
    size = next(iter(sizes)) if len(sizes) == 1 else _one_of(asking, "Which size?", sizes)
    return set_key(set_key(text, "closure", "kind", kind), "closure", "size", size)


def _row(text: str, asking: Asking) -> str:
    while True:
        told = asking.ask("How many, such as 8, or how far apart, such as 3 in (Enter: as is usual for it)").strip()
        if not told:
            return text
        try:
            return _set(text, asking, "spacing", "count" if told.isdigit() else "pitch", told)
        except ClosureError as error:
            asking.tell(_why(error))


def _length(text: str, asking: Asking, section: str, key: str, question: str) -> str:
    while True:
        try:
            return _set(text, asking, section, key, asking.ask(question).strip())
        except ClosureError as error:
            asking.tell(_why(error))


def _rows(text: str, asking: Asking, name: str, question: str) -> str:
    section = _section(name)
    while told := asking.ask(f"{question} (Enter: no more)").strip():
        made = (told, "") if section.row is None else section.row(told)
        try:
            if isinstance(made, tuple):
                raise PlanError(made[0], where="", mend=made[1].replace(section.option, "").replace('"', "").strip())
            made = {key: value.strip() if isinstance(value, str) else value for key, value in made.items()}
            for key, value in made.items():
                _judged(section, _key(section, key), value, asking, text)
        except ClosureError as error:
            asking.tell(_why(error))
        else:
            text = add_section(text, name, made)
    return text


def _one_of(asking: Asking, question: str, choices: Mapping[str, str]) -> str:
    """Ask for one of several, by its number or by its name."""
    words = list(choices)
    asking.tell(question)
    for n, (word, says) in enumerate(choices.items(), 1):
        asking.tell(f"  {n:>2}  {word}{f' ({says})' if says else ''}")
    while True:
        told = asking.ask("Its number or its name").strip()
        if told.isdigit() and told not in choices and 1 <= int(told) <= len(words):
            return words[int(told) - 1]
        named = next((word for word in words if word.casefold() == told.casefold()), None)
        if named is not None:
            return named
        asking.tell(f"There is no such answer. Type a number from 1 to {len(words)}, or one of the names.")


def _set(text: str, asking: Asking, section: str, key: str, told: str) -> str:
    """Judge an answer and put it under its key.

    Raises:
        ClosureError: the key's reader does not take it.
    """
    home = _section(section)
    entry = _key(home, key)
    value = told if isinstance(entry.kind, Section) else meant(entry.kind, told)
    _judged(home, entry, value, asking, text)
    return set_key(text, section, key, value)


def _judged(section: Section, key: Key, value: Any, asking: Asking, text: str) -> None:
    from closures.plan.kinds import Kind

    units = value_of(text, "", "units") or "mm"
    if isinstance(key.kind, Kind):
        key.kind(value, Place(Where(section=section.name, key=key.name), key.name, units, in_file=False))
        if key.kind.names == "cloth":
            asking.catalogue.cloth(value)


def _noted(text: str) -> str:
    """Put what each key is beside its first figure."""
    lines, home, seen = [], TOP, set()
    for line in text.splitlines():
        name = line.strip("[]") if line.startswith("[") else ""
        if name:
            home = _section(name)
        key = home.key(line.partition(" =")[0]) if " = " in line and not line.startswith("#") else None
        if key is not None and (home.name, key.name) not in seen:
            seen.add((home.name, key.name))
            says = (key.says or key.label or key.meaning).replace("`", "").rstrip(".")
            line = f"{line:<34}  # {says}" if says else line
        lines.append(line)
    return "\n".join(lines) + "\n"


def _section(name: str) -> Section:
    return next(one for one in (TOP, *SECTIONS) if one.name == name)


def _key(section: Section, name: str) -> Key:
    return next(key for key in section.keys if key.name == name)


def _why(error: ClosureError) -> str:
    """What is wrong with an answer and how to mend it, without the place, which is the question just asked."""
    return "\n".join(_sentences(error))


def _sentences(error: ClosureError) -> Iterable[str]:
    for fault in error.faults:
        yield f"  {fault.what[:1].upper()}{fault.what[1:]}. {fault.mend}".rstrip()
