"""A garment of several openings on the table: each opening's plan is a bench of its own, and all print as one set."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Collection, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from closures.app.web.handed import under_their_names
from closures.app.web.held import is_unknown, left_in, refused_in
from closures.app.web.kept import Kept
from closures.app.web.own_names import own_names
from closures.app.web.placed import PrintWish, answer_of, plan_of
from closures.app.web.table import files_beside
from closures.app.web.wording import of_a_plan
from closures.app.whole import Given, Whole, garment_files, garment_text, work_openings
from closures.errors import ClosureError, PlanError
from closures.frozen import frozen
from closures.plan.reading import read_garment
from closures.report.openings import between_of
from closures.results.standing import sealed

if TYPE_CHECKING:
    from closures.app.web.bench import Bench
    from closures.app.web.table import Table
    from closures.checks.finding import Result
    from closures.plan.garment_file import GarmentFile, Opening

_MOST_SETS = 20


@frozen
class Laid:
    """One plan to be laid on the table.

    Attributes:
        text: its bytes.
        beside: the files that it names.
        home: its own file; None where it has none.
        kept: what stands in that file, where it is another text.
    """

    text: bytes
    beside: Mapping[str, bytes]
    home: Path | None
    kept: bytes | None = None


@frozen
class GarmentSet:
    """A garment on the table.

    Attributes:
        name: its place in addresses, not to be guessed.
        text, title: the garment file and its name.
        benches: plan file to the name of its bench; openings that share a plan share the bench.
    """

    name: str
    text: bytes
    title: str
    benches: Mapping[str, str]

    @property
    def garment(self) -> GarmentFile:
        """The garment as it was read."""
        return read_garment(self.text, self.title)


@frozen
class Held:
    """What was typed for an opening, is in no picture, and holds the print of the whole.

    Attributes:
        bench: the name of its plan on the table.
        openings: the opening, or those that share its plan, by name.
        said: what was typed, in words.
        window: where it stands typed and was not asked for; empty where it was asked for and refused.
    """

    bench: str
    openings: str
    said: str
    window: str = ""


class Rack:
    """The garments that are open."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._sets: Kept[GarmentSet] = Kept(10_000_000, _MOST_SETS)
        self._placed: Kept[Whole] = Kept(60_000_000, 6)

    def hang(self, text: bytes, title: str, plans: Mapping[str, Laid]) -> GarmentSet:
        """Lay every plan of a garment on the table.

        Args:
            text, title: the garment file and its name.
            plans: by the names that the garment gives them.

        Raises:
            ClosureError: one of them is missing, or cannot be read or placed.
        """
        garment = read_garment(text, title)
        for opening in garment.openings:
            if opening.plan not in plans:
                raise PlanError(
                    f"the plan {opening.plan} of '{opening.name}' was not handed in",
                    where=title,
                    mend="Hand in the garment file together with all plans and drawings that it names.",
                )
        benches = {
            plan: self.table.lay(laid.text, Path(plan).name, laid.beside, laid.home, laid.kept)
            for plan, laid in plans.items()
        }
        names = {plan: bench.name for plan, bench in benches.items()}
        hung = GarmentSet(self._name_of(text, names), text, title, names)
        for bench in benches.values():
            self.table.keep(replace(bench, garment=hung.name))
        if self.table.memory is not None:
            self.table.memory.keep_set(hung.name, {"text": text.decode("utf-8-sig"), "title": title, "benches": names})
        return self._sets.put(hung.name, hung, len(text))

    def _name_of(self, text: bytes, benches: Mapping[str, str]) -> str:
        """A new name, or that under which the same garment of the same plans was known before."""
        for known, _, told in () if self.table.memory is None else self.table.memory.sets():
            if told.get("benches") == benches and told.get("text") == text.decode("utf-8-sig"):
                return known
        return secrets.token_urlsafe(18)

    def find(self, name: str) -> GarmentSet:
        """Find a garment.

        Raises:
            PlanError: it is not open any more.
        """
        found = self._sets.get(name)
        told = None if found is not None or self.table.memory is None else self.table.memory.recall_set(name)
        if told is not None:
            found = GarmentSet(name, told["text"].encode(), told["title"], told["benches"])
            self._sets.put(name, found, len(found.text))
        if found is None:
            raise PlanError("this garment is no longer on the table", mend="Open it again from its file.")
        return found

    def bench_of(self, hung: GarmentSet, opening: Opening) -> Bench:
        """The plan in hand of an opening."""
        return self.table.find(hung.benches[opening.plan])

    def carried(self, bench: Bench) -> tuple[tuple[str, str], ...]:
        """What stands between a plan and the other plans of its garment: how good it is, and a sentence.

        That is what they tell of its wearer and its wash, which is a `note`; how near their closures come; and what the
        checks of the whole find in it that its own do not. What fails comes first. Nothing of a plan that is by itself,
        or of plans that do not go together: the garment's page says that.
        """
        if not bench.garment:
            return ()
        try:
            hung = self.find(bench.garment)
            whole = self.placed(hung)
            alone = {(one.result, one.text) for one in answer_of(bench).findings}
        except ClosureError:
            return ()
        names = {one.name for one in hung.garment.openings if hung.benches[one.plan] == bench.name}
        own = [answer for one, answer in zip(hung.garment.openings, whole.answers, strict=True) if one.name in names]
        between = [one for one in whole.clearances if names & {*one.names}]
        measured = [one for one in between if one.found_mm is not None or one.result != "pass"]
        told: list[tuple[str, str]] = []
        results: tuple[Result, ...] = ("fail", "warn", "pass")
        for result in results:
            found = (one for answer in own for one in answer.findings if one.result == result != "pass")
            told += [(result, one.text) for one in found if (result, one.text) not in alone]
            told += [(result, text) for _, text in between_of(measured, result)]
        told += [("note", one.text) for one in between if one not in measured and one.first in names]
        given = self.names(hung)
        return tuple((result, of_a_plan(text, own=given)) for result, text in dict.fromkeys(told))

    def names(self, hung: GarmentSet) -> tuple[str, ...]:
        """The names that its user gave to openings and to what is in their plans: they stay as they were written."""
        texts = (self.table.find(bench).step.text for bench in hung.benches.values())
        return own_names(hung.text.decode("utf-8-sig"), *texts)

    def turns(self, hung: GarmentSet) -> str:
        """How many changes were asked for so far, plan by plan: what a window shows is held against it."""
        return ".".join(str(self.table.find(bench).turn) for bench in hung.benches.values())

    @staticmethod
    def sharing(hung: GarmentSet, plan: str) -> str:
        """Name the opening of a plan, or those that share it."""
        return " and ".join(one.name for one in hung.garment.openings if one.plan == plan)

    def held(self, hung: GarmentSet) -> tuple[Held, ...]:
        """What was typed for its openings and is in no picture: nothing of the whole is given out meanwhile."""
        held = []
        for plan, name in hung.benches.items():
            bench = self.table.find(name)
            openings = self.sharing(hung, plan)
            if refused := refused_in(bench):
                held.append(Held(name, openings, "; ".join(refused)))
            held += [Held(name, openings, "; ".join(one.said), one.window) for one in left_in(bench)]
        return tuple(held)

    def placed(self, hung: GarmentSet, wish: PrintWish | None = None) -> Whole:
        """Place every opening as its plan stands on the table; with sheets where they are wished.

        Raises:
            ClosureError: the openings do not go together.
        """
        texts = tuple(bench.step.text for bench in map(self.table.find, hung.benches.values()))
        key = (hung.name, texts, None if wish is None else (wish.face, wish.large))

        def work() -> Whole:
            def given(opening: Opening) -> Given:
                bench = self.bench_of(hung, opening)
                plan = plan_of(bench)
                return Given(plan, bench.files, _drawing(bench, plan.drawing))

            if wish is None:
                return work_openings(hung.garment, given, draw=False)
            return work_openings(hung.garment, given, wish.face, large=wish.large)

        return self._placed.made(key, work, 2_000_000)

    def aside(self, hung: GarmentSet) -> tuple[tuple[Bench, str], ...]:
        """Its plans whose own files hold other plans than those in hand, each with its opening or openings."""
        benches = ((self.table.find(name), self.sharing(hung, plan)) for plan, name in hung.benches.items())
        return tuple((bench, openings) for bench, openings in benches if bench.home is not None and bench.trouble)

    def files(self, hung: GarmentSet, wish: PrintWish, shown: str, told: Collection[str] = ()) -> dict[str, bytes]:
        """Make the one set of files, as the command writes it, and the plans as they stand.

        Args:
            hung: the garment.
            wish: what was chosen beside the button that prints.
            shown: the turns of what the page shows; empty where it does not say.
            told: the plans of which the page says that their own files hold other plans, by the names of their benches.

        Raises:
            ClosureError: something that was typed is in no picture, or it does not fit on the paper.
        """
        if held := self.held(hung):
            raise PlanError(
                f"what was typed is not in the picture yet: {'; '.join(f'{one.openings}, {one.said}' for one in held)}",
                mend="Mend it or take it back on the opening's own page, then print.",
            )
        for bench, openings in self.aside(hung):
            if is_unknown(bench, is_told=bench.name in told):
                raise PlanError(
                    f"{openings}: {bench.trouble}, and it is not what is shown", mend="Look at the page, then print."
                )
        if shown and shown != self.turns(hung):
            raise PlanError("a plan of this garment was changed meanwhile", mend="Look at it as it is now, then print.")
        return sealed(garment_files(self.placed(hung, wish), wish.paper))

    def sources(self, hung: GarmentSet) -> dict[str, bytes]:
        """The garment file and all that it stands on, as it stands on the table."""
        benches = {plan: self.table.find(name) for plan, name in hung.benches.items()}
        beside = {name: data for bench in benches.values() for name, data in bench.files.items()}
        # A plan that was handed in lies among those files as it was before it was changed.
        return {
            **beside,
            hung.title: hung.text,
            **{plan: bench.step.text.encode() for plan, bench in benches.items()},
        }


def _drawing(bench: Bench, name: str | None) -> str | None:
    """The same for the same drawing, and for no other."""
    if name is None or name not in bench.files:
        return name
    return f"{Path(name).name} {hashlib.sha256(bench.files[name]).hexdigest()}"


def plans_on_disk(path: Path, *, is_own: bool = True) -> tuple[bytes, str, dict[str, Laid]]:
    """Read a garment file and every plan that it names.

    Args:
        path: of the garment file.
        is_own: the plans are the user's, and changes are kept in them.

    Returns:
        The garment file, its name, and its plans.

    Raises:
        ClosureError: one of them cannot be read.
    """
    text, name = garment_text(path)
    plans = {}
    for opening in read_garment(text, name).openings:
        at = path.parent / opening.plan
        plan, _, beside = files_beside(at)
        plans[opening.plan] = Laid(plan, beside, at if is_own else None)
    return text, name, plans


def plans_handed_in(text: bytes, title: str, handed: Mapping[str, bytes]) -> dict[str, Laid]:
    """Find the plans of a garment among the files that were handed in together, each with the others beside it."""
    named = {opening.plan: Path(opening.plan).name for opening in read_garment(text, title).openings}
    beside = {name: data for name, data in handed.items() if name != title and name not in named.values()}
    return {
        plan: Laid(handed[last], under_their_names(handed[last], plan, beside), None)
        for plan, last in sorted(named.items())
        if last in handed
    }
