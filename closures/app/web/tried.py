"""A trial piece told on the page: it rattles, sits right or bulges, and the user's own file of supplies is narrowed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from closures import files
from closures.app.trying import try_piece
from closures.app.web.bench import Step
from closures.app.web.own_names import own_names
from closures.app.web.placed import answer_of
from closures.app.web.wording import of_a_plan, sentences_of
from closures.checks.finding import share_in_words
from closures.errors import ClosureError, PlanError
from closures.frozen import frozen
from closures.jobs.table.trial import SUPPLIES, tried_share
from closures.lengths import format_mm

if TYPE_CHECKING:
    from collections.abc import Mapping

    from closures.app.job import Answer
    from closures.app.web.bench import Bench
    from closures.placing.stack import Layer

VERDICTS = {
    "rattles": "it rattles, or turns by itself",
    "right": "it sits right",
    "bulges": "the cloth bulges, or it will not close",
}


@frozen
class TrialForm:
    """What the page asks of a trial piece.

    Attributes:
        why_not: why nothing can be said about one here; empty where something can.
        laps: whose layers the piece may have had.
        cloths: whose thickness it may tell.
        known: what trials told so far, a sentence for each cloth.
        file: the supplies file that keeps it, where there is one.
        which: of closures that differ, those that the piece is of; empty where all are alike.
    """

    why_not: str
    laps: tuple[str, ...] = ()
    cloths: tuple[str, ...] = ()
    known: tuple[str, ...] = ()
    file: str = ""
    which: str = ""


def trial_form(bench: Bench, answer: Answer) -> TrialForm:
    """Find what a trial piece of the plan in hand can tell."""
    if bench.garment:
        return TrialForm(
            "All openings of a garment read one file of supplies: open this plan by itself to tell of a trial."
        )
    placement = tried_share(answer.placement)
    if placement.fastener.grip is None or not placement.fastener.clamps:
        return TrialForm("No closure here clamps cloth: nothing is tried.")
    layers: dict[str, tuple[Layer, ...]] = {}
    for lap in placement.fastener.clamps:
        marks = (mark.over if lap == "over" else mark.under for mark in placement.marks)
        stack = next((mark.stack for mark in marks if mark is not None and mark.stack is not None), None)
        if stack is not None and any(layer.name != "measured layer" for layer in stack.layers):
            layers[lap] = stack.layers
    if not layers:
        return TrialForm(
            "Tell the cloth of the layers first, under “Layers”: a trial piece then tells how thick it is squeezed."
        )
    names = dict.fromkeys(one.name for held in layers.values() for one in held if one.name != "measured layer")
    name = answer.placement.plan.supplies or ""
    return TrialForm(
        "",
        tuple(layers),
        tuple(names),
        tuple(_known(answer, list(names))),
        name if name in bench.files else "",
        share_in_words(placement) if answer.placement.is_mixed else "",
    )


def _known(answer: Answer, names: list[str]) -> list[str]:
    told = []
    for name in names:
        cloth = answer.catalogue.cloth(name)
        if cloth.clamped is not None:
            low, high = (format_mm(figure.value, 2) for figure in cloth.clamped)
            told.append(
                f"One layer of {name} comes to {low} to {high} when squeezed ({cloth.clamped[0].provenance.source})."
            )
    return told


def tried(bench: Bench, typed: Mapping[str, str]) -> Bench:
    """Take what a trial piece showed: its cloth is narrowed in the user's supplies file, which the plan then reads."""
    waits = bench.still(("trial",))
    try:
        if bench.garment:
            raise PlanError("a trial is told in the plan by itself", mend="Open it by itself.")
        answer = answer_of(bench)
        name = answer.placement.plan.supplies or SUPPLIES
        held = _held(bench, name)
        lap, cloth = typed.get("lap", "over"), typed.get("cloth", "") or None
        found = try_piece(answer, bench.step.text, held, typed.get("verdict", ""), lap, cloth)
        after = replace(bench, files={**bench.files, name: found.supplies_text.encode()})
        step = Step(found.plan_text, bench.step.size)
        answer_of(after, step)
        if bench.home is not None:
            files.write_edited(bench.home.parent / name, found.supplies_text, held)
    except ClosureError as error:
        own = own_names(bench.step.text)
        told = " ".join(of_a_plan(sentences_of(fault.what, fault.mend), own=own) for fault in error.faults)
        # A piece that contradicts the plan tells that something in it is not so: until that is settled nothing prints.
        words = {**waits.words, "trial": told[:1].upper() + told[1:]}
        return bench.refused(replace(waits, words=words, places=tuple(words), typed=waits.typed or {}))
    taken = after.taken(step)
    return taken.refused(replace(waits, is_partly=True)) if waits.words else taken


def _held(bench: Bench, name: str) -> str | None:
    """The supplies file as it stands: among the plan's files, or beside the plan's own; None where it is not."""
    if name in bench.files:
        return bench.files[name].decode("utf-8-sig")
    if bench.home is not None and (bench.home.parent / name).is_file():
        return files.read_beside(bench.home, name, "supplies").decode("utf-8-sig")
    return None
