"""What follows from the cloth: how it is pressed, whether it is washed first, how it takes a mark."""

from __future__ import annotations

from typing import TYPE_CHECKING

from closures.placing.cloth_marks import (
    has_nap_alone,
    has_nap_inside,
    has_ribs,
    is_cleaned,
    is_flattened,
    keeps_marks,
    keeps_marks_within,
    own_layers,
)
from closures.placing.knitted import keeps_loops
from closures.placing.marked_face import marked_cloths
from closures.placing.plies import hidden_cloths, sewn_in
from closures.placing.stack import MADE, UNNAMED, cloths_among, layers_on, worked_cloths
from closures.plan.layers import LayerWish
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence, Set

    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import LapName
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer
    from closures.plan.band import Face
    from closures.plan.plan import Plan

_LAPS: tuple[LapName, LapName] = ("over", "under")
# A coat of these over anything decides how the whole is treated.
_NO_HEAT = ("leather", "coated")
# Fibres that are steamed or cleaned, not washed, unless the plan says otherwise.
_STEAMED = ("wool", "silk")
# Fibres that a hot iron makes shine, and then melts (common practice).
_MELTING = ("polyester", "nylon", "polyamide", "acrylic", "acetate", "elastane", "polypropylene")


# What keeps the prick of a pin from outside, or runs from it.
_TENDER = {"cloth: silk", "cloth: satin", "cloth: sheer", "cloth: knit", "cloth: leather", "cloth: coated"}


_PRICKED = {"silk", "satin", "sheer"}
"""What keeps every prick, and is treated otherwise for no other reason (common practice)."""

_WHERE = {"outside": ("outside", "within"), "inside": ("inside", "outside"), "both": ("that is marked", "beyond")}


def cloth_words(
    placement: Placement,
    catalogue: Catalogue,
    state: str,
    layers: Sequence[Layer],
    faces: Sequence[Layer],
    on: Sequence[LapName] = _LAPS,
) -> set[str]:
    """Find what holds of cloth.

    Args:
        placement: for its plan.
        catalogue: where cloths are looked up.
        state: of the garment.
        layers: the cloth, of a job, of a lap, or of one layer alone.
        faces: those of them that lie outside.
        on: the laps whose interfacing is asked about.

    Returns:
        Facts of the groups cloth, press, wash and heat, and those of interfacing and pens.
    """
    plan = placement.plan
    made = worked_cloths(layers, plan, placement.fastener.kind)
    # Nobody sees what a pin does to cloth that lies between two others; by itself it is prepared as what it is.
    hidden = hidden_cloths(plan, catalogue)
    seen = [layer for layer in layers if layer.name not in hidden] or layers
    made = made - (_PRICKED - worked_cloths(seen, plan, placement.fastener.kind))
    fibres = {layer.fibre for layer in layers}
    is_napped = has_nap_alone(layers, catalogue)
    # A nap is marked, pressed and pricked as the cloth it was raised on.
    made = made - {"pile"} if is_napped else made
    words = {f"cloth: {word}" for word in MADE if word in made}
    if not words:
        words.add("cloth: not told")
    words |= {"napped"} if is_napped and not has_nap_inside(layers, catalogue) else set()
    bands = plan.bands
    # Where one lap takes none the layers tell of which, unless they were measured with whatever lay there.
    is_known = bool(layers) and all(layer.structures for layer in layers)
    is_cut = bands is not None and any(bands.interfacings_of(lap) for lap in on) and not (bands.bare and is_known)
    laid_in = {lap: len(plies.within) for lap in on if (plies := sewn_in(plan, lap, catalogue)) is not None}
    if laid_in:
        words.add("cloth laid in")
        # What no layer tells is cut besides it, or on the other lap alone.
        is_cut = bands is not None and any(bands.interfacings_of(lap) > laid_in.get(lap, 0) for lap in on)
    if "fusible" in made or is_cut:
        # An iron flattens knitting: what is fused to cloth is tried on the swatch, once there are bands.
        words.add("fusible" if plan.gauge is None else "fusible on knitting")
    if _melts(layers):
        words.add("melts")
    if "waxed" in made:
        words.add("waxed")
    no_heat = any(word in made for word in _NO_HEAT)
    if keeps_marks(seen, plan, catalogue):
        words.add("marks")
    if keeps_marks_within(seen, faces, plan, catalogue):
        words.add("marks within")
    if keeps_loops(layers, plan, catalogue):
        words.add("loops keep")
    is_steamed = bool(fibres & set(_STEAMED)) or is_cleaned(layers, catalogue)
    words.add(f"press: {_press(made, fibres, no_heat, has_ribs(layers, catalogue))}")
    words.add(f"wash: {_wash(placement, state, no_heat, is_steamed)}")
    if not no_heat:
        words.add("heat: bears")
    if _rinses(placement, is_steamed) and not no_heat:
        words.add("rinses")
    if _bears_pens(made):
        words.add("pens do")
    return words


def face_words(placement: Placement, catalogue: Catalogue, faces: Sequence[Layer]) -> frozenset[str]:
    """Find what lies outside, where a sheet is laid on and marked, as facts of the group cloth and of pens.

    Args:
        placement: for its plan.
        catalogue: where cloths are looked up.
        faces: the outermost layers of both laps or of one.

    Returns:
        What is found of them; empty where no more is known of them than of the whole.
    """
    plan = placement.plan
    if not faces or any(not cloths_among((face,)) & set(MADE) for face in faces):
        return frozenset()
    made = worked_cloths(faces, plan, placement.fastener.kind)
    made = made - {"pile"} if has_nap_alone(faces, catalogue) else made
    words = {f"cloth: {word}" for word in MADE if word in made}
    words |= {"loops keep"} if keeps_loops(faces, plan, catalogue) else set()
    return frozenset(words | ({"pens do"} if words and _bears_pens(made) else set()))


NOT_THROUGH = " Do not let {the needle} come through to the outside: its hole would stay to be seen."
"""What is said of a lap that is marked on its inside since its outside keeps marks (common practice)."""


def no_deeper(
    placement: Placement, catalogue: Catalogue, laps: Sequence[LapName], seen: Set[str], up: Mapping[LapName, Face]
) -> str:
    """Say how deep a pin or a stitch may go from the face that is marked, where what lies beyond keeps it or runs.

    Args:
        placement: for its layers.
        catalogue: where cloths are looked up.
        laps: on which the pin or the stitch goes in.
        seen: what is known of the layers that are marked.
        up: which face of either lap is marked.

    Returns:
        A sentence; empty where what is within bears what the cloth outside bears.
    """
    plan = placement.plan
    told = {lap: layers_on(lap, own_layers(plan), catalogue) for lap in laps}
    outside = {face.name for face in marked_cloths(placement, catalogue, laps, up)}
    passed = outside | hidden_cloths(plan, catalogue)
    layers = [layer for own in told.values() for layer in own]
    tender = {layer.name: _tender(layer, plan, catalogue) - seen for layer in layers if layer.name not in passed}
    within = {name: words for name, words in tender.items() if words}
    if not within:
        return ""
    runs = all(words == {"cloth: knit"} for words in within.values())
    then = "runs where a loop is cut" if runs else "keeps every prick"
    names = {name: "what is not named" if name == UNNAMED else name for name in (*outside, *within)}
    told_within = in_a_row([names[one] for one in within])
    face_told = " and ".join(names[name] for name in sorted(outside))
    faces = {up[lap] for lap in laps}
    where, beyond = _WHERE["both" if len(faces) > 1 else faces.pop()]
    return f" Go no deeper than the cloth {where}, {face_told}: {told_within} {beyond} {then}."


def _tender(layer: Layer, plan: Plan, catalogue: Catalogue) -> set[str]:
    """What makes a layer keep every prick, or run from it."""
    kept = {"marks"} if keeps_marks((layer,), plan, catalogue) else set()
    made = {f"cloth: {word}" for word in cloths_among((layer,))}
    if keeps_loops((layer,), plan, catalogue):
        made -= {"cloth: knit"}
    return (_TENDER & made) | kept


def _bears_pens(made: Set[str]) -> bool:
    """Whether a pen is thought of: where a mark is a stitch of thread or lies on tape, no page speaks of one."""
    return not made & {"leather", "coated", "pile", "sheer", "knit", "padded", "silk", "satin"}


def words_of_patches(plan: Plan, catalogue: Catalogue) -> frozenset[str]:
    """What the patches are that lie outside on the over lap, as facts of the group cloth; empty where none is told."""
    if plan.swap is None or plan.swap.patch_mm is None or plan.swap.patch_cloth is None:
        return frozenset()
    layers = layers_on("over", (LayerWish(cloth=plan.swap.patch_cloth),), catalogue)
    made = cloths_among(layers) - ({"pile"} if has_nap_alone(layers, catalogue) else set())
    return frozenset(f"cloth: {word}" for word in MADE if word in made)


def _melts(layers: Sequence[Layer]) -> bool:
    """Whether a hot iron would make the cloth shine and melt it, as is feared of a sheer whose fibre nobody tells.

    Its backing lies beneath, and does not decide.
    """
    cloths = [layer for layer in layers if "fusible" not in layer.structures]
    return any(layer.fibre in _MELTING or ("sheer" in layer.structures and not layer.fibre) for layer in cloths)


def _press(made: Set[str], fibres: Set[str], no_heat: bool, is_ribbed: bool) -> str:
    if no_heat:
        return "none"
    if is_flattened(made, is_ribbed=is_ribbed):
        return "steam"
    # Smooth wool is shaped by iron and damp cloth, and shines where the iron meets it; silk keeps the spots of water.
    return "damp" if "wool" in fibres and "silk" not in fibres else "iron"


def _wash(placement: Placement, state: str, no_heat: bool, is_steamed: bool) -> str:
    garment = placement.plan.garment
    told = None if garment is None else garment.washing
    if placement.plan.shrinkage is not None:
        return "after"
    if state == "finished" or told == "washed":
        return "done"
    if told == "to be washed":
        # The plan's own word stands over what its cloth usually bears, but for what a wash may spoil for good.
        return "trial" if no_heat else "first"
    if no_heat or told == "never":
        return "never"
    return "steam" if is_steamed and told is None else "first"


def _rinses(placement: Placement, is_steamed: bool) -> bool:
    """Whether ink can be taken out with water: of wool and silk only where somebody says that they are washed."""
    garment = placement.plan.garment
    told = None if garment is None else garment.washing
    return told != "never" if not is_steamed else told in ("washed", "to be washed")


def material_of(words: frozenset[str]) -> str:
    """What the cloth is called in a sentence."""
    for word in ("leather", "coated"):
        if f"cloth: {word}" in words:
            return "leather" if word == "leather" else "coated cloth"
    return "cloth"
