"""Cloth that shrinks unlike down and across: what lies across the line is stretched by the factor of its own direction.

A wash takes a point (x, y) of the cloth to (x (1 - across), y (1 - along)). So a length l that runs in the unit
direction (c, s) of the washed garment is hypot(c / (1 - across), s / (1 - along)) times as long before the wash.
"""

from __future__ import annotations

import math

import pytest
from shrinking_edges import BENT, LEVEL, SLANTED, UPRIGHT
from test_workshop_pages import words_of

from closures.app.job import Answer, place_plan, result_files
from closures.app.sizing import check_sizes
from closures.errors import EdgeError, PlanError
from closures.placing.buttonhole import slits_of
from closures.plan.reading import read_plan
from closures.report.sizes_words import one_count_words


def answer(points: str, hole: str = "across", measured: str = "washed", more: str = "") -> Answer:
    text = (
        f'[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = {points}\n[band]\nwidth = "40 mm"\n'
        'inset = "20 mm"\nunder_inset = "20 mm"\ncut = "shaped"\nlap = "left over right"\n[closure]\n'
        f'kind = "sew-through button"\nsize = "24 L"\ncap = "15 mm"\nthickness = "3 mm"\nhole = "{hole}"\n'
        f'[spacing]\ncount = 6\nfirst = "25 mm"\nlast = "25 mm"\n{more}'
        f'[shrinkage]\nalong = "10 %"\nacross = "2 %"\nmeasured = "{measured}"\n'
    )
    return place_plan(read_plan(text.encode(), "ways.toml"))


# Worn, a hole is 15 + 3 mm long (Univ. of Minnesota, Bulletin 576). On a level edge `across` runs straight down.
SLANT = 18 * math.hypot(math.sqrt(0.5) / 0.98, math.sqrt(0.5) / 0.9)


@pytest.mark.parametrize(
    ("points", "hole", "length"),
    [
        (UPRIGHT, "across", 18 / 0.98),
        (UPRIGHT, "along", 18 / 0.9),
        (LEVEL, "across", 18 / 0.9),
        (LEVEL, "along", 18 / 0.98),
        (SLANTED, "across", SLANT),
        (SLANTED, "along", SLANT),
    ],
)
def test_buttonhole_is_cut_longer_by_what_its_own_direction_loses(points: str, hole: str, length: float) -> None:
    found = answer(points, hole)
    slits = slits_of(found.placement, found.catalogue)
    assert len(slits) == 6
    for slit in slits.values():
        assert math.dist(*slit.ends_mm) == pytest.approx(length, abs=1e-6)


@pytest.mark.parametrize("hole", ["across", "along"])
@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_every_buttonhole_of_a_bent_edge_comes_out_of_the_wash_as_it_must_be(hole: str, measured: str) -> None:
    found = answer(BENT, hole, measured)
    cut = slits_of(found.placement, found.catalogue)
    worn = {mark.n: mark for mark in found.placement.as_worn.on("over")}
    lap = found.placement.as_worn.laps.over
    for (name, n), slit in cut.items():
        assert name == "over"
        # What the wash makes of both ends: 18 mm, square to the line or along it, the nearer end 1/8 in past the mark.
        (a, b), (c, d) = ((x * 0.98, y * 0.9) for x, y in slit.ends_mm)
        assert math.hypot(c - a, d - b) == pytest.approx(18, abs=1e-4)
        assert math.hypot(a, b) == pytest.approx(25.4 / 8, abs=1e-4)
        x, y = lap.inward(worn[n].tangent) if hole == "across" else worn[n].tangent
        assert ((c - a) * x + (d - b) * y) / 18 == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_mark_lies_as_far_inside_its_edge_as_told_where_it_was_measured_also_round_a_bend(measured: str) -> None:
    placement = answer(BENT, measured=measured).placement
    told = placement.as_worn if measured == "washed" else placement
    for lap in ("over", "under"):
        assert [mark.edge_distance_mm for mark in told.on(lap)] == pytest.approx([20.0] * 6, abs=1e-4)
        # In the other state it is the same place of the cloth.
        for mark, worn in zip(placement.on(lap), placement.as_worn.on(lap), strict=True):
            assert (mark.x_mm * 0.98, mark.y_mm * 0.9) == pytest.approx(worn.at, abs=1e-4)


@pytest.mark.parametrize(("points", "inset"), [(UPRIGHT, 20 / 0.98), (LEVEL, 20 / 0.9)])
def test_inset_is_drawn_longer_by_what_the_cloth_loses_across_the_edge(points: str, inset: float) -> None:
    placement = answer(points).placement
    assert [mark.edge_distance_mm for mark in placement.on("over")] == pytest.approx([inset] * 6, abs=1e-6)


def test_lengths_of_buttonholes_that_a_ruler_tells_apart_are_told_with_their_marks() -> None:
    found = answer(BENT)
    slits = slits_of(found.placement, found.catalogue)
    long = {n: math.dist(*slit.ends_mm) for (_, n), slit in slits.items()}
    # Down the front 18 / 0.98 = 18.4 mm, and a little more as the bend begins; 18 / 0.9 = 20 mm where it ends level.
    assert min(long[n] for n in (1, 2, 3, 4)) > 18.36 and max(long[n] for n in (1, 2, 3, 4)) < 18.7
    assert all(19.5 < long[n] <= 20 for n in (5, 6))
    told = f"{max(long[n] for n in (5, 6)):.1f} mm (at marks 5 and 6) or {max(long[n] for n in (1, 2, 3, 4)):.1f} mm "
    told = told.replace(".0 mm", " mm") + "(at marks 1 to 4)"
    (text,) = (one.text for one in found.findings if one.rule == "buttonhole")
    assert f"The buttonhole is {told} long in the unwashed cloth, to come to 18 mm in its first wash" in text
    assert told in " ".join(result_files(found, "a4")["report.md"].decode().split())


def test_one_length_of_buttonholes_is_told_where_no_ruler_tells_them_apart() -> None:
    text = answer(UPRIGHT).findings
    (one,) = (finding.text for finding in text if finding.rule == "buttonhole")
    assert "(at mark" not in one and "18.4 mm long in the unwashed cloth" in one


def test_bent_row_of_unwashed_cloth_is_read_back_from_its_finished_sheets_to_the_last_digit() -> None:
    # `result_files` refuses sheets that do not keep what was asked; the bend shrinks unlike both ways.
    for measured in ("washed", "unwashed"):
        files = result_files(
            answer(BENT, measured=measured, more='[[anchor]]\nname = "hip"\nalong = "300 mm"\nwithin = "0 mm"\n'), "a4"
        )
        assert "over.svg" in files


# From the neck 500 mm aslant; the over lap closes 13 mm inside its edge and the under lap 42 mm inside its own.
APART = (
    '[garment]\nopens = "front"\npieces = "pair"\n[edge]\npoints = [["0 mm","0 mm"], ["300 mm","400 mm"]]\n[band]\n'
    'width = "60 mm"\ninset = "{inset}"\nunder_inset = "{under}"\nlap = "left over right"\ncut = "shaped"\n'
    '[closure]\nkind = "prong snap"\nsize = "16 L"\ngrip = ["0.2 mm", "1.5 mm"]\n[spacing]\ncount = 6\n'
    'first = "{first}"\nlast = "30 mm"\n[shrinkage]\nalong = "12 %"\nacross = "2 %"\nmeasured = "unwashed"\n'
)


def feet_once_washed(found: Answer) -> list[tuple[float, float]]:
    """How far down its washed edge either half of each closure lies, square across; the under lap is turned over."""
    x, y = 300 * 0.98, 400 * 0.88
    way = (x / math.hypot(x, y), y / math.hypot(x, y))

    def foot(at: tuple[float, float], sign: int) -> float:
        return sign * at[0] * 0.98 * way[0] + at[1] * 0.88 * way[1]

    placement = found.placement
    halves = zip(placement.on("over"), placement.on("under"), strict=True)
    return [(foot(over.at, 1), foot(under.at, -1)) for over, under in halves]


@pytest.mark.parametrize(("inset", "under"), [("13 mm", "42 mm"), ("42 mm", "13 mm"), ("20 mm", "20 mm")])
def test_halves_of_a_row_told_unwashed_lie_on_each_other_once_washed_on_a_slanted_edge(inset: str, under: str) -> None:
    text = APART.format(inset=inset, under=under, first="30 mm")
    found = place_plan(read_plan(text.encode(), "apart.toml"))
    feet = feet_once_washed(found)
    assert len(feet) == 6
    for over, beneath in feet:
        assert over == pytest.approx(beneath, abs=1e-6)
    # The over lap's first place is the told one, on a tape laid on the unwashed line.
    assert found.placement.on("over")[0].along_mm == pytest.approx(30, abs=1e-6)
    assert "under.svg" in result_files(found, "a4")


def test_single_closure_and_second_column_are_matched_as_the_row_is() -> None:
    text = APART.format(inset="13 mm", under="42 mm", first="30 mm")
    more = '[[single]]\nkind = "sew-on snap"\nsize = "1"\nalong = "60 mm"\ninset = "13 mm"\n'
    placement = place_plan(read_plan((text + more).encode(), "apart.toml")).placement
    row, beside = placement.on("under")[0], placement.beside[0].on("under")[0]
    # One line: the row's place at 30 mm, and this at 60 mm, are moved alike.
    assert beside.along_mm - 60 == pytest.approx(row.along_mm - 30, abs=1e-6)
    assert row.along_mm == pytest.approx(26.92, abs=0.01)


def test_half_that_would_lie_past_the_end_of_its_line_once_washed_is_refused() -> None:
    text = APART.format(inset="13 mm", under="42 mm", first="1 mm")
    with pytest.raises(EdgeError, match="mark 1 would lie past the end of the under lap's closing line"):
        place_plan(read_plan(text.encode(), "apart.toml"))


def layered(points: str, inset: float, reach: float, across: str, state: str) -> Answer:
    wash = f'[shrinkage]\nalong = "12 %"\nacross = "{across}"\nmeasured = "{state}"\n'
    text = (
        f'[edge]\npoints = {points}\ncloth = "right"\n[garment]\nopens = "front"\n[band]\nwidth = "{2 * inset} mm"\n'
        f'inset = "{inset} mm"\nlap = "left over right"\ncut = "straight"\n[closure]\nkind = "post snap"\n'
        'size = "20 L"\ncap = "12.7 mm"\ngrip = ["0.5 mm", "4 mm"]\n[spacing]\nfirst = "24 mm"\nlast = "24 mm"\n'
        'count = 6\n[[layer]]\ncloth = "poplin"\ncount = 2\n[[layer]]\ncloth = "canvas 10 oz"\n'
        f'across = ["0 mm", "{reach} mm"]\n{wash}'
    )
    if points == LEVEL:
        text = text.replace('cloth = "right"', 'cloth = "below"').replace('opens = "front"', 'opens = "flat"')
        text = text.replace("left over right", "upper over lower")
    return place_plan(read_plan(text.encode(), "layered.toml"))


@pytest.mark.parametrize("points", [LEVEL, UPRIGHT, SLANTED])
@pytest.mark.parametrize("state", ["washed", "unwashed"])
def test_layer_ends_as_far_from_the_mark_as_what_lies_across_the_edge_shrinks(points: str, state: str) -> None:
    # Told 20 mm inside the edge, with a layer that ends 7 mm further in: what the wash makes of 7 mm across the edge.
    found = layered(points, 20.0, 27.0, "0 %", state).placement
    told, other = (found.as_worn, found) if state == "washed" else (found, found.as_worn)
    # What lies between two parallels comes by the area over the length of the line: 1 across and 0.88 down.
    c, s = {LEVEL: (1.0, 0.0), UPRIGHT: (0.0, 1.0), SLANTED: (math.sqrt(0.5), math.sqrt(0.5))}[points]
    y = 0.88 if state == "unwashed" else 1 / 0.88
    by = y / math.hypot(c, y * s)
    for lap in ("over", "under"):
        for one, here in zip(told.on(lap), other.on(lap), strict=True):
            assert one.stack is not None and here.stack is not None
            assert one.stack.border_mm == pytest.approx(7, abs=1e-6)
            assert here.stack.border_mm == pytest.approx(7 * by, abs=1e-6)


@pytest.mark.parametrize(("points", "left"), [(LEVEL, 0.88), (UPRIGHT, 1.0)])
def test_one_garment_told_in_either_state_is_judged_alike_where_a_layer_ends(points: str, left: float) -> None:
    unwashed, washed = (
        layered(points, 20.0, 27.0, "0 %", "unwashed"),
        layered(points, 20 * left, 27 * left, "0 %", "washed"),
    )
    judged = [[(one.result, one.mark) for one in told.findings if one.rule == "ridge"] for told in (unwashed, washed)]
    assert judged[0] == judged[1]
    # On the level edge 7 mm come to 6.16 mm, and the rim reaches 6.35 mm: the flange tilts.
    assert ("fail" in [result for result, _ in judged[0]]) == (points == LEVEL)


def assumed(kind: str, points: str, state: str, more: str = "", band: str = "") -> Answer:
    text = (
        f'[edge]\npoints = {points}\n[garment]\nopens = "front"\npieces = "pair"\n[band]\nwidth = "40 mm"\n{band}'
        f'lap = "left over right"\n[closure]\n{kind}\n[spacing]\nfirst = "22 mm"\nlast = "24 mm"\ncount = 6\n{more}'
        f'[shrinkage]\nalong = "12 %"\nacross = "2 %"\nmeasured = "{state}"\n[sheets]\ncoupon = true\n'
    )
    return place_plan(read_plan(text.encode(), "assumed.toml"))


BUTTON = 'kind = "sew-through button"\nsize = "20 L"\nthickness = "3 mm"'
HOOK = 'kind = "hook and eye"\nsize = "2"'


@pytest.mark.parametrize(("state", "lies"), [("washed", "20 mm"), ("unwashed", "17.6 mm")])
def test_trial_piece_is_finished_as_far_from_the_closure_as_the_unwashed_cloth_is_marked(state: str, lies: str) -> None:
    found = assumed(BUTTON, LEVEL, state)
    # On a level edge the inset runs down, where 12 % are lost: 20 / 0.88 = 22.7 mm are cut for 20 mm worn.
    inset = found.placement.on("over")[0].edge_distance_mm
    assert inset == pytest.approx(20 / 0.88 if state == "washed" else 20, abs=1e-6)
    # Of an inset that is told as 17.6 mm worn, 20 mm are cut: so far a piece reaches, and shows its edge.
    lie = words_of(assumed(BUTTON, LEVEL, state, band='inset = "17.6 mm"\nunder_inset = "17.6 mm"\n'), "coupon")
    assert f"as the garment's edge, {lies} from the closure on the unwashed cloth." in lie
    (mid,) = (line for line in found.placement.assumed if "mid-band" in line)
    of = "washed garment" if state == "washed" else "unwashed cloth"
    assert f"lies 20 mm from the finished edge on the {of}, mid-band" in mid


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("points", [LEVEL, SLANTED, UPRIGHT, BENT])
@pytest.mark.parametrize("state", ["washed", "unwashed"])
def test_hook_whose_inset_nobody_told_lies_an_eighth_inside_the_washed_edge(points: str, state: str) -> None:
    single = '[[single]]\nkind = "hook and eye"\nsize = "2"\nalong = "60 mm"\n'
    # On a bend, lines far from each other are too unlike in length to be eased.
    row = assumed(HOOK, points, state, band='under_inset = "5 mm"\n' if points == BENT else "")
    beside = assumed(BUTTON.replace("thickness", 'hole = "along"\nthickness'), points, state, single).placement
    worn = [mark.edge_distance_mm for mark in row.placement.as_worn.on("over")]
    worn += [mark.edge_distance_mm for mark in beside.as_worn.beside[0].on("over")]
    # No unwashed inset is an eighth everywhere on a bend: there it is nowhere less.
    assert all(mm > 25.4 / 8 - 1e-6 for mm in worn)
    if points != BENT:
        assert worn == pytest.approx([25.4 / 8] * 7, abs=1e-6)
    assert [one.rule for one in row.findings if one.rule == "edge distance" and one.result != "pass"] == []
    of = "washed garment" if state == "washed" else "unwashed cloth"
    assert any(f"inside the over lap's edge on the {of}" in line for line in (*row.placement.assumed, *beside.assumed))


@pytest.mark.parametrize(
    ("state", "says", "gap"),
    [
        ("washed", "70.8 mm on the washed garment; the table of sizes has its gaps on the unwashed cloth", 70.8 / 0.98),
        ("unwashed", "70.8 mm on the unwashed cloth.", 70.8),
    ],
)
def test_sizes_say_of_which_cloth_the_gap_is_that_one_count_keeps_near(state: str, says: str, gap: float) -> None:
    # (400 - 22 - 24) / 5 = 70.8 mm between six closures along a level edge, in the state in which it was measured.
    text = (
        '[edge]\npoints = [["0 mm","0 mm"], ["400 mm","0 mm"]]\ncloth = "below"\n[garment]\nopens = "flat"\n[band]\n'
        f'width = "40 mm"\ninset = "20 mm"\nlap = "upper over lower"\n[closure]\n{BUTTON}\nhole = "along"\n[spacing]\n'
        'first = "22 mm"\nlast = "24 mm"\ncount = 6\n[sizes]\nnames = ["S", "M", "L"]\nbase = "M"\n'
        'grade = [["0 mm","0 mm"], ["20 mm","0 mm"]]\n'
        f'[shrinkage]\nalong = "12 %"\nacross = "2 %"\nmeasured = "{state}"\n'
    )
    sizes = check_sizes(read_plan(text.encode(), "sizes.toml"))
    assert sizes.base.placement.spacing.gaps_mm == pytest.approx([gap] * 5, abs=1e-6)
    assert says in one_count_words(sizes)


@pytest.mark.parametrize("measured", ["washed", "unwashed"])
def test_places_that_are_sewn_level_stay_so_on_cloth_that_shrinks(measured: str) -> None:
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" viewBox="0 0 500 500">'
    svg += b'<path id="over" d="M 100 0 L 160 400"/><path id="under" d="M 300 0 L 240 404"/></svg>'
    text = (
        'drawing = "two.svg"\n[garment]\nopens = "front"\npieces = "separate"\n[edge]\npath = "over"\nunder = "under"\n'
        'under_lies = "apart"\nmatch = [[["130 mm", "200 mm"], ["269.702970 mm", "204 mm"]]]\n'
        '[band]\nwidth = "40 mm"\ninset = "20 mm"\nunder_inset = "20 mm"\nlap = "left over right"\n[closure]\n'
        'kind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 3\nfirst = "30 mm"\nlast = "30 mm"\n'
        '[[anchor]]\nname = "notch"\nat = ["130 mm", "200 mm"]\n'
        f'[shrinkage]\nalong = "10 %"\nacross = "2 %"\nmeasured = "{measured}"\n'
    )
    placement = place_plan(read_plan(text.encode(), "two.toml"), {"two.svg": svg}).placement
    over, under = placement.as_told.on("over")[1], placement.as_told.on("under")[1]
    if measured == "unwashed":
        over, under = placement.as_worn.on("over")[1], placement.as_worn.on("under")[1]
    x, y = (0.98, 0.9) if measured == "unwashed" else (1.0, 1.0)
    # Square across each worn edge lies the notch of its own piece.
    for mark, notch, end in ((over, (130, 200), (60, 400)), (under, (269.702970, 204), (-60, 404))):
        way = (end[0] * x / math.hypot(end[0] * x, end[1] * y), end[1] * y / math.hypot(end[0] * x, end[1] * y))
        off = (mark.at[0] - notch[0] * x, mark.at[1] - notch[1] * y)
        assert off[0] * way[0] + off[1] * way[1] == pytest.approx(0, abs=1e-3)


STRIP = (
    '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\npieces = "pair"\n[band]\nwidth = "40 mm"\n'
    'lap = "right over left"\ncut = "{cut}"\n[closure]\nkind = "sew-through button"\nsize = "18 L"\nthickness = "2.5 mm"\n'
    '[spacing]\nfirst = "20 mm"\nlast = "60 mm"\ncount = 8\n[bands]\nallowance = "10 mm"\n'
    '[shrinkage]\nalong = "10 %"\nacross = "{across}"\nmeasured = "{state}"\n'
)


@pytest.mark.parametrize("state", ["washed", "unwashed"])
@pytest.mark.parametrize(
    ("cut", "says"), [("cross", "does not shrink as the front does"), ("bias", "follows from no share of its cloth")]
)
def test_band_that_loses_otherwise_than_the_front_is_refused(cut: str, says: str, state: str) -> None:
    with pytest.raises(PlanError, match=says) as refused:
        place_plan(read_plan(STRIP.format(cut=cut, across="2 %", state=state).encode(), "strip.toml"))
    assert "10 % down and 2 % across" in str(refused.value)
    # What loses alike both ways loses so whichever way it is cut, and the grain is no matter then.
    place_plan(read_plan(STRIP.format(cut=cut, across="10 %", state=state).encode(), "strip.toml"))
    place_plan(read_plan(STRIP.format(cut="straight", across="2 %", state=state).encode(), "strip.toml"))


@pytest.mark.parametrize("told", ["0.08", '"0.08"', "0.25"])
def test_share_without_a_sign_is_asked_where_it_may_be_a_fraction(told: str) -> None:
    """0.08 was taken for 0.08 %, and every mark lay where cloth that loses 8 % has it not."""
    text = (
        '[edge]\nstraight = "600 mm"\n[band]\nwidth = "30 mm"\nlap = "right over left"\n[closure]\nkind = "prong snap"\n'
        f'size = "16 L"\n[shrinkage]\nmeasured = "unwashed"\nalong = {told}'
    )
    with pytest.raises(PlanError, match=r"\[shrinkage\] along: .* or a share, which is (8|25) %"):
        read_plan(text, "front.toml")
    bare = told.strip('"')
    assert read_plan(text.replace(told, f'"{bare} %"'), "front.toml").shrinkage is not None
    assert read_plan(text.replace(f"along = {told}", "along = 8"), "front.toml").shrinkage is not None
