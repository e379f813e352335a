"""What the page says of a plan in hand, as plain values for its templates."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from closures.app.web.at_home import aside
from closures.app.web.comparing import compared
from closures.app.web.fields import FIELDS, REPEATED, Field, values_of
from closures.app.web.held import refused_in
from closures.app.web.listed_marks import kinds_listed, listed_marks
from closures.app.web.moves import steps_in
from closures.app.web.offered import offers_shown
from closures.app.web.own_names import own_names
from closures.app.web.parts_picture import draw_parts
from closures.app.web.picture_words import legend
from closures.app.web.placed import answer_of, has_sizes, plan_of
from closures.app.web.pulled import gape_told, measures_told
from closures.app.web.tried import VERDICTS, trial_form
from closures.app.web.wording import as_headed, of_a_plan
from closures.app.web.worn import draw_worn
from closures.drawing.extras.stack_picture import WIDTH_MM, stacks_high_mm, stacks_in_words
from closures.files import read_beside
from closures.frozen import frozen
from closures.lengths import format_length
from closures.placing.counted import closes_in_settings, closures_in_words, settings_in_words
from closures.placing.counted_from import level_zero_told
from closures.placing.marking import are_along_alike
from closures.placing.strap.settings import setting_in_words
from closures.placing.tape import tape_in_words
from closures.placing.taped import taped_in_words
from closures.plan.editing import value_of
from closures.report.openings import gaps_as_worn
from closures.report.page import RESULT_WORDS, marks_in_words
from closures.report.parts import count_parts, lace_in_words, loops_in_words
from closures.report.tally import grouped, lap_in_words, tally, wrong_in_words

if TYPE_CHECKING:
    from closures.app.job import Answer
    from closures.app.web.bench import Bench
    from closures.catalogue.catalogue import Catalogue
    from closures.checks.finding import Result
    from closures.placing.placement import Placement
    from closures.plan.plan import Plan

_SIGNS = {"fail": "✕", "warn": "!", "pass": "✓"}
_RULES = {"way in": "will it go on"}
"""Rules that the page calls as the heading does under which their fields stand."""
_UNITS = {"mm": "millimetres", "in": "inches"}


@frozen
class Told:
    """One finding, or several alike.

    Attributes:
        result: pass, warn or fail.
        word, sign: the same as a word and as a shape.
        head: rule, lap and marks.
        text: the finding in words.
        source: where its limit comes from.
        marks: numbers of the marks that it speaks of.
    """

    result: str
    word: str
    sign: str
    head: str
    text: str
    source: str
    marks: tuple[int, ...]


def told_findings(answer: Answer) -> tuple[Told, ...]:
    """Tell the findings, the worst first, those alike once."""
    told, own = [], own_names(answer.placement.plan)
    for finding, marks in grouped(answer.findings):
        lap = f", {lap_in_words(finding, answer.placement.side_word)}" if finding.lap else ""
        head = f"{_RULES.get(finding.rule) or as_headed(finding.rule)}{lap}{marks_in_words(marks)}"
        result = finding.result
        told.append(
            Told(
                result,
                RESULT_WORDS[result],
                _SIGNS[result],
                head,
                of_a_plan(finding.text, own=own),
                finding.source,
                tuple(marks),
            )
        )
    order = {"fail": 0, "warn": 1, "pass": 2}
    return tuple(sorted(told, key=lambda one: order[one.result]))


def picture_parts(bench: Bench) -> dict[str, Any]:
    """Tell everything that a redraw changes: the picture, what is found, the marks, what to buy."""
    answer = answer_of(bench)
    placement = answer.placement
    told, own = told_findings(answer), own_names(placement.plan)
    return {
        "bench": bench,
        "picture": draw_worn(answer, None if bench.step.size else steps_in(bench.step.text, placement.plan)),
        "legend": legend(answer),
        "title": placement.plan.title,
        "reason": of_a_plan(placement.spacing.reason, own=own),
        "notes": (
            " ".join((tape_in_words(placement), *level_zero_told(placement))),
            *_notes(placement),
        ),
        "worn_by": _worn_by(placement),
        "assumed": tuple(of_a_plan(line, own=own) for line in placement.assumed),
        "told": told,
        "passed": tally(answer.findings)[2],
        **banner(bench),
        "marks": listed_marks(placement, can_lock=not bench.step.size),
        "kinds": kinds_listed(placement),
        "has_under": not are_along_alike(placement.all_marks),
        "first_end": placement.ends[0],
        "side_word": placement.side_word,
        "sizes": size_names(bench),
        "size": bench.step.size,
        "base": base_name(bench),
        "parts": count_parts(placement),
        "by_length": (*lace_in_words(placement)[:1], *taped_in_words(placement), *loops_in_words(placement)),
        "swap": answer.swap,
        "offers": offers_shown(answer.swap),
        "trial": trial_form(bench, answer),
        "verdicts": VERDICTS,
        "settings": _settings(placement),
        "stack_told": stacks_in_words(placement),
        "stack_px": (round(10 * WIDTH_MM), round(10 * stacks_high_mm(placement))),
        "gape": gape_told(answer),
        "units": placement.plan.units,
        "units_name": _UNITS[placement.plan.units],
        "refusal": bench.refusal,
        "kept": keeping(bench),
        "compared": compared(bench),
        "sheet_files": _sheet_files(placement),
        "shape": _shape(bench, placement),
        "on_board": f"The {placement.strap.piece}, closed" if placement.strap else "Both laps, closed",
    }


def _worn_by(placement: Placement) -> str:
    """The child that the plan's profiles tell, as a baby's beginning has them do; empty where they tell none."""
    wearer = placement.plan.wearer
    told = () if wearer is None else wearer.profiles
    return next((name for name in ("child under three", "child") if name in told), "")


def _shape(bench: Bench, placement: Placement) -> str:
    """What the page as a whole is laid out for: another one is a page of its own, and not a redraw of this one."""
    return "|".join(
        (
            f"strap {placement.strap.piece}" if placement.strap else "edge",
            *size_names(bench),
            base_name(bench),
            *_sheet_files(placement),
        )
    )


def _settings(placement: Placement) -> tuple[Mapping[str, Any], ...]:
    """Every way to close a strap, the loosest first, with what it comes to; none along an edge."""
    if placement.strap is None:
        return ()
    units = placement.plan.units
    return tuple(
        {
            "n": setting_in_words(one, placement),
            "inside": "not known" if one.inside_mm is None else format_length(one.inside_mm, units),
            "middle": format_length(one.middle_mm, units),
            "overlap": format_length(one.overlap_mm, units),
            "engaged": one.engaged,
            "is_worn": one.is_target,
        }
        for one in placement.strap.settings
    )


def _sheet_files(placement: Placement) -> tuple[str, ...]:
    pair = placement.strap is not None and placement.strap.pieces > 1
    whole = ("over.svg", "under.svg")
    return (*whole, "over-right.svg", "under-right.svg") if pair else whole


def _notes(placement: Placement) -> tuple[str, ...]:
    own = own_names(placement.plan)
    return tuple(of_a_plan(note, own=own) for note in _untold(placement))


def _untold(placement: Placement) -> tuple[str, ...]:
    """The notes as the job has them, not yet in the words of the page."""
    return (*placement.notes, *(() if placement.strap is None else placement.strap.notes))


def brief(answer: Answer) -> str:
    """Tell in a line what a redraw came to, to be read out."""
    checks = wrong_in_words(answer.findings)
    return f"{row_in_words(answer)}; {checks}{notes_counted(notes_to_read(answer))}."


def notes_to_read(answer: Answer) -> int:
    """How many notes stand beside what is found of a plan."""
    return len(_untold(answer.placement))


def notes_counted(notes: int) -> str:
    """Tell behind what is found how many notes there are to read, where there are any."""
    return "" if not notes else "; 1 note to read" if notes == 1 else f"; {notes} notes to read"


def row_in_words(answer: Answer) -> str:
    """Tell what the picture shows, without what is found of it."""
    placement = answer.placement
    if closes_in_settings(placement):
        return settings_in_words(placement)
    closures = closures_in_words(placement)
    if len(placement.marks) < 2:
        return closures
    lengths = gaps_as_worn(placement, " to ")
    span = f"gaps from {lengths}" if " to " in lengths else f"gaps of {lengths}"
    span += ", uneven" if is_uneven(answer) else ""
    return f"{closures}, {span}"


def is_uneven(answer: Answer) -> bool:
    """Whether a row was to be even and is not: its gaps differ by more than the rule for an even row allows."""
    gaps, wish = answer.placement.spacing.gaps_mm, answer.placement.plan.spacing
    if wish is None or wish.aim != "even" or len(gaps) < 2:
        return False
    even = answer.catalogue.rule("even spread").value.value
    return max(gaps) - min(gaps) > even * sum(gaps) / len(gaps)


def shown_result(answer: Answer) -> Result:
    """The colour of the banner: a row that came out uneven is one to look at, though every check passes."""
    return "warn" if answer.result == "pass" and is_uneven(answer) else answer.result


def banner(bench: Bench) -> dict[str, str]:
    """Tell in one line what the plan in hand came to, or what was typed that is not in it, and how bad that is.

    What is found of a picture is no answer to what is not in it: then only what it shows is told, as ``shown``.
    What its own file holds in its place is told before either, as ``aside``.
    """
    answer, labels, beside = answer_of(bench), "; ".join(refused_in(bench)), aside(bench)
    shown = f"The picture shows {row_in_words(answer)}."
    if not labels:
        return {"result": shown_result(answer), "brief": brief(answer), "shown": shown, "waits": "", "aside": beside}
    told = f"Not in the picture yet: {labels}."
    waits = f"{told} Mend it, or take it back with Undo; then print."
    return {"result": "fail", "brief": f"{told} {shown}", "shown": shown, "waits": waits, "aside": beside}


def keeping(bench: Bench) -> str:
    """Tell where what is changed is kept; empty where it is kept nowhere until it is saved."""
    if bench.home is None:
        return "Remembered here as you change it; save the plan to have it as a file." if bench.is_remembered else ""
    if bench.trouble:
        told = f"Not kept in {bench.home.name} any more ({bench.trouble}): save the plan to keep what stands here."
        return f"{told} Or go on from the file as it is now."
    return f"Kept in {bench.home.name} as you change it."


def size_names(bench: Bench) -> tuple[str, ...]:
    """The sizes of the plan in hand, the base first named where it stands; empty where it has one size only."""
    plan = plan_of(bench)
    return () if plan.sizes is None or not has_sizes(plan) else plan.sizes.names


def base_name(bench: Bench) -> str:
    """The size that the plan's own sections tell, empty where it has one size only."""
    plan = plan_of(bench)
    return "" if plan.sizes is None else plan.sizes.base


def form_parts(bench: Bench) -> dict[str, Any]:
    """Tell everything that the fields show: what the plan says, or what was typed and refused."""
    answer = answer_of(bench)
    values = values_of(bench.step.text)
    refusal = bench.refusal
    if refusal is not None and refusal.typed is not None:
        values |= {key: text for key, text in refusal.typed.items() if key in values}
    catalogue, plan = answer.catalogue, plan_of(bench)
    return {
        "bench": bench,
        "plan": plan,
        "values": values,
        "fields": fields_by_name(),
        "rows": {section.name: range(_rows(bench, section.name)) for section in REPEATED},
        "wrong": {} if refusal is None else refusal.beside,
        "all_sizes": sizes_by_kind(catalogue),
        "cloths": [cloth.name for cloth in catalogue.cloths],
        "parts_picture": draw_parts(answer.placement.fastener),
        "measures": measures_told(answer.placement),
        "fastener": answer.placement.fastener,
        "lines": edge_names(bench),
        "text": bench.step.text,
        "usual_row": usual_row(plan, answer),
    }


def usual_row(plan: Plan, answer: Answer) -> str:
    """Tell how many closures lie there where the plan tells neither their count nor a gap; empty where it does."""
    wish = plan.spacing
    is_told = wish is not None and (wish.count is not None or wish.pitch_mm is not None)
    if is_told or plan.swap is not None or plan.edge is None:
        return ""
    return f"No count is told: {closures_in_words(answer.placement)} lie there, as the usual gap gives."


def sizes_by_kind(catalogue: Catalogue) -> Mapping[str, tuple[str, ...]]:
    """Every kind with its sizes, in catalogue order."""
    sizes: dict[str, tuple[str, ...]] = {}
    for fastener in catalogue.fasteners:
        sizes[fastener.kind] = (*sizes.get(fastener.kind, ()), fastener.size)
    return sizes


def _rows(bench: Bench, section: str) -> int:
    held = value_of(bench.step.text, section)
    return len(held) if isinstance(held, list) else 0


def fields_by_name() -> Mapping[str, Field]:
    """Every field by its name in the form."""
    return FIELDS


def edge_names(bench: Bench) -> tuple[str, ...]:
    """The lines of the plan's drawing that could be its edge, empty where it has no drawing or names no line."""
    from closures.app.web.drawings import listed
    from closures.errors import ClosureError

    edge = answer_of(bench).placement.plan.edge
    drawing = answer_of(bench).placement.plan.drawing
    if edge is None or edge.path is None or drawing is None:
        return ()
    try:
        names = tuple(one.path for one in listed(read_beside(bench.files, drawing, "drawing"), drawing).candidates[:60])
    except ClosureError:
        return (edge.path,)
    return names if edge.path in names else (edge.path, *names)
