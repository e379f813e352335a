"""Which face of a lap is marked: common practice is to mark the face on which a part is sewn, where it covers the mark."""

from __future__ import annotations

import json

import pypdfium2
import pytest

from closures.app.job import advice_of, place_plan, result_files
from closures.catalogue.loading import load_catalogue
from closures.drawing.extras.coupon import EXTRA as COUPON
from closures.drawing.extras.extra import Drawn
from closures.drawing.extras.pull_coupon import EXTRA as PULL_COUPON
from closures.drawing.ink.shapes import Words
from closures.drawing.paper.piece import Piece
from closures.plan.band import FaceWish, face_of_word
from closures.plan.reading import read_plan
from closures.verifying.sheet_read import read_sheet

PLAN = """
[garment]
opens = "front"
[edge]
straight = "400 mm"
[band]
width = "50 mm"
inset = "22 mm"
lap = "right over left"
[closure]
kind = "{kind}"
size = "{size}"
[spacing]
first = "30 mm"
last = "50 mm"
count = 5
"""
POPLIN = '[[layer]]\ncloth = "cotton poplin"\n'
LEATHER = '[[layer]]\ncloth = "leather 2 oz"\n'


def made(kind: str, size: str, more: str, face: FaceWish = "usual", closure: str = "") -> dict[str, bytes]:
    text = PLAN.format(kind=kind, size=size).replace("[spacing]", f"{closure}[spacing]") + more
    return result_files(place_plan(read_plan(text.encode(), "f.toml"), None, face), "a4")


def words_of(pdf: bytes) -> str:
    pages = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


def faces(files: dict[str, bytes]) -> dict[str, str]:
    return {sheet["lap"]: sheet["face"] for sheet in json.loads(files["report.json"])["sheets"]}


@pytest.mark.parametrize("kind", ["sew-on snap", "hook and bar", "covered snap", "magnetic snap"])
@pytest.mark.parametrize(
    "cloth", ["leather 2 oz", "waxed cotton", "silk charmeuse", "cotton velvet", "melton", "chiffon", "satin"]
)
def test_what_is_sewn_within_cloth_that_keeps_marks_is_marked_there(kind: str, cloth: str) -> None:
    size = {"sew-on snap": "4", "hook and bar": "one size", "covered snap": "18 mm", "magnetic snap": "14 mm"}[kind]
    files = made(kind, size, f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n')
    assert faces(files) == {"over": "inside", "under": "outside"}
    order = files["report.md"].decode()
    assert "Turn the over lap over and lay its sheet, inside face up, to its finished edge." in order
    assert "Lay the sheet of the over lap to its finished edge" not in order


@pytest.mark.parametrize(
    ("kind", "size", "cloth"),
    [
        ("sew-on snap", "4", "cotton poplin"),
        ("hook and bar", "one size", "wool suiting"),
        ("sew-on snap", "2/0", "interlock"),
        ("leather post snap", "20 L", "leather 3 oz"),
        ("prong snap", "16 L", "silk charmeuse"),
        ("shank button", "18 L", "leather 2 oz"),
    ],
)
def test_what_closes_over_a_pin_or_is_pierced_anyhow_is_marked_from_outside(kind: str, size: str, cloth: str) -> None:
    thick = 'thickness = "4 mm"\nhole = "along"\n' if "button" in kind else ""
    files = made(kind, size, f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n', closure=thick)
    assert faces(files) == {"over": "outside", "under": "outside"}


def test_both_edges_that_meet_are_marked_where_hooks_and_eyes_are_sewn() -> None:
    more = '[[layer]]\ncloth = "silk habotai"\ncount = 2\n'
    text = PLAN.format(kind="hook and eye", size="3").replace('"front"', '"back"\nedges = "meeting"') + more
    files = result_files(place_plan(read_plan(text.encode(), "f.toml")), "a4")
    assert set(faces(files).values()) == {"inside"}
    order = files["report.md"].decode()
    assert "Lay the sheet of either lap, on the face that it names, to its own finished edge." in order


def test_facing_within_leather_is_marked_as_it_bears_and_no_deeper() -> None:
    order = made("sew-on snap", "4", LEATHER + POPLIN)["report.md"].decode()
    assert "At marks 1 to 5 prick through paper and cloth with a pin" in order
    assert "Go no deeper than the cloth inside, cotton poplin: leather 2 oz outside keeps every prick." in order
    work = order.partition("## Order of work")[2]
    assert "with an awl" not in work.partition("Sew the ball halves on")[0]


def test_single_hook_beside_pierced_parts_is_measured_within() -> None:
    single = '[[single]]\nkind = "hook and eye"\nsize = "3"\nalong = "8 mm"\n'
    files = made("leather post snap", "20 L", single + LEATHER + POPLIN)
    assert faces(files) == {"over": "outside", "under": "outside"}
    work = files["report.md"].decode().partition("## Order of work")[2]
    step = next(line for line in work.splitlines() if "turn the lap over and measure on its inside" in line)
    assert "At mark 6" in step and "Lay the sheet" not in step and "awl" not in step
    assert "measured inside (mark 6)" in words_of(files["marking.pdf"])


def test_sheet_for_the_inside_has_the_same_marks_turned_over() -> None:
    usual, outside = (made("sew-on snap", "4", LEATHER, face) for face in ("usual", "outside"))
    turned, plain = (read_sheet(one["over.svg"]).marks for one in (usual, outside))
    assert turned.keys() == plain.keys() and len(turned) >= 5
    (x0, y0), (u0, v0) = turned["over", 1], plain["over", 1]
    for key, (x, y) in turned.items():
        u, v = plain[key]
        assert x - x0 == pytest.approx(-(u - u0), abs=1e-6) and y - y0 == pytest.approx(v - v0, abs=1e-6)
    # The key of either sheet tells how both are marked; the marks of the other lap are the same.
    assert read_sheet(usual["under.svg"]).marks == read_sheet(outside["under.svg"]).marks


def test_told_face_stands_over_the_usual_one() -> None:
    assert faces(made("sew-on snap", "4", LEATHER, "outside")) == {"over": "outside", "under": "outside"}
    assert faces(made("sew-on snap", "4", POPLIN, "inside")) == {"over": "inside", "under": "inside"}


SILK = '[[layer]]\ncloth = "silk habotai"\ncount = 2\n'


def order_of(files: dict[str, bytes]) -> str:
    return files["report.md"].decode().partition("## Order of work")[2].partition("## Cautions")[0]


@pytest.mark.parametrize(
    ("kind", "size", "more"),
    [
        ("sew-on snap", "4", LEATHER),
        ("hook and bar", "one size", SILK),
        ("covered snap", "18 mm", '[[layer]]\ncloth = "cotton velvet"\ncount = 2\n'),
    ],
)
def test_pages_of_a_sheet_told_to_lie_outside_never_lay_it_inside(kind: str, size: str, more: str) -> None:
    files = made(kind, size, more, "outside")
    work, pages = order_of(files), words_of(files["marking.pdf"])
    assert faces(files)["over"] == "outside"
    assert "inside face up" not in work and "inside face up" not in pages
    # Outside nothing would cover a mark: it is measured where the part is sewn, and the key says so.
    assert "turn the lap over and measure on its inside" in work
    assert "mark: on the over lap measured inside" in pages
    assert "printed as usual it lies where they are made" in files["report.md"].decode()


@pytest.mark.parametrize(
    ("kind", "size", "closure", "more"),
    [
        ("leather post snap", "20 L", "", LEATHER + POPLIN),
        ("sew-on snap", "4", "", POPLIN),
        ("shank button", "18 L", 'thickness = "4 mm"\nhole = "along"\n', POPLIN),
        ("magnetic snap", "14 mm", "", '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'),
    ],
)
def test_pages_of_a_sheet_told_to_lie_inside_turn_the_lap_over(kind: str, size: str, closure: str, more: str) -> None:
    files = made(kind, size, more, "inside", closure)
    work = order_of(files)
    assert "Turn the over lap over and lay its sheet, inside face up, to its finished edge." in work
    assert "Lay the sheet of the over lap to" not in work
    # What the over lap shows on the outside of the other is held against a sheet that is drawn for its inside.
    assert "against the back of the sheet of the under lap, against the light" in work
    assert "Lay a sheet that says inside face up on the inside of its lap: it is drawn turned over" in (
        files["report.md"].decode()
    )


def test_laps_that_do_not_lie_on_each_other_are_each_turned_for_a_sheet_of_the_inside() -> None:
    text = PLAN.format(kind="prong snap", size="16 L") + POPLIN
    text = text.replace('straight = "400 mm"', 'arc = { length = "500 mm", radius = "300 mm", bows = "out" }')
    text = text.replace('"front"', '"front"\npieces = "pair"')
    usual, inside = (
        order_of(result_files(place_plan(read_plan(text.encode(), "f.toml"), None, face), "a4"))
        for face in ("usual", "inside")
    )
    assert "lay the sheet of the under lap on it, and mark" in usual
    assert "turn the under lap over, lay its sheet on it, inside face up, and mark" in inside


def test_edges_that_meet_are_laid_on_the_face_that_is_told() -> None:
    text = PLAN.format(kind="hook and eye", size="3").replace('"front"', '"back"\nedges = "meeting"') + SILK
    files = result_files(place_plan(read_plan(text.encode(), "f.toml"), None, "outside"), "a4")
    assert "on the face that it names" not in order_of(files) and "measure on its inside" in order_of(files)


def test_whether_a_finished_band_is_opened_for_magnets_is_chosen_before_it_is_marked() -> None:
    cotton = '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n'
    text = PLAN.format(kind="magnetic snap", size="14 mm").replace('"front"', '"front"\nstate = "finished"') + cotton
    work = order_of(result_files(place_plan(read_plan(text.encode(), "f.toml")), "a4"))
    chosen, marked = work.index("Choose, before anything is marked"), work.index("Lay the sheet of the over lap")
    cut, shut = work.index("Cut the two slits"), work.index("Where the band was opened, sew its inner side shut")
    assert chosen < marked < cut < shut
    assert "show on the far face" not in work


def pieces_of(kind: str, size: str, more: str, face: FaceWish = "usual") -> dict[str, str]:
    """What is lettered on every piece that is tried, by its name."""
    text = PLAN.format(kind=kind, size=size) + more + "[sheets]\ncoupon = true\npull_coupon = true\n"
    answer = place_plan(read_plan(text.encode(), "f.toml"), None, face)
    drawn = Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets)
    found = {}
    for extra in (COUPON, PULL_COUPON):
        for piece in extra.pieces(drawn):
            assert isinstance(piece, Piece)
            found[piece.name] = " ".join(item.text for item in piece.items if isinstance(item, Words))
    return found


def test_pieces_that_are_tried_lie_as_their_marks_do() -> None:
    told = pieces_of("sew-on snap", "4", SILK)
    assert {name: "inside face up" in words for name, words in told.items()} == {
        "trial piece, over lap": True,
        "trial piece, under lap": False,
        "pull coupon, over lap": True,
        "pull coupon, under lap": False,
    }
    assert all("inside face up" not in words for words in pieces_of("prong snap", "16 L", SILK).values())


def test_piece_of_a_single_hook_beside_pierced_parts_lies_as_that_hook_is_marked() -> None:
    single = '[[single]]\nkind = "hook and eye"\nsize = "3"\nalong = "8 mm"\n'
    told = pieces_of("leather post snap", "20 L", single + LEATHER + POPLIN)
    within = [name for name, words in told.items() if "inside face up" in words]
    assert len(within) == 1 and "over lap" in within[0] and "hook" in within[0]
    assert "inside face up" in told["trial piece, over lap: Mark 6 (hook and eye 3)"]


def test_piece_that_is_tried_from_the_inside_is_turned_over() -> None:
    def corner(face: FaceWish) -> float:
        text = PLAN.format(kind="prong snap", size="16 L") + POPLIN + "[sheets]\ncoupon = true\n"
        answer = place_plan(read_plan(text.encode(), "f.toml"), None, face)
        drawn = Drawn(answer.placement, answer.findings, answer.catalogue, answer.sheets)
        piece = next(one for one in COUPON.pieces(drawn) if isinstance(one, Piece))
        edge = next(item for item in piece.items if isinstance(item, Words) and item.text == "finished edge")
        return edge.x - piece.size_mm[0] / 2

    assert corner("outside") * corner("inside") < 0


def test_kinds_whose_parts_lie_apart_from_their_marks_are_told_by_the_table_of_kinds() -> None:
    """A loop is caught in the edge, a button follows its buttonhole (common practice); all else covers its mark."""
    apart = {one.kind for one in load_catalogue().fasteners if one.is_apart_from_mark}
    families = {one.kind: one.family for one in load_catalogue().fasteners}
    assert apart == {kind for kind, family in families.items() if family in ("loop", "button")} and len(apart) == 6


@pytest.mark.parametrize(("word", "face"), [("outside", "outside"), ("inside", "inside"), ("usual", "usual")])
def test_face_is_asked_for_by_its_word(word: str, face: str) -> None:
    assert face_of_word(word) == face and face_of_word(f"{word}s") is None


@pytest.mark.parametrize(
    ("cloth", "needle"), [("silk habotai", "the stitch"), ("satin", "the stitch"), ("waxed cotton", None)]
)
def test_mark_inside_what_keeps_marks_does_not_come_through(cloth: str, needle: str | None) -> None:
    files = made("sew-on snap", "4", f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n')
    told = f"Do not let {needle} come through to the outside: its hole would stay to be seen."
    work = order_of(files)
    assert (told in work.partition("Sew the ball halves on")[0]) == (needle is not None)
    assert "Do not let" not in work.partition("Sew the ball halves on")[2]
    page = files["report.md"].decode().partition("## How to mark")[2].partition("## Order")[0]
    assert ("- Over lap: take one loose stitch" in page and told in page) == (needle is not None)


def test_stitch_of_a_place_that_is_measured_inside_does_not_come_through() -> None:
    work = order_of(made("sew-on snap", "4", SILK, "outside"))
    assert "with one loose stitch that does not come through to the outside, its ends left long" in work


def test_marks_of_a_leather_lap_that_is_pierced_from_outside_are_measured_there() -> None:
    """An awl does not go through: a sheet for the inside shows nothing to whoever presses a ring in from outside."""
    files = made("prong snap", "16 L", LEATHER, "inside")
    work = order_of(files)
    assert "lay its sheet" not in work and "Lay the sheet" not in work
    assert "measure on the outside" in work and "a mark on the inside would not come through" in work
    assert "mark: measured outside" in words_of(files["marking.pdf"])
    assert "it lies where they are made" in files["report.md"].decode()


BELT = """
[belt]
target = "820 mm"
width = "40 mm"
settings = 3
lap = "left over right"
[closure]
kind = "sew-on snap"
size = "4"
"""


@pytest.mark.parametrize(
    ("face", "lay", "measured"),
    [
        ("usual", "Lay each sheet, on the face that it names, to the tip it names.", None),
        (
            "outside",
            "Lay the sheet of the under end to the tip it names.",
            "turn the end over and measure on its inside",
        ),
        ("inside", "Lay the sheet of the over end, on the face that it names, to the tip", "measure on the outside"),
    ],
)
def test_ends_of_a_belt_are_marked_where_their_parts_lie(face: FaceWish, lay: str, measured: str | None) -> None:
    plan = read_plan((BELT + LEATHER + POPLIN).encode(), "b.toml")
    work = order_of(result_files(place_plan(plan, None, face), "a4"))
    assert lay in work and ",." not in work
    assert ("as far from its tip, and from its long side" in work) == (measured is not None)
    assert measured is None or measured in work


def test_edges_that_meet_and_are_measured_within_are_told_so_on_every_page() -> None:
    text = PLAN.format(kind="hook and eye", size="3").replace('"front"', '"back"\nedges = "meeting"') + SILK
    files = result_files(place_plan(read_plan(text.encode(), "f.toml"), None, "outside"), "a4")
    work = order_of(files)
    assert "Lay the sheet" not in work
    assert "mark: measured inside" in words_of(files["marking.pdf"])
    page = files["report.md"].decode().partition("## How to mark")[2].partition("## Order")[0]
    assert "Turn the lap over and measure on its inside" in page and "through paper" not in page


def test_places_that_are_shown_on_a_lap_are_cleared_as_the_face_that_they_are_shown_on_bears() -> None:
    """Jersey outside takes a loose stitch at each place, also where its sheet is told for the woolen cloth inside."""
    layers = '[[layer]]\ncloth = "jersey"\n[[layer]]\ncloth = "wool coating"\n'
    work = order_of(made("plastic snap", "20", layers, "inside"))
    second = work.partition("hold the places against")[2]
    assert "each with a loose stitch" in second and "draw the stitch out" in second
    page = made(
        "sew-on snap", "4", '[[layer]]\ncloth = "polyester woven"\n[[layer]]\ncloth = "French terry"\n', "inside"
    )
    told = page["report.md"].decode().partition("## How to mark")[2].partition("## Order")[0]
    assert "a pin would cut loops" in told and "pricks and pens" not in told


@pytest.mark.parametrize(("cloth", "is_within"), [("leather 2 oz", True), ("cotton poplin", False)])
def test_pages_that_give_figures_and_no_sheet_say_which_lap_is_marked_inside(cloth: str, is_within: bool) -> None:
    more = f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n[sheets]\nstrip = true\nhandover = true\n'
    files = made("sew-on snap", "3", more)
    within = "The over lap: mark its inside, not its outside."
    assert (words_of(files["marking.pdf"]).count(within), files["report.md"].decode().count(within)) == (
        (2, 1) if is_within else (0, 0)
    )
    assert within not in files["report.md"].decode() or "The under lap: mark" not in files["report.md"].decode()


@pytest.mark.parametrize(
    ("kind", "size", "inside"),
    [
        # Prongs go in from the outside, and the stud meets the over lap there.
        ("prong snap", "16 L", ()),
        # A slit is pricked from the face on which the sheet lies; the button lies on the outside of the under lap.
        ("sew-through button", "24 L", ("over",)),
        ("magnetic snap", "14 mm", ("over",)),
        ("sew-on snap", "4", ("over",)),
    ],
)
def test_pages_without_a_sheet_name_the_face_that_the_marking_page_names_of_sheets_told_for_the_inside(
    kind: str, size: str, inside: tuple[str, ...]
) -> None:
    more = '[[layer]]\ncloth = "cotton poplin"\ncount = 2\n[sheets]\nhandover = true\norder = true\n'
    files = made(kind, size, more, "inside")
    told = [lap for lap in ("over", "under") if f"The {lap} lap: mark its inside" in words_of(files["marking.pdf"])]
    assert tuple(told) == inside
    page = files["report.md"].decode()
    assert "Under lap: its places are shown on its outside by the over lap" in page
    assert faces(files) == {"over": "inside", "under": "inside"}


TOOLS = ("paper tape", "an awl", "loose stitch", "chalk")
HIDDEN = """[column]
apart = "24 mm"
works = false
inner = { kind = "covered snap", size = "18 mm" }
"""


def told_of_marking(page: str, lap: str, kind: str = "") -> str:
    """What the page on marking says of one lap, of one kind of closure where there are several."""
    lines = [line.removeprefix("- ") for line in page.splitlines() if line.startswith("- ")]
    # What holds for all kinds is told without their names.
    own = [line for line in lines if not line.startswith("Mark") or line.startswith("Mark the") or kind in line]
    own.sort(key=lambda line: not (kind and kind in line))
    return next((line for line in own if f"{lap} lap: " in line), own[0])


@pytest.mark.parametrize("face", ["usual", "outside", "inside"])
@pytest.mark.parametrize(
    ("outside", "inside"),
    [
        ("cotton poplin", "silk habotai"),
        ("silk habotai", "cotton poplin"),
        ("leather 2 oz", "cotton poplin"),
        ("cotton poplin", "leather 2 oz"),
        ("boiled wool", "wool flannel"),
        ("waxed cotton", "jersey"),
    ],
)
@pytest.mark.parametrize(
    ("kind", "size", "hidden"),
    [
        ("sew-on snap", "4", ""),
        ("prong snap", "16 L", ""),
        ("magnetic snap", "14 mm", ""),
        ("hook and bar", "one size", ""),
        ("shank button", "30 L", HIDDEN),
    ],
)
def test_lap_that_is_set_second_is_marked_in_one_way_on_every_page(
    kind: str, size: str, hidden: str, outside: str, inside: str, face: FaceWish
) -> None:
    closure = 'thickness = "5 mm"\nhole = "across"\n' if hidden else ""
    layers = f'[[layer]]\ncloth = "{outside}"\n[[layer]]\ncloth = "{inside}"\n'
    text = PLAN.format(kind=kind, size=size).replace('"50 mm"\ninset = "22 mm"', '"120 mm"\ninset = "30 mm"')
    plan = read_plan((text.replace("[spacing]", f"{closure}[spacing]") + layers + hidden).encode(), "f.toml")
    answer = place_plan(plan, None, face)
    advice = advice_of(answer)
    page = "\n".join(f"- {line}" for line in advice.marking)
    steps = [step for step in advice.order.steps if step.key == "compare"]
    assert len(steps) == (2 if hidden else 1)
    for step in steps:
        ours = step.text.partition("covered snap")[0] != step.text
        found = step.text.partition(" against ")[2]
        second = "over" if "of the over lap" in found else "under"
        told = told_of_marking(page, second.capitalize(), "covered snap" if ours else kind if hidden else "")
        tools = [next((tool for tool in TOOLS if tool in words), "") for words in (told, found)]
        assert tools[0] == tools[1] != "", (told, found)
        assert ("measure on" in told.lower()) == ("what is measured on" in found), (told, found)
        assert ("the back of its sheet" in told) == ("the back of the sheet" in found), (told, found)
        # What the key of the sheet says of a mark agrees with both.
        sign = advice.signs["mark"]
        assert ("measured" in sign) == ("measure on" in page.lower()) and ("shown by" in sign) == (
            "the back of its" in page
        )


def test_order_names_the_face_that_a_tape_is_sewn_to() -> None:
    text = (
        '[garment]\nopens = "front"\n[edge]\nstraight = "360 mm"\n[band]\nwidth = "24 mm"\nlap = "right over left"\n'
        '[closure]\nkind = "snap tape"\nsize = "any"\ncap = "10 mm"\n[tape]\npitch = "30 mm"\n'
        f"{POPLIN}count = 2\n"
    )
    steps = {step.key: step.text for step in advice_of(place_plan(read_plan(text.encode(), "tape.toml"))).order.steps}
    sewn = [one for one in steps.values() if "pin it on" in one or "pin that to" in one]
    # It lies where the laps meet: within the over lap, and on the outside of the under lap.
    assert len(sewn) == 2
    assert "pin it on the inside of the over lap" in sewn[0] and "pin that to the under lap" in sewn[1]


@pytest.mark.parametrize(
    ("cloth", "told"),
    [
        ("poplin", "with chalk where the pin comes out on the outside"),
        ("jersey", "so that the mark shows on the outside"),
        ("satin", "so that the mark shows on the outside"),
        ("felt", "measure on the outside"),
        ("leather 2 oz", "measure on the outside"),
    ],
)
@pytest.mark.parametrize("face", ["inside", "usual"])
def test_a_mark_made_inside_is_seen_where_the_points_of_a_part_go_in(cloth: str, told: str, face: str) -> None:
    # The ring of a prong snap is pressed into the over lap from the outside: chalk inside alone does not tell where.
    text = (
        '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "40 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]\ncount = 5\n'
        f'[[layer]]\ncloth = "{cloth}"\ncount = 2\n[sheets]\norder = true\n'
    )
    answer = place_plan(read_plan(text.encode(), "t.toml"), face=face_of_word(face))
    report = result_files(answer, "a4")["report.md"].decode()
    assert (told in report) == (face == "inside")


@pytest.mark.parametrize("face", ["inside", "usual"])
def test_bound_buttonholes_are_marked_on_the_outer_cloth_before_it_has_an_inside(face: str) -> None:
    text = (
        '[edge]\nstraight = "400 mm"\n[garment]\nopens = "front"\n[band]\nwidth = "40 mm"\n'
        'lap = "right over left"\n[closure]\nkind = "sew-through button"\nsize = "18 L"\nbound = true\n[spacing]\n'
        'count = 5\n[[layer]]\ncloth = "poplin"\ncount = 2\n'
    )
    answer = place_plan(read_plan(text.encode(), "t.toml"), face=face_of_word(face))
    steps = {step.key: step.text for step in advice_of(answer).order.steps}
    inside = (
        "Lay the sheet of the over lap, inside face up, on the wrong side of its outer cloth, with its finished edge"
    )
    assert steps["bound mark"].startswith(inside if face == "inside" else "Lay the sheet of the over lap with its")
    assert ("seen on its right side too, with tacking thread" in steps["bound mark"]) == (face == "inside")
    assert "Turn the over lap over" not in steps["bound mark"]


def test_stitch_of_a_place_that_is_shown_inside_does_not_come_through() -> None:
    """A hidden button is marked on the inside: in satin and leather a stitch through to the face stays to be seen."""
    hidden = '[[single]]\nkind = "sew-through button"\nsize = "16 L"\nlevel = "50 mm"\nhidden = true\n'
    satin, leather = '[[layer]]\ncloth = "satin"\n', LEATHER
    for kind, size, layers in (
        ("sew-through button", "18 L", 2 * satin),
        ("leather post snap", "20 L", leather + satin),
    ):
        work = order_of(made(kind, size, layers + hidden))
        inside = work.partition("against the back of the sheet of the over lap, against the light, and ")[2]
        assert inside.startswith("mark it there with a loose stitch that does not come through to the outside")
