"""A piece drawn line by line: the lines that lead round from the edge show on which side the cloth lies."""

from __future__ import annotations

import itertools

import pytest
from edge_files import edges_of

from closures.app.job import check_plan
from closures.curve import Line
from closures.edges.drawing import Drawn
from closures.edges.within import Within, open_within
from closures.errors import EdgeError
from closures.plan.reading import read_plan

EDGE = "M 200 20 C 206 120 206 240 200 400"
ROUND = {"neck": "M 200 20 C 170 30 150 20 140 0", "side": "M 20 390 L 60 60 L 140 0", "hem": "M 20 390 L 200 400"}
PLAN = """
drawing = "front.svg"
[garment]
opens = "{opens}"
pieces = "pair"
[edge]
path = "edge"
{edge}
[band]
width = "36 mm"
lap = "{lap}"
{band}
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "30 mm"
count = 5
"""


def drawn(lines: dict[str, str], mirrored: bool = False) -> bytes:
    turn = ' transform="matrix(-1 0 0 1 300 0)"' if mirrored else ""
    paths = "".join(f'<path id="{name}" d="{data}"/>' for name, data in lines.items())
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="420mm" viewBox="0 0 300 420">'
        f"<g{turn}>{paths}</g></svg>"
    ).encode()


def placed(lines: dict[str, str], mirrored: bool = False, lap: str = "right over left", **told: str):
    told = {"opens": "front", "edge": "", "band": "", **told}
    return check_plan(
        read_plan(PLAN.format(lap=lap, **told).encode(), "plan.toml"), {"front.svg": drawn(lines, mirrored)}
    )


@pytest.mark.parametrize("order", list(itertools.permutations(ROUND)), ids=" ".join)
def test_outline_of_several_lines_agrees_with_the_words_in_any_order(order: tuple[str, ...]) -> None:
    lines = {"edge": EDGE, **{name: ROUND[name] for name in order}}
    assert placed(lines).placement.laps.over.cloth_on == "right"


@pytest.mark.parametrize(
    ("mirrored", "lap", "told"),
    [
        (False, "left over right", {}),
        (True, "right over left", {}),
        (False, "right over left", {"opens": "back"}),
        (False, "right over left", {"band": 'seen_from = "inside"'}),
        (False, "right over left", {"edge": "reverse = true"}),
    ],
    ids=["the other lap", "mirrored", "back", "seen from inside", "from the hem up"],
)
def test_outline_of_several_lines_that_contradicts_the_words_is_refused(
    mirrored: bool, lap: str, told: dict[str, str]
) -> None:
    with pytest.raises(EdgeError, match="the outline shows the cloth"):
        placed({"edge": EDGE, **ROUND}, mirrored, lap, **told)


def test_edge_that_is_reversed_for_nothing_is_told_to_leave_it_out() -> None:
    with pytest.raises(EdgeError, match="leave reverse out"):
        placed({"edge": EDGE, **ROUND}, edge="reverse = true")


@pytest.mark.parametrize(
    "lines",
    [
        {"edge": EDGE},
        {"edge": EDGE, "neck": ROUND["neck"], "hem": ROUND["hem"]},
        {"edge": EDGE, **ROUND, "facing": "M 200 20 L 160 400"},
    ],
    ids=["alone", "open", "two ways"],
)
def test_lines_that_lead_nowhere_or_two_ways_show_nothing(lines: dict[str, str]) -> None:
    """Then the words alone are taken, whichever they are."""
    for lap in ("right over left", "left over right"):
        placed(lines, lap=lap)


def test_outline_of_several_lines_is_the_piece_that_is_shown() -> None:
    plan = read_plan(PLAN.format(lap="right over left", opens="front", edge="", band="").encode(), "plan.toml")
    outline = edges_of(plan, drawn({"edge": EDGE, **ROUND})).outline
    assert outline is not None and outline.box == pytest.approx((20.0, 0.0, 204.5, 400.0), abs=0.5)


PIECE = EDGE + " L 20 390 L 60 60 L 140 0 Z"
# The same piece as it is cut, 10 mm larger beside the edge; and a facing folded out beside it.
CUT = "M 210 12 C 216 120 216 240 210 410 L 10 400 L 50 50 L 140 -12 Z"
FOLDED_OUT = EDGE + " L 240 400 L 240 20 Z"


@pytest.mark.parametrize("piece", [PIECE, CUT], ids=["its outline", "its cutting line"])
@pytest.mark.parametrize("is_first", [True, False])
def test_piece_drawn_whole_beside_an_edge_of_its_own_shows_its_cloth(piece: str, is_first: bool) -> None:
    """The commonest drawing: one closed piece, and the edge as a line of its own on it or inside its allowance."""
    lines = {"piece": piece, "edge": EDGE} if is_first else {"edge": EDGE, "piece": piece}
    assert placed(lines).placement.laps.over.cloth_on == "right"
    assert placed(lines, mirrored=True, lap="left over right").placement.laps.over.cloth_on == "left"
    for mirrored, lap, told in (
        (False, "left over right", {}),
        (True, "right over left", {}),
        (False, "right over left", {"opens": "back"}),
        (False, "right over left", {"band": 'seen_from = "inside"'}),
        (False, "right over left", {"edge": "reverse = true"}),
    ):
        with pytest.raises(EdgeError, match='the outline "piece" shows the cloth'):
            placed(lines, mirrored, lap, **told)


def test_piece_beside_the_edge_tells_the_cloth_where_no_word_does() -> None:
    lines = {"edge": EDGE, "piece": PIECE}
    flat = placed(lines, opens="flat", lap="upper over lower")
    assert flat.placement.laps.over.cloth_on == "right"
    assert flat.placement.outline is not None


@pytest.mark.parametrize(
    "lines",
    [
        {"edge": EDGE, "front": PIECE, "facing": FOLDED_OUT},
        {"edge": EDGE, "other": "M 240 20 L 280 20 L 280 400 L 240 400 Z"},
        {"edge": EDGE, "near": "M 210 20 C 216 120 216 240 210 400 L 280 400 L 280 20 Z"},
        {"edge": EDGE, "apron": "M 100 0 L 260 0 L 215 410 L 100 410 Z"},
        {"edge": EDGE, "pocket": "M 190 200 L 120 200 L 120 280 L 190 280 Z"},
    ],
    ids=["two sides", "beside it", "close beside it", "not even", "pocket"],
)
def test_closed_lines_that_are_not_the_edges_piece_show_nothing(lines: dict[str, str]) -> None:
    for lap in ("right over left", "left over right"):
        assert placed(lines, lap=lap).placement.outline is None


def test_facing_folded_out_is_named_and_the_users_word_counts() -> None:
    lines = {"edge": EDGE, "facing": FOLDED_OUT}
    with pytest.raises(EdgeError, match=r'\(\d\) "facing" is not the piece .*: write cloth = "left" under'):
        placed(lines)
    assert placed(lines, edge='cloth = "left"').placement.laps.over.cloth_on == "right"


INNER = "M 190 30 C 196 120 196 240 190 390 L 30 380 L 66 70 L 140 12 Z"


def within(lines: dict[str, str], edge: str = "", path: str = "edge", mirrored: bool = False, **told: str) -> list[str]:
    told = {"opens": "front", "band": "", "lap": "right over left", **told}
    text = PLAN.format(edge=edge, **told).replace('path = "edge"', f'path = "{path}"')
    found = check_plan(read_plan(text.encode(), "plan.toml"), {"front.svg": drawn(lines, mirrored)}).findings
    return [one.text for one in found if one.rule == "finished edge" and one.result == "warn"]


@pytest.mark.parametrize(
    ("path", "edge"),
    [("edge", ""), ("piece", 'from = ["200 mm", "20 mm"]\nto = ["200 mm", "400 mm"]')],
    ids=["a line of its own", "a stretch of the piece"],
)
def test_cutting_line_named_as_the_edge_is_a_look_that_names_the_line_inside(path: str, edge: str) -> None:
    said = within({"edge": EDGE, "piece": PIECE, "sewn": INNER}, edge, path)
    assert len(said) == 1 and '"sewn" runs 10 mm inside' in said[0] and 'path = "sewn"' in said[0]


@pytest.mark.parametrize(
    "lines",
    [
        {"edge": EDGE, "piece": PIECE},
        {"edge": EDGE, "cut": CUT},
        {"edge": EDGE, "cut": CUT, "inner": INNER},
        {"edge": EDGE, "inner": INNER, "smaller": INNER.replace("190", "182").replace("196", "188")},
        {"edge": EDGE, "stitch": INNER.replace("190", "197").replace("196", "203")},
        {"edge": EDGE, "fold": "M 190 30 C 196 120 196 240 190 390"},
    ],
    ids=["piece", "cutting line outside", "one of three", "nest", "topstitch", "open line"],
)
def test_finished_edge_raises_no_doubt(lines: dict[str, str]) -> None:
    assert not within(lines)


SEWN = "M 190 30 C 196 120 196 240 190 390"


@pytest.mark.parametrize("turned", [False, True], ids=["as drawn", "walked back"])
@pytest.mark.parametrize("mirrored", [False, True], ids=["outside", "mirrored"])
@pytest.mark.parametrize("beside", [{}, {"piece": PIECE}], ids=["alone", "in its piece"])
def test_open_seam_line_inside_the_edge_is_looked_at(beside: dict[str, str], mirrored: bool, turned: bool) -> None:
    """Drawn 10 mm inside, where the cloth lies: the closed outline is then the cutting line."""
    edge = "M 200 400 C 206 240 206 120 200 20" if turned else EDGE
    told = {"edge": "reverse = true" if turned else "", "lap": "left over right" if mirrored else "right over left"}
    for name, may_be in (("sewn", False), ("path7", True)):
        said = within({"edge": edge, name: SEWN, **beside}, mirrored=mirrored, **told)
        assert len(said) == 1 and f'"{name}" runs 10 mm inside' in said[0] and f'path = "{name}"' in said[0]
        assert said[0].endswith("If it is a fold or a topstitching, all is well.") == may_be


def test_open_seam_line_of_an_exchanged_pattern_is_known_by_its_layer() -> None:
    """Layer 1 is the boundary of a piece, layer 14 its sew line (ASTM D6673)."""
    lines = [Drawn("handle 30", (Line((190.0, 30.0), (190.0, 390.0)),), "14")]
    assert open_within(["layer 1"], [(lines[0], 10.0, "right")]) == Within("handle 30", 10.0, "right", True)


@pytest.mark.parametrize(
    "lines",
    [
        {"edge": EDGE, "sewn": SEWN.replace("190", "210").replace("196", "216")},
        {"edge": EDGE, "path7": SEWN, "cut": "M 210 20 C 216 120 216 240 210 400"},
        {"edge": EDGE, "path7": SEWN.replace("190", "182").replace("196", "188")},
        {"edge": EDGE, "path7": SEWN.replace("190", "170").replace("196", "176")},
        {"edge": EDGE, "path7": "M 190 30 C 194 60 195 90 194 140"},
        {"edge": EDGE, "topstitching": SEWN},
        {"edge": EDGE, "centre-front": SEWN},
    ],
    ids=["outside", "one on each side", "closing line", "facing", "short", "topstitching", "centre front"],
)
def test_open_line_beside_a_finished_edge_raises_no_doubt(lines: dict[str, str]) -> None:
    assert not within(lines)


def test_lines_of_two_sizes_are_no_seam_lines_of_each_other() -> None:
    sizes = {"front-38": EDGE, "front-36": SEWN}
    assert not within(sizes, path="front-38")
    assert within({"path12": EDGE, "path14": SEWN}, path="path12"), "numbered by the program that drew them"


def test_edge_that_is_called_a_cutting_line_is_asked_about() -> None:
    said = within({"front-cut": EDGE}, path="front-cut")
    assert len(said) == 1 and 'calls this edge "front-cut"' in said[0]
    assert not within({"cutaway-front": EDGE}, path="cutaway-front")


def test_edge_inside_its_cutting_line_is_told_as_taken() -> None:
    text = PLAN.format(lap="right over left", opens="front", edge="", band="")
    for lines, is_told in (({"edge": EDGE, "cut": CUT}, True), ({"edge": EDGE, "piece": PIECE}, False)):
        assumed = check_plan(read_plan(text.encode(), "plan.toml"), {"front.svg": drawn(lines)}).placement.assumed
        assert any('"cut", 10 mm outside it' in line and 'line = "edge"' in line for line in assumed) == is_told


STRAIGHT = "M 200 20 V 400"
SQUARE = "M 200 20 H 50 V 400 H 200 Z"
NOTCHED = "M 200 20 V 96 L 195 100 L 200 104 V 206 L 195 210 L 200 214 V 316 L 195 320 L 200 324 V 400 H 50 V 20 Z"


@pytest.mark.parametrize(
    ("lines", "path"),
    [
        ({"edge": STRAIGHT, "piece": SQUARE, "allowance": "M 200 20 H 212 V 400 H 200"}, "edge"),
        ({"edge": STRAIGHT, "piece": SQUARE, "facing": "M 200 20 H 250 V 400 H 200"}, "edge"),
        ({"edge": STRAIGHT, "piece": NOTCHED}, "edge"),
        ({"edge": STRAIGHT, "piece": SQUARE.replace("Z", "V 20.4")}, "edge"),
        ({"edge": STRAIGHT, "piece": "M 208 10 L 214 410 H 40 V 10 Z"}, "edge"),
        ({"e1": "M 200 20 V 200", "e2": "M 200 200 V 400", "piece": SQUARE}, ["e1", "e2"]),
    ],
    ids=["open allowance", "open facing", "notches", "left open a little", "allowance that grows", "edge in two lines"],
)
def test_closed_piece_on_the_edge_shows_its_cloth_whatever_else_is_drawn(
    lines: dict[str, str], path: str | list[str]
) -> None:
    def given(lap: str) -> str:
        name = str(path).replace("'", '"') if isinstance(path, list) else f'"{path}"'
        return PLAN.format(lap=lap, opens="front", edge="", band="").replace('path = "edge"', f"path = {name}")

    drawing = {"front.svg": drawn(lines)}
    sound = check_plan(read_plan(given("right over left").encode(), "plan.toml"), drawing)
    assert sound.placement.laps.over.cloth_on == "right"
    with pytest.raises(EdgeError, match=r"the outline .*shows the cloth"):
        check_plan(read_plan(given("left over right").encode(), "plan.toml"), drawing)


def test_stretch_of_an_open_line_on_a_closed_piece_shows_its_cloth() -> None:
    told = 'from = ["200 mm", "30 mm"]\nto = ["200 mm", "390 mm"]'
    lines = {"edge": STRAIGHT, "piece": SQUARE}
    assert placed(lines, edge=told).placement.laps.over.cloth_on == "right"
    with pytest.raises(EdgeError, match='the outline "piece" shows'):
        placed(lines, lap="left over right", edge=told)


def test_edge_down_the_middle_of_a_folded_strip_shows_no_side() -> None:
    strip = {"edge": STRAIGHT, "strip": "M 182 10 H 218 V 410 H 182 Z"}
    for lap in ("right over left", "left over right"):
        placed(strip, lap=lap)


def test_nest_of_cutting_lines_names_none_of_them() -> None:
    cuts = {f"cut-{n}": f"M {200 + n} 10 H 40 V 410 H {200 + n} Z" for n in (6, 12, 18)}
    found = placed({**cuts, "edge": STRAIGHT})
    assert found.placement.laps.over.cloth_on == "right"
    assert not any("cut-" in line for line in found.placement.assumed)
    with pytest.raises(EdgeError, match="the outline shows"):
        placed({**cuts, "edge": STRAIGHT}, lap="left over right")


def test_word_on_the_cloth_against_the_one_piece_is_a_look() -> None:
    lines = {"edge": STRAIGHT, "piece": SQUARE}
    for cloth, is_told in (("right", True), ("left", False)):
        said = within(lines, f'cloth = "{cloth}"', opens="flat", lap="upper over lower")
        assert any('lies along "piece"' in line for line in said) == is_told


@pytest.mark.parametrize("wide", [21, 30, 60])
def test_facing_grown_on_tells_enough_to_ask(wide: int) -> None:
    """The commonest shirt front: the finished edge is a fold, and the piece goes on past it as its facing."""
    lines = {"edge": STRAIGHT, "front": f"M {200 + wide} 10 H 40 V 410 H {200 + wide} Z"}
    assert not within(lines)
    said = within(lines, lap="left over right")
    assert len(said) == 1 and f'runs {wide} mm inside "front"' in said[0]
    assert not within({"edge": STRAIGHT, "body": "M 300 10 H 40 V 410 H 300 Z"}, lap="left over right")


def test_under_piece_drawn_apart_with_an_allowance_is_held_to_its_side() -> None:
    text = PLAN.format(lap="right over left", opens="front", band="", edge='under = "uedge"\nunder_lies = "apart"')
    for x, is_refused in ((290, False), (450, True)):
        lines = {"edge": STRAIGHT, "uedge": f"M {x} 20 V 400", "upiece": "M 280 10 H 460 V 410 H 280 Z"}
        plan = read_plan(text.replace('"pair"', '"separate"').encode(), "plan.toml")
        if is_refused:
            with pytest.raises(EdgeError, match="wrong side of its edge"):
                check_plan(plan, {"front.svg": drawn(lines)})
        else:
            check_plan(plan, {"front.svg": drawn(lines)})


@pytest.mark.parametrize("is_turned", [False, True])
def test_under_piece_drawn_over_again_and_not_turned_over_is_asked_about(is_turned: bool) -> None:
    """Its closing line runs on the outer side of the bend, where the over lap's runs on the inner one."""
    bend = "M 200 20 C 182 140 182 260 200 400"
    again = "M 500 20 C 518 140 518 260 500 400" if is_turned else "M 500 20 C 482 140 482 260 500 400"
    text = PLAN.format(lap="right over left", opens="front", band="", edge='under = "u"\nunder_lies = "apart"')
    plan = read_plan(text.replace('"pair"', '"separate"').encode(), "plan.toml")
    found = check_plan(plan, {"front.svg": drawn({"edge": bend, "u": again})}).findings
    said = [one.text for one in found if one.rule == "two lines" and one.result == "warn"]
    assert bool(said) == (not is_turned)
    assert is_turned or said[0].endswith("drawn over again: is it to be turned over?")
