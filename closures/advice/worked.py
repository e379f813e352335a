"""Which cloth is worked: that of either lap at its closures and outside, and what is prepared by itself.

Terms: a cloth is *worked* on a lap where it lies at the closures; the *face* of a lap is its outermost cloth; cloth is
*apart* while it is still in pieces, and once a band is sewn as one with its lap.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures.advice.cloth_facts import cloth_words, face_words
from closures.frozen import frozen
from closures.jobs.table.backing_side import is_behind_facing
from closures.placing.buttonhole import buttonhole_for
from closures.placing.cloth_marks import face_among, faces_of, own_layers
from closures.placing.marked_face import marked_cloths
from closures.placing.stack import MADE, UNNAMED, cloths_among, layers_on
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Mapping, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer
    from closures.plan.band import Face

_LAPS: tuple[LapName, LapName] = ("over", "under")
_OF_CLOTH = ("cloth: ", "press: ", "wash: ", "heat: ")
_OF_CLOTH_ALONE = {
    "fusible",
    "fusible on knitting",
    "cloth laid in",
    "waxed",
    "melts",
    "napped",
    "marks",
    "marks within",
    "scrap first",
    "loops keep",
    "rinses",
    "pens do",
    "beside",
}
_OF_FACE = ("loops keep", "pens do")
_NO_HEAT = {"cloth: leather", "cloth: coated"}
_TREATED = ("wash: ", "press: ")


@frozen
class Worked:
    """Cloth that is worked as one.

    Attributes:
        name: what it is called where there is more than one; empty where all is worked alike.
        words: the facts of the job, were all its cloth what lies here.
        face: the same, were all its cloth that which lies outside here.
        closed: the same, were all its cloth what lies here at the closures.
        outer: the same, were its outermost cloth by itself, before any other meets it.
        marked: the same, were all its cloth that on which it is marked: what lies outside, or inside.
        facing: the same, were its innermost cloth by itself, before any other meets it.
        stiffened: the same, were all its cloth that of the one piece which its interfacing lies on.
        piece: that piece, where the interfacing of any lap lies behind a facing; empty where none does.
    """

    name: str
    words: frozenset[str]
    face: frozenset[str]
    closed: frozenset[str]
    outer: frozenset[str]
    marked: frozenset[str]
    facing: frozenset[str]
    stiffened: frozenset[str]
    piece: str = ""

    def with_more(self, words: Set[str]) -> Worked:
        """The same, with what else is known of the job."""
        more = {word for word in words if not word.startswith(_OF_CLOTH) and word not in _OF_CLOTH_ALONE}
        sets = ("words", "face", "closed", "outer", "marked", "facing", "stiffened")
        return replace(self, **{name: getattr(self, name) | more for name in sets})


def all_alike(name: str, words: frozenset[str], face: frozenset[str] | None = None) -> Worked:
    """Cloth of which no part is worked by itself."""
    seen = words if face is None else face
    return Worked(name, words, seen, words, words, seen, words, words)


def whole_cloth(placement: Placement, catalogue: Catalogue, state: str) -> set[str]:
    """Find what holds of all the cloth of a job: what any of it asks for, asked of all."""
    layers = tuple(layer for lap in _LAPS for layer in _own(placement, catalogue, lap))
    return cloth_words(placement, catalogue, state, layers, faces_of(placement.plan, catalogue))


def laps_worked(
    placement: Placement,
    catalogue: Catalogue,
    state: str,
    words: frozenset[str],
    face: frozenset[str],
    up: Mapping[LapName, Face],
) -> Mapping[LapName, Worked]:
    """Find what holds of the cloth of either lap.

    Args:
        placement: for its layers, and where its closures lie on them.
        catalogue: where cloths are looked up.
        state: of the garment.
        words: the facts of the job.
        face: what is known of its outermost cloth; empty where no more is than of the whole.
        up: which face of either lap is marked.

    Returns:
        The cloth of either lap; of one of which nothing is told, that of the whole.
    """
    found: dict[LapName, Worked] = {}
    pieces = interfaced_pieces(placement)
    for lap in _LAPS:
        layers = _own(placement, catalogue, lap)
        outside = face_among(layers)
        if outside is None:
            found[lap] = all_alike(lap, with_cloth(words, words), with_face(words, face) if face else None)
            continue
        faces = (outside,)
        own = with_cloth(words, cloth_words(placement, catalogue, state, layers, faces, (lap,)))
        at = tuple(layer for layer in layers if _lies_at_closures(layer, placement, catalogue, lap))
        closed = own
        if at != layers and at:
            closed = with_cloth(words, cloth_words(placement, catalogue, state, at, faces, (lap,)))
        seen = face_words(placement, catalogue, faces)
        on_mark = face_words(placement, catalogue, marked_cloths(placement, catalogue, (lap,), up))
        marked = with_face(own, on_mark) if on_mark else own
        if not seen:
            found[lap] = Worked(lap, own, own, closed, own, marked, own, own, pieces[lap])
            continue
        fusible = tuple(layer for layer in layers if "fusible" in layer.structures)

        def alone(cloth: Layer, fused: tuple[Layer, ...] = fusible, lap: LapName = lap) -> frozenset[str]:
            return with_cloth(words, cloth_words(placement, catalogue, state, (cloth, *fused), (cloth,), (lap,)))

        inside = face_among(layers[::-1]) or outside
        outer, facing = alone(outside), alone(inside)
        stiffened = facing if is_behind_facing(placement, lap) else outer
        found[lap] = Worked(lap, own, with_face(own, seen), closed, outer, marked, facing, stiffened, pieces[lap])
    return found


def interfaced_pieces(placement: Placement) -> dict[LapName, str]:
    """Name the piece of either lap that its interfacing lies on; empty where it is that of the band on both."""
    on_facing = {lap: is_behind_facing(placement, lap) for lap in _LAPS}
    if not any(on_facing.values()):
        return dict.fromkeys(_LAPS, "")
    return {lap: f"the {lap} lap's {'facing' if within else 'band'}" for lap, within in on_facing.items()}


def prepared_apart(
    placement: Placement,
    catalogue: Catalogue,
    state: str,
    words: frozenset[str],
    laps: Mapping[LapName, Worked],
) -> tuple[Worked, ...]:
    """Find what is washed, pressed or laid out by itself, since other cloth of the job does not bear it.

    Args:
        placement: for its layers.
        catalogue: where cloths are looked up.
        state: of the garment; cloth that is sewn into a band is treated with its lap.
        words: the facts of the job.
        laps: the cloth of either lap.

    Returns:
        Cloths by name, or laps, those that are treated alike together; one without a name where all are.
    """
    alone = (all_alike("", words),)
    if state == "finished" or "knitted" in words:
        # One lap lies on the other, and an iron goes through both.
        return alone
    if state == "sewn band":
        treated = {f"the {laps[lap].name} lap": laps[lap].words for lap in _LAPS}
    else:
        treated = _by_cloth(placement, catalogue, state, words)
    alike: dict[frozenset[str], list[str]] = {}
    for name, own in treated.items():
        alike.setdefault(frozenset(word for word in own if word.startswith(_TREATED)), []).append(name)
    if len(alike) < 2:
        return alone
    found = []
    for names in alike.values():
        # What is treated alike is treated as the most tender of it asks.
        own = frozenset(word for name in names for word in treated[name])
        found.append(all_alike(in_a_row(names), own))
    return tuple(found)


def _by_cloth(
    placement: Placement, catalogue: Catalogue, state: str, words: frozenset[str]
) -> dict[str, frozenset[str]]:
    """The facts of the job, were all its cloth one of those it has, by their names; interfacing is laid in later."""
    named: dict[str, list[Layer]] = {}
    for layer in (layer for lap in _LAPS for layer in _own(placement, catalogue, lap)):
        if "fusible" in layer.structures:
            continue
        what = "leather" if "leather" in layer.structures else "cloth"
        named.setdefault(f"{what} that is not named" if layer.name == UNNAMED else layer.name, []).append(layer)
    known = {name: layers for name, layers in named.items() if cloths_among(layers) & set(MADE)}
    if len(known) < 2:
        # Of what nobody tells the making, it is taken to be treated as the rest is.
        return {name: words for name in named}
    own = {name: cloth_words(placement, catalogue, state, layers, layers) for name, layers in named.items()}
    bears_none = [name for name, told in own.items() if told & _NO_HEAT]
    is_steamed = any("wash: steam" in told for told in own.values())
    for name, told in own.items():
        if name in bears_none:
            continue
        if is_steamed:
            # What is cleaned is cleaned as a whole.
            told -= {"wash: first"}
            told |= {"wash: steam"}
        told |= {"beside"} if bears_none else set()
    return {name: with_cloth(words, told) for name, told in own.items()}


def with_cloth(words: frozenset[str], own: Set[str]) -> frozenset[str]:
    """The facts of a job, with those of other cloth in the place of its own."""
    kept = {word for word in words if not word.startswith(_OF_CLOTH) and word not in _OF_CLOTH_ALONE}
    found = kept | own
    if {"fusible", "heat: bears", "state: cut pieces"} <= found and {"marks", "press: steam"} & found:
        # What an iron flattens or marks stays so: the piece is fused once all else is known.
        found.add("scrap first")
    # A bound buttonhole is worked from both faces of the cloth, and only thread is seen on both.
    return frozenset(found - ({"pens do"} if "any bound" in found else set()))


def with_face(words: frozenset[str], face: frozenset[str]) -> frozenset[str]:
    """The facts of a job, were all its cloth what lies outside."""
    own = {word for word in words if not word.startswith("cloth: ") and word not in _OF_FACE}
    return frozenset(own | (face - {"pens do"} if "any bound" in words else face))


def _own(placement: Placement, catalogue: Catalogue, lap: LapName) -> tuple[Layer, ...]:
    # A backing is laid by a step of its own, and does not decide how the cloth is treated; nor does a patch.
    return layers_on(lap, own_layers(placement.plan), catalogue)


def _lies_at_closures(layer: Layer, placement: Placement, catalogue: Catalogue, lap: LapName) -> bool:
    """Whether a layer lies where any closure of the lap goes through it; of a strap its ends are not told apart."""
    if placement.strap is not None:
        return True
    hole = buttonhole_for(placement.fastener, placement.plan, catalogue)
    reach = max(placement.fastener.rim_mm, 0.0 if hole is None else hole.length_mm)
    return any(
        _meets(layer.across_mm, on.edge_distance_mm, reach) and _meets(layer.along_mm, on.along_mm, reach)
        for mark in placement.marks
        if (on := mark.on(lap)) is not None
    )


def _meets(span: tuple[float, float] | None, at: float, reach: float) -> bool:
    return span is None or (span[0] < at + reach and at - reach < span[1])
