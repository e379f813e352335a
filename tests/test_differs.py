"""Closures of a row that differ: each with its own mark, parts, checks, sheets and steps, on the one row."""

from __future__ import annotations

import json
import re

import pytest

from closures.advice.advice import advise
from closures.app.job import advice_of, check_plan, place_plan, result_files
from closures.errors import ClosureError, PlanError
from closures.placing.buttonhole import buttonhole_for
from closures.placing.role import role_of
from closures.plan.reading import read_plan
from closures.report.parts import count_parts

FRONT = """
title = "Slate shirt"
[edge]
straight = "640 mm"
[garment]
opens = "front"
state = "cut pieces"
[band]
width = "32 mm"
inset = "16 mm"
lap = "left over right"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
spare = 1
trial = 1
[spacing]
first = "60 mm"
last = "100 mm"
count = 7
[[layer]]
cloth = "oxford"
count = 2
"""
ACROSS = '[[differs]]\nmark = 1\nhole = "across"\n'
HOOK = '[[differs]]\nat = "hem"\nkind = "hook and bar"\nsize = "one size"\n'


def answer_of(more: str, front: str = FRONT):
    return place_plan(read_plan((front + more).encode(), "plan.toml"))


def made(more: str, front: str = FRONT):
    return result_files(answer_of(more, front), "a4")


def test_a_row_whose_closures_differ_is_the_row_that_it_was():
    alone, mixed = (json.loads(made(more)["report.json"]) for more in ("", ACROSS + HOOK))
    assert [mark["along_mm"] for mark in mixed["marks"]] == [mark["along_mm"] for mark in alone["marks"]]
    # 480 mm between the first and the last, six gaps of 80.
    assert mixed["spacing"]["gaps_mm"] == [80.0] * 6


def test_parts_of_closures_that_differ_are_counted_by_kind():
    parts = json.loads(made(ACROSS + HOOK)["report.json"])["parts"]
    counts = {(row["closure"], row["part"], row["lap"]): (row["count"], row["total"]) for row in parts}
    # By hand: seven marks, one of them a hook; a spare and a trial of each kind, of one kind once.
    assert counts == {
        ("sew-through button 18 L", "button", "under"): (6, 8),
        ("hook and bar one size", "hook", "over"): (1, 3),
        ("hook and bar one size", "bar", "under"): (1, 3),
    }


def test_a_buttonhole_the_other_way_takes_no_part_of_its_own():
    parts = json.loads(made(ACROSS)["report.json"])["parts"]
    assert [(row["part"], row["count"], row["total"]) for row in parts] == [("button", 7, 9)]
    assert "closure" not in parts[0]


def test_the_stop_gives_each_reason_once_and_says_once_when_to_go_on():
    snaps = FRONT.replace('"sew-through button"', '"prong snap"').replace('thickness = "3 mm"', "")
    button = '[[differs]]\nmark = 1\nkind = "sew-through button"\nsize = "18 L"\nhole = "across"\n'
    bound = FRONT.replace('thickness = "3 mm"', 'thickness = "3 mm"\nbound = true')
    eye = '[[differs]]\nat = "hem"\nkind = "hook and eye"\nsize = "3"\n'
    for front, more, reasons in (
        (snaps, button, "pierced cloth keeps its holes; a cut buttonhole stays"),
        # A sewn-on hook that waits for a bound buttonhole gives no reason of its own.
        (bound, eye, "the cloth is cut for a bound buttonhole"),
    ):
        work = json.loads(made(more, front)["report.json"])["work"]
        assert re.fullmatch(
            rf"Stop\. From step \d+ nothing can be undone: {reasons}\. Go on when [^.]*\.", work["stop"]
        )


def trials_of(more: str) -> list[str]:
    steps = json.loads(made(more)["report.json"])["work"]["steps"]
    return [step["text"] for step in steps if "on a trial piece" in step["text"]]


def test_the_trial_asks_for_one_of_each_that_is_bought_for_it():
    small = '[[differs]]\nmark = 1\nkind = "sew-through button"\nsize = "14 L"\nhole = "across"\n'
    (both,) = trials_of(small)
    assert both.endswith("Make one for each: sew-through button 18 L; sew-through button 14 L.")
    # One button serves both ways of the same buttonhole, and each way lies otherwise in the grain: the coupon has both
    # pieces. A hook is sewn on in a step of its own.
    (ways,) = trials_of(ACROSS)
    both_ways = [f"sew-through button 18 L, its buttonhole {way}" for way in ("along", "across")]
    assert ways.endswith(f"Make one for each: {both_ways[0]}; {both_ways[1]}.")
    assert len(trials_of(HOOK)) == 2


def slit_of(sheet: bytes, mark: int) -> tuple[float, float]:
    """How far the line of a mark's buttonhole runs across the sheet and down it, in mm."""
    group = re.search(rf'<g id="over-{mark}".*?</g>', sheet.decode(), re.DOTALL)
    assert group is not None
    paths = re.findall(r'\bd="M([-\d.]+)[ ,]([-\d.]+) ?L([-\d.]+)[ ,]([-\d.]+)"', group[0])
    runs = [(abs(float(c) - float(a)), abs(float(d) - float(b))) for a, b, c, d in paths]
    return max(runs, key=sum)


def test_a_slit_runs_as_its_own_mark_has_it():
    sheet = made(ACROSS)["over.svg"]
    # Diameter and thickness, 11.43 + 3 mm (Univ. of Minnesota, Bulletin 576).
    assert slit_of(sheet, 1) == pytest.approx((14.43, 0.0), abs=1e-3)
    assert slit_of(sheet, 2) == pytest.approx((0.0, 14.43), abs=1e-3)


def test_each_kind_of_mark_is_drawn_as_its_own_kind():
    files = made(HOOK)
    over, under = files["over.svg"].decode(), files["under.svg"].decode()
    group = re.search(r'<g id="over-7".*?</g>', over, re.DOTALL)
    assert group is not None and 'class="ring"' in group[0]
    assert over.count('class="ring"') == 2
    assert 'id="under-7"' in under and "hook and bar one size" in under


def test_room_between_rims_is_that_of_the_two_that_meet():
    findings = answer_of(HOOK).findings
    room = next(f for f in findings if f.rule == "neighbour distance")
    # The nearest two are the last button and the hook: 80 less half of 11.43 and half of 15.
    assert room.mark == 6
    assert room.found_mm == pytest.approx(80.0 - 11.43 / 2 - 7.5)


def test_room_between_buttonholes_of_both_ways_is_from_slit_to_slit():
    near = FRONT.replace('last = "100 mm"', 'last = "520 mm"').replace("count = 7", "count = 3")
    rooms = {
        f.mark: f
        for f in answer_of('[[differs]]\nmark = 2\nhole = "across"\n', near).findings
        if f.rule == "buttonhole"
    }
    # Gaps of 30: the slit before mark 2 reaches 14.43 - 3.175 past its own mark; the one across takes none of the gap.
    assert min(f.found_mm for f in rooms.values() if "along" in f.text[:60]) == pytest.approx(
        30 - (14.43 - 3.175), abs=1e-3
    )


def test_a_part_too_wide_for_its_place_is_told_of_that_mark_alone():
    big = '[[differs]]\nat = "neck"\nkind = "sew-through button"\nsize = "40 L"\n'
    told = [f for f in answer_of(big).findings if f.rule == "edge distance" and f.result != "pass"]
    # 40 lines are 25.4 mm: 12.7 + 6.35 wanted (ASDP), 16 there.
    assert {f.mark for f in told} == {1}
    assert told[0].limit_mm == pytest.approx(12.7 + 6.35)


def test_a_clear_zone_keeps_the_rim_of_the_largest_out():
    zone = '[[clear]]\nname = "seam"\nalong = ["290 mm", "300 mm"]\n'
    big = '[[differs]]\nmark = 4\nkind = "sew-through button"\nsize = "40 L"\n'
    pitched = FRONT.replace("count = 7", 'pitch = "80 mm"').replace('"60 mm"', '{ from = "40 mm", to = "80 mm" }')
    answer = answer_of(zone + big, pitched)
    for mark in answer.placement.marks:
        rim = answer.placement.fastener_of(mark.n).rim_mm
        assert mark.along_mm + rim <= 290 + 1e-6 or mark.along_mm - rim >= 300 - 1e-6


def test_the_order_of_work_has_each_kind_once_with_its_marks():
    report = json.loads(made(ACROSS + HOOK)["report.json"])
    texts = [step["text"] for step in report["work"]["steps"]]
    assert sum("Sew the hook on at mark 7" in text for text in texts) == 1
    assert sum("Sew the buttons on at marks 2 to 6" in text for text in texts) == 1
    assert sum("Sew the button on at mark 1 " in text for text in texts) == 1
    assert sum("Wash and dry the cloth" in text for text in texts) == 1
    assert "Open and close the whole row" in texts[-1]
    # Nothing is cut before the stop, and the hook, which can be taken off again, comes before it.
    cut = [n for n, text in enumerate(texts, 1) if text.startswith(("Cut the buttonhole ", "Cut the buttonholes "))]
    assert min(cut) == report["work"]["stop_before"]


def test_a_shortened_report_names_the_marks_that_differ():
    report = json.loads(made(ACROSS + HOOK)["report.json"])
    assert [(row["marks"], row["kind"], row["hole"]) for row in report["differs"]] == [
        ([1], "sew-through button", "across"),
        ([7], "hook and bar", None),
    ]


def test_an_anchor_names_the_closure_that_serves_it():
    anchor = '[[anchor]]\nname = "waist"\nlevel = "300 mm"\nwithin = "0 mm"\n'
    free = FRONT.replace('"100 mm"', '{ from = "60 mm", to = "140 mm" }')
    placement = answer_of(anchor + ACROSS.replace("mark = 1", 'at = "waist"'), free).placement
    (n,) = placement.differing[1].marks
    assert placement.marks[n - 1].along_mm == pytest.approx(300.0, abs=1e-3)


@pytest.mark.parametrize(("end", "called"), [("neck", "first"), ("hem", "Last")])
def test_first_and_last_are_the_ends_whatever_these_are_called(end: str, called: str) -> None:
    # The first and the last are where their own size lets them, not where the row's does.
    free = FRONT.replace('first = "', '# first = "').replace('last = "', '# last = "')
    large = '[[differs]]\nat = "{}"\nsize = "40 L"\nthickness = "5 mm"\n'
    by_end, by_word = (answer_of(large.format(name), free).placement for name in (end, called))
    assert by_word.differing[1].marks == by_end.differing[1].marks
    assert [mark.along_mm for mark in by_word.marks] == [mark.along_mm for mark in by_end.marks]


REFUSED = {
    "a mark that is not there": (
        "[[differs]]\nmark = 8\nhole = 'across'\n",
        "the row has 7 closures, and there is no mark 8",
    ),
    "an unknown name": (
        "[[differs]]\nat = 'waits'\nhole = 'across'\n",
        "no anchor and no end of the row is called 'waits'",
    ),
    "a name of two anchors": (
        "[[anchor]]\nname = 'waist'\nalong = '200 mm'\nwithin = '60 mm'\n[[anchor]]\nname = 'Waist'\n"
        "along = '400 mm'\nwithin = '60 mm'\n[[differs]]\nat = 'waist'\nhole = 'across'\n",
        "two fixed places are called 'Waist'",
    ),
    "a name of an anchor that is an end of the row by its word": (
        "[[anchor]]\nname = 'last'\nalong = '300 mm'\nwithin = '60 mm'\n[[differs]]\nat = 'last'\nhole = 'across'\n",
        "'last' could be mark",
    ),
    "a name of an anchor and an end": (
        "[[anchor]]\nname = 'neck'\nalong = '400 mm'\nwithin = '60 mm'\n[[differs]]\nat = 'neck'\nhole = 'across'\n",
        "'neck' could be mark 1 or mark",
    ),
    "the same mark twice": (ACROSS + "[[differs]]\nat = 'neck'\nsize = '20 L'\n", "mark 1 differs twice"),
    "every closure": (
        "[[differs]]\nmarks = [1, 2, 3, 4, 5, 6, 7]\nhole = 'across'\n",
        "every closure of the row differs",
    ),
    "nothing that differs": ("[[differs]]\nmark = 1\n", "nothing of it differs"),
    "a kind without its size": ("[[differs]]\nmark = 1\nkind = 'hook and bar'\n", "another kind has a size of its own"),
    "a size that is not there": ("[[differs]]\nmark = 1\nsize = 'very large'\n", "differs"),
    "no place": ("[[differs]]\nhole = 'across'\n", "exactly one of at, mark, marks"),
    "a pull": (ACROSS + "[pull]\nease = '20 mm'\n", "it does not go with [[differs]]"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_contradicts_itself_is_refused(name: str):
    more, text = REFUSED[name]
    with pytest.raises(ClosureError, match=re.escape(text)):
        check_plan(read_plan((FRONT + more).encode(), "plan.toml"))


def test_a_number_of_no_mark_is_refused_in_words():
    with pytest.raises(PlanError, match="these are no numbers of marks"):
        read_plan((FRONT + "[[differs]]\nmarks = 3\nhole = 'across'\n").encode(), "plan.toml")


def test_closures_of_one_name_and_unlike_measures_are_counted_apart() -> None:
    text = (
        '[edge]\nstraight = "300 mm"\n[band]\nwidth = "40 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\n'
        'size = "16 L"\n[spacing]\nfirst = "30 mm"\nlast = "30 mm"\ncount = 5\n'
        '[[differs]]\nmark = 1\nkind = "prong snap"\nsize = "16 L"\ncap = "11 mm"\n'
    )
    parts = count_parts(place_plan(read_plan(text.encode(), "plan.toml")).placement)
    sockets = {one.closure: one.count for one in parts if one.part == "socket"}
    assert sockets == {"prong snap 16 L, 10.2 mm across": 4, "prong snap 16 L, 11 mm across": 1}


@pytest.mark.parametrize("which", ["mark = 8", 'at = "last end"', "marks = [8]"])
def test_a_last_closure_that_differs_keeps_its_own_end_however_it_is_named(which: str) -> None:
    text = (
        '[edge]\nstraight = "600 mm"\n[band]\nwidth = "60 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "sew-on snap"\nsize = "2/0"\n[spacing]\npitch = "80 mm"\n'
        f'[[differs]]\n{which}\nkind = "sew-on snap"\nsize = "4"\n'
    )
    answer = check_plan(read_plan(text.encode(), "front.toml"))
    assert len(answer.placement.marks) == 8
    assert [one for one in answer.findings if one.rule == "end distance" and one.result != "pass"] == []
    assert any("as far as its own size asks" in line for line in answer.placement.assumed)


def last_snap(which: str) -> tuple[float, ...]:
    front = """
[edge]
straight = "640 mm"
[garment]
opens = "front"
[band]
width = "34 mm"
lap = "right over left"
[closure]
kind = "sew-through button"
size = "18 L"
[spacing]
pitch = "80 mm"
"""
    snap = f"[[differs]]\n{which}\nkind = 'sew-on snap'\nsize = '3'\n"
    return answer_of(snap, front).placement.spacing.positions_mm


def test_a_last_closure_named_by_its_number_makes_the_row_that_its_end_makes() -> None:
    by_end = last_snap("at = 'hem'")
    assert len(by_end) == 9
    assert last_snap("mark = 9") == last_snap("marks = [9]") == by_end
    # Last at the distance of a button, and not at its own: the row of buttons stands.
    assert len(last_snap("mark = 7")) == 7
    with pytest.raises(ClosureError, match="the row has 7 closures, and there is no mark 12"):
        last_snap("mark = 12")


def test_a_long_row_whose_closures_differ_is_not_called_alike() -> None:
    text = (
        '[edge]\nstraight = "800 mm"\n[band]\nwidth = "60 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "sew-on snap"\nsize = "2/0"\n[spacing]\ncount = 14\n'
    )
    for more, words in (("", "14 closures alike"), ('[[differs]]\nmark = 3\nsize = "4"\n', "14 closures are easily")):
        report = result_files(place_plan(read_plan((text + more).encode(), "front.toml")), "a4")["report.md"].decode()
        assert words in report


def test_a_hook_among_snaps_is_sent_to_a_line_of_its_own_and_not_to_the_inset_of_the_row() -> None:
    text = (
        '[edge]\nstraight = "800 mm"\n[band]\nwidth = "60 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "sew-on snap"\nsize = "2/0"\n[spacing]\ncount = 8\n'
        '[[differs]]\nmark = 1\nkind = "hook and eye"\nsize = "2"\n'
    )
    told = [
        one.text for one in check_plan(read_plan(text.encode(), "front.toml")).findings if "end of the hook" in one.text
    ]
    assert told
    assert all("Tell it under [[single]]" in one and "Lessen" not in one for one in told)


@pytest.mark.parametrize(
    ("row", "differs", "said"),
    [
        (
            'hole = "along"',
            'hole = "along"',
            "nothing of mark 2 differs: the buttonhole of the row runs along there too",
        ),
        ('hole = "across"', 'hole = "across"', "the buttonhole of the row runs across there too"),
        # A shirt's run along where nothing tells it.
        ("", 'hole = "along"', "the buttonhole of the row runs along there too"),
        ("", 'kind = "sew-through button"\nsize = "18 L"\nthickness = "3 mm"', "the row has the same there"),
        # What the row tells of its own button holds where the same button is told again.
        ("", 'kind = "sew-through button"\nsize = "18 L"', "the row has the same there"),
        ("", 'size = "18l"', "the row has the same there"),
        # 18 lines are 11.43 mm.
        ("", 'size = "11.43 mm"', "11.43 mm and 18 L of sew-through button are one size"),
    ],
)
def test_what_is_told_to_differ_and_does_not_is_refused(row: str, differs: str, said: str):
    front = FRONT.replace('size = "18 L"\n', f'size = "18 L"\n{row}\n')
    with pytest.raises(ClosureError, match=re.escape(said)) as told:
        answer_of(f"[[differs]]\nmark = 2\n{differs}\n", front)
    assert "[[differs]] 1" in str(told.value) and re.search("Leave it out|Leave kind and size out", str(told.value))


@pytest.mark.parametrize(("differs", "thickness_mm"), [("", 4.0), ('thickness = "2 mm"', 2.0)])
def test_the_rows_own_button_told_again_is_as_thick_as_the_row_tells(differs: str, thickness_mm: float):
    front = FRONT.replace('thickness = "3 mm"', 'thickness = "4 mm"')
    again = f'[[differs]]\nmark = 1\nkind = "sew-through button"\nsize = "18 L"\nhole = "across"\n{differs}\n'
    answer = answer_of(again, front)
    shares = answer.placement.shares
    assert [share.fastener.thickness[0].value for share in shares] == [4.0, thickness_mm]
    own, told = (buttonhole_for(share.fastener, share.plan, answer.catalogue).length_mm for share in shares)
    # A buttonhole is as long as its button is across and thick: both are told, and differ as the thicknesses do.
    assert told - own == pytest.approx(thickness_mm - 4.0)


BUTTON = '[[differs]]\nmark = 1\nkind = "sew-through button"\nsize = "18 L"\n'
ALONE = '[[single]]\nkind = "sew-through button"\nsize = "18 L"\nalong = "20 mm"\n'


@pytest.mark.parametrize("button", [BUTTON, ALONE], ids=["in the row", "alone"])
@pytest.mark.parametrize(("kind", "size"), [("prong snap", "16 L"), ("hook and eye", "2"), ("sew-on snap", "3")])
def test_a_buttonhole_among_other_closures_is_marked_at_its_ends_on_the_key_and_the_page(
    kind: str, size: str, button: str
) -> None:
    row = FRONT.replace('"sew-through button"\nsize = "18 L"\nthickness = "3 mm"', f'"{kind}"\nsize = "{size}"')
    other, own = (answer_of(more, row) for more in (button, ""))
    for answer, ends in ((other, True), (own, False)):
        told = advise(answer.placement, answer.findings, answer.catalogue)
        key = {words for sheet in answer.sheets for sign, words in sheet.text.sign_words if sign == "mark"}
        assert key == {told.signs["mark"]} == {"mark: prick through the dot" + "; of a buttonhole, its ends" * ends}
        assert [line.partition(" with a pin")[2] for line in told.marking if line.startswith("Prick")] == [
            " at each dot and at both ends of the buttonhole" * ends + ", and touch each prick with chalk."
        ]


def test_ways_to_mark_that_differ_on_one_lap_each_name_the_marks_they_are_for() -> None:
    # Common practice: a part covers the point of an awl in leather, nothing covers one at the end of a slit.
    row = FRONT.replace('"sew-through button"\nsize = "18 L"\nthickness = "3 mm"', '"post snap"\nsize = "24 L"')
    row = row.replace('cloth = "oxford"\ncount = 2', 'cloth = "leather 4 oz"\non = "over"')
    row = (
        row.replace("[spacing]", '[spacing]\nclosest = "20 mm"').replace('"32 mm"', '"40 mm"').replace("16 mm", "20 mm")
    )
    answer = answer_of('[[layer]]\ncloth = "melton"\non = "under"\ncount = 2\n' + BUTTON.replace("18", "24"), row)
    told = advise(answer.placement, answer.findings, answer.catalogue)
    assert told.signs["mark"] == (
        "mark: on the over lap touch with an awl (marks 2 to 7), point on tape (mark 1); of a buttonhole, its ends; "
        "on the under lap chalk at the dot"
    )
    leather = [line for line in told.marking if "Over lap: " in line]
    assert [line.partition(" (")[0] for line in leather] == ["Marks 2 to 7", "Mark 1"]
    assert "with an awl" in leather[0] and "at both ends of the buttonhole" in leather[1] and "tape" in leather[1]
    assert [line for line in told.marking if line.startswith("Under lap: ")] == [
        "Under lap: make a small hole in the paper at each dot and touch the cloth through it with sharp chalk."
    ]


SNAPS = (
    FRONT.replace('"sew-through button"', '"covered snap"')
    .replace('"18 L"', '"21 mm"')
    .replace('thickness = "3 mm"\n', "")
)
BUTTON = '[[differs]]\nat = "neck"\nkind = "sew-through button"\nsize = "18 L"\n'


def laps_of(more: str, front: str, n: int) -> tuple[dict[str, str], list[str]]:
    """Which part or hole of a mark lies on which lap, and what the rule on turned buttons says of it."""
    answer = answer_of(more, front)
    fastener = answer.placement.fastener_of(n)
    told = {lap: next((part.name for part in fastener.parts_on(lap)), "") for lap in ("over", "under")}
    if fastener.mark.buttonhole_lap is not None:
        told[fastener.mark.buttonhole_lap] = "buttonhole"
    found = [one.result for one in answer.findings if one.rule == "turned button" and one.mark == n]
    return told, found


@pytest.mark.parametrize("of_row", ["", 'halves = "turned"\n'])
@pytest.mark.parametrize(("own", "hole", "looks"), [("", "over", []), ('halves = "turned"\n', "under", ["warn"])])
def test_halves_belong_to_the_closure_they_are_told_of(of_row: str, own: str, hole: str, looks: list[str]) -> None:
    """The buttonhole of a front lies on the lap on top (common practice), whichever way a snap beside it is turned."""
    front = SNAPS.replace("spare = 1\n", f"spare = 1\n{of_row}")
    button, found = laps_of(BUTTON + own, front, 1)
    assert button[hole] == "buttonhole" and found == looks
    snap, none = laps_of(BUTTON + own, front, 2)
    assert snap["under"] == ("ball half" if of_row else "socket half") and none == []
    words = made(BUTTON + own, front)["report.md"].decode()
    assert words.count("Turned on purpose") == bool(of_row) + bool(own)


def test_of_the_row_s_own_kind_what_is_not_told_is_as_the_row_has_it() -> None:
    turned = FRONT.replace("spare = 1\n", 'spare = 1\nhalves = "turned"\n')
    assert laps_of('[[differs]]\nmark = 1\nsize = "20 L"\n', turned, 1)[0]["under"] == "buttonhole"
    usual = '[[differs]]\nmark = 1\nhalves = "usual"\n'
    assert laps_of(usual, turned, 1) == ({"over": "buttonhole", "under": "button"}, [])
    assert laps_of(usual, turned, 2)[1] == ["warn"]
    assert "18 L, not turned" in "".join(re.findall(r"<title>[^<]*</title>", made(usual, turned)["over.svg"].decode()))


def test_hook_beside_a_turned_row_is_neither_hidden_nor_told_to_be_turned() -> None:
    hook = '[[single]]\nkind = "hook and eye"\nsize = "2"\nlevel = "5 mm"\n'
    hidden = '[[single]]\nkind = "sew-on snap"\nsize = "1"\nlevel = "600 mm"\nhidden = true\ninset = "8 mm"\n'
    for turned in ("", 'halves = "turned"\n'):
        answer = answer_of(hook + hidden, SNAPS.replace("spare = 1\n", f"spare = 1\n{turned}"))
        assert [role_of(answer.placement, n) for n in (7, 8, 9)] == ["row", "single", "hidden"]
        halves = advice_of(answer).halves
        assert halves.count('write halves = "turned"') == (0 if turned else 1)


@pytest.mark.parametrize(
    ("more", "bound", "laps"),
    [
        (ACROSS, "", ["over"]),
        (HOOK, "", ["over"]),
        (ACROSS + HOOK, "", ["over"]),
        (ACROSS, "bound = true\n", ["over"]),
        ('[[single]]\nkind = "hook and eye"\nsize = "2"\nlevel = "5 mm"\n', "", ["over"]),
        (
            '[[single]]\nkind = "sew-through button"\nsize = "18 L"\nlevel = "600 mm"\nhidden = true\n',
            "",
            ["over", "under"],
        ),
    ],
    ids=["across", "a hook", "both", "bound", "beside", "hidden"],
)
def test_each_sheet_is_laid_once_for_all_that_is_marked_by_it(more: str, bound: str, laps: list[str]) -> None:
    """A sheet that is laid again lies otherwise by what it is laid out (common practice: it is laid once)."""
    order = advice_of(answer_of(more, FRONT.replace("spare = 1\n", f"spare = 1\n{bound}"))).order
    laid = [step for step in order.steps if step.text.startswith("Lay the sheet")]
    assert [re.findall("of the (over|under) lap", step.text)[0] for step in laid] == laps
    assert [step.n for step in order.steps] == list(range(1, len(order.steps) + 1))
    assert order.stop.startswith(f"Stop. From step {order.stop_before} ")
    shares = answer_of(more).placement.shares
    told = " ".join(step.text for step in laid)
    assert all(any(f"mark{s} {n}" in told for s in ("", "s")) for n in {share.marks[0].n for share in shares})
    if len(laid) < len(shares):
        assert laid[0].done.startswith("Marks ") and laid[0].done.count(": ") >= 2
