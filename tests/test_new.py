"""A plan from a few questions: what is asked again, what is written, what is left alone."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import shipped
from closures.app.command import app
from closures.app.simple import place

RUN = CliRunner()
STRAIGHT = (
    "Red romper",
    "in",
    "front",
    "",
    "24",
    "1 1/2 in",
    "right over left",
    "prong snap",
    "16 L",
    "9",
    "bust @ 9 1/4 in",
    "",
    "belt @ 15 in to 17 in",
    "",
    "",
    "3 x cotton sateen",
    "",
    "",
)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _asked(*answers: str, file: str = "dress.toml"):
    return RUN.invoke(app, ["new", file], input="".join(f"{answer}\n" for answer in answers))


def test_answers_make_a_plan_that_places(here):
    done = _asked(*STRAIGHT)
    assert done.exit_code == 0, done.output
    placed = place(here / "dress.toml")
    assert len(placed.marks) == 9
    assert [mark.along_mm for mark in placed.marks if mark.anchor == "bust"] == [pytest.approx(9.25 * 25.4)]
    assert not [mark for mark in placed.marks if 15 * 25.4 < mark.along_mm < 17 * 25.4]


def test_plan_tells_what_each_figure_is(here):
    _asked(*STRAIGHT)
    lines = (here / "dress.toml").read_text().splitlines()
    assert [line for line in lines if " = " in line and "#" not in line] == []
    assert 'name = "bust"' in "\n".join(lines)


def test_choice_goes_by_its_number_as_well(here):
    by_number = list(STRAIGHT)
    by_number[1:3], by_number[6] = ("2", "1"), "1"
    _asked(*STRAIGHT)
    _asked(*by_number, file="other.toml")
    assert (here / "dress.toml").read_text() == (here / "other.toml").read_text()


@pytest.mark.parametrize(
    ("at", "wrong", "said"),
    [
        (1, "feet", "There is no such answer"),
        (4, "a long one", "is not a length"),
        (5, "0", "more than 0"),
        (8, "9 L", "There is no such answer"),
        (10, "bust", "names no place"),
        (15, "2 x moonstuff", "There is no cloth 'moonstuff'"),
    ],
    ids=["unit", "edge", "band", "size", "anchor", "cloth"],
)
def test_answer_that_cannot_stand_is_asked_again(here, at, wrong, said):
    done = _asked(*STRAIGHT[:at], wrong, *STRAIGHT[at:])
    assert said in done.output and done.exit_code == 0
    _asked(*STRAIGHT, file="other.toml")
    assert (here / "dress.toml").read_text() == (here / "other.toml").read_text()


# The name of the garment comes first; every question that lists its answers is met with Enter, and with a raised two.
@pytest.mark.parametrize("slip", ["", "²"], ids=["enter", "raised figure"])
@pytest.mark.parametrize("at", [1, 2, 6, 7, 8])
def test_choice_that_was_not_made_is_asked_again(here, at, slip):
    done = _asked(*STRAIGHT[:at], slip, *STRAIGHT[at:])
    assert "There is no such answer" in done.output and done.exit_code == 0, done.output
    _asked(*STRAIGHT, file="other.toml")
    assert (here / "dress.toml").read_text() == (here / "other.toml").read_text()


def test_drawing_is_opened_and_its_lines_are_offered(here):
    source = shipped.starting_plans()["curved-front"]
    shutil.copy(source / "front.svg", here)
    answers = (
        "",
        "mm",
        "front",
        "",
        "nothing.svg",
        "frnt.svgg",
        "front.svg",
        "over-edge",
        "upper",
        "pair",
        "38 mm",
        "right over left",
        "left",
    )
    done = _asked(*answers, "prong snap", "16 L", "", "", "", "3 x cotton sateen", "", "")
    assert "nothing.svg" in done.output and "over-edge (" in done.output
    assert "frnt.svgg" in done.output and "not a length" not in done.output
    assert place(here / "dress.toml").marks


def test_file_that_is_there_is_left_alone(here):
    (here / "dress.toml").write_text("mine")
    done = _asked(*STRAIGHT)
    assert done.exit_code == 2 and "there is a file already" in done.output
    assert (here / "dress.toml").read_text() == "mine"


def test_leaving_before_the_last_answer_writes_nothing(here):
    done = _asked(*STRAIGHT[:-3])
    assert done.exit_code != 0
    assert list(here.iterdir()) == []


def test_drawing_without_its_ending_is_told_with_the_nearest_file(here):
    shutil.copy(shipped.starting_plans()["curved-front"] / "front.svg", here)
    done = _asked("", "mm", "front", "", "front")
    assert "'front' is not a length.\n  There is no such drawing file. Did you mean front.svg?" in done.output


def test_drawing_without_a_size_is_asked_for_the_length_of_its_line(here):
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 700"><path id="edge" d="M 200 20 V 620"/></svg>'
    (here / "my front.svg").write_bytes(svg)
    answers = (
        "",
        "mm",
        "front",
        "",
        '"my front.svg"',
        "edge",
        "twice",
        "480 mm",
        "upper",
        "pair",
        "38 mm",
        "right over left",
        "left",
    )
    done = _asked(*answers, "prong snap", "16 L", "6", "", "", "3 x cotton sateen", "", "")
    assert "does not say how large it is" in done.output and "is not a length" in done.output
    # The line from 20 to 620 is 480 mm in truth, so a unit is 0.8 mm.
    assert place(here / "dress.toml").laps.over.edge.length_mm == pytest.approx(480.0)


def test_folder_is_made_and_a_name_without_an_ending_gets_one(here):
    assert _asked(*STRAIGHT, file="my dress/plan").exit_code == 0
    assert place(here / "my dress" / "plan.toml").marks


def test_inch_mark_of_a_length_stays_an_inch_mark(here):
    answers = list(STRAIGHT)
    answers[1], answers[4] = "mm", '24"'
    assert _asked(*answers).exit_code == 0
    assert place(here / "dress.toml").laps.line.length_mm == pytest.approx(24 * 25.4)


SLIPS = {
    "unit in full": (1, "inches"),
    "unit with a stop": (1, "2."),
    "opens with an article": (2, "the front"),
    "length with about": (4, "about 24"),
    "length told": (4, "it is 24"),
    "width told": (5, "approximately 1 1/2 in wide"),
    "a kind as people call it": (7, "Prong snaps"),
    "a size in full": (8, "16 lines"),
    "a size by its width": (8, "10.16 mm"),
    "a count with its kind": (9, "9 snaps"),
    "a count in words": (9, "nine"),
    "an anchor with at": (10, "bust at 9 1/4 in"),
    "an anchor without a sign": (10, "bust 9 1/4 in"),
    "none in words": (11, "none"),
    "a zone from and to": (12, "belt from 15 in to 17 in"),
    "layers without a sign": (15, "3 cotton sateen"),
    "layers in words": (15, "three layers of cotton sateen"),
    "layers behind": (15, "cotton sateen, 3 layers"),
    "inches without their sign": (5, "1 1/2"),
    "a place in inches without their sign": (10, "bust @ 9 1/4"),
    "the neck itself": (14, "from the neck"),
    "nothing above": (14, "0"),
    "no more": (16, "no thanks"),
}


@pytest.mark.parametrize(("at", "slip"), SLIPS.values(), ids=list(SLIPS))
def test_slip_that_can_mean_one_thing_is_understood(here, at, slip):
    told = list(STRAIGHT)
    told[at] = slip
    done = _asked(*told)
    assert done.exit_code == 0, done.output
    _asked(*STRAIGHT, file="other.toml")
    assert (here / "dress.toml").read_text() == (here / "other.toml").read_text()


ASKED_AGAIN = {
    "yes to a unit": (1, "yes please", "such as mm"),
    "a part that two have": (7, "snap", "That may be prong snap or capped prong snap"),
    "yes to an anchor": (10, "yes please", "as the example shows it: bust @ 9 1/4 in"),
    "yes to a zone": (12, "yes", "as the example shows it: belt @ 15 in to 17 in"),
    "yes to cloth": (15, "yes, please", "as the example shows it: 2 x cotton sateen"),
    "a count that is no count": (9, "many", "is not a length"),
    "a thickness in mm is no count": (15, "2 mm of moon", "no cloth"),
}


@pytest.mark.parametrize(("at", "wrong", "said"), ASKED_AGAIN.values(), ids=list(ASKED_AGAIN))
def test_slip_that_can_mean_more_is_asked_again_with_an_example(here, at, wrong, said):
    done = _asked(*STRAIGHT[:at], wrong, *STRAIGHT[at:])
    assert said in done.output and done.exit_code == 0, done.output
    _asked(*STRAIGHT, file="other.toml")
    assert (here / "dress.toml").read_text() == (here / "other.toml").read_text()


# Where the question stands, what is said, and whether it is asked again, since nothing can be placed without it.
UNKNOWN = {
    "edge": (4, "Lay a tape along the finished edge", True),
    "band": (5, "Lay a ruler across the finished band", True),
    "lap": (6, "It is never guessed", True),
    "kind": (7, "it can be changed in the plan later", True),
    "size": (8, "Lay a ruler across the largest part", True),
    "title": (0, "What is it?", False),
    "opens": (2, "every check reminds you of it", False),
    "row": (9, "as is usual for it; what that comes to is told below", False),
}


@pytest.mark.parametrize("words", ["I don't know", "don’t know", "no idea", "not sure", "?"])
@pytest.mark.parametrize(("at", "said", "again"), UNKNOWN.values(), ids=list(UNKNOWN))
def test_who_does_not_know_is_told_what_becomes_of_it(here, at, said, again, words):
    done = _asked(*STRAIGHT[:at], words, *STRAIGHT[at + (not again) + (at == 2) :])
    assert done.exit_code == 0, done.output
    assert said in done.output
    assert "don" not in (here / "dress.toml").read_text().replace("dont", "don").partition("[edge]")[0].casefold()
    if again:
        _asked(*STRAIGHT, file="other.toml")
        assert (here / "dress.toml").read_text() == (here / "other.toml").read_text()
    else:
        assert place(here / "dress.toml").marks


def test_who_does_not_know_places_zones_and_cloth_is_told_what_stays_open(here):
    done = _asked(*STRAIGHT[:10], "I don't know", "I do not know", "not sure", "")
    assert done.exit_code == 0, done.output
    for said in ("no closure is held to a place", "a closure may sit anywhere", "the checks say so"):
        assert said in done.output
    assert "tells no layers" in " ".join(done.output.split())


def test_opening_that_is_not_known_is_left_open_in_the_plan(here):
    done = _asked(*STRAIGHT[:2], "no idea", *STRAIGHT[4:])
    assert "opens =" not in (here / "dress.toml").read_text()
    assert "does not say what opens" in " ".join(done.output.split())


def test_number_that_may_be_a_count_or_a_distance_is_said_back_or_asked(here):
    done = _asked(*STRAIGHT)
    assert "Understood: 9 closures. A distance has its unit, such as 9 in." in done.output
    asked = _asked(*STRAIGHT[:9], "75", "75 mm", *STRAIGHT[10:], file="other.toml")
    assert "Is it 75 closures, or 75 in apart? Type it so." in asked.output and asked.exit_code == 0
    assert 'pitch = "75 mm"' in (here / "other.toml").read_text()


def test_sizes_that_share_a_figure_in_inches_are_told_apart(here):
    # 40 L to the inch: 15 L is 9.525 mm and 16 L 10.16 mm, both 3/8 in to the nearest sixteenth.
    told = _asked(*STRAIGHT).output
    assert "15 L (9.5 mm, 3/8 in across)" in told and "16 L (10.2 mm, 3/8 in across)" in told


def test_levels_told_are_asked_from_where_they_were_measured(here):
    done = _asked(*STRAIGHT[:14], "shoulder", "3 1/4 above", *STRAIGHT[15:])
    assert "Measured straight down from the neck end of the edge (Enter), or how far above it?" in done.output
    assert "Lay a tape straight down from there to the neck end: what does it read?" in done.output
    assert "Understood: 3 1/4 in above the neck end." in done.output and done.exit_code == 0, done.output
    placed = place(here / "dress.toml")
    # 9 1/4 in from the shoulder is 6 in from the neck.
    assert [mark.along_mm for mark in placed.marks if mark.anchor == "bust"] == [pytest.approx(6 * 25.4)]
    assert not any("counted straight down" in line for line in placed.assumed)


def test_who_does_not_know_where_levels_begin_is_told_what_they_are_counted_from(here):
    done = _asked(*STRAIGHT[:14], "not sure", *STRAIGHT[15:])
    assert "counted from the neck end of the edge, and the answer says so" in " ".join(done.output.split())
    assert "level_zero" not in (here / "dress.toml").read_text()
    assert "Assumed: The levels of bust and belt are counted straight down from the neck end" in done.output


def test_no_level_told_is_not_asked_from_where(here):
    done = _asked(*STRAIGHT[:10], "bust @ along 9 1/4 in", "", "", "3 x cotton sateen", "", "")
    assert done.exit_code == 0 and "Measured straight down from" not in done.output, done.output


def test_points_of_a_drawing_are_offered_to_measure_from(here):
    shutil.copy(shipped.starting_plans()["curved-front"] / "front.svg", here)
    answers = (
        "",
        "mm",
        "front",
        "",
        "front.svg",
        "over-edge",
        "upper",
        "pair",
        "38 mm",
        "right over left",
        "left",
        "prong snap",
        "16 L",
        "",
    )
    done = _asked(*answers, "bust @ 9 1/4 in", "", "", "shoulder-point", "3 x cotton sateen", "", "")
    assert done.exit_code == 0 and "the neck end of the edge itself" in done.output, done.output
    assert 'level_zero = "shoulder-point"' in (here / "dress.toml").read_text()


DRAWN = (
    "",
    "mm",
    "front",
    "",
    "front.svg",
    "over-edge",
    "upper",
    "pair",
    "38 mm",
    "right over left",
    "left",
    "prong snap",
    "16 L",
    "",
)


@pytest.mark.parametrize("name", ["tape-begins", "Schulter oben"])
def test_small_circle_with_a_name_of_its_own_is_a_point_to_measure_from(here, name):
    """What it is called is the drawer's own: no word of this program need stand in it."""
    drawn = (shipped.starting_plans()["curved-front"] / "front.svg").read_text(encoding="utf-8")
    drawn = drawn.replace('id="shoulder-point"', f'id="{name}"').replace("shoulder-point", "it")
    numbered = '<circle id="circle12" cx="40" cy="60" r="2"/></svg>'
    (here / "front.svg").write_text(drawn.replace("</svg>", numbered), encoding="utf-8")
    done = _asked(*DRAWN, "bust @ 9 1/4 in", "", "", name, "3 x cotton sateen", "", "")
    offered = done.output.partition("Measured straight down from where?")[2]
    assert done.exit_code == 0 and name in offered and "circle12" not in offered, done.output
    assert f'level_zero = "{name}"' in (here / "dress.toml").read_text(encoding="utf-8")


def test_tape_that_began_above_a_drawing_without_points_is_asked_for(here):
    """The neck end lies at 120 mm in the drawing: 80 mm above it is a height of 40 mm there."""
    drawn = (shipped.starting_plans()["curved-front"] / "front.svg").read_text(encoding="utf-8")
    (here / "front.svg").write_text(re.sub(r"<circle[^>]*>", "", drawn), encoding="utf-8")
    done = _asked(*DRAWN, "bust @ 9 1/4 in", "", "", "80 mm", "3 x cotton sateen", "", "")
    assert done.exit_code == 0 and "or how far above it?" in done.output, done.output
    assert 'level_zero = "40 mm"' in (here / "dress.toml").read_text(encoding="utf-8")
    marks = [mark for mark in place(here / "dress.toml").marks if mark.anchor == "bust"]
    assert [mark.y_mm for mark in marks] == [pytest.approx(40 + 9.25 * 25.4, abs=0.01)]


def test_sizes_that_are_numbers_are_chosen_by_their_names_alone(here):
    done = _asked(*STRAIGHT[:7], "hook and eye", "7", "1", "lapped", *STRAIGHT[9:])
    assert "Its name: " in done.output and "0 mm" not in done.output
    assert "There is no such answer. Type a name, such as 0." in done.output
    assert 'size = "1"' in (here / "dress.toml").read_text()


@pytest.mark.parametrize(
    ("told", "edges"), [("meeting", "meeting"), ("one lies over the other", "lapped"), ("I don't know", None)]
)
def test_hooks_and_eyes_are_asked_whether_the_edges_meet(here, told, edges):
    done = _asked(STRAIGHT[0], STRAIGHT[1], "back", "", *STRAIGHT[4:7], "hook and eye", "1", told, *STRAIGHT[9:])
    assert "How do the two edges close?" in done.output and done.exit_code in (0, 1), done.output
    plan = (here / "dress.toml").read_text()
    assert (f'edges = "{edges}"' in plan) == (edges is not None) and ("edges" in plan) == (edges is not None)
    assert ("Lay the closed opening flat" in done.output) == (edges is None)
    assert "How do the two edges close?" not in _asked(*STRAIGHT, file="snaps.toml").output


@pytest.mark.parametrize("words", ["5 or 6", "about 5 or 6", "5 to 6"])
def test_figures_without_a_name_are_no_place(here, words):
    done = _asked(*STRAIGHT[:10], words, *STRAIGHT[10:])
    assert "names no place" in done.output and done.exit_code == 0, done.output
    assert "or" not in [
        line.partition('"')[2].partition('"')[0] for line in (here / "dress.toml").read_text().splitlines()
    ]
    assert (here / "dress.toml").read_text().count("[[anchor]]") == 1


@pytest.mark.parametrize("told", ["waist", "the waist", "It ends at the waist."])
@pytest.mark.parametrize("opens", ["front", "back"])
def test_bodice_that_ends_at_its_waist_is_asked_for_and_held_shut_down_to_it(here, opens, told):
    done = _asked("", "mm", opens, told, "400", "30", "right over left", "prong snap", "16 L", "", "", "", "", "")
    assert done.exit_code in (0, 1) and "What is its lower end?" in done.output, done.output
    assert 'ends = ["neck", "waist"]' in (here / "dress.toml").read_text()
    to_waist = place(here / "dress.toml")
    _asked("", "mm", opens, "", "400", "30", "right over left", "prong snap", "16 L", "", "", "", "", "", file="h.toml")
    assert "ends" not in (here / "h.toml").read_text()
    to_hem = place(here / "h.toml")
    # As near to the waist as the first lies to the neck; above a hem the row ends well before.
    assert 400 - to_waist.marks[-1].along_mm == pytest.approx(to_waist.marks[0].along_mm)
    assert to_hem.marks[-1].along_mm < to_waist.marks[-1].along_mm - 30


@pytest.mark.parametrize("told", ["hem", "the hem", "Hemline", "I don't know"])
def test_lower_end_that_is_a_hem_or_not_known_is_left_as_it_is_taken(here, told):
    done = _asked(*STRAIGHT[:3], told, *STRAIGHT[4:])
    assert done.exit_code == 0 and "ends" not in (here / "dress.toml").read_text(), done.output
    assert ("hangs open below the last closure" in done.output) == (told == "I don't know")


@pytest.mark.parametrize("wrong", ["yes", "24 in", "bottom", "12", "neck", "no", "w" * 30])
def test_what_names_no_lower_end_is_asked_again(here, wrong):
    done = _asked(*STRAIGHT[:3], wrong, "waist", *STRAIGHT[4:])
    assert done.output.count("What is its lower end?") == 2, done.output
    assert 'ends = ["neck", "waist"]' in (here / "dress.toml").read_text()


def test_opening_that_runs_to_no_hem_or_is_not_known_is_not_asked_for_its_lower_end(here):
    for opens in ("left side", "flat", "no idea"):
        assert "What is its lower end?" not in _asked("", "mm", opens, file="other.toml").output
