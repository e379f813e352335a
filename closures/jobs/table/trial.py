"""What a trial piece tells of the cloth: it rattles, sits right, or bulges, and the range of the clamped stack narrows.

A fastener that sits right clamps a stack that lies within its grip; one that rattles, a thinner one; one that bulges, a
thicker one. What follows for one layer of the cloth is kept in the user's own supplies file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from closures.catalogue.cloths import cloth_names
from closures.catalogue.names import folded
from closures.checks.substitutes import holds
from closures.errors import PlanError, in_section
from closures.frozen import frozen
from closures.lengths import format_mm

if TYPE_CHECKING:
    from closures.catalogue.catalogue import Catalogue
    from closures.catalogue.values import Fastener
    from closures.placing.placement import Placement
    from closures.placing.stack import Layer, Stack

Verdict = Literal["rattles", "right", "bulges"]
VERDICTS: tuple[Verdict, ...] = ("rattles", "right", "bulges")
SUPPLIES = "my-supplies.toml"
"""The supplies file that is begun where a plan names none."""

# Layers that the plan tells by a thickness alone.
_UNNAMED = "measured layer"

_TRIAL = "trial piece: "

# Thicknesses are told and kept in hundredths of a millimetre.
_DIGITS = 2
_LEAST_MM = 0.01


@frozen
class Trial:
    """What one trial piece came to.

    Attributes:
        cloth: whose range it narrows.
        verdict: what was seen.
        before_mm, after_mm: least and most of one layer of it under a flange.
        source: what was tried, for the supplies file.
        is_open: it sat right, and what the other layers may come to still leaves the stack in doubt.
    """

    cloth: str
    verdict: Verdict
    before_mm: tuple[float, float]
    after_mm: tuple[float, float]
    source: str
    is_open: bool = False

    @property
    def told(self) -> str:
        """The same in a sentence."""
        before, after = (
            f"{format_mm(low, 2)} to {format_mm(high, 2)}" for low, high in (self.before_mm, self.after_mm)
        )
        told = f"One layer of {self.cloth} comes to {after} when squeezed; before the trial it was {before}."
        if not self.is_open:
            return told
        return (
            f"{told} The piece sat right, but of the layers beside it too little is known for the check to say so: "
            "squeeze them, measure them, and write their thickness with clamped = true."
        )


def tried_share(placement: Placement) -> Placement:
    """The closures that a trial piece is of: of several, the first that clamp cloth, else the row's own."""
    shares = placement.shares
    return next((one for one in shares if one.fastener.clamps and one.fastener.grip is not None), shares[0])


def judge_trial(
    placement: Placement, verdict: str, catalogue: Catalogue, lap: str = "over", cloth: str | None = None
) -> Trial:
    """Narrow the range of a cloth by what a trial piece showed.

    Args:
        placement: of the plan that the piece was made for.
        verdict: one of `VERDICTS`.
        catalogue: where the cloth is looked up.
        lap: whose layers the piece had.
        cloth: whose range is narrowed; None for the layer that is least certain.

    Returns:
        The trial.

    Raises:
        PlanError: a word that is not known, a lap that clamps nothing or whose layers are not told, or a result that
            the cloth's figures do not allow.
    """
    if verdict not in VERDICTS:
        raise PlanError(
            f"'{verdict}' says nothing of a trial piece", where="RESULT", mend="Write rattles, right or bulges."
        )
    placement = tried_share(placement)
    fastener = placement.fastener
    stack = _stack(placement, lap)
    layer = _layer(stack, cloth)
    grip = (0.0, 0.0) if fastener.grip is None else (fastener.grip[0].value, fastener.grip[1].value)
    total = _total(stack, grip, verdict)
    rest = [stack.clamped_mm[i] - layer.clamped_mm[i] for i in (0, 1)]
    low, high = (total[0] - rest[1]) / layer.plies, (total[1] - rest[0]) / layer.plies
    before = (layer.clamped_mm[0] / layer.plies, layer.clamped_mm[1] / layer.plies)
    after = (max(low, before[0]), min(high, before[1]))
    if after[0] > after[1]:
        after = (max(low, _LEAST_MM), max(high, _LEAST_MM))
    source = f"{_TRIAL}{fastener.kind} {fastener.size}, {layer.plies} of it in the {lap} lap: {verdict}"
    rounded = (round(after[0], _DIGITS) or _LEAST_MM, round(after[1], _DIGITS) or _LEAST_MM)
    now = (rest[0] + layer.plies * rounded[0], rest[1] + layer.plies * rounded[1])
    return Trial(
        layer.name, verdict, before, rounded, source, verdict == "right" and not holds(fastener, now, catalogue)
    )


def _stack(placement: Placement, lap: str) -> Stack:
    fastener = placement.fastener
    if lap not in fastener.clamps or fastener.grip is None:
        raise PlanError(
            f"{_named(fastener)} clamps nothing on the {lap} lap",
            where="--lap",
            mend="A trial tells the thickness only of what a fastener clamps.",
        )
    if any(on == lap for _, on in placement.uncounted):
        raise PlanError(
            f"a patch is clamped on the {lap} lap, and the plan does not tell what it is of",
            where=in_section("swap", "patch_cloth"),
            mend="Write patch_cloth, so that what the piece showed is kept of the cloth that it was of.",
        )
    marks = [mark.over if lap == "over" else mark.under for mark in placement.marks]
    stack = next((mark.stack for mark in marks if mark is not None and mark.stack is not None), None)
    if stack is None:
        raise PlanError(f"the plan tells no layers of the {lap} lap", where="[[layer]]", mend="Add its layers first.")
    return stack


def _layer(stack: Stack, cloth: str | None) -> Layer:
    named = [layer for layer in stack.layers if layer.name != _UNNAMED]
    if cloth is not None:
        named = [layer for layer in named if layer.name == cloth]
    if not named:
        what = f"no layer of {cloth} lies there" if cloth else "no layer there is told by the name of its cloth"
        raise PlanError(what, where="--cloth", mend="Name a cloth of the stack, as the plan does.")
    least_certain = max(stack.layers if cloth is None else named, key=lambda one: one.clamped_mm[1] - one.clamped_mm[0])
    if least_certain.name == _UNNAMED:
        # What the trial showed of this layer would be kept as another cloth's.
        raise PlanError(
            "the layer whose squeezed thickness is least certain there is told without its cloth",
            where="[[layer]]",
            mend="Add cloth beside its thickness and tell the trial again; or name another layer's cloth with --cloth.",
        )
    return least_certain


def _total(stack: Stack, grip: tuple[float, float], verdict: str) -> tuple[float, float]:
    low, high = stack.clamped_mm
    told = {
        "right": (max(low, grip[0]), min(high, grip[1])),
        "rattles": (low, min(high, grip[0])),
        "bulges": (max(low, grip[1]), high),
    }[verdict]
    if told[0] <= told[1]:
        return told
    if verdict == "right":
        # The tables are wrong of this cloth: what sits right lies within the grip.
        return grip
    raise PlanError(
        f"a stack of {_range(stack.clamped_mm)} cannot be one that {verdict}, with a grip of {_range(grip)}",
        where="RESULT",
        mend="Check the layers and the grip of your pack; or squeeze the layers, measure them, and write thickness "
        "with clamped = true.",
    )


def _range(ends: tuple[float, float]) -> str:
    return f"{format_mm(ends[0], 2)} to {format_mm(ends[1], 2)}"


def _named(fastener: Fastener) -> str:
    return f"{fastener.kind} {fastener.size}"


def with_trial(supplies: str, trial: Trial, catalogue: Catalogue) -> str:
    """Write a trial into the text of a supplies file: the cloth's row is changed, or one is added.

    Args:
        supplies: the file's text, empty for a new one.
        trial: what was tried.
        catalogue: whether the cloth has a row of its own there.

    Returns:
        The text; notes and order stay.
    """
    import tomlkit

    document = tomlkit.parse(supplies)
    rows = document.get("cloth")
    # The row may have one of the cloth's other names, or be written large.
    names = cloth_names(catalogue.cloths)
    same = folded(trial.cloth)
    found = next(
        (row for row in rows or () if folded(names.get(name := folded(str(row.get("name"))), name)) == same), None
    )
    if found is None:
        if rows is None:
            rows = tomlkit.aot()
            document["cloth"] = rows
        found = tomlkit.table()
        found["name"] = trial.cloth
        rows.append(found)
        found = rows[-1]
        if all(cloth.name != trial.cloth for cloth in catalogue.cloths):
            own = catalogue.cloth(trial.cloth)
            found["structure"] = own.structure
            found["thickness"] = [round(figure.value, 3) for figure in (own.low, own.typical, own.high)]
    found["clamped"] = list(trial.after_mm)
    told = found.get("source", "")
    told = "; ".join(told) if isinstance(told, list) else str(told)
    # Where the free thickness comes from stays; of trials the last counts.
    kept = [part for part in told.split("; ") if part and not part.startswith(_TRIAL)]
    found["source"] = "; ".join((*kept, trial.source))
    return tomlkit.dumps(document)
