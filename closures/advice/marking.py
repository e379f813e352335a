"""How the marks get from the sheet on to the cloth: one way for one job, told alike on every page."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, get_args

from closures.advice.cloth_facts import NOT_THROUGH
from closures.advice.facts import Facts, unknown_facts
from closures.advice.tables import rows_of
from closures.advice.wording import is_one, put
from closures.frozen import frozen
from closures.plan.band import Face

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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
        by_ends: what is marked so carries buttonholes, of which both ends are marked.
    """

    key: str
    when: tuple[str, ...]
    sign: str
    text: str
    provenance: Provenance
    by_ends: bool = False


@frozen
class Marked:
    """Closures that are marked in one way on each lap.

    Attributes:
        marks: theirs, in words; empty where the row has no others.
        facts: of the job that they are.
        more: what the key of the sheets says of them beside the mark itself.
    """

    marks: str
    facts: Facts
    more: tuple[str, ...] = ()


_BY_THEIR_ENDS = ("buttonholes", "not knitted holes", "not old buttonholes serve")
"""Where buttonholes are marked, which is done at both ends of each and not at its dot."""


_AT_ENDS = (" and at both ends of each buttonhole", " and at both ends of the buttonhole")
"""What is said of the ends of slits beside the dots: of several, and of one."""
_AT_DOTS = " at each dot"
_ITS_ENDS = "; of a buttonhole, its ends"
_AT_SLIT = ", and nothing covers the end of a slit"


_BY_NEEDLE = {"thread": "the stitch", "prick": "the pin"}
"""Ways that put a needle or a pin into the cloth that is marked, and what goes in."""

_SEEN_OUTSIDE = {
    "seen outside": " where the pin comes out on the outside: the part is set from there, and covers the mark",
    "shows outside": " Go right through, so that the mark shows on the outside: the part is set from there.",
}
"""How a mark that is made on the inside comes to be seen outside, where a part is set from there (common practice)."""

_MEASURED = {
    "inside": "turn the {lap word} over and measure on its inside {how far}, as the table of marks tells: there "
    "the part covers the mark. Mark the place {there}.",
    "outside": "measure on the outside {how far}, as the table of marks tells: a mark on the inside would not come "
    "through. Mark the place {there}.",
}
_NOT_THROUGH = " that does not come through to the outside"
_FAR_ON = {
    "lap": "as far along the closing line, and as far in from the finished edge",
    "end": "as far from its tip, and from its long side",
}
_SHOWN = (
    "{second marks?its place is|its places are} shown on its {face} by the {first lap}, as the order of work tells: "
    "hold {second marks?it|them} against the back of its sheet, against the light, and mark "
    "{second marks?it|them} {there}."
)
_CARRIED = (
    "{second marks?its place is|its places are} carried over from the {first lap}, as the order of work tells, and "
    "marked {there}. Its strip, which has no edge to lie to, proves them."
)
_BY_THE_OTHER = "shown by the {first lap}"
_MEASURED_BY = {
    "awl": "with an awl, where the part will cover it",
    "leather tape": "on paper tape",
    "tape": "on paper tape",
    "thread": "with one loose stitch{not through}, its ends left long",
    "bound": "with one loose stitch{not through}, its ends left long",
    "chalk": "with chalk",
    "prick": "with chalk",
    "not told": "in the way that your cloth bears",
}
_WITH_AWL, _ON_TAPE, _WITH_CHALK = "there with an awl, where a part will cover it", "on paper tape", "there with chalk"
_WITH_STITCH = "there{second marks?|, each} with a loose stitch{not through}"
_SHOWN_BY = {
    "awl": _WITH_AWL,
    "leather tape": _ON_TAPE,
    "tape": _ON_TAPE,
    "thread": _WITH_STITCH,
    "bound": _WITH_STITCH,
    "chalk": _WITH_CHALK,
    "prick": _WITH_CHALK,
    "not told": "there in the way that your cloth bears",
}
"""How a place of the lap that is set second is marked, where the other lap shows it; by the way to mark."""

_SERVE = "mark nothing there, since its old buttonholes serve again."
_NO_MARK = "nothing, its old buttonholes serve"
"""What is said of a lap whose buttonholes are all there, in the words of a page and in those of a key."""

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
    ends = _AT_ENDS[is_one(facts.figures.get("new hole marks", ""))]
    where_told = where
    if where is None:
        where = _AT_DOTS + (ends if by_ends else "")
    dot, prick = ("the dot", "the prick") if where == AT_THE_DOT else ("each dot", "each prick")
    # A step that marks snaps alone has no word of how a buttonhole is worked, nor of one that is bound where it is not.
    is_own = "bound" in facts.words or (where_told is None and "buttonholes" not in facts.words)
    why = {"why bound": _BOUND if is_own else "so that all marks of the row are alike"}
    slit = _AT_SLIT if has_slits else ""
    # What is done at every dot anyhow says where only for the ends of slits.
    at_ends = f"{_AT_DOTS}{ends}" if by_ends and where_told is None else ""
    places = {"at each dot": where, "each dot": dot, "each prick": prick, "at ends too": at_ends}
    is_through = "marked through" in facts.words
    seen = {name: words if is_through else "" for name, words in _SEEN_OUTSIDE.items()}
    text = put(way.text, {**facts.figures, **why, **places, **seen, "slit end": slit})
    if way.key in _BY_NEEDLE and not is_through:
        text += put(facts.figures.get("no deeper", ""), {"the needle": _BY_NEEDLE[way.key]})
    face = measured_on(facts)
    if face is not None:
        named = facts.figures["lap word"]
        told = put(_MEASURED[face], {"there": _MEASURED_BY[way.key], "lap word": named, "how far": _FAR_ON[named]})
        told = put(told, _through(facts))
        return Way(way.key, way.when, f"mark: measured {face}", told, way.provenance)
    if _is_carried(facts):
        told = put(_CARRIED, {"there": mark_there(way, facts), **facts.figures})
        return Way(way.key, way.when, f"mark: {put(_BY_THE_OTHER, facts.figures)}", told, way.provenance)
    face = shown_on(facts)
    if face is not None:
        told = put(_SHOWN, {"face": face, "there": mark_there(way, facts), **facts.figures})
        return Way(way.key, way.when, f"mark: {put(_BY_THE_OTHER, facts.figures)}", told, way.provenance)
    return Way(way.key, way.when, way.sign, text, way.provenance, by_ends)


def measured_on(facts: Facts) -> Face | None:
    """On which face marks are measured that are not made from their sheet; None where they are made from it."""
    faces: tuple[Face, ...] = get_args(Face)
    return next((face for face in faces if f"measured {face}" in facts.words), None)


def mark_there(way: Way, facts: Facts) -> str:
    """How a place is marked on the lap that is set second, where it was found: with what its own way to mark takes."""
    return put(_SHOWN_BY[way.key], _through(facts))


def _through(facts: Facts) -> dict[str, str]:
    """What is said of a stitch on the inside of a lap that is marked there alone, or whose outside keeps marks."""
    is_tender = "inside" in (measured_on(facts), shown_on(facts)) or facts.figures.get("no deeper") == NOT_THROUGH
    return {"not through": _NOT_THROUGH if is_tender else ""}


def shown_on(facts: Facts) -> Face | None:
    """On which face a lap is shown its places by the other, where its sheet is drawn for the face beyond; else None."""
    faces: tuple[Face, ...] = get_args(Face)
    return next((face for face in faces if f"shown {face}" in facts.words), None)


def _is_carried(facts: Facts) -> bool:
    """Whether the other lap shows a lap its places, whose own edge lies too far from them."""
    return "carried over" in facts.words


def ways_of_laps(facts: Facts, where: str | None = None) -> dict[str, Way]:
    """Tell how either lap is marked, by its name; empty where both are marked in one way."""
    own = [facts.on_lap(lap) for lap in facts.laps]
    if not facts.face and not any(shown_on(one) or _is_carried(one) for one in own):
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


def _lap_that_serves(facts: Facts) -> str:
    """The lap that is marked nowhere, since all its buttonholes are old ones that serve again; empty where none is."""
    return f"{facts.figures['lead']} {facts.figures['lap word']}" if "old buttonholes serve" in facts.words else ""


def _why(way: Way) -> str:
    """How a way is worked, and why: without how deep a pin may go, which is told of both laps together as well."""
    return way.text.partition(" Go no deeper")[0]


def marking_page(facts: Facts) -> tuple[str, ...]:
    """Say how to mark the cloth in hand, with what to beware of: whole sentences, the way that suits first.

    Nothing is said where every closure is there and stays: nothing is marked.
    """
    if "some new" not in facts.words:
        return ()
    way = way_to_mark(facts.on_face)
    told = ways_of_laps(facts)
    if serves := _lap_that_serves(facts):
        told = told or {f"{lap} {facts.figures['lap word']}": way for lap in facts.laps}
    ways = tuple(f"{lap}: {_SERVE if lap == serves else one.text}" for lap, one in told.items()) or (way.text,)
    # A knit within is stretched and runs as well; a pen is put to the cloth outside alone.
    heeded = replace(facts, words=facts.words - {"pens do"} | facts.on_face.words & {"pens do"})
    on_it = way_to_mark(facts.on_patches)
    is_other = bool(facts.patches) and on_it.key != way.key
    patches = (f"On the patches, outside on the over lap: {on_it.text}",) if is_other else ()
    firsts = tuple(f"{text[0].upper()}{text[1:]}" for text in ways)
    return (
        *firsts,
        *patches,
        *(put(warning.text, facts.figures) for warning in _ways("warning") if heeded.meets(warning.when)),
    )


def marking_together(pages: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Put together how closures that differ are marked: what is said of buttonholes too is not said without them.

    Args:
        pages: of each kind by its name; a line that does not hold for all begins with the names of those it is for.
    """
    told: dict[str, dict[str, None]] = {}
    # Of what is done at every dot anyhow the dots are told with the ends alone.
    plain = {
        line.replace(f"{dots}{ends}", "").replace(_AT_SLIT, ""): line
        for line in (line for lines in pages.values() for line in lines)
        for ends in _AT_ENDS
        if ends in line
        for dots in (_AT_DOTS, "")
    }
    for name, lines in pages.items():
        for line in lines:
            told.setdefault(plain.get(line, line), {})[name] = None
    return tuple(line if len(of) == len(pages) else f"{'; '.join(of)}: {line}" for line, of in told.items())


def sign_of(kinds: Sequence[Marked]) -> str:
    """What the key of the sheets says of a mark, for all kinds of a row: where ways differ, the marks of each."""
    on: dict[str, dict[str, list[str]]] = {}
    ended, patches = set[str](), dict[str, None]()
    for kind in kinds:
        facts = kind.facts
        one = way_to_mark(facts.on_face)
        laps = {f"{lap} {facts.figures['lap word']}": one for lap in facts.laps}
        serves = _lap_that_serves(facts)
        for lap, way in (ways_of_laps(facts) or laps).items():
            on.setdefault(lap, {}).setdefault(_NO_MARK if lap == serves else _short(way), []).append(kind.marks)
            ended |= {lap} if way.by_ends else set()
        if facts.patches:
            patches[_short(way_to_mark(facts.on_patches))] = None
    told = {lap: _each(signs) for lap, signs in on.items()}
    if len(set(told.values())) == 1:
        sign = next(iter(told.values())) + (_ITS_ENDS if ended else "")
    else:
        sign = "; ".join(f"on the {lap} {way}{_ITS_ENDS if lap in ended else ''}" for lap, way in told.items())
    on_it = [f"on a patch, {way}" for way in patches if {way} != set(told.values())]
    more = dict.fromkeys(words for kind in kinds for words in kind.more)
    return "; ".join((f"mark: {sign}", *on_it, *more))


def _short(way: Way) -> str:
    return way.sign.removeprefix("mark: ")


def _each(signs: Mapping[str, Sequence[str]]) -> str:
    if len(signs) == 1:
        return next(iter(signs))
    return ", ".join(f"{sign} ({', '.join(marks)})" for sign, marks in signs.items())


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
