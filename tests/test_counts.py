"""Every count that is said in words, held against the marks that are drawn: on covers, sheets, reports and in the order of work."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import pypdfium2
import pytest
from test_advice_jobs import ROOT, drawn

from closures.app.job import Answer, advice_of, place_plan, result_files
from closures.app.whole import garment_files, work_garment
from closures.drawing.extras.registry import asked_for
from closures.drawing.ink.shapes import Group, Item
from closures.errors import ClosureError
from closures.jobs.sizes.family import plan_of_size
from closures.plan.reading import read_plan
from closures.report.page import report_page
from closures.report.parts import count_parts, parts_in_words
from closures.report.terminal import report_terminal

PLANS = sorted((ROOT / "templates").glob("*/plan.toml"))
NUMBERS = r"marks? (\d+(?:(?: to |, (?:and )?| and )\d+)*)"


def groups(items: Sequence[Item]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield item
            yield from groups(item.items)


def on_sheets(answer: Answer) -> dict[str, set[int]]:
    """The numbers of the marks that are drawn on the sheets of either lap."""
    found: dict[str, set[int]] = {"over": set(), "under": set()}
    for sheet in answer.sheets:
        for group in groups(sheet.drawing):
            if match := re.fullmatch(r"(over|under)-(\d+)", group.id):
                found[match[1]].add(int(match[2]))
    return found


def numbers(words: str) -> set[int]:
    """Read mark numbers as they are written for people: ``1, 2, 4 to 7``."""
    read: set[int] = set()
    for run in re.split(r", (?:and )?| and ", words):
        low, _, high = run.partition(" to ")
        read |= set(range(int(low), int(high or low) + 1))
    return read


def test_numbers_are_read_as_they_are_written() -> None:
    assert numbers("1, 2, 4 to 7") == {1, 2, 4, 5, 6, 7} and numbers("3") == {3}


def miscounted(answer: Answer) -> list[str]:
    """What a job says of its marks, gaps, parts and trial pieces that its sheets do not bear out."""
    placement, marks = answer.placement, on_sheets(answer)
    wrong: list[str] = []

    def hold(what: str, said: object, so: object) -> None:
        if said != so:
            wrong.append(f"{what}: said {said}, drawn {so}")

    pieces = 1 if placement.strap is None else placement.strap.pieces
    row = {mark.n for mark in placement.marks}
    hold("marks of all", marks["over"] | marks["under"], {mark.n for mark in placement.all_marks})
    terminal = report_terminal(placement, answer.findings, width=10_000)
    page = report_page(placement, answer.findings, answer.sheets, advice_of(answer), answer.swap).decode()
    if placement.strap is None:
        for words in (terminal, page):
            if match := re.search(r"(?m)^(?:- \*\*Count:\*\* )?(\d+) closures?: (?:(\d+) gaps? )?", words):
                hold("closures", int(match[1]), len(row))
                hold("gaps", int(match[2] or len(row) - 1), len(row) - 1)
    for sheet in answer.sheets:
        if match := re.search(r"· (\d+) on this lap", sheet.text.closure):
            own = {mark.n for mark in placement.marks if mark.on(sheet.lap)} & marks[sheet.lap]
            hold(f"on the {sheet.lap} lap", int(match[1]), len(own - placement.sewn_apart))
        for match in re.finditer(NUMBERS, sheet.text.closure):
            hold(f"named on the {sheet.lap} lap's sheet", numbers(match[1]) - marks["over"] - marks["under"], set())
    # Parts: of every share, one for each of its marks that is drawn on the lap that carries it.
    wanted: Counter[tuple[str, str]] = Counter()
    for share in placement.shares:
        own = {mark.n for mark in share.marks} - placement.sewn_apart
        # What comes on a tape is told by the length of the tape alone.
        for part in share.fastener.parts if placement.plan.tape is None else ():
            wanted[part.name, part.lap] += len(own & marks[part.lap]) * part.each * pieces
    if placement.is_withheld:
        # What is held back for its wearer is drawn as it was planned, and nothing of it is bought or set.
        wanted.clear()
    counted: Counter[tuple[str, str]] = Counter()
    besides = {(part, lap): count for part, lap, count in placement.besides}
    for one in count_parts(placement):
        key = (one.part, one.lap)
        if key in besides:
            hold(f"beside the row, {key}", one.count, besides[key])
        elif one.part == "patch":
            hold(f"patches, {one.lap}", one.count, len(marks[one.lap] - placement.sewn_apart))
        else:
            counted[key] += one.count
    hold("parts", {key: n for key, n in counted.items() if n}, {key: n for key, n in wanted.items() if n})
    for one, line in zip(count_parts(placement), parts_in_words(placement), strict=False):
        figures = [int(word) for word in re.findall(r"\d+(?= spare| for trial)", line)]
        hold(line, int(line.partition(" × ")[0]), one.count + sum(figures))
        told = f"| {one.named} | {one.lap} | {one.count} | {one.spare} | {one.trial} | {one.total} |"
        hold("the row of the report", told in page, True)
        what = "lap" if placement.strap is None else "end"
        hold("the line to buy", f"{one.total} × {one.named} ({one.lap} {what})" in terminal, True)
    return wrong if placement.is_withheld else wrong + _order(answer, marks)


def _order(answer: Answer, marks: dict[str, set[int]]) -> list[str]:
    """What the order of work says of marks that are not there, and marks that it forgets."""
    wrong = []
    worked: dict[str, set[int]] = {"over": set(), "under": set()}
    everywhere = marks["over"] | marks["under"]
    for step in advice_of(answer).order.steps:
        for match in re.finditer(rf"{NUMBERS}( of the (over|under) (?:lap|end))?", f"{step.text} {step.done}"):
            named, lap = numbers(match[1]), match[3]
            if named - (marks[lap] if lap else everywhere):
                wrong.append(f"step {step.n} names {match[0]}")
            if lap:
                worked[lap] |= named
            else:
                worked["over"] |= named & marks["over"]
                worked["under"] |= named & marks["under"]
    if answer.placement.fastener.is_taped:
        # A tape keeps its own pitch: it is laid by some of its closures, and has those between on it.
        worked = {lap: set(range(min(found), max(found) + 1)) for lap, found in worked.items()}
    wrong += [
        f"no step works {sorted(drawn_on - worked[lap])} of the {lap} lap"
        for lap, drawn_on in marks.items()
        if drawn_on - worked[lap]
    ]
    swap = answer.swap
    if swap is not None and swap.old.made:
        told = " ".join(step.text for step in advice_of(answer).order.steps)
        if match := re.search(r"Take the (\d+) ", told):
            off = len(swap.old.places_mm)
            if int(match[1]) > off:
                wrong.append(f"takes {match[1]} off of {off}")
    return wrong


def whole_words(answer: Answer) -> tuple[str, int]:
    """The words of the printed pages, and how many there are."""
    document = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    pages = [page.get_textpage().get_text_range() for page in document]
    return " ".join(" ".join(pages).split()), len(pages)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.parent.name)
def test_every_count_of_a_starting_plan_agrees_with_its_sheets(path: Path) -> None:
    plan = read_plan(path.read_bytes(), "plan.toml")
    if plan.sizes is not None:
        for name in plan.sizes.names:
            assert miscounted(place_plan(plan_of_size(plan, name), path)) == [], name
        plan = plan_of_size(plan, plan.sizes.base)
    answer = place_plan(asked_for(plan, ("order", "coupon")), path)
    assert miscounted(answer) == []
    words, count = whole_words(answer)
    said = re.search(r"(\d+) sheets of A4: (\d+) of this cover, (\d+) of templates(?:, (\d+) of words)?\.", words)
    assert said is not None
    total, *kinds = (int(figure or 0) for figure in said.groups())
    assert total == sum(kinds) == count
    assert set(re.findall(r"sheet \d+ of (\d+)", words)) == {str(count)}
    for line in parts_in_words(answer.placement):
        assert line in words
    for share in answer.placement.shares:
        asks = share.plan.closure.trial and not share.fastener.kind.endswith("for show")
        assert not asks or re.search(r"\b[Tt]rial piece", words)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("tens", range(10))
def test_every_count_of_jobs_drawn_by_chance_agrees_with_their_sheets(tens: int) -> None:
    read = 0
    for seed in range(10 * tens, 10 * tens + 10):
        try:
            answer = place_plan(asked_for(read_plan(drawn(seed).encode(), "job.toml"), ("order", "coupon")))
        except ClosureError:
            continue
        read += 1
        assert miscounted(answer) == [], seed
    assert read >= 5


@pytest.mark.parametrize("path", sorted((ROOT / "templates").glob("*/garment.toml")), ids=lambda path: path.parent.name)
def test_parts_and_packs_of_a_garment_are_those_of_its_sheets(path: Path) -> None:
    whole = work_garment(path)
    wanted: Counter[tuple[str, str, str]] = Counter()
    each: dict[tuple[str, str, str], Counter[str]] = {}
    packs: dict[tuple[str, str, str], set[int | None]] = {}
    tried = set[object]()
    for opening, answer in zip(whole.garment.openings, whole.answers, strict=True):
        assert miscounted(answer) == [], opening.name
        marks, placement = on_sheets(answer), answer.placement
        pieces = 1 if placement.strap is None else placement.strap.pieces
        for share in placement.shares:
            fastener, closure = share.fastener, share.plan.closure
            for part in fastener.parts:
                key = (fastener.kind.removesuffix(" for show"), fastener.size, part.name)
                on = len({mark.n for mark in share.marks} & marks[part.lap]) * pieces
                # One trial piece serves openings whose layers are told alike.
                piece = (*key, part.lap, repr(placement.plan.layers))
                trial = 0 if piece in tried else closure.trial
                tried.add(piece)
                wanted[key] += (on + closure.spare + trial) * part.each
                each.setdefault(key, Counter())[part.lap] = part.each
                packs.setdefault(key, set()).add(whole.garment.pack_of(opening))
    bought = {(row.kind, row.size, row.part): row for row in whole.bought if row.kind != "lace"}
    assert {key: row.total for key, row in bought.items()} == dict(wanted)
    page = garment_files(whole, "a4")["report.md"].decode()
    for key, row in bought.items():
        (pack,) = packs[key]
        holds = None if pack is None else pack * sum(each[key].values())
        assert row.packs == (None if holds is None else math.ceil(wanted[key] / holds))
        assert re.search(rf"\| {row.count} \| {row.extra} \| {row.total} \| {row.packs or '-'} \|", page)


def test_a_wrong_count_is_noticed() -> None:
    from dataclasses import replace

    path = ROOT / "templates" / "shirt-front" / "plan.toml"
    answer = place_plan(asked_for(read_plan(path.read_bytes(), "plan.toml"), ("order",)), path)
    one_less = replace(
        answer, sheets=tuple(replace(sheet, drawing=_without_last(sheet.drawing)) for sheet in answer.sheets)
    )
    assert miscounted(answer) == [] != miscounted(one_less)


def _without_last(items: Sequence[Item]) -> tuple[Item, ...]:
    marks = [item for item in items if isinstance(item, Group) and re.fullmatch(r"(over|under)-\d+", item.id)]
    return tuple(item for item in items if item is not marks[-1])
