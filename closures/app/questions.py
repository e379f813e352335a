"""A few questions in words of the trade, and the noted plan that their answers make.

Each answer is judged at once by the key's own reader, so that what is wrong is asked again and never written.
"""

from __future__ import annotations

import re
from functools import partial

from closures.app import slips
from closures.app.asked_again import Step, placed_as_asked
from closures.app.asking import Asking, judged, key_of, length_told, needed, one_of, put, section_of, understood, why
from closures.app.closure_asked import closure_asked
from closures.app.drawn_asked import cloth_asked, drawn_edge_asked
from closures.app.ends_asked import ASKED_OF, lower_end_asked
from closures.app.layers_asked import purposes_asked
from closures.app.levels_asked import level_zero_asked
from closures.app.replaced_asked import replaced_asked
from closures.errors import ClosureError, PlanError
from closures.lengths import shown_value
from closures.plan.editing import add_section, set_key, value_of
from closures.plan.garment import SIDES_OF
from closures.plan.plan import TOP

_DRAWINGS = (".svg", ".dxf", ".pdf")
# More than a row of a garment has: a bare number above it is rather a distance. Our own rule.
_MOST_BARE = 40
# A slip in a file's name is no length that cannot be read.
_FILE = re.compile(r"[^\W\d].*\.[a-z]{2,5}$", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]{2,}")

_HEAD = """\
# {title}: made from your answers. Change any figure here, and run closures place on it again.
# What a plan may hold is told by: closures help plan
"""


_MM = "Then it is mm. A length that you write with its unit means just that."
_OPENS = (
    "Then the plan leaves it open: it is placed as a front, and every check reminds you of it. Write it into the plan "
    "before you print."
)
_LAP = (
    "It is never guessed: on the wrong side every mark is a hole in the wrong place. Put the garment or its pattern on "
    "and look which of your own sides covers the other. Women's clothes more often have right over left, men's left "
    "over right (common practice); a shop-bought one of the same sort shows it."
)
BELT = "belt"
_BELT = "it closes on itself; a waistband or a cuff begins with closures start waistband, closures start cuff"
_EDGE = (
    "Nothing can be placed without it. Lay a tape along the finished edge, from its upper end to its lower, and type "
    "what it reads. Or stop with Ctrl+C: nothing has been written."
)
_WIDTH = (
    "Nothing can be placed without it. Lay a ruler across the finished band, from the folded edge to the stitching; "
    "without a band, across the facing. Or stop with Ctrl+C: nothing has been written."
)
_WAIST = "Nothing can be placed without it. Lay a tape round the body there, as tight as the belt is to sit."
_BELT_WIDTH = "Nothing can be placed without it. Lay a ruler across it, or across the loops that it is to go through."
_THICKNESS = (
    "Nothing can be placed without it: the inside of a belt is shorter than its middle, by its thickness. Pinch it, or "
    "as many layers as it is made of, and lay a ruler across."
)
_ROWS = {
    "anchor": "Where must one sit, measured straight down? bust @ 9 1/4 in",
    "clear": "Where may none sit? belt @ 15 in to 17 in",
    "layer": "What cloth, and how many layers? 2 x cotton sateen, or 1 x fusible on over",
}
_LEFT_OPEN = {
    "anchor": "Then no closure is held to a place. On a front measure where the bust is, and write it into the plan.",
    "clear": "Then a closure may sit anywhere. If a belt or a seam crosses, write it into the plan.",
    "layer": "Then it is not known whether the closure suits the cloth, and the checks say so. Pinch all layers and "
    "measure them, or try one on a scrap.",
}
_MEANT = {"anchor": slips.place_meant, "clear": slips.place_meant, "layer": slips.layer_meant}
"""What is said to those who do not know, for each question: what becomes of it, or how to find out."""


def plan_asked_for(asking: Asking) -> str:
    """Ask for what the shortest sound plan needs, and for what spoils a front where it is forgotten.

    Returns:
        The plan's text, with a note beside each figure.
    """
    asking.tell(
        "Enter alone skips a question that says so; I don't know is an answer too. Lengths are written as 24 in, "
        "1 1/2 in, 38 mm.\n"
    )
    title = _title(asking)
    text = _HEAD.format(title=title or "A new plan")
    if title:
        text = put(text, asking, "", "title", title)
    units = one_of(asking, "Is a bare number in mm or in inches?", {"mm": "millimetres", "in": "inches"}, _MM)
    text = set_key(text, "", "units", units or "mm")
    opening = {word: "" for word in SIDES_OF if word is not None} | {BELT: _BELT}
    opens = one_of(asking, "Where does it open?", opening, _OPENS)
    if opens == BELT:
        steps: tuple[Step, ...] = BELT_STEPS
    else:
        steps = STEPS if opens in ASKED_OF else STEPS[1:]
        text = text if opens is None else set_key(text, "garment", "opens", opens)
    for step in steps:
        text = step.ask(text, asking)
    return _noted(placed_as_asked(text, asking, steps))


def _title(asking: Asking) -> str:
    while True:
        told = asking.ask("What is it? A name for the sheets, such as Summer dress (Enter: none)").strip()
        if not told or slips.is_unknown(told) or slips.is_no(told):
            return ""
        try:
            put("", asking, "", "title", told)
        except ClosureError as error:
            asking.tell(why(error))
        else:
            return told


def _width(text: str, asking: Asking) -> str:
    return _length(text, asking, "band", "width", "How wide is the finished band (the lap, from edge to stitching)?")


def _lap(text: str, asking: Asking) -> str:
    one, other = SIDES_OF[value_of(text, "garment", "opens") or "front"]
    sides = {f"{one} over {other}": "", f"{other} over {one}": ""}
    whose = ", the wearer's own sides" if one == "right" else ""
    text = set_key(text, "band", "lap", needed(asking, f"Which side lies on top{whose}?", sides, _LAP))
    return cloth_asked(text, asking)


def _waist(text: str, asking: Asking) -> str:
    question = "How long is a tape round the body where the belt sits, over what is worn beneath it?"
    text = _length(text, asking, "belt", "waist", question, _WAIST)
    return _length(text, asking, "belt", "width", "How wide is the finished belt?", _BELT_WIDTH)


def _thickness(text: str, asking: Asking) -> str:
    """Ask how thick a belt is, where neither its layers nor an answer tell it."""
    if value_of(text, "belt", "waist") is None or value_of(text, "layer") or value_of(text, "belt", "thickness"):
        return text
    return _length(text, asking, "belt", "thickness", "How thick is the finished belt, such as 3 mm?", _THICKNESS)


def _edge(text: str, asking: Asking) -> str:
    while True:
        told = asking.ask("The edge: how long is it, if straight? Or the file of a drawing (SVG, DXF, PDF)").strip()
        if len(told) > 1 and told[0] in "'\"" and told[-1] == told[0]:
            # Some terminals put a file that is dragged in between quotes.
            told = told[1:-1]
        if not told or slips.is_unknown(told):
            asking.tell(f"  {_EDGE}")
            continue
        try:
            if not told.casefold().endswith(_DRAWINGS) and not _may_name_a_file(told):
                return put(text, asking, "edge", "straight", understood(asking, told, length_told(told, text)))
            return drawn_edge_asked(text, asking, told)
        except ClosureError as error:
            is_word = _WORD.fullmatch(told) is not None
            asking.tell((f"  {shown_value(told)} is not a length.\n" if is_word else "") + why(error))


def _may_name_a_file(told: str) -> bool:
    """Whether an answer may be a file's name with a slip in it: it has an ending, or is one word without a figure."""
    return _FILE.search(told) is not None or _WORD.fullmatch(told) is not None


def _row(text: str, asking: Asking) -> str:
    while True:
        told = asking.ask("How many, such as 8, or how far apart, such as 3 in (Enter: as is usual for it)").strip()
        if not told or slips.is_unknown(told):
            if told:
                asking.tell("  Then it is as is usual for it; what that comes to is told below.")
            return text
        key, value = slips.row_meant(told, value_of(text, "", "units"))
        if key == "count" and told == value:
            # "75" is rather 75 mm, and "3" may be 3 in: what a bare number is taken for is said, or asked.
            if value.isdecimal() and int(value) > _MOST_BARE:
                asking.tell(f"  Is it {value} closures, or {value} {value_of(text, '', 'units')} apart? Type it so.")
                continue
            asking.tell(f"  Understood: {value} closures. A distance has its unit, such as {value} in.")
        try:
            return put(text, asking, "spacing", key, understood(asking, told, value, " closures" * (key == "count")))
        except ClosureError as error:
            asking.tell(why(error))


def _length(text: str, asking: Asking, section: str, key: str, question: str, unknown: str = _WIDTH) -> str:
    while True:
        told = asking.ask(question).strip()
        if not told or slips.is_unknown(told):
            asking.tell(f"  {unknown}")
            continue
        try:
            return put(text, asking, section, key, understood(asking, told, length_told(told, text)))
        except ClosureError as error:
            asking.tell(why(error))


def _rows(name: str, text: str, asking: Asking) -> str:
    section, question = section_of(name), _ROWS[name]
    while told := asking.ask(f"{question} (Enter: no more)").strip():
        if slips.is_unknown(told):
            asking.tell(f"  {_LEFT_OPEN[name]}")
            break
        if slips.is_no(told):
            break
        if slips.is_yes(told):
            asking.tell(f"  Type it as the example shows it: {question.partition('? ')[2]}. Enter alone for none.")
            continue
        row = _MEANT[name](told, value_of(text, "", "units"))
        made = (row, "") if section.row is None else section.row(row)
        try:
            if isinstance(made, tuple):
                raise PlanError(made[0], where="", mend=made[1].replace(section.option, "").replace('"', "").strip())
            made = {key: value.strip() if isinstance(value, str) else value for key, value in made.items()}
            for key, value in made.items():
                judged(section, key_of(section, key), value, asking, text)
        except ClosureError as error:
            asking.tell(why(error))
        else:
            understood(asking, told, row)
            text = add_section(text, name, made)
    return text


_MAY_MEET = ("hook and eye", "hook tape")
"""Kinds that close edges that meet, also where others like them lap: which of the two is asked (common practice)."""
_LOOPS = "Loops close edges that lie side by side, also where a facing lies beneath; so it is taken."
_MEET = (
    "Then one is taken to lie over the other. Lay the closed opening flat: where both edges lie side by side, with no "
    'cloth of the one on the other, they meet, and edges = "meeting" is to stand under [garment].'
)
_MEETING = {
    "lapped": "one lies over the other",
    "meeting": "they lie edge to edge, as often at the back; the side told to lie on top has the hooks",
}


def _closure(text: str, asking: Asking) -> str:
    """Ask what closes it and, of a kind that closes either, whether the edges meet."""
    text = closure_asked(text, asking)
    kind, size = value_of(text, "closure", "kind"), value_of(text, "closure", "size")
    if asking.catalogue.fastener(kind, size).family == "loop":
        asking.tell(f"  {_LOOPS}")
        return set_key(text, "garment", "edges", "meeting")
    if kind not in _MAY_MEET:
        return text
    edges = one_of(asking, "How do the two edges close?", _MEETING, _MEET)
    return text if edges is None else set_key(text, "garment", "edges", edges)


def _clear(text: str, asking: Asking) -> str:
    return level_zero_asked(_rows("clear", text, asking), asking)


def _layers(text: str, asking: Asking) -> str:
    return purposes_asked(_rows("layer", text, asking), asking)


_CLOTH = Step("the cloth", _layers, (("layer", ""),))

STEPS = (
    Step("what its lower end is", lower_end_asked, (("garment", "ends"),)),
    Step(
        "the edge",
        _edge,
        (("", "drawing"), ("garment", "pieces"), ("edge", ""), ("band", "seen_from")),
        (cloth_asked, level_zero_asked),
    ),
    Step("how wide the band is", _width, (("band", "width"),)),
    Step(
        "which side lies on top, and where the cloth is",
        _lap,
        (("band", "lap"), ("edge", "cloth"), ("edge", "shows")),
    ),
    Step("what closes it", _closure, (("closure", ""), ("garment", "edges"))),
    Step("how many, or how far apart", _row, (("spacing", ""),)),
    Step("where one must sit", partial(_rows, "anchor"), (("anchor", ""),)),
    Step("where none may sit", _clear, (("clear", ""), ("edge", "level_zero"))),
    _CLOTH,
    Step("what closes it now", replaced_asked, (("swap", ""), ("garment", "state"))),
)
"""The questions for an opening, in their order; the first only of those that run down the front or the back."""

BELT_STEPS = (
    Step("the belt", _waist, (("belt", ""),), (_thickness,)),
    Step("what closes it", closure_asked, (("closure", ""),)),
    Step(_CLOTH.about, _CLOTH.ask, _CLOTH.clears, (_thickness,)),
    Step("how thick it is", _thickness, (("belt", "thickness"),)),
)
"""The questions for a belt that closes on itself."""


def _noted(text: str) -> str:
    """Put what each key is beside its first figure."""
    lines, home, seen = [], TOP, set()
    for line in text.splitlines():
        name = line.strip("[]") if line.startswith("[") else ""
        if name:
            home = section_of(name)
        key = home.key(line.partition(" =")[0]) if " = " in line and not line.startswith("#") else None
        if key is not None and (home.name, key.name) not in seen:
            seen.add((home.name, key.name))
            says = (key.says or key.label or key.meaning).replace("`", "").rstrip(".")
            line = f"{line:<34}  # {says}" if says else line
        lines.append(line)
    return "\n".join(lines) + "\n"
