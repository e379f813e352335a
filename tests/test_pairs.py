"""What a plan may tell beside what: each pair is refused in words, or the row keeps what both of them ask."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import pytest

from closures.app.job import check_plan, place_plan, result_files
from closures.app.sizing import place_sizes, size_files
from closures.errors import ClosureError
from closures.placing.lacing import lace_of
from closures.placing.placement import Placement
from closures.plan.reading import read_plan
from closures.verifying.sheet_read import read_sheet

PLAN = """title = "Two things at once"
[edge]
points = [["0 mm", "0 mm"], ["0 mm", "600 mm"]]
[garment]
opens = "front"
{meeting}
[band]
width = "{width}"
inset = "20 mm"
lap = "right over left"
[closure]
{closure}
[spacing]
{ends}
count = 6
"""

SECTIONS = {
    "meeting": "",
    "column": '[column]\napart = "90 mm"\n',
    "stand": '[stand]\nheight = "30 mm"\ngrain = "round"\n',
    "differs": '[[differs]]\nmark = 3\nsize = "{other}"\n',
    "sizes": '[sizes]\nnames = ["8", "10"]\nbase = "10"\ngrade = [["0 mm", "0 mm"], ["0 mm", "8 mm"]]\n',
    "swap": '[swap]\nkind = "plastic snap"\nsize = "20"\ncount = 6\nfirst = "40 mm"\nlast = "60 mm"\n',
    "gauge": '[gauge]\nstitches = 22\nrows = 30\nline = "band rows"\n',
    "pull": '[pull]\nscale = "60 g"\npitch = "64 mm"\nat = "bust"\n',
    "shrinkage": '[shrinkage]\nalong = "5 %"\nacross = "2 %"\nmeasured = "unwashed"\n',
    "stripe": '[stripe]\nevery = "10 mm"\nat = "0 mm"\n',
    "tape": '[tape]\npitch = "40 mm"\n',
    "single": '[[single]]\nkind = "hook and eye"\nsize = "2"\ncap = "9 mm"\nalong = "8 mm"\n',
    "lacing": '[lacing]\nway = "crossed"\n',
    "clear": '[[clear]]\nname = "belt"\nlevel = ["300 mm", "330 mm"]\n',
    "anchor": '[[anchor]]\nname = "bust"\nlevel = "200 mm"\nwithin = "5 mm"\n',
    "wide gap": '[sheets]\nclosing = "wide gap"\n',
}
ROW_MM = 100 / 30


def plan_of(*sections: str) -> bytes:
    closure = {"tape": ("hook tape", "any"), "lacing": ("eyelet", "5.5 mm"), "meeting": ("hook and eye", "2")}
    kind, size = next((closure[one] for one in closure if one in sections), ("sew-through button", "18 L"))
    measured = 'cap = "8 mm"' if kind != "sew-through button" else 'thickness = "3 mm"'
    first, last = 'first = { from = "30 mm", to = "50 mm" }', 'last = { from = "50 mm", to = "70 mm" }'
    ends = [*([] if "stand" in sections else [first]), *([] if "tape" in sections else [last])]
    text = PLAN.format(
        meeting='edges = "meeting"' if {"meeting", "lacing"} & {*sections} else "",
        width="190 mm" if "column" in sections else "50 mm",
        closure=f'kind = "{kind}"\nsize = "{size}"\n{measured}',
        ends="\n".join(ends),
    )
    told = [*sections, *(["anchor"] if "pull" in sections and "anchor" not in sections else [])]
    other = "1" if kind == "hook and eye" else "20 L"
    return (text + "".join(SECTIONS[one].replace("{other}", other) for one in told)).encode()


def levels(placement: Placement) -> list[float]:
    return [mark.level_mm for mark in placement.marks]


def gaps(placement: Placement) -> tuple[float, ...]:
    return placement.spacing.gaps_mm


def is_whole(mm: float, step_mm: float) -> bool:
    return abs(mm / step_mm - round(mm / step_mm)) < 1e-6


KEEPS: dict[str, Callable[[Placement], bool]] = {
    "meeting": lambda one: one.laps.garment.is_meeting,
    "column": lambda one: all(
        abs(other.x_mm - mark.x_mm) == pytest.approx(90) and other.y_mm == pytest.approx(mark.y_mm)
        for mark, other in zip(one.marks, one.beside[0].marks, strict=True)
    ),
    "stand": lambda one: levels(one)[0] == pytest.approx(-15) and one.marks[0].along_mm == pytest.approx(15),
    "differs": lambda one: one.fastener_of(3).size in ("20 L", "1") and one.fastener_of(2).size not in ("20 L", "1"),
    "gauge": lambda one: all(is_whole(gap, ROW_MM) for gap in gaps(one)),
    "stripe": lambda one: all(is_whole(level, 10.0) for level in levels(one)[0 if one.plan.stand is None else 1 :]),
    "tape": lambda one: all(gap == pytest.approx(40, abs=1e-9) for gap in gaps(one)),
    "lacing": lambda one: lace_of(one) is not None,
    "single": lambda one: one.all_marks[-1].along_mm == pytest.approx(8),
    "clear": lambda one: (
        not any(300 - one.fastener.rim_mm < level < 330 + one.fastener.rim_mm for level in levels(one))
    ),
    "anchor": lambda one: any(abs(level - 200) <= 5 + 1e-6 for level in levels(one)),
    "wide gap": lambda one: gaps(one)[0] > gaps(one)[1] + 3 and max(gaps(one)[1:]) - min(gaps(one)[1:]) < 1e-6,
}
"""What a row must show of a section that stands in its plan; of the others only the refusal can be asked here."""


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(SECTIONS, 2)))
def test_two_things_at_once_are_both_kept_or_refused_in_words(one: str, other: str):
    try:
        placement = check_plan(read_plan(plan_of(one, other), "plan.toml")).placement
    except ClosureError as told:
        assert all(fault.mend for fault in told.faults)
        return
    for name in {one, other} & {*KEEPS}:
        assert KEEPS[name](placement), name


@pytest.mark.parametrize("one", SECTIONS)
def test_each_of_them_alone_is_placed_and_kept(one: str):
    # Without it a pair could be refused for something else, and the table above would hold nothing.
    placement = check_plan(read_plan(plan_of(one), "plan.toml")).placement
    assert one not in KEEPS or KEEPS[one](placement)


TOGETHER = [
    ("stand", "differs"), ("stand", "sizes"), ("differs", "sizes"), ("differs", "stripe"), ("differs", "shrinkage"),
    ("differs", "meeting"), ("column", "stripe"), ("column", "clear"), ("column", "anchor"), ("sizes", "gauge"),
    ("gauge", "clear"), ("gauge", "anchor"), ("tape", "meeting"), ("tape", "clear"), ("tape", "anchor"),
    ("lacing", "clear"), ("shrinkage", "meeting"), ("pull", "shrinkage"), ("swap", "clear"),
    ("column", "sizes"), ("column", "single"), ("column", "gauge"), ("single", "gauge"), ("single", "stand"), ("single", "sizes"),
    ("single", "differs"), ("single", "tape"), ("single", "stripe"), ("single", "clear"), ("single", "anchor"), ("single", "wide gap"),
    ("column", "differs"), ("column", "shrinkage"), ("single", "shrinkage"), ("stand", "shrinkage"),
    ("stand", "stripe"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), TOGETHER)
def test_what_goes_together_is_placed(one: str, other: str):
    check_plan(read_plan(plan_of(one, other), "plan.toml"))


APART = [
    ("stripe", "wide gap"), ("gauge", "wide gap"), ("gauge", "stripe"), ("tape", "stripe"), ("tape", "sizes"),
    ("column", "tape"), ("column", "stand"), ("column", "pull"), ("column", "swap"),
    ("differs", "gauge"), ("differs", "pull"), ("differs", "swap"), ("stand", "gauge"), ("stand", "meeting"),
    ("swap", "meeting"), ("swap", "shrinkage"), ("pull", "meeting"),
    ("single", "swap"), ("single", "pull"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), APART)
def test_what_contradicts_each_other_is_refused(one: str, other: str):
    with pytest.raises(ClosureError):
        check_plan(read_plan(plan_of(one, other), "plan.toml"))


def drawn(svg: bytes, lap: str) -> tuple[float, list[float], list[float]]:
    """Length of the finished edge on a straight sheet, and how far along and how far in from it each mark is drawn."""
    sheet = read_sheet(svg)
    line = max((edge.points for edge in sheet.edges), key=lambda edge: math.dist(edge[0], edge[-1]))
    start, end = sorted((line[0], line[-1]), key=lambda point: math.dist(point, sheet.marks[lap, 1]))
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    off = [(at[0] - start[0], at[1] - start[1]) for _, at in sorted(sheet.marks.items())]
    return length, [x * ux + y * uy for x, y in off], [abs(x * uy - y * ux) for x, y in off]


def is_even(places: list[float]) -> bool:
    apart = [b - a for a, b in itertools.pairwise(places)]
    return max(apart) - min(apart) < 0.01


ON_PAPER: dict[str, Callable[[list[float], list[float]], bool]] = {
    "meeting": lambda along, inside: is_even(along) and all(abs(one - 20) < 0.01 for one in inside),
    "column": lambda along, inside: all(
        abs(along[k + 6] - along[k]) < 0.01 and abs(inside[k + 6] - inside[k] - 90) < 0.01 for k in range(6)
    ),
    "stand": lambda along, inside: abs(along[0] - 15) < 0.01,
    "differs": lambda along, inside: is_even(along),
    "gauge": lambda along, inside: all(
        abs((b - a) / ROW_MM - round((b - a) / ROW_MM)) < 0.005 for a, b in itertools.pairwise(along)
    ),
    "stripe": lambda along, inside: all(abs(one / 10 - round(one / 10)) < 0.001 for one in along),
    "single": lambda along, inside: abs(along[6] - 8) < 0.01 and abs(inside[6] - 3.175) < 0.01,
    "lacing": lambda along, inside: is_even(along),
    "clear": lambda along, inside: not any(300 - 5.7 < one < 330 + 5.7 for one in along),
    "anchor": lambda along, inside: any(abs(one - 200) < 5.01 for one in along),
    "pull": lambda along, inside: any(abs(one - 200) < 5.01 for one in along),
    "wide gap": lambda along, inside: along[1] - along[0] > along[2] - along[1] + 3 and is_even(along[1:6]),
}
"""What the over lap's finished sheet must show of a section beside sizes: how far along and how far in each mark lies."""


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("other", ON_PAPER)
def test_sheets_of_every_size_show_what_both_sections_ask(other: str):
    files = size_files(place_sizes(read_plan(plan_of("sizes", other), "plan.toml")), "a0")
    for size, length in (("8", 592), ("10", 600)):
        told, along, inside = drawn(files[f"over-{size}.svg"], "over")
        assert told == pytest.approx(length + (30 if other == "stand" else 0), abs=0.01)
        assert ON_PAPER[other](along, inside), size
        assert 49.99 < told - along[5] < 70.01
        assert other == "stand" or 29.99 < along[0] < 50.01


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("measured", ["unwashed", "washed"])
@pytest.mark.parametrize("other", ["meeting", "differs", "lacing", "pull", "anchor", "column", "single"])
def test_the_sheet_of_unwashed_cloth_shows_every_length_of_the_plan_in_the_state_it_was_measured_in(
    other: str, measured: str
):
    told = plan_of("shrinkage", other).replace(b'"unwashed"', f'"{measured}"'.encode())
    length, all_along, inside = drawn(result_files(place_plan(read_plan(told, "plan.toml")), "a0")["over.svg"], "over")
    along = all_along[:6]
    # 5 % are lost along it: what was measured after the wash is so much longer on paper.
    grown = 1.0 if measured == "unwashed" else 1 / 0.95
    assert length == pytest.approx(600 * grown, abs=0.01)
    assert 29.99 < along[0] / grown < 50.01 and 49.99 < (length - along[-1]) / grown < 70.01
    if other in ("pull", "anchor"):
        assert any(abs(one / grown - 200) < 5.01 for one in along)
    else:
        assert is_even(along)
    if other == "column":
        broader = 1.0 if measured == "unwashed" else 1 / 0.98
        assert all_along[6:] == pytest.approx(along, abs=0.01)
        assert inside == pytest.approx([20 * broader] * 6 + [110 * broader] * 6, abs=0.01)
    if other == "single":
        assert (all_along[6], inside[6]) == pytest.approx((8 * grown, (3.175 + 8.1) / 0.98 - 8.1), abs=0.01)


def test_offers_of_a_swap_leave_out_its_clear_zone_on_paper():
    answer = place_plan(read_plan(plan_of("swap", "clear"), "plan.toml"))
    _, along, _ = drawn(result_files(answer, "a0")["over.svg"], "over")
    reach = answer.placement.fastener.rim_mm
    assert along and not any(300 - reach < one < 330 + reach for one in along)


def test_pins_that_are_written_from_the_hem_up_are_those_written_from_the_neck_down():
    lines = "".join(f'<path id="{name}" d="M{x} 0V600"/>' for name, x in (("over", 100), ("under", 300)))
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">{lines}</svg>'
    pins = ["[[100, 150], [300, 154]]", "[[100, 450], [300, 446]]"]
    apart = plan_of().decode().replace("title =", 'drawing = "front.svg"\ntitle =')
    apart = apart.replace('opens = "front"', 'opens = "front"\npieces = "separate"')
    for match in (pins, pins[::-1]):
        edge = f'path = "over"\nunder = "under"\nunder_lies = "apart"\nmatch = [{", ".join(match)}]'
        told = apart.replace('points = [["0 mm", "0 mm"], ["0 mm", "600 mm"]]', edge).encode()
        laps = check_plan(read_plan(told, "plan.toml"), {"front.svg": svg.encode()}).placement.laps
        assert [laps.under.along(over) for over in (150.0, 300.0, 450.0)] == pytest.approx([154.0, 300.0, 446.0])
