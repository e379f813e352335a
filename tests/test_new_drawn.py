"""What is asked for an edge in a drawing, a belt and a swap; and that a plan that was asked for places, or says why not."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.app.asked_again import _of_an_answer
from closures.app.command import app
from closures.app.questions import STEPS
from closures.app.simple import place
from closures.catalogue.loading import load_catalogue
from closures.errors import ClosureError, Fault, Where

RUN = CliRunner()
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}">{2}</svg>'
LINE = '<path id="edge" fill="none" stroke="black" d="{}"/>'
PIECE = '<path id="piece" d="M 250 20 C 252 200 238 400 240 680 L 20 680 L 30 260 L 60 40 Z"/>'
DOWN, UP = "M 200 20 V 620", "M 200 620 V 20"
MORE = ("prong snap", "16 L", "6", "", "", "3 x cotton sateen", "", "")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _asked(*answers: str, file: str = "dress.toml"):
    done = RUN.invoke(app, ["new", file], input="".join(f"{answer}\n" for answer in answers))
    assert "Traceback" not in done.output and isinstance(done.exception, SystemExit | None), done.output
    return done


def _drawn(here: Path, inside: str, width: int = 300, height: int = 720) -> None:
    (here / "front.svg").write_text(SVG.format(width, height, inside), encoding="utf-8")


def _front(neck: str = "upper", lap: str = "right over left", *, side: str = "left") -> tuple[str, ...]:
    return ("", "mm", "front", "", "front.svg", "edge", neck, "pair", "38 mm", lap, side)


@pytest.mark.parametrize("way", [DOWN, UP], ids=["drawn from the neck", "drawn from the hem up"])
def test_edge_begins_at_the_end_that_is_called_the_neck_however_it_was_drawn(here, way):
    _drawn(here, LINE.format(way))
    done = _asked(*_front(), *MORE)
    assert done.exit_code == 0 and "Which end of that line is the neck?" in done.output, done.output
    first, *_, last = place(here / "dress.toml").marks
    assert first.y_mm < last.y_mm
    assert ("reverse = true" in (here / "dress.toml").read_text()) == (way == UP)


@pytest.mark.parametrize(
    ("why", "lines"),
    [
        ("drawn from the inside", ['seen_from = "inside"', 'cloth = "right"']),
        ("left piece", ['shows = "under"', 'cloth = "right"']),
        ("left over right", ['lap = "left over right"', 'cloth = "right"']),
        ("other side", ['cloth = "left"']),
        ("other end", ["reverse = true", 'cloth = "right"']),
    ],
)
def test_cloth_on_the_other_side_than_the_words_have_it_is_asked_about_and_then_places(here, why, lines):
    """With right over left the front that lies on top is on the left, seen from outside: told right, one is wrong."""
    _drawn(here, LINE.format(DOWN))
    done = _asked(*_front(side="right"), why, *MORE)
    assert done.exit_code == 0 and "Which of these is so?" in done.output, done.output
    text = (here / "dress.toml").read_text()
    assert all(line in text for line in lines)
    assert place(here / "dress.toml").marks


def test_outline_is_asked_at_which_corners_the_edge_begins_and_ends(here):
    _drawn(here, PIECE)
    answers = (
        "",
        "mm",
        "front",
        "",
        "front.svg",
        "piece",
        "upper right",
        "lower right",
        "pair",
        "38",
        "right over left",
    )
    done = _asked(*answers, *MORE)
    assert done.exit_code == 0 and "At which corner is the hem?" in done.output, done.output
    assert place(here / "dress.toml").laps.over.edge.start == pytest.approx((250, 20))


def test_outline_that_shows_its_cloth_on_the_other_side_is_asked_about(here):
    _drawn(here, PIECE)
    answers = (
        "",
        "mm",
        "front",
        "",
        "front.svg",
        "piece",
        "upper right",
        "lower right",
        "pair",
        "38",
        "left over right",
    )
    done = _asked(*answers, "drawn from the inside", *MORE)
    assert done.exit_code == 0 and 'seen_from = "inside"' in (here / "dress.toml").read_text(), done.output
    assert place(here / "dress.toml").marks


def test_closed_line_without_corners_is_told_and_another_edge_is_asked_for(here):
    _drawn(here, '<circle id="ring" cx="100" cy="100" r="60"/>')
    done = _asked("", "mm", "front", "", "front.svg", "ring", "600 mm", "38 mm", "right over left", *MORE)
    assert done.exit_code == 0 and "no corners at which the edge could begin and end" in done.output, done.output


@pytest.mark.parametrize(
    ("opens", "lap", "first"),
    [
        ("crotch", "front over back", "first end"),
        ("inseam", "back over front", "crotch"),
        ("left shoulder", "front over back", "neck"),
        ("flat", "upper over lower", "first end"),
    ],
)
def test_straight_edge_whose_cloth_nothing_tells_is_asked_for_its_side(here, opens, lap, first):
    done = _asked("", "mm", opens, "300 mm", "30 mm", lap, "left", "prong snap", "16 L", "4", "", "", "", "")
    assert done.exit_code == 0 and f"its {first} away from you" in done.output, done.output
    assert 'cloth = "left"' in (here / "dress.toml").read_text() and place(here / "dress.toml").marks


def test_belt_is_asked_for_its_waist_and_width_and_places(here):
    done = _asked("Sash", "mm", "belt", "", "700", "38", "prong snap", "16 L", "2 x linen", "")
    assert done.exit_code == 0 and "Lay a tape round the body there" in done.output, done.output
    assert len(place(here / "dress.toml").marks) > 2


def test_finished_shirt_is_asked_where_the_old_ones_sit_and_offers_are_made(here):
    answers = (
        "",
        "mm",
        "front",
        "",
        "640",
        "32",
        "left over right",
        "prong snap",
        "16 L",
        "",
        "",
        "",
        "2 x oxford",
        "",
    )
    old = ("yes", "button", "sew-through button", "18 L", "sixty", "60 mm, 147, 234; 321", "along")
    done = _asked(*answers, *old)
    assert done.exit_code == 0 and "closures swap dress.toml" in done.output, done.output
    text = (here / "dress.toml").read_text()
    assert 'places = ["60 mm", "147", "234", "321"]' in text and 'state = "finished"' in text


@pytest.mark.parametrize(
    ("kind", "told", "written"),
    [
        ("sew-through button", "11.5 mm", "11.5 mm"),
        ("sew-through button", "18 ligne", "18 L"),
        ("sew-through button", "5/8 in", "25 L"),
        ("prong snap", "10.16 mm", "16 L"),
        ("sew-on snap", "2/0", "2/0"),
    ],
)
def test_size_is_taken_in_lines_and_in_mm(here, kind, told, written):
    done = _asked("", "mm", "front", "", "600", "38", "right over left", kind, told, *MORE[2:])
    assert done.exit_code == 0 and f'size = "{written}"' in (here / "dress.toml").read_text(), done.output


def test_bare_size_is_never_the_number_of_a_line_in_the_list(here):
    """18 was the eighteenth of the list, a button of 40 lines."""
    done = _asked("", "mm", "front", "", "600", "38", "right over left", "sew-through button", "18", "18 mm", *MORE[2:])
    assert "tells neither lines nor mm" in done.output and 'size = "18 mm"' in (here / "dress.toml").read_text()


@pytest.mark.parametrize("told", ["-5", "@ 5", "4 mm across"])
def test_part_of_a_decimal_names_no_size(here, told):
    done = _asked("", "mm", "front", "", "600", "38", "right over left", "prong snap", told, "16 L", *MORE[2:])
    assert "There is no such answer" in done.output and 'size = "16 L"' in (here / "dress.toml").read_text()


def test_enter_at_a_length_says_what_is_asked_for(here):
    done = _asked("", "mm", "front", "", "", "600", "", "38", "right over left", *MORE)
    assert "Lay a tape along the finished edge" in done.output and "Lay a ruler across" in done.output
    assert "'' is not a length" not in done.output and done.exit_code == 0


def test_word_that_several_kinds_have_is_asked_with_a_number_and_a_name(here):
    done = _asked("", "mm", "front", "", "600", "38", "right over left", "button", *MORE)
    assert "Type its number or its name, such as 12 or tack button." in done.output


def test_answers_that_do_not_go_together_are_told_before_anything_is_written_and_asked_again(here):
    answers = ("", "mm", "front", "", "300", "38", "right over left", "prong snap", "16 L", "40", "", "", "", "")
    told = _asked(*answers)
    assert "do not go together yet" in told.output and "40 closures" in told.output
    assert not (here / "dress.toml").exists()
    done = _asked(*answers, "how many, or how far apart", "5")
    assert done.exit_code == 0 and len(place(here / "dress.toml").marks) == 5, done.output


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        (
            ("300", "38", "right over left", "prong snap", "16 L", "40", "", "", "", ""),
            "Your answer on how many, or how far apart: no row of closures on a line of 300 mm can have",
        ),
        (
            (
                "300",
                "38",
                "right over left",
                "prong snap",
                "16 L",
                "4",
                "",
                "belt @ 600 mm to 700 mm",
                "",
                "neck",
                "",
                "",
            ),
            'Your answer on where none may sit "belt": it lies wholly off the closing line.',
        ),
    ],
    ids=["row", "zone"],
)
def test_what_does_not_go_together_is_told_of_the_answers_and_not_of_a_file(
    here: Path, answers: tuple[str, ...], said: str
) -> None:
    told = (
        _asked("", "mm", "front", "", *answers)
        .output.partition("do not go together yet.")[2]
        .partition("What is to")[0]
    )
    assert said in told and "dress.toml" not in told and "[" not in told, told


def test_edge_asked_again_leaves_nothing_of_the_first_behind(here):
    shutil.copy(shipped.starting_plans()["curved-front"] / "front.svg", here)
    answers = (
        "",
        "mm",
        "front",
        "",
        "front.svg",
        "over-edge",
        "lower",
        "pair",
        "38",
        "right over left",
        "right",
        *MORE,
    )
    done = _asked(*answers, "the edge", "600 mm")
    assert "do not go together yet" in done.output and done.exit_code == 0, done.output
    plan = tomllib.loads((here / "dress.toml").read_text())
    assert "drawing" not in plan and set(plan["edge"]) == {"straight"} and "pieces" not in plan["garment"]
    assert place(here / "dress.toml").laps.line.length_mm == pytest.approx(600)


def test_plan_that_does_not_place_is_written_only_where_that_was_chosen(here):
    answers = ("", "mm", "front", "", "300", "38", "right over left", "prong snap", "16 L", "40", "", "", "", "")
    done = _asked(*answers, "write it as it stands")
    assert done.exit_code == 2 and "do not go together yet" in done.output.partition("Written")[0]
    with pytest.raises(ClosureError, match="40 closures"):
        place(here / "dress.toml")


@pytest.mark.parametrize("wrong", ["x" * 300, "\x07", "a\u2028b"], ids=["long", "bell", "two lines"])
def test_name_that_no_sheet_can_bear_is_asked_again(here, wrong):
    done = _asked(wrong, "Dress", "mm", "front", "", "600", "38", "right over left", *MORE)
    assert done.exit_code == 0 and 'title = "Dress"' in (here / "dress.toml").read_text(), done.output


def test_drawing_without_size_takes_the_known_length_of_another_line_where_the_edge_is_closed(here):
    inside = PIECE + '<path id="ruler" d="M 0 0 H 50"/>'
    text = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 720">' + inside + "</svg>"
    (here / "front.svg").write_text(text, encoding="utf-8")
    answers = (
        "",
        "mm",
        "front",
        "",
        "front.svg",
        "piece",
        "ruler",
        "",
        "40 mm",
        "upper right",
        "lower right",
        "pair",
        "30",
    )
    done = _asked(*answers, "right over left", *MORE)
    assert done.exit_code == 0, done.output
    # A unit is 40/50 mm: the neck lies at 250 by 20 units.
    assert place(here / "dress.toml").laps.over.edge.start == pytest.approx((200, 16), abs=0.01)


def test_pdf_page_is_asked_for_a_length_that_proves_it(here):
    folder = shipped.starting_plans()["from-pdf"]
    pdf = next(folder.glob("*.pdf"))
    shutil.copy(pdf, here / "front.pdf")
    done = _asked("", "mm", "front", "", "front.pdf", "1", "I don't know")
    assert "A page may have been saved at another size." in done.output


@pytest.mark.parametrize("old", ["tack button", "sew-through button", "shank button", "ball button"])
def test_every_button_that_is_replaced_is_asked_which_way_its_holes_run(here: Path, old: str) -> None:
    size = {"tack button": "27 L", "ball button": "20 L"}.get(old, "18 L")
    row = (
        "",
        "mm",
        "front",
        "",
        "560",
        "42",
        "left over right",
        "prong snap",
        "16 L",
        "95 mm",
        "",
        "",
        "3 denim 10 oz",
        "",
    )
    done = _asked(*row, old, size, "25, 121, 217, 313, 409, 505", "from the edge inwards")
    assert done.exit_code in (0, 1) and "do not go together" not in done.output, done.output
    assert tomllib.loads((here / "dress.toml").read_text())["swap"]["hole"]["way"] == "across"


def _loop_kinds() -> list[str]:
    catalogue = load_catalogue()
    return sorted({one.kind for one in catalogue.fasteners if one.family == "loop"})


@pytest.mark.parametrize("kind", _loop_kinds())
def test_every_kind_of_loop_is_taken_to_close_edges_that_meet_and_says_so(here: Path, kind: str) -> None:
    size = next(one.size for one in load_catalogue().fasteners if one.kind == kind)
    row = ("", "mm", "back", "", "300", "38", "right over left", kind, size, "8", "", "", "2 satin", "", "")
    done = _asked(*row)
    assert done.exit_code in (0, 1) and "do not go together" not in done.output, done.output
    assert "Loops close edges that lie side by side" in done.output and "How do the two edges" not in done.output
    assert tomllib.loads((here / "dress.toml").read_text())["garment"]["edges"] == "meeting"


def test_outline_is_asked_for_its_lower_end_before_its_corners_and_by_that_name(here: Path) -> None:
    _drawn(here, PIECE)
    answers = ("", "mm", "front", "waist", "front.svg", "piece", "upper right", "lower right", "pair", "38")
    done = _asked(*answers, "right over left", *MORE)
    assert "At which corner is the waist?" in done.output and "hem?" not in done.output.replace("Enter: hem", "")
    assert place(here / "dress.toml").ends == ("neck", "waist")


@pytest.mark.parametrize("told", ["7", "about 7", "7.", "7 1/2"])
def test_one_bare_number_is_no_place_of_an_old_closure_but_may_be_how_many_there_are(here: Path, told: str) -> None:
    answers = (
        "",
        "mm",
        "front",
        "",
        "640",
        "32",
        "left over right",
        "prong snap",
        "16 L",
        "",
        "",
        "",
        "2 x oxford",
        "",
    )
    done = _asked(*answers, "sew-through button", "18 L", told, "60, 147", "along")
    bare = told.removeprefix("about ").rstrip(".")
    assert f"Is it {bare} closures, or one alone at {bare} mm?" in done.output and done.exit_code == 0, done.output
    assert tomllib.loads((here / "dress.toml").read_text())["swap"]["places"] == ["60", "147"]


def test_one_old_closure_is_told_with_its_unit(here: Path) -> None:
    answers = (
        "",
        "mm",
        "front",
        "",
        "640",
        "32",
        "left over right",
        "prong snap",
        "16 L",
        "",
        "",
        "",
        "2 x oxford",
        "",
    )
    _asked(*answers, "sew-through button", "18 L", "70 mm", "along")
    assert tomllib.loads((here / "dress.toml").read_text())["swap"]["places"] == ["70 mm"]


def test_belt_of_no_cloth_is_asked_for_its_thickness_until_it_has_one(here: Path) -> None:
    done = _asked("", "mm", "belt", "700", "38", "prong snap", "16 L", "", "I don't know", "3 mm")
    assert done.exit_code in (0, 1) and "do not go together" not in done.output, done.output
    assert "Pinch it" in done.output
    assert tomllib.loads((here / "dress.toml").read_text())["belt"]["thickness"] == "3 mm"


def test_belt_asked_again_is_asked_for_its_thickness_again(here: Path) -> None:
    first = ("", "mm", "belt", "60", "38", "prong snap", "16 L", "", "3 mm")
    done = _asked(*first, "the belt", "700", "38", "4 mm")
    assert done.exit_code in (0, 1) and done.output.count("How thick is the finished belt") == 2, done.output
    belt = tomllib.loads((here / "dress.toml").read_text())["belt"]
    assert (belt["waist"], belt["thickness"]) == ("700", "4 mm")


def test_key_that_a_refusal_says_to_write_is_told_as_an_answer() -> None:
    """What a plan is told to write for edges that lap is an answer to what closes it."""
    fault = Fault(Where(section="garment", key="edges"), "these lap", 'Write edges = "meeting", also beneath.')
    told = _of_an_answer(fault, STEPS)
    assert told == 'Your answer on what closes it: these lap. Answer "meeting" on what closes it, also beneath.'
