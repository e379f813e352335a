"""The order of work for one job: the steps whose conditions hold, in an order that breaks no constraint."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from closures.advice.facts import Facts, unknown_facts
from closures.advice.holes_left import keeps_needle_holes
from closures.advice.kept import BOUND, EDGES, kept_steps, why_kept
from closures.advice.known_facts import GROUPS
from closures.advice.laying import marked_in_words, ways_of_marking
from closures.advice.marking import way_to_mark
from closures.advice.phrases import phrases_at
from closures.advice.settings import setting_of
from closures.advice.tables import rows_of
from closures.advice.wording import filled
from closures.advice.worked import all_alike
from closures.errors import CatalogueError
from closures.frozen import frozen
from closures.series import in_a_row

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence, Set

    from closures.advice.worked import Worked
    from closures.catalogue.values import LapName, Provenance

_AS_SET = "as set"
_TRIALS = ("trial", "trial sewn", "trial of show")
_KEYS = ("key", "when", "of", "after", "text", "done", "final", "undo", "proves", "prepares", "stays", "held")
_TAKEN = {"where set": ("some new",), "where closed": ("not withheld",), "always": ()}
"""When a step is taken, by what its row says: where something is set (neither `stays` nor `held`), where closures are
on the garment, set or there already (`stays`), and where what is planned is held back for its wearer, too (`held`)."""
_SAYS = {"held": "always", "stays": "where closed"}
_MENDED = "what failed in the checks is mended"
_OF = ("", "each cloth", "each lap", "over lap", "first lap", "second lap", "leading lap")


@frozen
class Step:
    """A row of the table of steps.

    Attributes:
        key: its name, by which others stand after it.
        when: conditions; all must hold. `_TAKEN` tells which hold besides.
        of: which cloth it is done to, and its conditions and words are asked of: that of a lap, of each lap, or each
            cloth that is prepared by itself; empty where it is done to the whole.
        after: steps that stand before it wherever they are taken.
        text, done: what to do, and when it is done right; words in braces come from the figures.
        final: "yes" where it cannot be undone, "no" where it can, "as set" where the way of setting decides.
        undo: why it cannot be undone.
        proves: what is known once it is done, for the stop.
        prepares: it is done to cloth that nothing is sewn of yet, or to scraps of it.
        provenance: where it comes from.
        held: it keeps the garment, or what is planned, from somebody: it is told before all else.
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
    of: str = ""
    held: bool = False


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
        removal: how one comes off again, and what it leaves; empty where none is set.
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
    figures, ways = {**facts.figures}, ways_of_marking(facts)
    figures |= marked_in_words(facts, ways)
    setting = setting_of(next(word.removeprefix("set: ") for word in facts.words if word.startswith("set: ")))
    done = _done_to(facts, figures)
    taken = in_order([step for step in all_steps() if step.key in done])
    awls = [way_to_mark(facts.on_lap(lap)).key == "awl" for lap in (facts.first, facts.second)]
    kept = kept_steps(facts, *awls)
    # A hole that was knitted is not cut, and a button that is sewn to it comes off again.
    undo = "" if "knitted holes" in facts.words else setting.undo
    if "old buttonholes serve" in facts.words:
        undo = "the hole of a tack stays" if "set: tack button" in facts.words else ""
    # The facing waits for the bound buttonholes beside these.
    waits = EDGES if "any bound" in facts.words and "bound" not in facts.words else ()
    told: list[Told] = []
    finals: list[int] = []
    steps: list[Step] = []
    stopped_at = cut_at = None
    for n, step in enumerate(taken):
        stop = _own_stop(step, taken[:n], facts)
        if _is_final(step, undo) or step.key in (*kept, *waits):
            finals.append(len(told))
            if _is_final(step, undo) and cut_at is None:
                cut_at = n
                stop = stop or _stop_again(step, undo, taken[n if stopped_at is None else stopped_at : n])
            stopped_at = n if stopped_at is None else stopped_at
        for text, right in done[step.key]:
            tried_on = facts.figures["tried on"] if step.key in _TRIALS else ""
            told.append(Told(len(told) + 1, step.key, stop + text, right, _source(step.provenance), tried_on))
            steps.append(step)
    taken = steps
    removal = "" if "withheld" in facts.words else filled(setting.removal, facts.figures)
    if not finals:
        return Order(tuple(told), None, "", removal)
    first = finals[0]
    proved = tuple(dict.fromkeys(step.proves for step in taken[:first] if step.proves))
    if "fails" in facts.words:
        proved = (_MENDED, *proved)
    why = taken[first].undo or (undo if taken[first].final == _AS_SET else "")
    if not why and taken[first].key in kept:
        why = why_kept(taken[first].key, facts, is_pointed=any(awls))
        # Where all is leather, what it keeps of a needle says it of every hole.
        is_all = all(keeps_needle_holes(worked.closed) for worked in facts.laps.values())
        if undo and not is_all and undo.partition(",")[0] not in why:
            why = f"{why}; {undo}"
    why = _with_bound(why or undo, [taken[n] for n in finals], kept, facts)
    stop = stop_in_words(first + 1, (why,), proved)
    return Order(tuple(told), first + 1, stop, removal, why, proved)


def _with_bound(why: str, finals: Sequence[Step], kept: Set[str], facts: Facts) -> str:
    """Why nothing can be undone from the first of some steps on, with a bound buttonhole that is cut among them.

    Before it the cloth may keep every hole of a needle, or after it the facing may.
    """
    bound = next((step.undo for step in finals if step.key in BOUND), "")
    if not bound:
        return why
    seams = finals[0].key in BOUND and keeps_needle_holes(facts.words) and any(one.key in kept for one in finals)
    more = why_kept("edge", facts, is_pointed=False) if seams else ""
    return "; ".join(dict.fromkeys(filter(None, (why, bound, more))))


def _done_to(facts: Facts, figures: Mapping[str, str]) -> dict[str, tuple[tuple[str, str], ...]]:
    """List the steps of a job by their keys: of each its words, as often as it is done to cloth of another kind."""
    found: dict[str, tuple[tuple[str, str], ...]] = {}
    for step in all_steps():
        alike: dict[tuple[str, str], list[str]] = {}
        cloths = _cloths(step, facts)
        for worked in cloths:
            if replace(facts, words=worked.words).meets(step.when):
                own = figures if worked.words == facts.words and not step.of else {**figures, **phrases_at(worked)}
                alike.setdefault((filled(step.text, own), filled(step.done, own)), []).append(worked.name)
        is_all = [name for names in alike.values() for name in names] == [one.name for one in cloths] and len(alike) < 2
        # On which piece an interfacing lies is told of cloth that is alike, too.
        is_all &= step.of != "each lap" or not any(one.piece for one in cloths)
        if alike:
            found[step.key] = tuple(
                (text if is_all or not any(names) else f"{filled(in_a_row(names), {})}: {text}", done)
                for (text, done), names in alike.items()
            )
    return found


def _cloths(step: Step, facts: Facts) -> tuple[Worked, ...]:
    """The cloth that a step is done to: once for all, once for each lap, or once for each that is prepared apart."""
    if step.of == "each cloth":
        return facts.apart
    if step.of == "each lap":
        if "on: strap" in facts.words:  # Both its ends are of one piece.
            return (replace(facts.laps["over"], name="", words=facts.laps["over"].outer),)
        # What is done to each lap is to stiffen it: on the piece that its interfacing lies on.
        return tuple(_on_piece(lap, worked) for lap, worked in facts.laps.items())
    if step.of:
        lap = {"over lap": "over", "leading lap": facts.figures["lead"]}.get(step.of)
        worked = facts.laps[lap or (facts.first if step.of == "first lap" else facts.second)]  # type: ignore[index]
        return (replace(worked, name="", words=worked.closed),)
    return (all_alike("", facts.words),)


def _on_piece(lap: LapName, worked: Worked) -> Worked:
    """The cloth of a lap, were all of it the piece that its interfacing lies on."""
    face = worked.face if worked.stiffened == worked.outer else worked.stiffened
    return replace(worked, name=worked.piece or f"the {lap} lap", words=worked.stiffened, face=face)


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


def _stop_again(step: Step, undo: str, since: Sequence[Step]) -> str:
    """The stop of the first step that cuts or pierces, by what was proved since the cloth could first be spoilt."""
    proved = [one.proves for one in since]
    return f"Stop: {step.undo or undo}.{_go_on(proved)} " if any(proved) else ""


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
        taken = next((say for key, say in _SAYS.items() if row.table.get(key, False) is True), "where set")
        step = Step(
            row.text("key", is_required=True),
            (*row.texts("when"), *_TAKEN[taken]),
            row.texts("after"),
            row.text("text", is_required=True),
            row.text("done", is_required=True),
            _AS_SET if final == _AS_SET else "yes" if final else "no",
            row.text("undo"),
            row.text("proves"),
            row.table.get("prepares", False) is True,
            basis,
            row.text("of"),
            row.table.get("held", False) is True,
        )
        if step.of not in _OF:
            row.fault("of", f"no step is done to {step.of!r}", f"Write one of {', '.join(_OF[1:])}.")
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
