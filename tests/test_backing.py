"""Where backing lies, and where none may lie: common practice."""

import pytest
from paper_sets import extra_of
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from closures.app.job import advice_of, place_plan
from closures.catalogue.loading import load_catalogue
from closures.jobs.table.backing import back_laps
from closures.jobs.table.openings import openings_of
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
