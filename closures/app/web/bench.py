"""A plan on the table: its text, the steps that led to it, and the files that lie beside it.

Terms: a *step* is the plan's text after one change; a *gesture* is one movement of hand or finger,
whose many small changes are a single step to go back over.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import field, replace
from pathlib import Path

from closures.frozen import frozen

MOST_STEPS = 200
"""Far more than anybody goes back; each is a few hundred letters."""


@frozen
class Step:
    """What the plan came to after one change.

    Attributes:
        text: the plan as a plan file, which is all there is to know of it.
        size: the size that is looked at, where the plan has several; empty for the base.
        gesture: the movement that made it, empty where it was made at once.
    """

    text: str
    size: str = ""
    gesture: str = ""


@frozen
class Dropped:
    """What was typed in a window that showed an older plan, or beside a text that was begun, and was not taken.

    Attributes:
        label: what the page calls the field.
        typed: what was typed.
        stands: what stands there now.
        place: the field that it can be put back into; empty where that may be another row's now.
        is_sure: the hand typed it; a form without scripts may only show what another window changed since.
    """

    label: str
    typed: str
    stands: str
    place: str
    is_sure: bool


@frozen
class Refusal:
    """What could not be made of a change, and what was typed earlier and still is not in the picture.

    Attributes:
        sentences: what is wrong with a change as a whole, where, and how to mend it, a sentence or two each.
        places: the fields that they speak of, empty where they speak of none.
        typed: what stood in the fields, so that nothing that was typed is lost.
        words: field to what is wrong with it; of what was typed and is not in the picture.
        is_partly: everything else that was asked for was done, and the picture is another than before.
        offers: where no row meets what was typed, ways to mend it that were placed: in words, and each whole text.
        asked: the fields that the offers hold already.
        kept_as: where the offers are kept for a plan that is not on the table; empty for one that is.
        is_elsewhere: another window changed the plan before this change was asked for.
        dropped: what was typed for it and not taken; or what had been put in, and a text that was read does not hold.
    """

    sentences: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    typed: Mapping[str, str] | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    is_partly: bool = False
    offers: tuple[tuple[str, str], ...] = ()
    asked: tuple[str, ...] = ()
    kept_as: str = ""
    is_elsewhere: bool = False
    dropped: tuple[Dropped, ...] = ()

    @property
    def beside(self) -> Mapping[str, str]:
        """Every field that is spoken of, to what stands beside it; empty where all is said in the sentences."""
        return {place: self.words.get(place, "") for place in self.places}

    def without(self, names: Collection[str]) -> Refusal:
        """Leave out fields, which are judged anew, and what was said of the last change."""
        words = {name: why for name, why in self.words.items() if name not in names}
        typed = {name: told for name, told in (self.typed or {}).items() if words and name not in names}
        return Refusal((), tuple(words), typed, words)


@frozen
class Left:
    """What stands typed in one window of the page and was not asked for, as a row that is not added.

    Attributes:
        window: names the window; no other has this name.
        said: what stands there, in words.
    """

    window: str
    said: tuple[str, ...]


@frozen
class Bench:
    """One plan on the table.

    Attributes:
        name: its place in addresses, not to be guessed.
        title: the plan file's name, for messages and for saving.
        files: what lies beside it, by name: a drawing, supplies, measured points.
        steps: from the first; every one of them could be placed.
        at: index of the step in hand.
        refusal: the last change where that could not be made.
        turn: how many changes were asked for so far.
        home: the plan's own file, which is kept as the plan is changed; None where there is none.
        kept: the text that stands in that file, as far as is known here.
        trouble: why it could not be kept there, empty where it could.
        beside: a step that was kept to compare the one in hand with; None where none was.
        is_remembered: it is there again when the page is started anew.
        garment: the garment that it is an opening of, as in addresses; empty for none.
        left: what stands typed in its windows and was not asked for.
    """

    name: str
    title: str
    files: Mapping[str, bytes]
    steps: tuple[Step, ...]
    at: int = 0
    refusal: Refusal | None = None
    turn: int = 0
    home: Path | None = None
    kept: str = ""
    trouble: str = ""
    beside: Step | None = None
    is_remembered: bool = False
    garment: str = ""
    left: tuple[Left, ...] = ()

    @property
    def step(self) -> Step:
        """The step in hand."""
        return self.steps[self.at]

    @property
    def can_undo(self) -> bool:
        """Whether there is a step before this one."""
        return self.at > 0 or self.has_waiting or self.has_failed

    @property
    def has_waiting(self) -> bool:
        """Whether something was typed that is not in the picture."""
        return self.refusal is not None and bool(self.refusal.words)

    @property
    def has_failed(self) -> bool:
        """Whether the last change could not be made at all, which is said."""
        return self.refusal is not None and bool(self.refusal.sentences)

    @property
    def can_redo(self) -> bool:
        """Whether a step was gone back over."""
        return self.at + 1 < len(self.steps)

    def taken(self, step: Step) -> Bench:
        """Take a step: what was gone back over falls away, and a gesture goes on in the step it began."""
        turned = replace(self, refusal=None, turn=self.turn + 1)
        if replace(step, gesture="") == replace(self.step, gesture=""):
            return turned
        goes_on = bool(step.gesture) and step.gesture == self.step.gesture and self.at > 0
        kept = self.steps[: self.at] if goes_on else self.steps[: self.at + 1]
        steps = (*kept, step)[-MOST_STEPS:]
        return replace(turned, steps=steps, at=len(steps) - 1)

    def refused(self, refusal: Refusal) -> Bench:
        """Leave everything as it is, and say why."""
        return replace(self, refusal=refusal, turn=self.turn + 1)

    def still(self, judged: Collection[str] = ()) -> Refusal:
        """What was typed before, is not in the picture, and is not judged anew now."""
        return Refusal() if self.refusal is None else self.refusal.without(judged)

    def undone(self) -> Bench:
        """Go one step back, where there is one."""
        # What was typed and refused, or failed, is taken back first: it is the last thing that was done.
        at = self.at if self.has_waiting or self.has_failed else max(self.at - 1, 0)
        return replace(self, at=at, refusal=None, turn=self.turn + 1)

    def redone(self) -> Bench:
        """Go one step forward again, where there is one."""
        refusal = replace(self.still(), is_partly=True) if self.has_waiting else None
        return replace(self, at=min(self.at + 1, len(self.steps) - 1), refusal=refusal, turn=self.turn + 1)
