"""A tape with hooks or snaps on it: its pitch is kept exactly, and what it cannot meet is refused with the nearest."""

from __future__ import annotations

import cmath
import io
import json
import random
import re
from itertools import pairwise
from pathlib import Path

import pdfplumber
import pytest

from closures.app.job import Answer, advice_of, check_plan, place_plan, result_files
from closures.app.whole import garment_files, work_garment
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.handover import EXTRA as HANDOVER
from closures.drawing.paper.words import Section
from closures.errors import ClosureError
from closures.placing.marked_face import faces_to_mark
from closures.plan.reading import read_plan
from closures.spacing import Anchor, Clear, Wish
from closures.spacing.fixed_pitch import best_at_pitch

TAPED = """
title = "Larch bustier"
[edge]
straight = "300 mm"
[garment]
opens = "back"
edges = "meeting"
[band]
width = "26 mm"
lap = "right over left"
[closure]
kind = "hook tape"
size = "any"
cap = "9 mm"
spare = 0
trial = 1
[tape]
pitch = "19 mm"
"""
SNAPS = TAPED.replace('edges = "meeting"\n', "").replace("hook tape", "snap tape").replace('cap = "9 mm"\n', "")


@pytest.mark.parametrize("plan", [TAPED, SNAPS], ids=["hooks that meet", "snaps that lap"])
def test_a_tape_keeps_its_pitch_exactly_and_ends_at_whole_closures(plan: str):
    read = read_plan(plan.encode(), "plan.toml")
    placement = check_plan(read, {}).placement
    # By hand: 15 closures of 19 mm of tape are 285 mm; a sixteenth would need 304.
    assert len(placement.marks) == 15
    first = placement.spacing.positions_mm[0]
    assert first == pytest.approx(7.5 + 9.5)
    for k, (mark, over, under) in enumerate(
        zip(placement.marks, placement.on("over"), placement.on("under"), strict=True)
    ):
        for along in (mark.along_mm, over.along_mm, under.along_mm):
            assert along == pytest.approx(first + 19 * k, abs=1e-9)
    report = json.loads(result_files(place_plan(read), "a4")["report.json"])
    assert report["tape"] == {"pitch_mm": 19.0, "cut_mm": 285.0, "buy_mm": 304.0, "left_over_mm": [7.5, 7.5]}
    assert not report["parts"]


def drawn_pitches(svg: str, ids: range, lap: str) -> list[float]:
    """From mark to mark on the arc on which a finished sheet has its centres, the arc through three of them."""
    at = []
    for n in ids:
        found = re.search(rf'id="{lap}-{n}".*?class="centre" cx="([-\d.]+)" cy="([-\d.]+)"', svg, re.S)
        assert found is not None
        at.append(complex(float(found[1]), float(found[2])))
    a, b, c = at[0], at[len(at) // 2], at[-1]
    # The middle of the circle through three points.
    w = (c - a) / (b - a)
    middle = a + (b - a) * (w - abs(w) ** 2) / (w - w.conjugate())
    turned = [abs(cmath.phase((q - middle) / (p - middle))) for p, q in pairwise(at)]
    return [abs(a - middle) * angle for angle in turned]


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("bows", ["in", "out"])
def test_the_sheet_of_a_bent_edge_has_the_pitch_of_the_tape_along_its_line(bows: str):
    bent = f'arc = {{ length = "300 mm", radius = "2400 mm", bows = "{bows}" }}'
    plan = TAPED.replace('straight = "300 mm"', bent).replace('"meeting"', '"meeting"\npieces = "pair"')
    svg = result_files(place_plan(read_plan(plan.encode(), "plan.toml")), "a4")["over.svg"].decode()
    pitches = drawn_pitches(svg, range(1, 16), "over")
    assert pitches == pytest.approx([19.0] * 14, abs=0.002)
    # What runs out of step adds up: the last hook lies fourteen pitches from the first.
    assert sum(pitches) == pytest.approx(14 * 19.0, abs=0.005)
    # The test can fail: one centre off by a tenth is seen.
    centre = re.search(r'id="over-5".*?class="centre" cx="([-\d.]+)" cy="([-\d.]+)"', svg, re.S)
    assert centre is not None
    moved = svg.replace(f'cy="{centre[2]}"', f'cy="{float(centre[2]) + 0.1}"', 1)
    assert drawn_pitches(moved, range(1, 16), "over") != pytest.approx([19.0] * 14, abs=0.002)


@pytest.mark.parametrize("seed", range(40))
def test_no_longer_row_of_the_pitch_is_found_by_trying_every_tenth(seed: int):
    rng = random.Random(seed)
    pitch, length = rng.choice([12.0, 19.0, 25.0]), float(rng.randint(80, 260))
    anchors = tuple(
        Anchor(f"a{k}", float(rng.randint(20, 60)), rng.choice([1.0, 4.0])) for k in range(rng.randint(0, 2))
    )
    low = float(rng.randint(30, 150))
    clear = (Clear("c", low, low + rng.randint(2, 10)),) if rng.random() < 0.5 else ()
    wish = Wish(length, (6.0, 40.0), (6.0, length), 1.0, pitch_mm=pitch, anchors=anchors, clear=clear)

    def holds(places: list[float]) -> bool:
        return (
            6 <= places[0] <= 40
            and length - places[-1] >= 6
            and all(any(abs(p - a.at_mm) <= a.within_mm + 1e-6 for p in places) for a in anchors)
            and not any(z.low_mm + 1e-6 < p < z.high_mm - 1e-6 for z in clear for p in places)
        )

    best = max(
        (n for n in range(1, 30) for tenth in range(60, 401) if holds([tenth / 10 + k * pitch for k in range(n)])),
        default=0,
    )
    if best == 0:
        with pytest.raises(ClosureError, match="tape at"):
            best_at_pitch(wish, pitch)
    else:
        places = list(best_at_pitch(wish, pitch).positions_mm)
        assert len(places) == best and holds(places)


REFUSED = {
    "an anchor": (
        TAPED + '[spacing]\nfirst = "10 mm"\n[[anchor]]\nname = "waist"\nlevel = "100 mm"\n',
        "no closure of a tape at 19 mm comes within 0 mm of 'waist': the nearest lies 5 mm off",
    ),
    "a zone": (TAPED + '[[clear]]\nname = "seam"\nlevel = ["100 mm", "130 mm"]\n', "a tape at 19 mm skips no place"),
    "a pitch": (TAPED + '[spacing]\npitch = "20 mm"\n', "the tape has its own"),
    "a count": (
        TAPED + "[spacing]\ncount = 16\n",
        "16 closures of a tape at 19 mm do not fit between the ends that are told. Between them fit 1 to 15: write",
    ),
    "a pitch no sheet can number": (
        TAPED.replace('"19 mm"', '"1 mm"').replace('"9 mm"', '"2 mm"'),
        "closures 1 mm apart stand too close for numbers beside them. Measure over ten of them and divide by ten; sheets "
        "are drawn from 5 mm on",
    ),
    "no pitch": (TAPED.split("[tape]", maxsplit=1)[0], "has a pitch of its own, and none is told"),
    "single hooks": (TAPED.replace("hook tape", "hook and eye").replace('"any"', '"2"'), "comes singly"),
    "a tight curve": (
        TAPED.replace('straight = "300 mm"', 'arc = { length = "300 mm", radius = "150 mm", bows = "out" }').replace(
            '"meeting"', '"meeting"\npieces = "pair"'
        ),
        "out of step with a tape",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_a_tape_cannot_do_is_refused_in_words(name: str):
    plan, text = REFUSED[name]
    with pytest.raises(ClosureError, match=re.escape(text)) as told:
        check_plan(read_plan(plan.encode(), "plan.toml"), {})
    assert all(fault.mend for fault in told.value.faults)


@pytest.mark.parametrize(("radius_mm", "fits"), [(1690, False), (1695, True)])
def test_a_tape_fits_a_curve_while_its_halves_miss_each_other_by_no_more_than_a_millimetre(radius_mm: int, fits: bool):
    # Hooks lie 3.175 mm (1/8 in) inside their edge and bows as much past theirs: fourteen pitches of 19 mm run out of
    # step by 266 x 6.35 / (radius - 3.175), which is 1 mm at 1692.3.
    bent = f'arc = {{ length = "300 mm", radius = "{radius_mm} mm", bows = "out" }}'
    plan = TAPED.replace('straight = "300 mm"', bent).replace('"meeting"', '"meeting"\npieces = "pair"')
    if fits:
        under = check_plan(read_plan(plan.encode(), "plan.toml")).placement.on("under")
        assert under[-1].along_mm - under[0].along_mm == pytest.approx(266 * (1 + 6.35 / (radius_mm - 3.175)), abs=0.01)
        return
    with pytest.raises(ClosureError, match="out of step with a tape"):
        check_plan(read_plan(plan.encode(), "plan.toml"))


CORSET = TAPED.replace('straight = "300 mm"', 'straight = "318 mm"')
WAIST = '[[anchor]]\nname = "waist"\nlevel = "160 mm"\nwithin = "2 mm"\n'
A_RANGE = r'(first|last) = (\{ from = "[0-9.]+ mm", to = "[0-9.]+ mm" \})'


def corset(plan: str = CORSET, **ends: str) -> Answer:
    told = "".join(f"{end} = {stretch}\n" for end, stretch in ends.items())
    return check_plan(read_plan(f"{plan}[spacing]\n{told}{WAIST}".encode(), "corset.toml"), {})


@pytest.mark.parametrize("first", ['"12.7 mm"', '{ from = "12.7 mm", to = "20 mm" }'])
def test_each_way_to_move_a_tape_that_is_offered_meets_the_waist_without_a_look(first: str):
    """A tape at 19 mm meets 160 mm within 2 mm from 6 to 10 mm on, and from 25 to 29 mm, where the edges may part."""
    with pytest.raises(ClosureError, match=r"lies 4\.7 mm off\. Move the tape: under \[spacing\] write") as told:
        corset(first=first)
    ways = re.findall(A_RANGE, str(told.value))
    assert {(end, re.findall("[0-9.]+", stretch)[0]) for end, stretch in ways} == {("first", "10")}
    assert "within =" not in str(told.value)
    for end, stretch in ways:
        mended = corset(**{end: stretch})
        waist = next(mark for mark in mended.placement.marks if mark.anchor == "waist")
        assert abs(waist.along_mm - 160) <= 2 + 1e-6
        looked = {one.rule for one in mended.findings if one.result != "pass"}
        assert looked.isdisjoint(("strain point", "end distance"))


def test_what_a_look_at_the_end_of_a_tape_offers_is_taken_without_a_look():
    snaps = CORSET.replace('edges = "meeting"\n', 'ends = ["top", "lower edge"]\n').replace("hook tape", "snap tape")
    told = [one for one in corset(snaps).findings if one.rule == "end distance" and one.result == "warn"]
    assert told and "at least 12.7 mm is usual. All of a tape moves together: under [spacing] write" in told[0].text
    ((end, stretch),) = re.findall(A_RANGE, told[0].text)
    mended = corset(snaps, **{end: stretch})
    assert [one.result for one in mended.findings if one.rule == "end distance"] == ["pass", "pass"]


CAMISOLE = CORSET.replace('edges = "meeting"\n', 'ends = ["top", "lower edge"]\n').replace("hook tape", "snap tape")


def camisole(length_mm: float, units: str = "mm", **ends: str) -> Answer:
    plan = CAMISOLE.replace('straight = "318 mm"', f'straight = "{length_mm} mm"')
    told = "".join(f"{end} = {stretch}\n" for end, stretch in ends.items())
    return check_plan(read_plan(f'units = "{units}"\n{plan}[spacing]\n{told}'.encode(), "plan.toml"), {})


def ends_looked_at(answer: Answer) -> set[str]:
    place = {1: "first", len(answer.placement.marks): "last"}
    return {
        place[one.mark]
        for one in answer.findings
        if one.rule == "end distance" and one.result != "pass" and one.mark in place
    }


def test_a_place_of_a_tape_that_brings_a_look_at_its_other_end_says_so():
    """By hand: four snaps at 19 mm on 80 mm, moved from 10 to 12.7 mm, end 80 - 12.7 - 57 = 10.3 mm from the other end."""
    ends = {"first": '"10 mm"', "last": '{ from = "5 mm", to = "20 mm" }'}
    (text,) = [one.text for one in camisole(80, **ends).findings if one.rule == "end distance" and one.result == "warn"]
    assert 'write first = { from = "12.7 mm", to = "12.7 mm" }, which gives a look at end distance.' in text
    assert ends_looked_at(camisole(80, **ends | {"first": '"12.7 mm"'})) == {"last"}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("length_mm", [103, 110, 118, 124])
@pytest.mark.parametrize(("first_mm", "last_mm"), [(3, 40), (10, 20), (10, 5), (12, 12)])
def test_what_a_look_at_an_end_of_a_tape_offers_is_looked_at_only_where_it_says_so(
    units: str, length_mm: int, first_mm: int, last_mm: int
):
    ends = {"first": f'"{first_mm} mm"', "last": f'{{ from = "{last_mm} mm", to = "{last_mm + 19} mm" }}'}
    before = camisole(length_mm, units, **ends)
    assert "first" in ends_looked_at(before)
    for one in before.findings:
        found = re.search(
            r'write (first|last) = (\{ from = "[^"]+", to = "[^"]+" \})(, which gives a look at)?', one.text
        )
        if one.rule == "end distance" and found is not None:
            after = camisole(length_mm, units, **ends | {found[1]: found[2]})
            assert found[1] not in ends_looked_at(after)
            assert found[3] is not None or ends_looked_at(after) <= ends_looked_at(before)


def test_an_end_that_a_refused_tape_is_offered_names_what_is_to_be_looked_at_with_it():
    """By hand: whole pitches of 19 mm before a waist at 60 mm leave 3 or 22 mm, and 12.7 mm is usual at an end."""
    plan = CAMISOLE + '[spacing]\nfirst = "16 mm"\n[[anchor]]\nname = "waist"\nalong = "60 mm"\n'
    with pytest.raises(ClosureError, match="comes within 0 mm of 'waist'") as told:
        check_plan(read_plan(plan.encode(), "plan.toml"), {})
    # 13 mm nearer would do as well as 6 mm further, and lies too near the end.
    assert 'first = { from = "16 mm", to = "22 mm" }' in str(told.value)
    near = CAMISOLE + '[spacing]\nfirst = "12.7 mm"\n[[anchor]]\nname = "waist"\nalong = "60 mm"\n'
    with pytest.raises(ClosureError) as told:
        check_plan(read_plan(near.encode(), "plan.toml"), {})
    # 16 snaps from 22 mm on end 11 mm from the other end.
    assert 'first = { from = "12.7 mm", to = "22 mm" } (which gives a look at end distance).' in str(told.value)
    short = CAMISOLE.replace('straight = "318 mm"', 'straight = "52 mm"')
    told_short = short + '[spacing]\nfirst = "4 mm"\ncount = 3\n[[anchor]]\nname = "waist"\nalong = "40 mm"\n'
    with pytest.raises(ClosureError) as told:
        check_plan(read_plan(told_short.encode(), "plan.toml"), {})
    # The only one: 40 - 38 = 2 mm, where a rim hangs past the end, fails and is not told.
    assert "first = { from" not in str(told.value)


def test_what_is_bought_of_a_tape_is_its_length_and_its_ends_are_told_once():
    """Hooks come on their tape: 16 single ones are not wanted, and a length cut half way leaves nothing to turn under."""
    page = result_files(place_plan(read_plan(TAPED.encode(), "plan.toml")), "a4")["report.md"].decode()
    assert "To buy: 304 mm" in page and "not turned; " in page
    assert "turned under" not in page and "| hook |" not in page
    assert (
        "with its closures at marks 1, 6, 10 and 15 and those between on the same line, overcast its cut ends"
        in result_files(place_plan(read_plan((TAPED + "[sheets]\norder = true\n").encode(), "plan.toml")), "a4")[
            "report.md"
        ].decode()
    )


def test_a_garments_list_names_the_length_of_its_tapes_and_no_hook(tmp_path: Path):
    (tmp_path / "back.toml").write_text(TAPED)
    (tmp_path / "garment.toml").write_text('title = "Larch"\n[[opening]]\nname = "back"\nplan = "back.toml"\n')
    made = garment_files(work_garment(tmp_path / "garment.toml"), "a4")
    (bought,) = json.loads(made["report.json"])["parts"]
    assert (bought["part"], bought["total"], bought["packs"]) == ("304 mm (11 15/16 in) of either tape", 1, None)
    assert "| hook (" not in made["report.md"].decode()


def test_parts_of_edges_that_meet_are_drawn_each_lap_alone():
    plan = TAPED + "[sheets]\norder = true\n"
    with pdfplumber.open(
        io.BytesIO(result_files(place_plan(read_plan(plan.encode(), "p")), "a4")["marking.pdf"])
    ) as pdf:
        words = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    # It may run over two rows of a column, with the words of the other column between them.
    assert "The parts on each lap: the edges meet, and" in words and "neither lies on the other" in words
    assert "in the order they stack" not in words and words.count("outside of the garment") == 2
    assert "16 × hook" not in words


@pytest.mark.parametrize("plan", [TAPED, SNAPS], ids=["hooks that meet", "snaps that lap"])
def test_a_tape_that_is_sewn_along_its_edges_has_no_rings_on_its_sheets_and_its_trial_is_a_piece_of_tape(plan: str):
    answer = place_plan(read_plan((plan + "[sheets]\ncoupon = true\n").encode(), "plan.toml"))
    single = '[closure]\nkind = "hook and eye"\nsize = "2"\n[spacing]\npitch = "19 mm"\n'
    hooks = place_plan(read_plan((TAPED[: TAPED.index("[closure]")] + single).encode(), "plan.toml"))
    for one, has_rings in ((answer, False), (hooks, True)):
        signs = {sign for sheet in one.sheets for sign in sheet.text.signs}
        key = {words for sheet in one.sheets for sign, words in sheet.text.sign_words if sign == "mark"}
        assert ("stitch ring" in signs, "stitch" in signs) == (has_rings, False)
        assert key == {"mark: at the dot" + "; of an eye, its rings" * has_rings}
        drawn = [name for sheet in one.sheets for name in _roles(sheet.drawing)]
        # By hand: two rings to each mark of either lap.
        marks = len(one.placement.marks)
        assert drawn.count("ring") == (4 * marks if has_rings else 0) and drawn.count("centre") == 2 * marks
    with pdfplumber.open(io.BytesIO(result_files(answer, "a4")["marking.pdf"])) as pdf:
        words = " ".join(" ".join(page.extract_text(use_text_flow=True).split()) for page in pdf.pages)
    assert words.count("a short piece of tape: ") == 2 and not re.search(r"\bone (hook|eye|ball|socket)", words)
    assert "Sew on a short piece of each tape. Close them" in words and "length of a stitch along the tape" in words
    assert not re.search(r"\bpierce|length of the hole|stitches to a|\bdie\b|Set one whole", words)
    assert "only then work on the garment" in words and "cloth, needle, date" in words


def _roles(items):
    """What every circle is, in groups too."""
    for item in items:
        yield from _roles(getattr(item, "items", ()))
        yield getattr(item, "role", "")


@pytest.mark.parametrize(("gap", "shut"), [("", "the edges just meet."), ("4 mm", "the edges stand 4 mm apart.")])
def test_tapes_are_hooked_by_the_gap_that_is_told(gap: str, shut: str):
    told = TAPED.replace('edges = "meeting"', f'edges = "meeting"\ngap = "{gap}"') if gap else TAPED
    report = result_files(place_plan(read_plan(told.encode(), "p")), "a4")["report.md"].decode()
    assert f"hooked in, {shut}" in report


@pytest.mark.parametrize(("gap", "is_far"), [("6 mm", False), ("6.1 mm", True)])
def test_edges_further_apart_than_hooks_reach_are_looked_at(gap: str, is_far: bool):
    told = TAPED.replace('edges = "meeting"', f'edges = "meeting"\ngap = "{gap}"')
    found = check_plan(read_plan(told.encode(), "p")).findings
    assert any("the hooks of a tape seldom reach over more than 6 mm" in one.text for one in found) == is_far


LONG = TAPED + '[spacing]\nfirst = { from = "5 mm", to = "9 mm" }\nlast = { from = "5 mm", to = "9 mm" }\n'
LAPPED = SNAPS + LONG[len(TAPED) :]
PAST = {
    # 16 closures at 19 mm are 304 mm, on an edge of 300.
    "asked": (LONG, "warn", "304 mm long, stands 2 mm past the neck and 2 mm past the hem"),
    "allowance": (LAPPED + '[bands]\nallowance = "6 mm"\n', "warn", "Measure the seam allowance"),
    "too little": (LAPPED + '[bands]\nallowance = "1.5 mm"\n', "fail", "The seam allowance takes in 1.5 mm"),
    "finished": (LONG.replace("[garment]", '[garment]\nstate = "finished"'), "fail", "The ends there are finished"),
}


@pytest.mark.parametrize("name", PAST)
def test_tape_longer_than_its_edge_is_told_with_what_may_take_it_in(name: str):
    plan, result, words = PAST[name]
    (found,) = [one for one in check_plan(read_plan(plan.encode(), "p")).findings if one.rule == "tape"]
    assert found.result == result and words in found.text and found.found_mm == pytest.approx(2.0)
    assert "9.5 mm or more" in found.text


@pytest.mark.parametrize("plan", [TAPED, SNAPS])
def test_tape_that_ends_on_its_edge_is_told_nothing_of(plan: str):
    assert not [one for one in check_plan(read_plan(plan.encode(), "p")).findings if one.rule == "tape"]


def test_a_tape_is_handed_over_with_its_pitch_and_its_cut_length():
    answer = place_plan(read_plan(f"{TAPED}[sheets]\nhandover = true\n".encode(), "plan.toml"))
    (sheet,) = HANDOVER.chapters(Drawn(answer.placement, answer.findings, load_catalogue()))
    told = " ".join(
        line
        for section in sheet.parts
        if isinstance(section, Section) and section.heading == "Parts"
        for line in section.paragraphs
    )
    # By hand: 15 closures of 19 mm of tape.
    assert "Tape to cut: 285 mm" in told and "15 closures at 19 mm" in told


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("pitch", ["19 mm", "3/4 in", "17.3 mm"])
@pytest.mark.parametrize("count", ["", "count = 9\n"])
def test_tape_that_fits_between_no_ends_names_the_nearest_that_do_and_each_is_placed(
    units: str, pitch: str, count: str
):
    text = f'units = "{units}"\n' + TAPED.replace('pitch = "19 mm"', f'pitch = "{pitch}"')
    ends = '[spacing]\nfirst = "20 mm"\n'
    with pytest.raises(ClosureError) as told:
        check_plan(read_plan((text + ends + 'last = "21 mm"\n' + count).encode(), "plan.toml"), {})
    offers = re.findall(r'(\d+) closures take [^;]*?, with last = ("[^"]+"|\{[^}]+\})', str(told.value))
    counts = [int(n) for n, _ in offers]
    # 300 mm with 20 and 21 mm left at its ends: 259 mm, between two whole numbers of pitches.
    mm = {"19 mm": 19.0, "3/4 in": 19.05, "17.3 mm": 17.3}[pitch]
    assert counts[-2:] == [int(259 // mm) + 1, int(259 // mm) + 2] and counts[:-2] == ([9] if count else [])
    for n, last in offers:
        placed = check_plan(read_plan((text + ends + f"last = {last}\ncount = {n}\n").encode(), "plan.toml"), {})
        assert len(placed.placement.marks) == int(n)


@pytest.mark.parametrize("plan", [TAPED, SNAPS], ids=["hooks that meet", "snaps that lap"])
def test_a_tape_on_knit_asks_for_no_backing_and_the_page_that_says_so_names_no_key(plan: str) -> None:
    """A tape is woven and sewn on along its whole length: what it carries holds in it (common practice)."""
    knit = plan + '[[layer]]\ncloth = "interlock"\ncount = 2\n[sheets]\nbacking = "strip"\norder = true\n'
    answer = place_plan(read_plan(knit.encode(), "plan.toml"))
    told = [one for one in answer.findings if one.rule == "backing"]
    assert {one.result for one in told} == {"pass"} and "hold in their tape" in told[0].text
    report = result_files(answer, "a4")["report.md"].decode()
    assert "Back the closures" not in report and "[sheets] backing" not in report
    assert "A tape backs its closures itself" in report


_LAID = (
    '[edge]\nstraight = "300 mm"\n[garment]\nopens = "back"\nedges = "{edges}"\nstate = "{state}"\n[band]\n'
    'width = "30 mm"\nlap = "right over left"\n[closure]\nkind = "{kind}"\nsize = "{size}"\n{more}'
    '[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
)


@pytest.mark.parametrize("cloth", ["poplin", "satin", "leather 2 oz"])
@pytest.mark.parametrize(
    ("kind", "edges", "faces"),
    [
        ("hook tape", "meeting", {"over": "inside", "under": "inside"}),
        ("hook tape", "lapped", {"over": "inside", "under": "outside"}),
        ("snap tape", "lapped", {"over": "inside", "under": "outside"}),
    ],
)
def test_a_tape_is_marked_on_the_face_that_it_is_pinned_to(
    kind: str, edges: str, faces: dict[str, str], cloth: str
) -> None:
    # Its halves lie on the faces that meet, where edges meet on the inside of both: common practice.
    more = 'cap = "9 mm"\n[tape]\npitch = "19 mm"\n'
    text = _LAID.format(edges=edges, state="sewn band", kind=kind, size="any", more=more, cloth=cloth)
    answer = check_plan(read_plan(text.encode(), "t.toml"))
    assert faces_to_mark(answer.placement, load_catalogue()) == faces
    steps = {step.key: step.text for step in advice_of(answer).order.steps}
    assert "pin it on the inside of the over lap" in steps["set first"] or "clip it on the inside" in steps["set first"]
    # Two halves made to unlike pitches are found before either is cut.
    assert steps["set first"].startswith("Close both tapes on each other over all their length")
    told = "their insides up" in " ".join(steps.values())
    assert told == (edges == "meeting")


@pytest.mark.parametrize(
    ("state", "face"), [("cut pieces", "outside"), ("sewn band", "inside"), ("finished", "inside")]
)
def test_loops_are_marked_on_the_face_that_they_are_sewn_to(state: str, face: str) -> None:
    # On cut pieces they lie on the right side of the edge before it is faced; on a made edge inside: common practice.
    more = '[loop]\nfeet = "8 mm"\n[spacing]\ncount = 12\n'
    kind = "loop and ball button"
    text = _LAID.format(edges="meeting", state=state, kind=kind, size="16 L", more=more, cloth="poplin")
    answer = check_plan(read_plan(text.encode(), "t.toml"))
    assert faces_to_mark(answer.placement, load_catalogue()) == {"over": face, "under": "outside"}
    steps = {step.key: step.text for step in advice_of(answer).order.steps}
    assert ("on the inside of the edge" in steps["set first"]) == (face == "inside")


@pytest.mark.parametrize(("first", "warns"), [("9.5 mm", False), ("22 mm", False), ("23 mm", True)])
def test_a_tape_that_meets_is_never_sent_nearer_the_end_than_half_its_pitch(first: str, warns: bool) -> None:
    # Cut half way between two hooks, a tape of 19 mm stands 9.5 mm past its first: geometry. 12.7 mm more: our own rule.
    plan = (
        '[edge]\nstraight = "330 mm"\n[garment]\nopens = "back"\nstate = "cut pieces"\nedges = "meeting"\n[band]\n'
        'width = "20 mm"\nlap = "right over left"\n[closure]\nkind = "hook tape"\nsize = "any"\n[tape]\npitch = "19 mm"\n'
        f'[spacing]\nfirst = "{first}"\n[[layer]]\ncloth = "coutil"\ncount = 2\n'
    )
    found = check_plan(read_plan(plan.encode(), "t.toml")).findings
    (end,) = [one for one in found if one.rule == "end distance" and one.mark == 1]
    assert (end.result == "warn") == warns
    assert ("here from 9.5 mm on, half of the tape's pitch." in end.text) == warns
