"""A garment file in, one set of files out: every opening as its own plan gives it, and what holds for all."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from closures import files
from closures.app.job import Answer, check_plan, load_plan, place_plan, result_files
from closures.app.options import lettered_as
from closures.app.pages import listed, marking_of, pages_as_pdf
from closures.checks.finding import Result
from closures.errors import ClosureError, Fault, PlanError, in_opening, naming
from closures.frozen import frozen
from closures.plan.garment_file import GarmentFile, both_sides, is_garment, slug, tells_both_sides
from closures.plan.reading import read_garment, read_toml

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from closures.advice.whole_order import SharedStep
    from closures.checks.finding import Finding
    from closures.drawing.garment_cover import Shared
    from closures.files import Beside
    from closures.jobs.whole.clearances import Clearance
    from closures.placing.placement import Placement
    from closures.plan.band import FaceWish
    from closures.plan.garment_file import Opening
    from closures.plan.plan import Plan
    from closures.report.shopping import Bought


@frozen
class Whole:
    """What a garment file comes to.

    Attributes:
        garment: as it was read.
        answers: of each opening, in order; the same as its plan gives alone, but for a wearer that another plan tells.
        clearances: what lies between openings, and which are told for one side of the body alone.
        bought: the parts of all.
    """

    garment: GarmentFile
    answers: tuple[Answer, ...]
    clearances: tuple[Clearance, ...]
    bought: tuple[Bought, ...]

    @property
    def result(self) -> Result:
        """The worst of all openings and of what lies between them."""
        results = {answer.result for answer in self.answers} | {one.result for one in self.clearances}
        return "fail" if "fail" in results else "warn" if "warn" in results else "pass"


def is_garment_file(path: Path) -> bool:
    """Whether a file comes to several openings: it puts plans together, or is a plan of a row on both sides of a body.

    What cannot be read is left to whoever reads it as a plan.
    """
    try:
        table = read_toml(files.read_plan_file(path), path.name)
    except ClosureError:
        return False
    return is_garment(table) or tells_both_sides(table)


def garment_text(path: Path) -> tuple[bytes, str]:
    """A garment file and its name; of a plan of a row on both sides of a body the one that it comes to.

    Raises:
        ClosureError: it cannot be read.
    """
    text = files.read_plan_file(path)
    table = read_toml(text, path.name)
    if tells_both_sides(table):
        return both_sides(table, path.name), both_name(path.name)
    return text, path.name


def both_name(plan: str) -> str:
    """What the garment file of a plan of a row on both sides is called."""
    return f"{Path(plan).stem}-both-sides.toml"


def work_garment(
    path: Path,
    face: FaceWish = "usual",
    draw: bool = True,
    large: bool = False,
    also: Sequence[str] = (),
) -> Whole:
    """Place every opening of a garment file.

    Args:
        path: the garment file, its plans beside it; or a plan of a row on both sides of a body.
        face: which face of the cloth the sheets lie on.
        draw: make the sheets as well.
        large: letter all of them half as large again, whatever the plans say.
        also: names of further pages and files, each for the openings that it goes with.

    Raises:
        PlanError: the file is wrong, or names a plan or an opening that cannot be.
        ClosureError: a plan cannot be placed; its opening is named.
    """
    garment = read_garment(*garment_text(path))
    return work_openings(garment, lambda opening: _on_disk(path, opening), face, draw, large, also)


@frozen
class Given:
    """What an opening is placed of.

    Attributes:
        plan: its plan.
        beside: where the files that it names are.
        drawing: the drawing that its edge lies in, the same for the same one; None where it lies in none.
    """

    plan: Plan
    beside: Beside
    drawing: str | None


def _on_disk(garment: Path, opening: Opening) -> Given:
    path = garment.parent / opening.plan
    if not path.exists():
        try:
            files.read_plan_file(path)
        except PlanError as error:
            missing = error.faults[0]
            raise PlanError(
                missing.what, where=f"{garment}, [[opening]] {opening.name}: {path}", mend=missing.mend
            ) from None
    if is_garment(read_toml(files.read_plan_file(path), path.name)):
        raise PlanError("this is a garment file, not a plan", where=opening.plan, mend="Name the plan of one opening.")
    plan = load_plan(path)
    return Given(plan, path, None if plan.drawing is None else str((path.parent / plan.drawing).resolve()))


def work_openings(
    garment: GarmentFile,
    given: Callable[[Opening], Given],
    face: FaceWish = "usual",
    draw: bool = True,
    large: bool = False,
    also: Sequence[str] = (),
) -> Whole:
    """Place every opening of a garment.

    Args:
        garment: as it was read.
        given: finds what an opening is placed of; what it raises is told with the faults of the others.
        face, draw, large, also: as for `work_garment`; it raises as that does.
    """
    from closures.app.on_trial import trials_of
    from closures.drawing.extras.registry import asked_for, goes_with
    from closures.jobs.whole.carriers import carriers_on_openings, on_openings
    from closures.jobs.whole.clearances import clearances
    from closures.jobs.whole.cloth_sides import cloth_told_apart
    from closures.jobs.whole.frames import Worked
    from closures.jobs.whole.halves import told_once, unlike_halves
    from closures.jobs.whole.mirrored import mirrored
    from closures.jobs.whole.one_garment import as_one_garment
    from closures.jobs.whole.one_wearer import need_one_size
    from closures.jobs.whole.overlaps import under_overlaps

    faults: list[Fault] = []
    prepared: list[tuple[Opening, Given]] = []
    left = list(also)
    for opening in garment.openings:
        try:
            found = given(opening)
            plan = lettered_as(found.plan, large, None)
            with_it = [name for name in also if goes_with(plan, name)]
            plan, left = asked_for(plan, with_it), [name for name in left if name not in with_it]
            if left and opening is garment.openings[-1]:
                # What goes with none is refused in the words of the last.
                asked_for(plan, left)
            plan = _one_of_both(plan, garment, opening)
            if opening.mirrored:
                with naming(opening.plan):
                    plan = mirrored(plan)
            need_one_size(plan, opening.plan)
            if opening.crossing is not None and plan.strap is None:
                raise PlanError(
                    f"'{opening.name}' is no strap, and runs over nothing",
                    where=f"{garment.where}, [[opening]] {opening.name}",
                    mend="Leave over and level out; a belt, a waistband or a cuff can run over an opening.",
                )
            prepared.append((opening, replace(found, plan=plan)))
        except ClosureError as error:
            faults += in_opening(opening.name, error)
    notes: tuple[Clearance, ...] = ()
    if not faults:
        try:
            one = as_one_garment(garment, [found.plan for _, found in prepared])
            prepared = [
                (opening, replace(found, plan=plan)) for (opening, found), plan in zip(prepared, one.plans, strict=True)
            ]
            notes = one.notes
            if one.size is not None:
                # So every sheet and the cover of the set say which size they are of.
                garment = replace(garment, title=f"{garment.title}, size {one.size}")
        except ClosureError as error:
            faults += error.faults
    answers: list[Answer] = []
    worked: list[Worked] = []
    for opening, found in prepared:
        try:
            answer = place_plan(found.plan, found.beside, face) if draw else check_plan(found.plan, found.beside)
        except ClosureError as error:
            faults += in_opening(opening.name, error)
            continue
        answers.append(answer)
        worked.append(Worked(opening, answer.placement, found.drawing))
    if faults:
        raise PlanError.of(tuple(faults))
    from closures.report.shopping import shopping

    placed = {one.opening.name: one.placement for one in worked}
    answers = [
        _with_carriers_beside(_with_carriers_unwashed(answer, one.opening, placed), on_openings(one, worked))
        for answer, one in zip(answers, worked, strict=True)
    ]
    trials = trials_of(
        {opening.name: (found.plan, found.beside) for opening, found in prepared},
        {one.opening.name: answer.findings for one, answer in zip(worked, answers, strict=True)},
    )
    compared = clearances(garment, worked, answers[0].catalogue)
    found_between = (
        *compared,
        *under_overlaps(garment, worked, answers[0].catalogue, trials),
        *cloth_told_apart(worked),
        *carriers_on_openings(worked),
        *told_once(worked),
        *unlike_halves(worked),
        *notes,
    )
    return Whole(garment, tuple(answers), found_between, shopping(garment, worked))


def _with_carriers_unwashed(answer: Answer, opening: Opening, placed: Mapping[str, Placement]) -> Answer:
    """A belt's carriers are sewn to the garment before its first wash: they stand further round it by what it loses."""
    crossing, strap = opening.crossing, answer.placement.strap
    shrinkage = None if crossing is None else placed[crossing.over].plan.shrinkage
    if shrinkage is None or shrinkage.across == 0.0 or strap is None or strap.carriers is None:
        return answer
    places = tuple(mm / (1.0 - shrinkage.across) for mm in strap.carriers.round_mm)
    carriers = replace(strap.carriers, round_mm=places, loses=shrinkage.across)
    return replace(answer, placement=replace(answer.placement, strap=replace(strap, carriers=carriers)))


def _with_carriers_beside(answer: Answer, on: Mapping[str, Sequence[int]]) -> Answer:
    """No carrier is sewn onto a seam that opens, also where a belt alone has one there."""
    from closures.jobs.whole.carriers import BESIDE

    strap = answer.placement.strap
    if not on or strap is None or strap.carriers is None:
        return answer
    told = "; ".join(f"where the {opens} opens, {BESIDE[0].lower()}{BESIDE[1:]}" for opens in on)
    carriers = replace(strap.carriers, where=f"{strap.carriers.where} ({told})")
    return replace(answer, placement=replace(answer.placement, strap=replace(strap, carriers=carriers)))


def _one_of_both(plan: Plan, garment: GarmentFile, opening: Opening) -> Plan:
    """The plan of one of two rows that are told by one plan.

    Raises:
        PlanError: the garment has only one of them.
    """
    if plan.garment is None or not plan.garment.pair_of_rows:
        return plan
    if {bool(one.mirrored) for one in garment.openings if one.plan == opening.plan} != {True, False}:
        missing = "without mirrored" if opening.mirrored else "with mirrored = true"
        raise PlanError(
            "pair_of_rows says that the body has this row on both sides, and the garment file has one of them",
            where=f"{garment.where}, [[opening]] {opening.name}",
            mend=f"Add an [[opening]] of the same plan {missing}, or leave pair_of_rows out of the plan.",
        )
    return replace(plan, garment=replace(plan.garment, pair_of_rows=False))


def garment_files(whole: Whole, paper: str) -> dict[str, bytes]:
    """Make the one set of files.

    Args:
        whole: with sheets.
        paper: key of a paper in the catalogue.

    Returns:
        Of every opening what its plan gives alone, with the garment's wearer in it, each file with the opening's name
        before it, by which its reports call it too; and for all together ``marking.pdf``, ``report.json`` and
        ``report.md``.

    Raises:
        CatalogueError: there is no such paper.
        OutputError: the sheets do not fit on it.
        UnsoundError: read back, they do not keep what they must.
    """
    from closures.drawing.marking import make_set
    from closures.report.garment import garment_page
    from closures.verifying.verify import require_sound_garment

    made: dict[str, bytes] = {}
    for opening, answer in zip(whole.garment.openings, whole.answers, strict=True):
        # One set of pages serves all openings.
        made |= result_files(answer, paper, opening=opening.name)
    reports = {one.name: json.loads(made[f"{slug(one.name)}-report.json"]) for one in whole.garment.openings}
    pages = {one.name: f"{slug(one.name)}-report.md" for one in whole.garment.openings}
    markings = [
        replace(marking_of(answer), opening=opening.name)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]
    chosen = whole.answers[0].catalogue.paper(paper)
    booklet = make_set(markings, whole.garment.title, chosen, shared=shared_of(whole))
    made["marking.pdf"] = pages_as_pdf(booklet)
    made["report.json"] = garment_json(whole, reports, listed(booklet))
    made["report.md"] = garment_page(
        whole.garment, told(whole), whole.clearances, whole.bought, order_of(whole), pages, notes_of(whole)
    )
    require_sound_garment(made, {one.name: f"{slug(one.name)}-" for one in whole.garment.openings})
    return made


def shared_of(whole: Whole) -> Shared:
    """What the pages tell for all openings together."""
    from closures.drawing.garment_cover import Shared
    from closures.report.openings import between_of
    from closures.report.shopping import packs_in_words

    return Shared(
        tuple(
            (
                f"{row.part}, {row.name}",
                str(row.total),
                "" if row.packs is None else str(row.packs),
                ", ".join(row.openings),
            )
            for row in whole.bought
        ),
        tuple(text for _, text in between_of(whole.clearances, "fail", "warn", "pass")),
        tuple(one.text for one in whole.clearances if one.result == "fail"),
        order_of(whole),
        notes_of(whole),
        packs_in_words(whole.bought),
    )


def garment_json(whole: Whole, reports: Mapping[str, Any], more: Mapping[str, Any] | None = None) -> bytes:
    """Write the garment's report for programs; `more` is told of its pages."""
    from closures.report.garment import garment_figures

    figures = garment_figures(whole.garment, reports, whole.clearances, whole.bought, order_of(whole))
    figures |= more or {}
    return (json.dumps(figures, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def checked_json(whole: Whole) -> bytes:
    """Write the garment's report where nothing was drawn: each opening's as its check alone gives it."""
    from closures.app.job import table_figures
    from closures.report.figures import report_json

    reports = {
        opening.name: json.loads(
            report_json(answer.placement, answer.findings, answer.sheets, answer.swap, table_figures(answer))
        )
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    }
    return garment_json(whole, reports)


def told(whole: Whole) -> list[tuple[str, Placement, tuple[Finding, ...]]]:
    """Each opening with its placement and findings."""
    return [
        (opening.name, answer.placement, answer.findings)
        for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)
    ]


def order_of(whole: Whole) -> tuple[SharedStep, ...]:
    """The order of work of all openings together."""
    from closures.advice.whole_order import in_making_order, shared_order
    from closures.app.job import advice_of

    answers = {one.name: answer for one, answer in zip(whole.garment.openings, whole.answers, strict=True)}
    names = whole.garment.order or in_making_order({name: answer.placement for name, answer in answers.items()})
    return shared_order({name: advice_of(answers[name]).order for name in names})


def notes_of(whole: Whole) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """How to mark, whom it is for and what to heed, of all openings together."""
    from closures.advice.whole_order import shared_notes
    from closures.app.job import advice_of

    return shared_notes(
        {opening.name: advice_of(answer) for opening, answer in zip(whole.garment.openings, whole.answers, strict=True)}
    )
