"""The table: every plan that is open on it, and what is done with them.

A change makes a new plan text, which is read and placed on the one path that the command takes. What
cannot be placed is refused, and the last good plan stays in hand.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Mapping
from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from closures import files
from closures.app.given import files_of_edges, supplies_of
from closures.app.job import check_plan, load_plan
from closures.app.known_names import names_known
from closures.app.repairing import repairs
from closures.app.web.asked import moved, number_of
from closures.app.web.at_home import from_home, kept_at_home, looked_at_home
from closures.app.web.bench import Bench, Refusal, Step
from closures.app.web.comparing import compare
from closures.app.web.elsewhere import not_taken
from closures.app.web.fields import label_of, values_of
from closures.app.web.judging import changes_of, judge
from closures.app.web.kept import Kept
from closures.app.web.lettered import check_letters
from closures.app.web.moves import InHand, in_units, locked
from closures.app.web.own_names import own_names
from closures.app.web.placed import answer_of, in_its_size, plan_of, read_new
from closures.app.web.read_over import keeping_what_was_put_in
from closures.app.web.tried import tried
from closures.app.web.typed_unit import waits_in_its_unit
from closures.app.web.waiting import moved_along
from closures.app.web.wording import in_fields, of_a_plan, of_its_own, offers_in_words, place_of, sentences_of
from closures.errors import ClosureError, Fault, OfDrawing, PlanError, Where
from closures.frozen import frozen
from closures.plan.editing import remove_section, set_key
from closures.plan.reading import read_plan
from closures.spacing.advice import NoSpacing

if TYPE_CHECKING:
    from closures.app.web.judging import Judged
    from closures.app.web.memory import Memory
    from closures.plan.top import Units

MOST_BENCHES = 40
"""Plans open at once; the one longest untouched makes room."""
MOST_KEPT_BYTES = 100_000_000
"""Of all their files and steps."""


@frozen
class Hand:
    """A change that a hand asks for.

    Attributes:
        do: what, for example ``redraw``, ``move``, ``lock 3`` or ``remove anchor 0``.
        typed: the fields that were sent with it.
        gesture: the movement that it is part of, empty for none.
        turn: the turn of what is shown to this hand; None where it does not say.
        mine: the fields in which the hand typed; None where that is not known.
        rows: how many rows of each section the form has that is seen, as far as it is told.
        units: what a bare number meant on the page while it was typed; None where the page does not say.
        stands: what else stood typed on the page, as in rows that are not added yet.
        begun: of a text that is to be read, the plan's as the hand began to change it; None where that is not told.
    """

    do: str
    typed: Mapping[str, str]
    gesture: str = ""
    turn: int | None = None
    mine: frozenset[str] | None = None
    rows: Mapping[str, int] = field(default_factory=dict)
    units: Units | None = None
    stands: Mapping[str, str] = field(default_factory=dict)
    begun: str | None = None


class Table:
    """The plans that are open: in memory, and in their own file where they have one.

    Args:
        memory: what is remembered from one run of the page to the next; None for nothing.
    """

    def __init__(self, memory: Memory | None = None) -> None:
        self.memory = memory
        self._benches: Kept[Bench] = Kept(MOST_KEPT_BYTES, MOST_BENCHES)

    def is_open(self, name: str) -> bool:
        """Whether a plan was worked on in this run."""
        return name in self._benches

    def find(self, name: str) -> Bench:
        """Find an open plan.

        Raises:
            PlanError: it is not open, or no longer.
        """
        bench = self._benches.get(name)
        if self.memory is not None and (bench is None or self.memory.is_older(bench)):
            bench = self.memory.recall(name) or bench
            if bench is not None:
                self._put(bench)
        if bench is None:
            raise PlanError("this plan is no longer on the table", mend="Open it again from its file.")
        return looked_at_home(bench)

    def lay(
        self,
        plan_text: bytes,
        title: str,
        beside: Mapping[str, bytes],
        home: Path | None = None,
        kept: bytes | None = None,
    ) -> Bench:
        """Lay a plan on the table.

        Args:
            plan_text: the plan file's bytes.
            title: its name.
            beside: the files that it names.
            home: the plan file itself, where every change is to be kept in it.
            kept: what stands in that file, where it is another text than the plan's.

        Raises:
            ClosureError: it cannot be read or placed.
        """
        plan = read_plan(plan_text, title, names_known(beside))
        check_plan(plan, beside)
        check_letters(plan)
        step = Step(plan_text.decode("utf-8-sig"))
        before = None if self.memory is None or home is None else self.memory.of_home(home)
        if before is not None and before.files == dict(beside):
            # The same work goes on; what another program wrote into the file meanwhile is one more step.
            found = before if before.step.text == step.text else before.taken(step)
            return self.keep(replace(found, kept=step.text if kept is None else kept.decode("utf-8-sig"), trouble=""))
        stands = step.text if kept is None else kept.decode("utf-8-sig")
        made = Bench(secrets.token_urlsafe(18), title, dict(beside), (step,), home=home, kept=stands)
        return self.keep(made)

    def keep(self, bench: Bench) -> Bench:
        """Keep a plan as it is now, in its own file too where it has one."""
        bench = kept_at_home(bench)
        if self.memory is not None:
            bench = replace(bench, is_remembered=self.memory.keep(bench))
        return self._put(bench)

    def forget(self, name: str) -> None:
        """Take a plan from the table, and remember it no more; its own file stays."""
        self._benches.drop(name)
        if self.memory is not None:
            self.memory.forget(name)

    def _put(self, bench: Bench) -> Bench:
        size = sum(map(len, bench.files.values())) + sum(len(step.text) for step in bench.steps)
        return self._benches.put(bench.name, bench, size)

    def change(self, name: str, hand: Hand) -> Bench:
        """Do what a hand asks of a plan; what cannot be done is refused, and the plan stays as it is.

        Raises:
            PlanError: the plan is not open.
        """
        bench = self.find(name)
        if hand.turn is not None and hand.turn != bench.turn:
            return replace(bench, refusal=not_taken(bench, hand))
        return self.keep(waits_in_its_unit(bench.step.text, _done(bench, hand)))


def _done(bench: Bench, hand: Hand) -> Bench:
    """Do what a hand asks, or say why it cannot be done."""
    if hand.do == "undo":
        return bench.undone()
    if hand.do == "redo":
        return moved_along(bench.step.text, bench.redone())
    verb = (hand.do.split() or ["redraw"])[0]
    if verb == "compare":
        return compare(bench, hand.do.split()[1:])
    if verb == "trial":
        return tried(bench, hand.typed)
    try:
        if verb in ("redraw", "add"):
            return with_typed(bench, hand.typed)
        if verb == "remove":
            return _removed(with_typed(bench, hand.typed), hand.do.split()[1:])
        if verb == "file" and bench.home is not None:
            return from_home(bench, *files_beside(bench.home))
        step = changed(bench, hand)
        answer_of(bench, step)
    except ClosureError as error:
        why = refusal(error, hand.typed, bench.step.text, as_text=verb == "text")
        return bench.refused(_with(bench.still(), why, verb))
    # What was typed and refused before still stands in its field: it waits, and is told, until it is mended. A text
    # that is read takes its place.
    asked = () if bench.refusal is None or verb != "repair" else bench.refusal.asked
    waits = Refusal() if verb == "text" else bench.still(asked)
    taken = bench.taken(step)
    told = taken.refused(replace(waits, is_partly=True)) if waits.words else taken
    done = moved_along(bench.step.text, told)
    return keeping_what_was_put_in(bench, done, hand.begun) if verb == "text" else done


def _with(waits: Refusal, told: Refusal, verb: str) -> Refusal:
    """What is said of a change that could not be made, with what waits already."""
    if verb == "text":
        words = {**waits.words, "text": " ".join(told.sentences)}
        return replace(waits, words=words, places=tuple(words), typed={**(waits.typed or {}), **(told.typed or {})})
    return replace(waits, sentences=told.sentences)


def _removed(bench: Bench, rest: list[str]) -> Bench:
    """Take one of several sections out; what waits in the fields of those after it moves up with them.

    Raises:
        ClosureError: without it the plan cannot be placed.
    """
    section, n = (rest or [""])[0], number_of(rest[1:])
    step = Step(remove_section(bench.step.text, section, n + 1), bench.step.size)
    answer_of(bench, step)
    waits, taken = bench.still(), bench.taken(step)
    names = {name: _moved_up(name, section, n) for name in {*waits.words, *(waits.typed or {})}}
    words = {names[name]: why for name, why in waits.words.items() if names[name]}
    typed = {names[name]: told for name, told in (waits.typed or {}).items() if names[name]}
    return taken.refused(Refusal((), tuple(words), typed, words, is_partly=True)) if words else taken


def _moved_up(name: str, section: str, n: int) -> str:
    found = re.fullmatch(rf"{re.escape(section)}\.(\d+)\.(.+)", name)
    if found is None or int(found[1]) < n:
        return name
    return "" if int(found[1]) == n else f"{section}.{int(found[1]) - 1}.{found[2]}"


def with_typed(bench: Bench, typed: Mapping[str, str]) -> Bench:
    """Take of what was typed all that is good, and tell of the rest, field by field, why it is not."""
    step = bench.step

    def attempt(text: str) -> None:
        read_new(bench, text)
        answer_of(bench, in_its_size(bench, replace(step, text=text, gesture="")))

    def places(error: ClosureError, text: str) -> tuple[str, ...]:
        return tuple(place for fault in error.faults if (place := place_of(fault.where, text)))

    judged = judge(step.text, changes_of(step.text, typed), attempt, places)
    waits, taken = bench.still(typed), bench.taken(in_its_size(bench, Step(judged.text, step.size)))
    if not judged.refused and not waits.words:
        return taken
    offers, asked = _offers(bench, judged)
    words: dict[str, str] = {}
    names = own_names(judged.text, *typed.values())
    for change, error in judged.refused:
        named = [place for place in places(error, judged.text) if place in change.names]
        # Where ways to mend it have buttons, they are the only list: they were tried on this plan.
        has_buttons = bool(offers) and isinstance(error, NoSpacing)
        beside = named or list(change.names[:1])
        placed = [(one, place_of(one.where, judged.text)) for one in error.faults]
        for name in beside:
            # Each fault beside its own field, and what belongs to none of them beside the first.
            own = [one for one in placed if one[1] == name or (name == beside[0] and one[1] not in beside)]
            told = [
                (in_fields(sentences_of(one.what, "" if has_buttons else one.mend), place or name, names), place)
                for one, place in own
            ]
            # What is wrong with a field that nobody changed, as the size that was drawn where the sizes are others now,
            # is told by that field's name, and beside it too.
            others = {place: said for said, place in told if place and place not in change.names and typed.get(place)}
            words |= {place: said for place, said in others.items() if place not in words}
            said_of = (f"“{label_of(at, judged.text)}”: {said}" if at in others else said for said, at in told)
            words[name] = of_its_own(" ".join(said_of), name)
        for name in set(change.names) & set(typed) & set(values_of(step.text)):
            if name not in words and not name.endswith(".by"):
                words[name] = f"Not taken yet: it goes with “{label_of(beside[0], step.text)}”."
    kept = {name: typed[name] for change, _ in judged.refused for name in change.names if name in typed}
    words, kept = {**waits.words, **words}, {**(waits.typed or {}), **kept}
    return taken.refused(Refusal((), tuple(words), kept, words, judged.text != step.text, offers, asked))


def _offers(bench: Bench, judged: Judged) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Ways to mend what no row meets, where that is all that is wrong with it, and the fields that they hold."""
    unmet = [change for change, error in judged.refused if isinstance(error, NoSpacing)]
    text = judged.text
    for change in unmet:
        text = change.on(text)
    try:
        found = repairs(text, bench.title, bench.files)[:MOST_OFFERS] if unmet else ()
    except ClosureError:
        return (), ()
    asked = tuple(name for change in unmet for name in change.names)
    return offers_in_words(found, text), asked


MOST_OFFERS = 4
"""Ways to mend a plan that are shown at once."""


def changed(bench: Bench, hand: Hand) -> Step:
    """Find the step that a change makes; whether it can be placed is not asked yet.

    Raises:
        ClosureError: it cannot be understood.
    """
    step, (verb, *rest) = bench.step, hand.do.split() or ["redraw"]
    if verb == "take":
        # The plan tells it, so that who places it alone, or in a garment, gets what is shown here.
        section = "change" if plan_of(bench).swap is None else "swap"
        return Step(set_key(step.text, section, ("take",), _offer_named(bench, number_of(rest))), step.size)
    if verb == "size":
        sizes, size = plan_of(bench).sizes, hand.typed.get("size", "")[:80]
        return replace(step, size="" if sizes is None or size == sizes.base else size, gesture=hand.gesture)
    if verb == "repair":
        offers = () if bench.refusal is None else bench.refusal.offers
        if not 0 <= number_of(rest) < len(offers):
            raise PlanError("this offer is no longer here", mend="Load the page anew.")
        return Step(offers[number_of(rest)][1], step.size)
    if verb == "text":
        text = hand.typed.get("text", "")
        read_plan(text.encode(), bench.title, names_known(bench.files))
        return Step(text.replace("\r\n", "\n"))
    if verb == "units":
        return Step(in_units(_in_hand(bench, step), rest[0] if rest else ""), step.size)
    if step.size:
        raise PlanError(f"size {step.size} follows the base", mend="Show the base size, and change that.")
    if verb == "move" and hand.gesture and hand.gesture == step.gesture and hand.typed.get("what") == "mark":
        # The closure is told by its number where the movement began; the row around it has other numbers by now.
        return Step(moved(_in_hand(bench, bench.steps[bench.at - 1]), hand, verb, rest), gesture=hand.gesture)
    held = _in_hand(bench, step)
    if verb == "lock":
        text = locked(held, number_of(rest), lambda tried: answer_of(bench, replace(step, text=tried)).placement)
    else:
        text = moved(held, hand, verb, rest)
    return Step(text, step.size, hand.gesture)


def _offer_named(bench: Bench, n: int) -> str:
    swap = answer_of(bench).swap
    if swap is None:
        raise PlanError("this offer is no longer here", mend="Load the page anew.")
    return swap.take(n, "").offer.name


def _in_hand(bench: Bench, step: Step) -> InHand:
    return InHand(step.text, plan_of(bench, step), answer_of(bench, step).placement)


def refusal(
    error: ClosureError, typed: Mapping[str, str] | None = None, text: str = "", *, as_text: bool = False
) -> Refusal:
    """Tell why something cannot be, with the fields that it speaks of.

    Args:
        error: what is wrong.
        typed: what stood in the fields.
        text: the plan's text, empty where there is none yet.
        as_text: the user sees the plan's text and not the fields: places are told as they stand in it.
    """
    told_by = None if as_text else typed
    places = tuple(place for fault in error.faults if (place := place_of(fault.where, text, told_by)))
    own = own_names(text, *(typed or {}).values())
    told = tuple(str(fault) if as_text else spoken(fault, text, own, typed) for fault in error.faults)
    return Refusal(told, places, typed)


def spoken(fault: Fault, text: str, own: tuple[str, ...], typed: Mapping[str, str] | None) -> str:
    """A fault in the words of the fields."""
    drawn = place_of(fault.where, text, typed) if isinstance(fault.where, OfDrawing) else ""
    if isinstance(fault.where, OfDrawing) and drawn:
        said = of_a_plan(sentences_of(fault.what, fault.mend), "edge", (*own, fault.where.name))
        return f"{label_of(drawn, text)}, “{fault.where.name}”: {said[:1].upper()}{said[1:]}"
    if not isinstance(fault.where, Where):
        said = of_a_plan(str(fault), "edge", own)
        return said if fault.where else said[:1].upper() + said[1:]
    place = place_of(fault.where, text)
    said = in_fields(sentences_of(fault.what, fault.mend), place, own)
    return f"{label_of(place, text)}: {of_its_own(said, place)}" if place else said[:1].upper() + said[1:]


def files_beside(path: Path) -> tuple[bytes, str, dict[str, bytes]]:
    """Read a plan file and every file that it names, so that nothing is read later.

    Returns:
        The plan's bytes, its name, and the files by the names that it gives them.

    Raises:
        ClosureError: one of them cannot be read.
    """
    plan = load_plan(path)
    beside = dict(files_of_edges(plan, path))
    supplies = supplies_of(plan, path)
    if plan.supplies is not None and supplies is not None:
        beside[plan.supplies] = supplies
    return files.read_plan_file(path), path.name, beside
