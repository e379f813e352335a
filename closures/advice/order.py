"""The order of work for one job: the steps whose conditions hold, in an order that breaks no constraint."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from closures.advice.facts import GROUPS, Facts, unknown_facts
from closures.advice.holes_left import keeps_needle_holes, seen_in, shows_needle_holes
from closures.advice.marking import AT_THE_DOT, way_to_mark
from closures.advice.phrases import TAPE_WAYS, clear_marks
from closures.advice.settings import setting_of
from closures.advice.tables import rows_of
from closures.advice.wording import filled, is_one
from closures.errors import CatalogueError
from closures.frozen import frozen
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from closures.catalogue.values import Provenance

_AS_SET = "as set"
MARKING = ("mark", "mark both", "mark ends", "mark buttonholes")
_EDGES = ("edge", "edge of bedding", "edge open for magnets")
# Leather and coated cloth are neither basted nor unpicked: their edge is sewn once.
_STRAPS = ("make the strap", "cut the strap")
_SEAMS = {*_EDGES, *_STRAPS, "bands on", "edge left open", "edge that meets", "edge of the buttons"}
_TOUCHED = {
    *_SEAMS,
    *MARKING,
    "back",
    "back with strip",
    "sew in",
    "edge with loops",
    "stand",
    "bones",
    "open for magnets",
    "close holes",
    "cover holes",
    "patch",
    "hide holes past",
    "bound mark",
    "draw slits first",
    "shorten holes",
}
"""What puts a needle, a pin or an iron to the garment's own cloth."""
_TRIALS = ("trial", "trial sewn", "trial of show")
_KEYS = ("key", "when", "after", "text", "done", "final", "undo", "proves", "prepares")


@frozen
class Step:
    """A row of the table of steps.

    Attributes:
        key: its name, by which others stand after it.
        when: conditions; all must hold.
        after: steps that stand before it wherever they are taken.
        text, done: what to do, and when it is done right; words in braces come from the figures.
        final: "yes" where it cannot be undone, "no" where it can, "as set" where the way of setting decides.
        undo: why it cannot be undone.
        proves: what is known once it is done, for the stop.
        prepares: it is done to cloth that nothing is sewn of yet, or to scraps of it.
        provenance: where it comes from.
    """

    key: str
    when: tuple[str, ...]
    after: tuple[str, ...]
    text: str
    done: str
    final: str
    undo: str
    proves: str
    prepares: bool
    provenance: Provenance


@frozen
class Told:
    """A step as a person reads it.

    Attributes:
        n: its number.
        key: of its row.
        text: what to do.
        done: when it is done right.
        source: where it comes from, where that is more than common practice.
        tried_on: of a trial, what its piece is made as; trials on unlike pieces are two steps.
    """

    n: int
    key: str
    text: str
    done: str
    source: str = ""
    tried_on: str = ""


@frozen
class Order:
    """The order of work of one job.

    Attributes:
        steps: in order.
        stop_before: number of the first step that cannot be undone; None where all can.
        stop: what to make sure of before it; empty where there is none.
        removal: how one comes off again, and what it leaves.
        why: why that step cannot be undone.
        proved: what is known by then.
    """

    steps: tuple[Told, ...]
    stop_before: int | None
    stop: str
    removal: str
    why: str = ""
    proved: tuple[str, ...] = ()


def order_of_work(facts: Facts) -> Order:
    """Put the steps of a job together.

    Args:
        facts: of the job.

    Returns:
        The order; each step names its marks and says when it is done right.
    """
    # The step itself says that buttonholes are marked at their ends.
    at_dot = AT_THE_DOT if is_one(facts.figures["first marks"]) else None
    way = way_to_mark(facts.on_face, "" if "buttonholes" in facts.words else at_dot)
    # Where the lap set first is marked on its patches, their cloth decides how; the other is marked as its own does.
    on_it = way_to_mark(facts.on_patches, "" if "buttonholes" in facts.words else at_dot)
    clears = clear_marks(way.key, facts.words)
    clears["draw out"] = clear_marks(on_it.key, facts.on_patches.words)["draw out"]
    figures = dict(facts.figures) | {"how to mark": on_it.text, **clears}
    setting = setting_of(next(word.removeprefix("set: ") for word in facts.words if word.startswith("set: ")))
    taken = in_order([step for step in all_steps() if facts.meets(step.when)])
    kept = {key for key in MARKING if "cloth: leather" in facts.on_face.words and way.key not in TAPE_WAYS}
    if keeps_needle_holes(facts.words) or shows_needle_holes(facts.words):
        # What other cloth forgives, a seam that is unpicked, leaves its holes here.
        kept |= {"work buttonholes", "set first"}
    if "marks" in facts.words:
        kept |= _TOUCHED
    if "scrap first" in facts.words:
        kept.add("fuse pieces")
    if keeps_needle_holes(facts.words):
        kept |= _SEAMS
    # A hole that was knitted is not cut, and a button that is sewn to it comes off again.
    undo = "" if "knitted holes" in facts.words else setting.undo
    if "old buttonholes serve" in facts.words:
        undo = "the hole of a tack stays" if "set: tack button" in facts.words else ""
    # The facing waits for the bound buttonholes beside these.
    waits = _EDGES if "any bound" in facts.words and "bound" not in facts.words else ()
    finals = [i for i, step in enumerate(taken) if _is_final(step, undo) or step.key in (*kept, *waits)]
    told = tuple(
        Told(
            n,
            step.key,
            _own_stop(step, taken[: n - 1], facts) + filled(step.text, figures),
            filled(step.done, figures),
            _source(step.provenance),
            facts.figures["tried on"] if step.key in _TRIALS else "",
        )
        for n, step in enumerate(taken, 1)
    )
    if not finals:
        return Order(told, None, "", filled(setting.removal, facts.figures))
    first = finals[0]
    proved = tuple(dict.fromkeys(step.proves for step in taken[:first] if step.proves))
    why = taken[first].undo or (undo if taken[first].final == _AS_SET else "")
    if not why and taken[first].key in kept:
        why = _why_kept(taken[first].key, facts)
        if undo and not {"cloth: leather", "cloth: coated"} & facts.words and undo.partition(",")[0] not in why:
            why = f"{why}; {undo}"
    why = why or undo
    stop = stop_in_words(first + 1, (why,), proved)
    return Order(told, first + 1, stop, filled(setting.removal, facts.figures), why, proved)


def stop_in_words(before: int, reasons: Sequence[str], proved: Sequence[str]) -> str:
    """Write the stop of an order: each reason once, and once what must be known before work goes on.

    Args:
        before: the number of the first step that cannot be undone.
        reasons: why, of each kind of closure; an empty one is none.
        proved: what is known by then.
    """
    parts = dict.fromkeys(part for reason in reasons for part in reason.split("; ") if part)
    # What one reason says with more to it, another does not say again.
    why = "; ".join(part for part in parts if not any(part in other for other in parts if other != part))
    return f"Stop. From step {before} nothing can be undone{f': {why}' if why else ''}.{_go_on(proved)}"


def _go_on(proved: Sequence[str]) -> str:
    told = tuple(dict.fromkeys(filter(None, proved)))
    return f" Go on when {in_a_row(told)}." if told else ""


def _own_stop(step: Step, before: list[Step], facts: Facts) -> str:
    """The stop of a step that is lost by itself, while much that follows it can still be undone."""
    if step.key != "take off" or not facts.figures.get("off for good"):
        return ""
    return f"Stop: what comes off here cannot be set again.{_go_on([one.proves for one in before])} "


def _why_kept(key: str, facts: Facts) -> str:
    """Why what other cloth forgives stays in this one."""
    if key == "fuse pieces":
        return "what is fused stays fused, and what the iron does to the face of such cloth stays as well"
    if key in MARKING and "cloth: leather" in facts.words:
        return "leather keeps every point of an awl"
    if key == "cut the strap":
        return "leather that is cut stays cut, and it keeps every hole of a needle"
    told = f"{facts.figures['material']} keeps every hole of a needle"
    if not keeps_needle_holes(facts.words):
        told = f"the holes of a needle may stay to be seen {seen_in(facts.words)}"
    return f"{told}, and a cut buttonhole stays" if key == "work buttonholes" else told


def in_order(steps: list[Step]) -> list[Step]:
    """Sort steps so that each stands after those it names; of several that could follow, the first of the table does.

    Raises:
        CatalogueError: steps wait for each other.
    """
    waiting, sorted_ = list(steps), list[Step]()
    while waiting:
        open_ = {step.key for step in waiting}
        ready = next((step for step in waiting if not open_ & (set(step.after) - {step.key})), None)
        if ready is None:
            raise CatalogueError(f"these steps wait for each other: {', '.join(open_)}", where="steps.toml")
        waiting.remove(ready)
        sorted_.append(ready)
    return sorted_


@cache
def all_steps() -> tuple[Step, ...]:
    """Read the table of steps.

    Raises:
        CatalogueError: a row is wrong, names a fact that no job has, or a step that is not there.
    """
    found = []
    for row in rows_of("steps", "step"):
        row.check_keys(_KEYS)
        basis = row.basis()
        final = row.table.get("final", False)
        step = Step(
            row.text("key", is_required=True),
            row.texts("when"),
            row.texts("after"),
            row.text("text", is_required=True),
            row.text("done", is_required=True),
            _AS_SET if final == _AS_SET else "yes" if final else "no",
            row.text("undo"),
            row.text("proves"),
            row.table.get("prepares", False) is True,
            basis,
        )
        for word in unknown_facts(step.when):
            row.fault("when", f"no job has the fact {word!r}", "Write one that is listed with the facts.")
        row.raise_faults()
        found.append(step)
    known = {step.key for step in found}
    for step in found:
        for key in step.after:
            if key not in known:
                raise CatalogueError(f"step {step.key!r} stands after {key!r}, which is not there", where="steps.toml")
    for state in GROUPS["state"]:
        in_order([step for step in found if _may_stand(step, state)])
    return tuple(found)


def _may_stand(step: Step, state: str) -> bool:
    """Whether a step can be asked for of a garment in a state: what comes first may differ between them."""
    told = [word.removeprefix("state: ") for word in step.when if word.startswith("state: ")]
    return f"not state: {state}" not in step.when and (not told or state in told)


def _is_final(step: Step, undo: str) -> bool:
    return step.final == "yes" or (step.final == _AS_SET and bool(undo))


def _source(provenance: Provenance) -> str:
    return "" if provenance.kind == "common practice" else provenance.text
