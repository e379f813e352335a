"""Where backing lies, and where none may lie: common practice."""

import pypdfium2
import pytest
from paper_sets import extra_of, words_on
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from closures.app.job import advice_of, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.backing import EXTRA
from closures.drawing.extras.extra import Drawn
from closures.drawing.ink.extents import box_of
from closures.drawing.ink.shapes import Group
from closures.drawing.paper.piece import LongPiece
from closures.jobs.table.backing import back_laps
from closures.jobs.table.openings import openings_of
from closures.lengths import format_mm
from closures.plan.reading import read_plan


@pytest.mark.parametrize(("new", "is_told"), [("sew-through button", True), ("prong snap", False)])
def test_no_backing_lies_over_a_buttonhole_that_serves_again(new: str, is_told: bool) -> None:
    size = "28 L" if is_told else "16 L"
    text = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "40 mm"\n'
        f'lap = "right over left"\n[closure]\nkind = "{new}"\nsize = "{size}"\n[spacing]\ncount = 6\n'
        '[[layer]]\ncloth = "merino jersey"\ncount = 2\n[swap]\nkind = "sew-through button"\nsize = "32 L"\n'
        'first = "20 mm"\nlast = "40 mm"\ncount = 7\nhole = { way = "along", made = true }\n'
    )
    made = place_plan(read_plan(text.encode(), "swap.toml"))
    back = [step.text for step in advice_of(made).order.steps if step.key.startswith("back")]
    assert back
    assert all(("none over the buttonholes that serve again" in one) == is_told for one in back)


_CUT = (
    '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "70 mm"\n'
    'lap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "28 L"\n[spacing]\ncount = 5\n'
    '[[layer]]\ncloth = "merino jersey"\ncount = 2\n[swap]\nkind = "sew-through button"\nsize = "32 L"\n'
    'first = "60 mm"\nlast = "60 mm"\ncount = 5\nhole = {{ way = "{way}", made = {made} }}\n'
    '[sheets]\nbacking = "{form}"\n'
)


@pytest.mark.parametrize("form", ["strip", "patches"])
@pytest.mark.parametrize(("way", "made"), [("along", "true"), ("across", "true"), ("along", "false")])
def test_openings_are_drawn_in_a_backing_about_buttonholes_that_serve_again(way: str, made: str, form: str) -> None:
    # Stitches about a buttonhole are up to 3 mm wide: common practice.
    found = place_plan(read_plan(_CUT.format(way=way, made=made, form=form).encode(), "swap.toml"))
    pieces = {backing.lap: backing for backing in back_laps(found.placement, found.findings, load_catalogue())}
    over, under = (
        openings_of(found.swap, load_catalogue(), lap, pieces[lap].pieces[0])  # type: ignore[index]
        for lap in ("over", "under")
    )
    if made == "false":
        assert over == under == ()
        return
    # A patch is drawn once, behind the first of its marks.
    assert under == () and [one.mark for one in over] == ([1, 2, 3, 4, 5] if form == "strip" else [1])
    holes = {hole.n: hole for hole in found.swap.old.holes if hole.lap == "over"}  # type: ignore[union-attr]
    piece = Polygon(pieces["over"].pieces[0].outline)
    for one in over:
        free = unary_union([Polygon(ring) for ring in one.rings])
        slit = LineString(holes[one.mark].ends)
        assert piece.buffer(0.01).contains(free) and free.buffer(0.01).contains(slit.buffer(2.99).intersection(piece))
    steps = [step.text for step in advice_of(found).order.steps if step.key == "back"]
    assert all("First cut the openings out" in step for step in steps) and steps
    words = extra_of(found, "backing")[1]
    assert "Cut before the piece is laid, so that nothing covers a buttonhole." in words


@pytest.mark.parametrize(
    ("cloth", "count", "back", "side"),
    [
        # Closed, two layers hold; opened, one alone does: backed only where it is opened.
        ("wool suiting", 2, "Where the band was opened, back the closures", ", within it, on the layers that meet"),
        # Knit alone holds neither way.
        (
            "interlock",
            2,
            "Back the closures",
            " on the inside of the band, or where it was opened within it, on the layers",
        ),
    ],
)
def test_a_finished_band_is_backed_where_its_magnets_go_in(cloth: str, count: int, back: str, side: str) -> None:
    text = (
        '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nstate = "finished"\n[band]\nwidth = "50 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "magnetic snap"\nsize = "14 mm"\n[spacing]\ncount = 5\n'
        f'[[layer]]\ncloth = "{cloth}"\ncount = {count}\n'
    )
    steps = {step.key: step.text for step in advice_of(place_plan(read_plan(text.encode(), "coat.toml"))).order.steps}
    assert steps["back with strip"].startswith(back)
    assert side in steps["back with strip"] and "which is closed" not in steps["back with strip"]
    assert list(steps).index("choose for magnets") < list(steps).index("back with strip")


_CUFF = (
    '[edge]\nstraight = "220 mm"\n[garment]\nopens = "back"\nstate = "cut pieces"\n[band]\nwidth = "26 mm"\n'
    'under_width = "{under}"\ninset = "13 mm"\nunder_inset = "{under_inset}"\nlap = "right over left"\n[closure]\n'
    'kind = "prong snap"\nsize = "18 L"\n[spacing]\nfirst = "{first}"\nlast = "20 mm"\ncount = 5\n'
    '[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    '[sheets]\norder = true\nbacking = "{form}"\nbacking_cloth = "canvas 10 oz"\n'
)


@pytest.mark.parametrize(
    ("form", "first", "under", "bare"),
    [
        # A flange of 5.7 mm 10 mm from the end has 4.3 mm of band past it, of the 5 mm that a backing needs.
        ("strip", "10 mm", "22 mm", {"over": [1, 2, 3, 4, 5], "under": [1, 2, 3, 4, 5]}),
        ("patches", "10 mm", "22 mm", {"over": [1], "under": [1]}),
        ("strip", "20 mm", "20 mm", {"over": [], "under": [1, 2, 3, 4, 5]}),
        ("patches", "20 mm", "22 mm", {"over": [], "under": []}),
    ],
)
@pytest.mark.parametrize("cloth", ["viscose jersey", "cotton poplin", "canvas 10 oz"])
def test_a_backing_that_cannot_be_cut_is_in_no_stack_and_no_step(
    form: str, first: str, under: str, bare: dict[str, list[int]], cloth: str
) -> None:
    inset = "11 mm" if under == "22 mm" else "10 mm"
    text = _CUFF.format(form=form, first=first, under=under, under_inset=inset, cloth=cloth)
    found = place_plan(read_plan(text.encode(), "cuff.toml"))
    placement, plies_told = found.placement, 2
    steps = {step.key: step.text for step in advice_of(found).order.steps}
    cut = {one.lap: one for one in back_laps(placement, found.findings, load_catalogue())}
    for lap in ("over", "under"):
        plies = {one.n: sum(layer.plies for layer in one.stack.layers) for one in placement.on(lap)}  # type: ignore[arg-type, union-attr]
        assert [n for n, count in plies.items() if count == plies_told] == bare[lap]
        assert all(count == plies_told + 1 for n, count in plies.items() if n not in bare[lap])
        asked = [one.mark for one in found.findings if one.rule == "backing pieces" and one.lap == lap]
        assert asked == bare[lap]
        stretches = [one.mark for one in found.findings if one.rule == "backing" and one.result != "pass"]
        assert set(bare[lap]) <= set(stretches) or "jersey" not in cloth
        backed = [n for n in plies if n not in bare[lap]]
        assert [n for piece in cut[lap].pieces for n in piece.marks] == backed  # type: ignore[index]
        assert bool(cut[lap].trouble) == (not backed)  # type: ignore[index]
    assert ("back" in steps) == any(len(marks) < 5 for marks in bare.values())
    if form == "patches" and bare["over"]:
        assert "none at mark 1 of the over lap and at mark 1 of the under lap" in steps["back"]
        assert "None is cut for mark 1." in extra_of(found, "backing")[1]
    # A knit is backed all the same, where no piece is drawn.
    assert ("back with strip" in steps) == ("jersey" in cloth and any(bare.values()))


@pytest.mark.parametrize(
    ("layers", "held"),
    [
        (
            ("leather 2 oz", "silk habotai"),
            "sew those of the over lap down and glue those of the under lap down",
        ),
        (
            ("silk habotai", "leather 2 oz"),
            "glue those of the over lap down and sew those of the under lap down",
        ),
        (("leather 2 oz", "leather 2 oz"), "glue them down"),
    ],
)
def test_a_backing_is_held_as_the_layer_bears_that_it_lies_on(layers: tuple[str, str], held: str) -> None:
    """On the over lap the facing, on the under lap the outer cloth: glue strikes through silk."""
    text = (
        '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[band]\nwidth = "60 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "sew-on snap"\nsize = "1"\n[spacing]\ncount = 4\n'
        f'[[layer]]\ncloth = "{layers[0]}"\n[[layer]]\ncloth = "{layers[1]}"\n'
        '[sheets]\nbacking = "strip"\nbacking_cloth = "cotton lawn"\n'
    )
    found = place_plan(read_plan(text.encode(), "j.toml"))
    steps = {step.key: step.text for step in advice_of(found).order.steps}
    assert held in steps["back"]


@pytest.mark.parametrize(("cloth", "named"), [("oilcloth", "coated cloth"), ("leather 3 oz", "leather")])
def test_the_stop_before_a_strap_is_cut_names_its_own_cloth(cloth: str, named: str) -> None:
    text = (
        '[row]\nlength = "340 mm"\nheight = "30 mm"\nover = ["15 mm"]\nunder = ["15 mm"]\nmade = "one layer"\n'
        f'[closure]\nkind = "plastic snap"\nsize = "20"\n[[layer]]\ncloth = "{cloth}"\n'
    )
    order = advice_of(place_plan(read_plan(text.encode(), "b.toml"))).order
    assert f"{named} that is cut stays cut" in order.stop


_JERSEY = (
    '[edge]\nstraight = "220 mm"\n[garment]\nopens = "back"\nstate = "cut pieces"\n[band]\nwidth = "{width} mm"\n'
    'lap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "18 L"\n[spacing]\ncount = 4\n[[layer]]\n'
    'cloth = "viscose jersey"\ncount = 2\n[sheets]\nbacking = "strip"\nbacking_cloth = "canvas 10 oz"\n{more}'
)


@pytest.mark.parametrize(("width", "has_room"), [(20, False), (34, True)])
def test_the_order_asks_for_no_piece_that_the_page_cannot_cut(width: int, has_room: bool) -> None:
    # A rim of 5.7 mm and 5 mm of backing past it: of a band of 20 mm the mark lies 10 mm from either edge, geometry.
    found = place_plan(read_plan(_JERSEY.format(width=width, more="").encode(), "b.toml"))
    back = {step.key: step.text for step in advice_of(found).order.steps if step.key.startswith("back")}
    if has_room:
        assert set(back) == {"back"}
        return
    assert set(back) == {"back with strip"}
    told = back["back with strip"]
    assert "patches that reach" not in told and "over the whole width of the band, from edge to edge" in told
    assert "no strip and no patch has the room to reach past the parts at marks 1 to 4" in told
    pages = [one.text for one in found.findings if one.rule == "backing pieces"]
    assert pages and all("over the whole width of the band, from edge to edge" in one for one in pages)


@pytest.mark.parametrize("asked", ["", '[sheets]\nbacking = "as needed"\n', '[sheets]\nbacking = "patches"\n'])
def test_no_patch_is_told_where_none_has_room_however_the_backing_is_asked_for(asked: str) -> None:
    """A prong snap of 18 L has a rim of 5.7 mm, and a mark in the middle of 20 mm has 4.3 mm of band past it."""
    text = _JERSEY.format(width=20, more="").partition("[sheets]")[0] + asked
    found = place_plan(read_plan(text.encode(), "b.toml"))
    told = next(step.text for step in advice_of(found).order.steps if step.key == "back with strip")
    assert "patches that reach" not in told and "over the whole width of the band, from edge to edge" in told
    for backing in back_laps(found.placement, found.findings, load_catalogue()):
        # Every mark lies as near the edge: none is helped by more room at the ends.
        assert backing.trouble.startswith("At every mark the") and "4.3 mm past the flange" in backing.trouble
        assert "first or last closure" not in backing.trouble and "Take a wider band or" in backing.trouble


@pytest.mark.parametrize("made", ["true", "false"])
@pytest.mark.parametrize("letters", ["", "large = true\n"])
def test_name_of_a_patch_keeps_its_distance_from_the_cut_line_however_much_follows(letters: str, made: str) -> None:
    text = _CUT.format(way="along", made=made, form="patches") + letters
    found = place_plan(read_plan(text.encode(), "swap.toml"))
    drawn = Drawn(found.placement, found.findings, found.catalogue, found.sheets, found.swap)
    pieces = [piece for piece in EXTRA.pieces(drawn) if not isinstance(piece, LongPiece)]
    assert pieces
    for piece in pieces:
        ring = next(item for item in piece.items if isinstance(item, Group) and item.id.startswith("backing-"))
        (name,) = [one for one in words_on(tuple(piece.items)) if "BACKING" in one.text]
        # As much white below the line as half a figure is high, at the least.
        assert box_of(name)[1] - box_of(ring)[3] > drawn.type.figure / 2


def test_end_of_a_band_that_leaves_no_room_is_told_at_its_mark() -> None:
    text = _JERSEY.format(width=34, more="").replace("count = 4", 'count = 4\nfirst = "10 mm"')
    found = place_plan(read_plan(text.encode(), "b.toml"))
    told = {one.trouble for one in back_laps(found.placement, found.findings, load_catalogue())}
    assert len(told) == 2 and all(one.startswith("At mark 1 the") and "first or last closure" in one for one in told)


@pytest.mark.parametrize(("cloth", "of"), [("tulle", "organza or lawn"), ("lace", "organza or lawn"), ("jersey", "")])
def test_stay_behind_buttonholes_in_net_has_one_name_on_every_page(cloth: str, of: str) -> None:
    """Interfacing is seen through net, and stretch is no trouble of it (common practice)."""
    text = (
        '[edge]\nstraight = "300 mm"\n[garment]\nopens = "front"\nstate = "cut pieces"\n[band]\nwidth = "40 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "20 L"\n[spacing]\ncount = 3\n'
        f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n'
    )
    asked = text + '[sheets]\nbacking = "as needed"\norder = true\n'
    found = place_plan(read_plan(asked.encode(), "n.toml"))
    backings = back_laps(found.placement, found.findings, load_catalogue())
    assert {one.of for one in backings} == {of or "interfacing, or cloth that does not stretch"}
    assert ("interfacing" in extra_of(found, "backing")[1]) == (not of)
    pages = pypdfium2.PdfDocument(result_files(found, "a4")["marking.pdf"])
    cover = " ".join(pages[0].get_textpage().get_text_bounded().split())
    assert cover.count(f"{of or 'interfacing, or cloth that does not stretch'}, for the backing of") == 1
    step = next(step.text for step in advice_of(found).order.steps if step.key == "back")
    assert (f"of {of}, against the wrong side" in step) == bool(of)
    by_hand = place_plan(read_plan(text.encode(), "n.toml"))
    told = next(step.text for step in advice_of(by_hand).order.steps if step.key == "back with strip")
    assert f"lay {of or 'interfacing or a tape'}" in told


@pytest.mark.parametrize(
    ("made", "edge", "is_marked"), [("two pieces", "the finished edge", False), ("folded", "the fold", True)]
)
def test_a_strip_says_how_far_from_the_edge_it_lies(made: str, edge: str, is_marked: bool) -> None:
    more = f'[bands]\nallowance = "5 mm"\nmade = "{made}"\ninterfacing = 0\n'
    found = place_plan(read_plan(_JERSEY.format(width=34, more=more).encode(), "b.toml"))
    piece = back_laps(found.placement, found.findings, load_catalogue())[0].pieces[0]
    # Mid-band: the mark lies 17 mm from the edge, and half of the strip beside it.
    assert f"its side lies {17 - piece.width_mm / 2:.3g} mm" in (words := extra_of(found, "backing")[1])
    assert f"from {edge}" in words
    steps = {step.key: step.text for step in advice_of(found).order.steps}
    assert steps["back"].startswith("Mark the fold along the whole band") == is_marked


@pytest.mark.parametrize("cloth", ["silk habotai", "cotton velvet"])
def test_a_part_is_sewn_to_the_backing_that_lies_behind_one_layer(cloth: str) -> None:
    # A backing is a back to sew to: common practice.
    text = (
        '[edge]\nstraight = "300 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "60 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "covered snap"\nsize = "21 mm"\n[spacing]\ncount = 2\n'
        f'[[layer]]\ncloth = "{cloth}"\n'
    )
    steps = {step.key: step.text for step in advice_of(place_plan(read_plan(text.encode(), "b.toml"))).order.steps}
    assert "back with strip" in steps
    sewn = next(text for text in steps.values() if "of the over lap, " in text and "Sew the" in text)
    assert "through what backs the cloth alone, so that no stitch shows outside" in sewn
    assert "no back to take up" not in sewn


@pytest.mark.parametrize(
    ("band", "wide", "side"), [(20, 20, "lies along"), (16, 16, "lies along"), (30, 22, "lies 4 mm")]
)
def test_a_strip_is_told_as_wide_as_its_band_lets_it_be_cut(band: int, wide: int, side: str) -> None:
    """The band cut it off at both its edges, and its words told it wider, its side beyond the finished edge."""
    text = f"""
[edge]
straight = "400 mm"
[garment]
opens = "front"
[band]
width = "{band} mm"
lap = "left over right"
[closure]
kind = "sew-through button"
size = "18 L"
thickness = "3 mm"
[spacing]
first = "18 mm"
last = "20 mm"
pitch = "60 mm"
[[layer]]
cloth = "jersey"
count = 2
[sheets]
backing = "strip"
"""
    answer = place_plan(read_plan(text.encode(), "suit.toml"))
    backed = next(one for one in back_laps(answer.placement, answer.findings, answer.catalogue) if one.pieces)
    assert backed.lap == "over" and [piece.width_mm for piece in backed.pieces] == [pytest.approx(wide)]
    xs = [x for x, _ in backed.pieces[0].outline]
    assert max(xs) - min(xs) == pytest.approx(wide, abs=1e-6)
    pages = pypdfium2.PdfDocument(result_files(answer, "a4")["marking.pdf"])
    words = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)
    assert f"its side {side}" in words and "lies -" not in words


_LONG = (
    '[edge]\nstraight = "600 mm"\n[garment]\nopens = "front"\nends = ["neck", "hem"]\n[band]\nwidth = "40 mm"\n'
    'lap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 6\n'
    'first = "{first} mm"\n[[layer]]\ncloth = "merino jersey"\ncount = 2\n[sheets]\nbacking = "strip"\nwhole = {whole}\n'
)


@pytest.mark.parametrize("first", [40, 11])
def test_straight_backing_too_long_for_its_paper_tells_its_measures_and_where_it_lies(first: int) -> None:
    def pieces(whole: str) -> list[LongPiece]:
        found = place_plan(read_plan(_LONG.format(first=first, whole=whole).encode(), "long.toml"))
        drawn = Drawn(found.placement, found.findings, found.catalogue)
        (over, _) = back_laps(found.placement, found.findings, found.catalogue)
        outlines.append(Polygon(over.pieces[0].outline).bounds)
        return [one for one in EXTRA.pieces(drawn) if isinstance(one, LongPiece)]

    outlines: list[tuple[float, ...]] = []
    (over, under) = pieces("false")
    assert over.shorter is not None and under.shorter is not None and over.shorter.by_measures
    words = " ".join(one.text for one in words_on(over.shorter.items))
    # The edge runs straight down from the neck, at 0, and the over lap's cloth lies on one side of it.
    left, top, right, low = outlines[0]
    assert f"{format_mm(low - top)} · " in words and format_mm(right - left) in words
    from_edge = min(abs(left), abs(right))
    assert f"its side lies {format_mm(from_edge)} / " in words and "from the finished edge" in words
    at = "its left end lies at the neck" if top < 0.05 else f"its left end lies {format_mm(top)} / "
    assert at in words and (top < 0.05) is (first == 11)
    assert not any(one.shorter for one in pieces("true"))


@pytest.mark.parametrize(("width", "is_cut"), [("19 mm", False), ("20 mm", True), ("20.4 mm", True)])
def test_a_backing_of_cloth_that_shrinks_is_cut_on_every_page_or_on_none(width: str, is_cut: bool) -> None:
    # It is cut and laid before the first wash, when the flange of 4.8 mm and the 5 mm past it have half the band.
    text = (
        f'[edge]\nstraight = "300 mm"\ncloth = "left"\n[garment]\nopens = "inseam"\n[band]\nwidth = "{width}"\n'
        'lap = "front over back"\n[closure]\nkind = "prong snap"\nsize = "15 L"\n[[layer]]\ncloth = "interlock"\n'
        'count = 2\n[shrinkage]\nalong = "5 %"\nacross = "4 %"\nmeasured = "unwashed"\n'
        '[sheets]\nbacking = "as needed"\nbacking_cloth = "cotton poplin"\norder = true\n'
    )
    found = place_plan(read_plan(text.encode(), "romper.toml"))
    plies = {
        sum(layer.plies for layer in on.stack.layers)
        for placement in (found.placement, found.placement.as_worn)
        for mark in placement.marks
        for on in (mark.over, mark.under)
        if on is not None and on.stack is not None
    }
    assert plies == {3 if is_cut else 2}
    pieces = [one.pieces for one in back_laps(found.placement, found.findings, load_catalogue())]
    assert all(map(bool, pieces)) == is_cut
    asked = [one.text for one in found.findings if one.rule == "backing pieces"]
    assert bool(asked) != is_cut
    assert all(one.endswith("these are lengths of the unwashed cloth.") for one in asked)
    stretches = [one for one in found.findings if one.rule == "backing" and one.result != "pass"]
    assert bool(stretches) != is_cut
    assert ("back" in [step.key for step in advice_of(found).order.steps]) == is_cut
