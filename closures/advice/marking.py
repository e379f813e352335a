"""How the marks get from the sheet on to the cloth: one way for one job, told alike on every page."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from closures.advice.facts import Facts, unknown_facts
from closures.advice.tables import rows_of
from closures.advice.wording import put
from closures.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import Provenance


@frozen
class Way:
    """One way to mark.

    Attributes:
        key: its name.
        when: conditions; all must hold.
        sign: what the key of the sheet says of a mark.
        text: what to do, to follow a colon.
        provenance: where it comes from.
    """

    key: str
    when: tuple[str, ...]
    sign: str
    text: str
    provenance: Provenance


_BY_THEIR_ENDS = ("buttonholes", "not knitted holes", "not old buttonholes serve")
"""Where buttonholes are marked, which is done at both ends of each and not at its dot."""


_AT_ENDS = " and at both ends of each buttonhole"
_AT_SLIT = ", and nothing covers the end of a slit"


_BY_NEEDLE = ("thread", "prick")
"""Ways that put a needle or a pin into the cloth outside."""

_BOUND = "a bound buttonhole is worked from both faces of the cloth, and thread is seen on both"

AT_THE_DOT = " at the dot"
"""Where a single mark is made."""


def way_to_mark(facts: Facts, where: str | None = None, *, has_slits: bool = True) -> Way:
    """Choose the way that suits the cloth in hand: the first of the table whose conditions hold.

    Args:
        facts: of the job.
        where: a mark is made on the sheet, for a sentence that says it already; None to say it.
        has_slits: what is marked carries the buttonholes, where there are any.
    """
    way = next(way for way in _ways("way") if facts.meets(way.when))
    by_ends = has_slits and facts.meets(_BY_THEIR_ENDS)
    where_told = where
    if where is None:
        where = " at each dot" + (_AT_ENDS if by_ends else "")
    sign = f"{way.sign}; of a buttonhole, its ends" if by_ends else way.sign
    dot, prick = ("the dot", "the prick") if where == AT_THE_DOT else ("each dot", "each prick")
    # A step that marks snaps alone has no word of how a buttonhole is worked.
    is_own = where_told is None or "buttonholes" in facts.words
    why = {"why bound": _BOUND if is_own else "so that all marks of the row are alike"}
    slit = _AT_SLIT if has_slits else ""
    text = put(
        way.text, {**facts.figures, **why, "slit end": slit, "at each dot": where, "each dot": dot, "each prick": prick}
    )
    if way.key in _BY_NEEDLE:
        text += facts.figures.get("no deeper", "")
    return Way(way.key, way.when, sign, text, way.provenance)


def ways_of_laps(facts: Facts, where: str | None = None) -> dict[str, Way]:
    """Tell how either lap is marked, by its name; empty where both are marked in one way."""
    if not facts.face:
        # Where one of the outermost cloths is not known, what is known of the whole stands for both.
        return {}
    ways = {}
    for lap in facts.laps:
        has_slits = lap == facts.figures["lead"]
        ways[f"{lap} {facts.figures['lap word']}"] = way_to_mark(facts.on_lap(lap), where, has_slits=has_slits)
    alike = [
        (way.key, _why(way_to_mark(facts.on_lap(lap)))) for lap, way in zip(facts.laps, ways.values(), strict=True)
    ]
    return {} if alike[0] == alike[1] else ways


def _why(way: Way) -> str:
    """How a way is worked, and why: without how deep a pin may go, which is told of both laps together as well."""
    return way.text.partition(" Go no deeper")[0]


def marking_page(facts: Facts) -> tuple[str, ...]:
    """Say how to mark the cloth in hand, with what to beware of: whole sentences, the way that suits first."""
    way = way_to_mark(facts.on_face)
    told = ways_of_laps(facts)
    ways = tuple(f"{lap}: {one.text}" for lap, one in told.items()) or (way.text,)
    # A knit within is stretched and runs as well; a pen is put to the cloth outside alone.
    heeded = replace(facts, words=facts.words - {"pens do"} | facts.on_face.words & {"pens do"})
    on_it = way_to_mark(facts.on_patches)
    is_other = bool(facts.patches) and on_it.key != way.key
    patches = (f"On the patches, outside on the over lap: {on_it.text}",) if is_other else ()
    firsts = tuple(f"{text[0].upper()}{text[1:]}" for text in ways)
    return (*firsts, *patches, *(warning.text for warning in _ways("warning") if heeded.meets(warning.when)))


def sign_of(facts: Facts) -> str:
    """What the key of the sheets says of a mark."""
    told = ways_of_laps(facts)
    sign, on_it = way_to_mark(facts.on_face).sign, way_to_mark(facts.on_patches).sign
    if told:
        sign = "mark: " + "; ".join(f"on the {lap} {one.sign.removeprefix('mark: ')}" for lap, one in told.items())
        on_it = sign if not facts.patches else on_it
    return sign if on_it == sign else f"{sign}; on a patch, {on_it.removeprefix('mark: ')}"


def marking_together(pages: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Put together how closures that differ are marked: what is said of buttonholes too is not said without them."""
    lines = dict.fromkeys(line for page in pages for line in page)
    covered = {line.replace(_AT_ENDS, "").replace(_AT_SLIT, "") for line in lines if _AT_ENDS in line}
    return tuple(line for line in lines if line not in covered)


@cache
def _ways(section: str) -> tuple[Way, ...]:
    found = []
    for row in rows_of("marking", section):
        row.check_keys(("key", "when", "sign", "text"))
        basis = row.basis()
        way = Way(
            row.text("key", is_required=True),
            row.texts("when"),
            row.text("sign", is_required=section == "way"),
            row.text("text", is_required=True),
            basis,
        )
        for word in unknown_facts(way.when):
            row.fault("when", f"no job has the fact {word!r}", "Write one that is listed with the facts.")
        row.raise_faults()
        found.append(way)
    return tuple(found)
