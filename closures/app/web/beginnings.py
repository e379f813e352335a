"""Beginnings: what a plan is made of where somebody answers three questions and writes no text.

Terms: a *beginning* is a kind of work, such as a shirt front or a belt, with what is usual there. What closes, how long
it is or which drawing it is in, and which closure: that is all that is asked, and who lies on top where that is not
settled by what it is.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import field
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING

from closures.app.web.drawings import PLAN_NAME
from closures.app.web.fields import FIELDS, with_fields
from closures.app.web.ink import shape, tag
from closures.app.web.unit_meant import refuse_far_length
from closures.drawing.sheets.marks import Stand, draw_mark, look_of, reach_mm
from closures.frozen import frozen
from closures.lengths import unit_of
from closures.plan.one_line import spaced
from closures.plan.reading import read_plan

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue


@frozen
class Beginning:
    """A kind of work.

    Attributes:
        name: of its address.
        basis: where its widths, ends, steps and usual closures come from.
        title, says: what it is.
        picture: which drawing stands beside it.
        question: what is asked second.
        ask: the fields that answer it.
        more: fields that may stay as they are.
        laps: who may lie on top; empty where nothing is asked.
        closures: kind and size of what is usual there, the first chosen already.
        fields: what its plan holds, field name to text as it would be typed.
        drawing: the edge may come from a drawing in place of a length.
        lap_is_usual: the first of the laps is chosen already.
        lap_question: what is asked of them.
        choices: fields of which only some words make sense here.
        cloth: what opens and who lies on top, to the hand on which the over lap's cloth lies.
        made: further fields, written with what was answered: ``{longer}``.
    """

    name: str
    basis: str
    title: str
    says: str
    picture: str
    question: str
    ask: tuple[str, ...]
    more: tuple[str, ...]
    laps: tuple[str, ...]
    closures: tuple[tuple[str, str], ...]
    fields: Mapping[str, str]
    drawing: bool = False
    lap_is_usual: bool = False
    lap_question: str = "Which side lies on top?"
    choices: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    cloth: Mapping[str, str] = field(default_factory=dict)
    made: Mapping[str, str] = field(default_factory=dict)

    @property
    def begins_with(self) -> dict[str, str]:
        """What its form shows before anything was answered."""
        shown = {**self.fields, "closure": "|".join(self.closures[0])}
        if self.laps and self.lap_is_usual:
            shown[self.lap_key] = self.laps[0]
        return shown

    @property
    def lap_key(self) -> str:
        """The field that tells who lies on top: of a strap its own."""
        strap = next(
            (name for name in ("belt", "row") if any(one.startswith(f"{name}.") for one in self.fields)), "band"
        )
        return f"{strap}.lap"


@lru_cache(maxsize=1)
def beginnings() -> Mapping[str, Beginning]:
    """Every beginning by its name, in the order in which they are shown."""
    table = tomllib.loads(files("closures.app.web").joinpath("beginnings.toml").read_text("utf-8"))
    rows = [_frozen(row) for row in table["beginning"]]
    return {row.name: row for row in rows}


def _frozen(row: Mapping[str, object]) -> Beginning:
    told = {key: tuple(value) if isinstance(value, list) else value for key, value in row.items()}
    pairs = row["closures"]
    if not isinstance(pairs, list):
        raise TypeError(f"closures of {row['name']} are a list")
    return Beginning(**told | {"closures": tuple((kind, size) for kind, size in pairs)})  # type: ignore[arg-type]


def answered(one: Beginning, typed: Mapping[str, str]) -> dict[str, str]:
    """Make the fields of a plan of what was answered.

    Args:
        one: the beginning.
        typed: what was sent; what the form does not show is as usual.

    Returns:
        Field name to text.
    """
    told = {**one.fields, **typed}
    kind, _, size = typed.get("closure", "").partition("|")
    if kind and size:
        told |= {"closure.kind": kind, "closure.size": size}
    for name, text in one.made.items():
        told[name] = re.sub(r"\{(\w+)\}", lambda found: told.get(found[1], "").strip() or "0 mm", text)
    hand = one.cloth.get(f"{told.get('garment.opens')}, {told.get(one.lap_key)}")
    told |= {} if hand is None else {"edge.cloth": hand}
    if told.get("spacing.count", "").strip() and told.get("spacing.pitch") == one.fields.get("spacing.pitch"):
        # The gap that stood there is what is usual without a count; one that was typed beside it is asked about.
        told["spacing.pitch"] = ""
    if not told.get("gauge.stitches", "").strip() or not told.get("gauge.rows", "").strip():
        # A gauge that was not counted is none.
        told = {name: text for name, text in told.items() if not name.startswith("gauge.")}
    told[".units"] = _units(one, typed)
    return {name: text for name, text in told.items() if name in FIELDS and text.strip()}


def _units(one: Beginning, typed: Mapping[str, str]) -> str:
    """Inches where they were chosen, or where every length that was answered says so itself."""
    if typed.get("units") == "in":
        return "in"
    told = [typed[name] for name in (*one.ask, *one.more) if name in typed and _is_length(name)]
    own = [text for text in told if text not in one.fields.values()]
    parts = (part for text in own for part in spaced(text) or re.split(r",|;|\bto\b|–", text))
    used = {unit_of(part) for part in parts if part.strip()}
    return "in" if used == {"in"} else "mm"


def _is_length(name: str) -> bool:
    found = FIELDS.get(name)
    return found is not None and (found.kind.in_mm or found.kind.shape in ("range", "stretch", "list"))


def plan_begun(one: Beginning, typed: Mapping[str, str]) -> str:
    """Make the text of a plan of what was answered.

    Raises:
        PlanError: something is missing or wrong.
    """
    fields = answered(one, typed)
    refuse_far_length(fields)
    text = with_fields("", fields)
    read_plan(text.encode(), PLAN_NAME)
    return text


def closure_picture(catalogue: Catalogue, kind: str, size: str) -> str:
    """Draw a closure from outside, five times its size, so that those of one list can be compared."""
    fastener = catalogue.fastener(kind, size)
    look = look_of(fastener, "over", None)
    drawn = shape(draw_mark("over", 0, "", Stand(0.0, 0.0, (1.0, 0.0), (0.0, 1.0)), look))
    half = max(reach_mm(look), 9.0)
    box = f"{-half:.1f} {-half:.1f} {2 * half:.1f} {2 * half:.1f}"
    return tag("svg", tag("g", drawn, class_="mark over"), viewBox=box, class_="closure-face", aria_hidden="true")
