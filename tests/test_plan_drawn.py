"""A drawing that is named and not used, and places that are named in one beside an edge that lies in none."""

import pytest

from closures.app.job import place_plan
from closures.errors import DrawingError, PlanError, typed
from closures.plan.options import plan_from_options
from closures.plan.reading import read_plan

PLAN = """
drawing = "my front.svg"
[edge]
{edge}
[band]
width = "38 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "50 mm"
count = 8
{more}
"""
IN_WORDS = {
    "straight": 'straight = "600 mm"',
    "arc": 'arc = { length = "600 mm", radius = "2 m", bows = "out" }',
    "points": "points = [[0, 0], [4, 300], [0, 600]]",
    "arc_through": "arc_through = [[0, 0], [4, 300], [0, 600]]",
}
STRAP = """
drawing = "front.svg"
[strap]
length = "200 mm"
width = "30 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
"""


def refused(edge: str, more: str = "", without: str = "") -> str:
    with pytest.raises(PlanError, match=r".") as error:
        read_plan(
            PLAN.format(edge=edge, more=more).replace(without, "") if without else PLAN.format(edge=edge, more=more),
            "p.toml",
        )
    return str(error.value)


@pytest.mark.parametrize("key", IN_WORDS)
def test_a_drawing_beside_an_edge_in_words_is_refused(key):
    told = refused(IN_WORDS[key])
    assert f"p.toml, drawing: nothing of it is used: the edge is told by {key}. Write path under [edge]" in told
    assert 'closures edges "my front.svg"); or take drawing out.' in told


@pytest.mark.parametrize("key", IN_WORDS)
def test_a_level_zero_of_the_drawing_beside_an_edge_in_words_is_refused(key):
    edge = f'{IN_WORDS[key]}\nlevel_zero = "shoulder"\nline = "closing"'
    assert f"[edge] level_zero: it names 'shoulder' in a drawing, and an edge that is told by {key}" in refused(edge)


def test_a_level_zero_of_no_drawing_is_not_answered_with_add_a_drawing():
    told = refused('straight = "600 mm"\nlevel_zero = "shoulder"', without='drawing = "my front.svg"')
    assert "told by straight lies in none" in told and "Add drawing" not in told


def test_a_fixed_place_of_the_drawing_beside_a_straight_edge_is_refused():
    told = refused('straight = "600 mm"\nline = "closing"', '[[anchor]]\nname = "bust point"\nat = "notch"')
    assert "[[anchor]] at: 'bust point' names 'notch' in a drawing, and an edge that is told by straight" in told


@pytest.mark.parametrize("key", ["line", "under"])
def test_a_drawing_that_tells_the_closing_line_or_the_under_edge_is_used(key):
    assert read_plan(PLAN.format(edge=f'straight = "600 mm"\n{key} = "it"', more=""), "p.toml").drawing


def test_a_drawing_that_tells_the_girths_is_used():
    girths = '[body]\nsex = "woman"\n[way_in]\nrings = [{ at = "waist", level = "300 mm" }]\noutlines = [{ path = "front", cut = 2 }]'
    assert read_plan(PLAN.format(edge='straight = "600 mm"', more=girths), "p.toml").drawing


def test_a_drawing_beside_no_edge_asks_for_the_path():
    told = refused("")
    assert told.endswith('Add path = …; the lines of my front.svg are told by closures edges "my front.svg".')


def test_a_drawing_beside_a_missing_section_asks_for_the_path():
    assert "[edge]: this section is missing. Add path = …; the lines of" in refused("", without="[edge]\n")


def test_options_name_their_own():
    job = {"band": "38 mm", "lap": "right over left", "first": 20, "last": 20, "count": 6, "drawing": "front.svg"}
    with pytest.raises(PlanError, match=r"Add --path …; the lines of front\.svg are told by closures edges front\.svg"):
        plan_from_options(None, **job)


@pytest.mark.parametrize(
    ("name", "as_typed"),
    [
        ("front.svg", "front.svg"),
        ("my front.svg", '"my front.svg"'),
        ("front(2).svg", '"front(2).svg"'),
        ("a&b.svg", '"a&b.svg"'),
        ("a$b.svg", "'a$b.svg'"),
        ("C:\\cut\\front.svg", "C:\\cut\\front.svg"),
    ],
)
def test_a_name_that_a_shell_takes_apart_stands_in_quotes(name, as_typed):
    assert typed(name) == as_typed


OF_DRAWING = {
    "known": 'known = { path = "ruler", length = "50 mm" }',
    "scale": 'scale = "2 mm"',
    "layers": 'layers = { "sew line" = "14" }',
    "tiles": "tiles = { columns = 2, rows = 2 }",
    "joins": 'joins = [{ page = 2, onto = 1, at = [["10 mm", "20 mm"], ["10 mm", "250 mm"]], '
    'there = [["190 mm", "20 mm"], ["190 mm", "250 mm"]] }]',
}


@pytest.mark.parametrize("said", OF_DRAWING)
@pytest.mark.parametrize("key", IN_WORDS)
def test_what_is_said_of_a_drawing_beside_an_edge_in_words_is_refused(key, said):
    told = refused(f"{IN_WORDS[key]}\n{OF_DRAWING[said]}", without='drawing = "my front.svg"')
    assert f"[edge] {said}: it is said of a drawing, and the edge is told by {key}. Leave it out" in told
    assert ("layers of cloth are told by their cloth" in told) == (said == "layers")


@pytest.mark.parametrize("said", OF_DRAWING)
def test_what_is_said_of_a_drawing_stands_where_a_line_of_it_is_used(said):
    plan = PLAN.format(edge=f'straight = "600 mm"\nline = "closing"\n{OF_DRAWING[said]}', more="")
    assert read_plan(plan, "p.toml").edge is not None


@pytest.mark.parametrize("key", ["straight", "arc", "arc_through"])
def test_how_far_points_may_be_out_is_refused_where_none_are_read(key):
    told = refused(f'{IN_WORDS[key]}\nread_within = "0.3 mm"', without='drawing = "my front.svg"')
    assert f"[edge] read_within: no points are read: the edge is told by {key}. Leave it out." in told
    points = PLAN.format(edge=f'{IN_WORDS["points"]}\nread_within = "0.3 mm"', more="")
    assert read_plan(points.replace('drawing = "my front.svg"', ""), "p.toml").edge is not None


def test_layers_of_a_drawing_that_is_no_dxf_are_refused():
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="700mm" viewBox="0 0 100 700">'
    svg += b'<path id="front" d="M 50 20 V 640"/></svg>'
    plan = read_plan(PLAN.format(edge='path = "front"\nlayers = { "sew line" = "14" }', more=""), "p.toml")
    with pytest.raises(DrawingError, match="layers of a DXF are called, and this is none") as error:
        place_plan(plan, {"my front.svg": svg})
    assert "Layers of cloth are told by [[layer]]." in str(error.value)
