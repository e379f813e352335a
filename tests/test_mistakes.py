"""What people write wrongly of a garment, each as a plan of their own: none is placed without a word, and each says what to write."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures.app.command import app

# A front with a neckline, as a closed outline 300 by 720 mm: its front edge runs from (250, 20) down to (240, 680).
PIECE = "M 250 20 C 262 200 236 420 240 680 L 20 680 L 30 260 C 60 250 80 180 70 90 L 170 30 C 175 60 200 70 250 20 Z"
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}" height="{1}" viewBox="0 0 300 720">'
PLAN = """title = "My dress"
drawing = "front.svg"
[edge]
path = "piece"
from = [250, 20]
to = [240, 680]
[garment]
opens = "front"
pieces = "pair"
[band]
width = "36 mm"
lap = "right over left"
cut = "shaped"
[closure]
kind = "sew-on snap"
size = "2/0"
[spacing]
first = "16 mm"
last = "40 mm"
pitch = "80 mm"
widest = "90 mm"
[[layer]]
cloth = "cotton poplin"
count = 2
[[layer]]
cloth = "light fusible"
"""


def drawn(turn: str = "", size: tuple[str, str] = ("300mm", "720mm")) -> str:
    return (
        f'{HEAD.format(*size)}<g transform="{turn}"><path id="piece" fill="none" stroke="black" d="{PIECE}"/></g></svg>'
    )


def told(folder: Path, plan: str, drawing: str) -> tuple[int, str]:
    (folder / "front.svg").write_text(drawing, encoding="utf-8")
    (folder / "plan.toml").write_text(plan, encoding="utf-8")
    result = CliRunner().invoke(app, ["check", str(folder / "plan.toml")])
    return result.exit_code, " ".join((result.stdout + result.stderr).split())


def changed(*changes: tuple[str, str]) -> str:
    text = PLAN
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_the_plan_without_a_mistake_is_placed_without_a_word(tmp_path: Path) -> None:
    code, words = told(tmp_path, PLAN, drawn())
    assert code == 0 and "look " not in words and "FAIL" not in words
    assert "660.3 mm (26 in), neck to hem. Lay a tape on yours." in words


ENDS_DOWN = (("[250, 20]", "[50, 700]"), ("[240, 680]", "[60, 40]"))
ENDS_MIRRORED = (("[250, 20]", "[50, 20]"), ("[240, 680]", "[60, 680]"))


@pytest.mark.parametrize(
    ("plan", "drawing", "code", "says"),
    [
        (changed(("[250, 20]", "[240, 680]"), ("to = [240, 680]", "to = [250, 20]")), drawn(), 2, ["exchange from and to"]),
        (changed(*ENDS_DOWN), drawn("rotate(180 150 360)"), 0, ["look ends", "exchange from and to"]),
        (changed(("right over left", "left over right")), drawn(), 2, ['lap = "right over left"']),
        (PLAN, drawn(size=("300", "720")), 2, ['scale = "0.26458333 mm"', 'scale = "0.35277778 mm"', "known ="]),
        (PLAN, drawn(size=("300px", "720px")), 2, ["at 96 to the inch", "at 72 to the inch"]),
        (changed(*ENDS_MIRRORED), drawn("translate(300 0) scale(-1 1)"), 2, ['seen_from = "inside"', 'shows = "under"']),
        (changed(("[250, 20]", "[30, 260]"), ("[240, 680]", "[20, 680]")), drawn(), 2, ["another edge of the piece"]),
        (changed(("[250, 20]", "[240, 680]"), ("to = [240, 680]", "to = [20, 680]")), drawn(), 0, ["look ends", "runs across"]),
        (changed(('"front"\n', '"back"\n')), drawn(), 2, ['opens = "front"']),
        (changed(('pieces = "pair"\n', "")), drawn(), 2, ['pieces = "pair"', 'pieces = "separate"']),
        (changed(('width = "36 mm"', 'width = "36 mm"\ninset = "14 mm"')), drawn(), 0, ['under_inset = "14 mm"']),
        (changed(('opens = "front"\n', "")), drawn(), 0, ['opens = "front"', 'opens = "back"']),
    ],
    ids=[
        "edge from the hem up", "drawing upside down", "laps exchanged", "no unit", "px", "piece mirrored",
        "side seam for the front", "hem for the front", "back called front", "pieces not told", "one inset of a pair",
        "opening not told",
    ],
)  # fmt: skip
def test_a_mistake_is_refused_or_looked_at_with_what_to_write(
    tmp_path: Path, plan: str, drawing: str, code: int, says: list[str]
) -> None:
    found, words = told(tmp_path, plan, drawing)
    assert found == code, words
    for one in says:
        assert one in words


@pytest.mark.parametrize("per_inch", [96, 72])
def test_the_scale_that_is_offered_is_taken_and_told_with_a_tape_to_lay(tmp_path: Path, per_inch: int) -> None:
    _, asked = told(tmp_path, PLAN, drawn(size=("300", "720")))
    offered = asked.split(f"at {per_inch} to the inch", 1)[1].split("scale = ", 1)[1].split('"')[1]
    mm = 25.4 / per_inch
    # The plan's places are mm: the corners lie where the piece has them at that scale.
    places = (("[250, 20]", f"[{250 * mm}, {20 * mm}]"), ("[240, 680]", f"[{240 * mm}, {680 * mm}]"))
    code, words = told(
        tmp_path, changed(*places, ("[edge]", f'[edge]\nscale = "{offered}"')), drawn(size=("300", "720"))
    )
    assert code in (0, 1), words
    assert f"Finished edge {660.27 * mm:.1f} mm" in words and "Lay a tape on yours" in words


def test_the_third_line_tells_the_tape_in_the_terminal_and_the_report_and_the_page_tell_it_alike(
    tmp_path: Path,
) -> None:
    from closures.app.job import load_plan, place_plan, result_files
    from closures.placing.tape import tape_in_words

    (tmp_path / "front.svg").write_text(drawn(), encoding="utf-8")
    (tmp_path / "plan.toml").write_text(PLAN, encoding="utf-8")
    answer = place_plan(load_plan(tmp_path / "plan.toml"), tmp_path / "plan.toml")
    tape = tape_in_words(answer.placement)
    lines = CliRunner().invoke(app, ["check", str(tmp_path / "plan.toml")]).stdout.splitlines()
    assert lines[2] == tape
    assert f"- **Tape:** {tape}" in result_files(answer, "a4")["report.md"].decode()


def test_a_plan_that_does_not_say_what_opens_is_told_in_words_that_hold_of_any_opening(tmp_path: Path) -> None:
    from closures.app.job import load_plan, place_plan, result_files

    plan = PLAN.replace('[garment]\nopens = "front"\npieces = "pair"\n', "").split("[spacing]")[0]
    plan = plan.replace('"sew-on snap"\nsize = "2/0"', '"sew-through button"\nsize = "18 L"')
    plan = plan.replace('drawing = "front.svg"\n', "").replace(
        'path = "piece"\nfrom = [250, 20]\nto = [240, 680]', 'straight = "600 mm"'
    )
    (tmp_path / "plan.toml").write_text(plan, encoding="utf-8")
    answer = place_plan(load_plan(tmp_path / "plan.toml"), tmp_path / "plan.toml")
    laps = answer.placement.laps
    assert laps.garment.ends == ("first end", "last end")
    assert {lap.whose for lap in laps.both} == {"wearer's right", "wearer's left"}
    assumed = " ".join(answer.placement.assumed)
    assert "from the last end" in assumed and "the hem" not in assumed
    sheets = result_files(answer, "a4")
    for name in ("over.svg", "under.svg"):
        assert ">first end<" in sheets[name].decode()
        assert not any(f">{word}<" in sheets[name].decode() for word in ("neck", "hem", "front"))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (
            ["check", "plan.toml", "\N{EN DASH}json"],
            "a long dash, as a word processor makes of two short ones: type --json.",
        ),
        (["check", "Käthes"], 'A name with spaces stands between quotes: "Käthes plan.toml".'),
        (
            ["edges", "front.dwg"],
            "this is a DWG, not an SVG. In your drawing program save it as DXF in text (ASCII), and name that file.",
        ),
    ],
    ids=["long dash", "spaces", "DWG"],
)
def test_a_slip_in_the_command_is_told_with_what_to_type(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "Käthes plan.toml").write_text("", encoding="utf-8")
    (tmp_path / "front.dwg").write_bytes(b"AC1027" + bytes(200))
    if len(words) == 3:
        monkeypatch.chdir(Path(__file__).resolve().parent.parent / "templates" / "curved-front")
    done = CliRunner().invoke(app, words)
    assert done.exit_code != 0
    assert told in " ".join(done.output.split())


def test_figure_that_falls_short_by_less_than_is_told_is_just_under_its_limit() -> None:
    from closures.app.job import check_plan
    from closures.catalogue.loading import load_catalogue
    from closures.checks.checked import Checked
    from closures.plan.reading import read_plan

    folder = Path(__file__).resolve().parent.parent / "templates" / "side-opening"
    beside = {one.name: one.read_bytes() for one in folder.iterdir() if one.name != "plan.toml"}
    checked = Checked(
        check_plan(read_plan((folder / "plan.toml").read_bytes(), "plan.toml"), beside).placement, load_catalogue()
    )
    assert checked.show_under(5.99, 6.0) == "just under 6 mm"
    assert checked.show_under(5.9, 6.0) == "5.9 mm"


@pytest.mark.parametrize(
    ("band", "place"),
    [
        ("width = 40", "[band] width: the closing line: it cannot lie 508 mm from the edge"),
        ("width = 40\ninset = 12", "[band] inset: the closing line: it cannot lie 304.8 mm from the edge"),
    ],
    ids=["half its width", "told"],
)
def test_a_line_that_no_curve_has_room_for_names_the_key_that_it_follows_from(tmp_path, band, place) -> None:
    """Forty inches for forty mm: the refusal named neither the plan nor a key."""
    arc = '[edge]\narc = { length = "600 mm", radius = "280 mm", bows = "out" }\n'
    rest = '\nlap = "right over left"\n[closure]\nkind = "sew-on snap"\nsize = "2/0"\n'
    plan = f'units = "in"\n{arc}[garment]\npieces = "pair"\n[band]\n{band}{rest}'
    code, words = told(tmp_path, plan, drawn())
    assert code == 2 and f"plan.toml, {place}" in words, words
    if "inset" not in band:
        assert "1016 mm (40 in): check the figure and its unit" in words


@pytest.mark.parametrize(
    ("lap", "words"),
    [
        ("left", ["names one side", '"right over left" or "left over right", the side that lies on top first']),
        ("wearer\u2019s right", ["names one side", "the wearer's own, not those that are seen from in front"]),
        ("ladies", ["Look which side lies on top when it is closed"]),
        ("R over L", ['Write "right over left".']),
        ("left-over-right", ['Write "left over right".']),
    ],
)
def test_a_lap_in_other_words_is_asked_and_never_guessed(tmp_path: Path, lap: str, words: list[str]) -> None:
    """wearers right was answered with left over right, as the nearest of two: the other way round."""
    code, said = told(tmp_path, changed(('lap = "right over left"', f'lap = "{lap}"')), drawn())
    assert code == 2 and all(one in said for one in ("plan.toml, [band] lap", *words)), said
    if words[0] == "names one side":
        assert said.count("Write") == 1 and '"right over left" or "left over right"' in said


@pytest.mark.parametrize(
    ("scale", "words"),
    [
        ("96", ['"0.26458333 mm" if 96 units make an inch, or "96 mm" if one unit is that long']),
        ('"72"', ['"0.35277778 mm" if 72 units make an inch']),
        ('"96 px"', ["tells pixels", '"0.26458333 mm" where 96 px make an inch']),
        ('"1 px"', ['"0.26458333 mm" where 96 px make an inch or "0.35277778 mm" where 72 px make an inch']),
        ('"1:1"', ["tells how large it is printed", "leave it out"]),
        ('"100 %"', ["tells how large it is printed"]),
        ('"1,0 mm"', ["Write 1.0 mm"]),
    ],
)
def test_a_scale_as_people_write_it_is_asked_about(tmp_path: Path, scale: str, words: list[str]) -> None:
    """A unit of 96 mm, which was taken, makes an edge of 63 m, and a refusal of something else."""
    code, said = told(tmp_path, changed(("[edge]", f"[edge]\nscale = {scale}")), drawn())
    assert code == 2 and all(one in said for one in ("plan.toml, [edge] scale", *words)), said


@pytest.mark.parametrize(("scale", "code"), [("1", 0), ('"1 mm"', 0), ('"25.4 mm"', 2), ('"96 mm"', 2)])
def test_a_scale_with_its_unit_is_taken_as_it_stands(tmp_path: Path, scale: str, code: int) -> None:
    found, said = told(tmp_path, changed(("[edge]", f"[edge]\nscale = {scale}")), drawn())
    assert found == code and "[edge] scale" not in said, said


@pytest.mark.parametrize(
    ("width", "meant"),
    [("300,5mm", 'width="300.5mm"'), ("300,5", 'width="300.5"'), ("300 Millimeter", 'width="300mm"')],
)
def test_a_size_of_a_drawing_with_a_comma_or_a_long_unit_is_told_as_it_is_written(tmp_path, width, meant) -> None:
    code, said = told(tmp_path, PLAN, drawn(size=(width, "720mm")))
    assert code == 2 and meant in said and "Set the size of its page in mm in your drawing program" in said, said


def test_a_scale_that_is_offered_has_no_decimals_that_no_tape_tells(tmp_path: Path) -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="1440mm" viewBox="0 0 300 720">'
    drawing = f'{svg}<path id="ruler" d="M 20 20 V 320.000006"/><path id="piece" d="{PIECE}"/></svg>'
    plan = changed(("[edge]", '[edge]\nknown = { path = "ruler", length = "300 mm" }'))
    code, said = told(tmp_path, plan, drawing)
    assert code == 2 and 'scale = "1 mm"' in said and "0.99999" not in said, said


def test_a_name_that_is_near_to_an_id_is_told_by_what_a_person_called_it(tmp_path: Path) -> None:
    label = 'xmlns:i="http://www.inkscape.org/namespaces/inkscape" i:label="Front edge"'
    drawing = drawn().replace('id="piece"', f'id="path1234" {label}')
    code, said = told(tmp_path, changed(('path = "piece"', 'path = "path12"')), drawing)
    assert code == 2 and "Front edge" in said and "path1234" not in said, said


def test_a_port_that_is_taken_is_told_with_one_that_is_free() -> None:
    from closures.app.web.server import listen
    from closures.errors import OutputError

    served = listen(None)
    taken = served.listener.getsockname()[1]
    try:
        with pytest.raises(OutputError, match=rf"port {taken} is taken.*--port \d+ is free"):
            listen(taken)
    finally:
        served.listener.close()
        served.rest()
    with pytest.raises(OutputError, match="there is no port 99999: they go from 1 to 65535"):
        listen(99_999)
