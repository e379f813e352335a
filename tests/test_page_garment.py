"""A whole garment on the page: the set that prints is the command's, and follows what is changed in each opening."""

from __future__ import annotations

import html
import io
import json
import re
import shutil
import zipfile
from pathlib import Path

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient
from typer.testing import CliRunner

from closures.app.command import app as command
from closures.app.web.app import make_app
from closures.app.web.garments import plans_on_disk
from closures.app.web.memory import Memory

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
ROMPER = TEMPLATES / "whole-romper"
HOME = "http://127.0.0.1:8471"
SENT = {"origin": HOME}


def client_for(path: Path, memory: Memory | None = None) -> tuple[TestClient, str]:
    page, first = make_app(8471, memory=memory, garment=plans_on_disk(path))
    return TestClient(page, base_url=HOME, follow_redirects=False), first


@pytest.fixture
def romper(tmp_path: Path) -> Path:
    return Path(shutil.copytree(ROMPER, tmp_path / "own")) / "garment.toml"


def plan_of(shown: str, opening: str) -> str:
    found = re.search(rf'{opening}</h3>.*?href="(/plan/[^"]+)"', shown, re.DOTALL)
    assert found is not None
    return found[1]


def test_closures_beside_a_row_are_counted_on_the_page(romper: Path) -> None:
    coat = TEMPLATES / "double-breasted" / "plan.toml"
    shutil.copy(coat, romper.parent / "coat.toml")
    romper.write_text(
        'title = "Coat"\n[[opening]]\nname = "front"\nplan = "coat.toml"\n[[opening]]\nname = "belt"\n'
        'plan = "belt.toml"\nover = "front"\nlevel = "300 mm"\n'
    )
    # Two columns of four and the button behind them; the belt has five snaps.
    client, first = client_for(romper)
    shown = client.get(first).text
    assert "2 openings, 14 closures;" in shown and "4 closures and 5 beside the row, gaps" in shown


def test_order_of_work_on_the_page_has_its_stop_and_says_when_each_step_is_right(romper: Path) -> None:
    from closures.app.whole import order_of, work_garment

    client, first = client_for(romper)
    shown = html.unescape(client.get(first).text)
    steps = order_of(work_garment(romper))
    (stop,) = [step.stop for step in steps if step.is_first_final]
    assert stop.startswith("Stop.") and shown.count(stop) == 1
    assert shown.count("Right when: ") == len(steps)
    before = [n for n, step in enumerate(steps, start=1) if step.is_first_final]
    assert f'<ol class="ticks" start="{before[0]}">' in shown


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("name", ["whole-romper", "whole-nursing-top"])
def test_set_of_the_page_is_byte_for_byte_that_of_the_command(name: str, tmp_path: Path) -> None:
    path = TEMPLATES / name / "garment.toml"
    assert CliRunner().invoke(command, ["place", str(path), "--out", str(tmp_path / "out")]).exit_code == 0
    client, first = client_for(path)
    with zipfile.ZipFile(io.BytesIO(client.get(f"{first}/files/all.zip").content)) as packed:
        written = [file for file in (tmp_path / "out").iterdir() if not file.name.startswith(".")]
        assert len(written) > 8
        for file in written:
            assert packed.read(file.name) == file.read_bytes(), file.name
        for source in path.parent.iterdir():
            assert packed.read(source.name) == source.read_bytes(), source.name


def test_what_fails_stands_before_the_openings_with_its_lap_and_marks(romper: Path) -> None:
    crotch = romper.parent / "crotch.toml"
    crotch.write_text(crotch.read_text().replace('width = "28 mm"', 'width = "12 mm"'))
    client, first = client_for(romper)
    shown = html.unescape(client.get(first).text)
    before = shown[: shown.index("Its openings")]
    assert (
        before.count("right crotch and left crotch, edge distance, over lap, marks 1 to 3: The centre lies 6 mm") == 1
    )
    assert "What failed" not in client_for(ROMPER / "garment.toml")[0].get(first).text


def test_page_shows_every_opening_what_lies_between_and_what_to_buy() -> None:
    client, first = client_for(ROMPER / "garment.toml")
    shown = html.unescape(client.get(first).text)
    for name in ("front", "right crotch", "left crotch", "belt"):
        assert f"</span> {name}</h3>" in shown
    assert plan_of(shown, "right crotch") == plan_of(shown, "left crotch") != plan_of(shown, "front")
    report = client.get(f"{first}/files/report.json").json()
    assert len(report["clearances"]) == 6 and "3 further pairs clear each other" in shown
    assert [one["text"] in shown for one in report["clearances"]].count(True) == 3
    assert shown.count('class="opening-picture"') == 4
    ids = re.findall(r' id="([^"]+)"', shown)
    assert len(ids) == len(set(ids))


def test_change_of_one_opening_is_in_the_set_and_in_its_own_file(romper: Path) -> None:
    client, first = client_for(romper)
    front = plan_of(client.get(first).text, "front")
    was = client.get(f"{first}/files/report.json").json()
    changed = client.post(f"{front}/change", data={"spacing.count": "7", "spacing.by": "count"}, headers=SENT)
    assert changed.status_code == 303
    now = client.get(f"{first}/files/report.json").json()
    assert len(now["openings"][0]["report"]["marks"]) == 7 != len(was["openings"][0]["report"]["marks"])
    assert now["openings"][1] == was["openings"][1]
    ran = CliRunner().invoke(command, ["check", str(romper), "--json"])
    assert json.loads(ran.output)["clearances"] == now["clearances"]
    assert "The whole garment" in client.get(front).text


def test_nothing_of_the_set_prints_while_one_opening_waits_or_was_changed_elsewhere(romper: Path) -> None:
    client, first = client_for(romper)
    shown = client.get(first).text
    at = re.search(r'name="at" value="([^"]+)"', shown)
    front = plan_of(shown, "front")
    assert at is not None and client.get(f"{first}/files/marking.pdf?at={at[1]}").status_code == 200
    client.post(f"{front}/change", data={"band.width": "wide"}, headers=SENT)
    assert "not in the picture" in client.get(f"{first}/files/marking.pdf").text
    assert 'class="fail">Not in the picture yet: front' in client.get(first).text
    client.post(f"{front}/change", data={"do": "undo"}, headers=SENT)
    stale = client.get(f"{first}/files/marking.pdf?at={at[1]}")
    assert stale.status_code == 422 and "changed meanwhile" in stale.text
    assert f'href="{first}">Back to this garment' in stale.text and "anew" not in stale.text
    assert client.get(f"{first}/files/marking.pdf").status_code == 200


def test_row_that_stands_typed_in_a_window_of_an_opening_holds_the_set_until_it_is_added_emptied_or_left_out(
    romper: Path, tmp_path: Path
) -> None:
    client, first = client_for(romper, Memory(tmp_path / "aside"))
    front = plan_of(client.get(first).text, "front")
    told = ["“Another fixed place”, under “Fixed places”: bust, 120 mm"]

    def stands(said: list[str], window: str = "one") -> None:
        noted = client.post(f"{front}/left", data={"window": window, "left": json.dumps(said)}, headers=SENT)
        assert noted.status_code == 200 and not noted.json()["left_html"].strip()

    def is_given(window: str = "") -> bool:
        files = [f"{first}/files/{name}" for name in ("marking.pdf", "all.zip", "report.json")]
        files += [] if window else [f"{front}/files/marking.pdf", f"{front}/files/over.svg", f"{front}/report"]
        answers = [client.get(one) for one in files]
        for one in answers:
            assert one.status_code == 200 or ("is not in the picture yet" in one.text and "bust" in one.text)
        assert len({one.status_code for one in answers}) == 1
        return answers[0].status_code == 200

    stands(told)
    shown = html.unescape(client.get(first).text)
    assert not is_given() and '<p id="live" role="status" class="fail">Not in the picture yet: front. Shown' in shown
    assert "every check passes" not in re.search(r'<p id="live".*?</p>', shown)[0]  # type: ignore[index]
    assert shown.count(" disabled") == 4 and f'<a href="{front}">front</a>: typed and not asked for, “Another' in shown
    state = client.get(f"{first}/state").json()
    assert state["holds"] and state["result"] == "fail" and "bust, 120 mm" in html.unescape(state["held_html"])
    # Its own card tells no verdict on a picture that lacks it; the others' cards do.
    cards = re.findall(r'of-card" aria-hidden="true">(.)</span> (.*?)</h3>.*?card-told">(.*?)</p>', shown, re.DOTALL)
    assert [(sign, said) for sign, _, said in cards] == [(one["sign"], one["brief"]) for one in state["cards"]]
    (own,) = [(sign, said) for sign, name, said in cards if name == "front"]
    assert own == ("✕", f"Not in the picture yet: {told[0]}.")
    assert all("checks" in said or "check passes" in said for _, name, said in cards if name != "front")
    # The window itself holds what stands in it by its own scripts; its plan is saved as it stands.
    assert client.get(f"{front}/files/marking.pdf?window=one").status_code == 200
    assert client.get(f"{front}/files/plan.toml").status_code == 200
    assert "Typed in another window of this plan" in client.get(front).text
    # It is held by another run of the page too, which knows nothing but what was remembered.
    again, same = client_for(romper, Memory(tmp_path / "aside"))
    assert same == first and again.get(f"{first}/files/marking.pdf").status_code == 422
    stands([])
    assert is_given() and not client.get(f"{first}/state").json()["holds"]
    stands(told, "two")
    left_out = {"window": "two", "do": "leave out", "to": "garment"}
    assert client.post(f"{front}/left", data=left_out, headers=SENT).headers["location"] == first
    assert is_given() and client.get(first).text.count(" disabled") == 0


def test_change_tells_along_what_it_leaves_out_and_a_page_of_an_older_garment_is_held(romper: Path) -> None:
    client, first = client_for(romper)
    shown = client.get(first).text
    at = re.search(r'name="at" value="([^"]+)"', shown)
    front = plan_of(shown, "front")
    sent = SENT | {"accept": "application/json"}
    noted = {"window": "one", "left": json.dumps(["a row"])}
    client.post(f"{front}/left", data=noted, headers=SENT)
    client.post(f"{front}/change", data={"band.inset": "13 mm", "window": "one", "left": "[]"}, headers=sent)
    assert at is not None
    stale = client.get(f"{first}/state?at={at[1]}").json()
    assert stale["holds"] and "as it was before a plan was changed" in stale["brief"]
    assert [one["brief"] for one in stale["cards"]].count("Its plan was changed since this page was loaded.") == 1
    assert not client.get(f"{first}/state").json()["holds"]
    assert client.post("/plan/none-of-this-name/left", data=noted, headers=SENT).status_code == 404


def test_mirrored_opening_is_told_by_the_opening_that_it_mirrors_and_not_by_a_file(romper: Path) -> None:
    client, first = client_for(romper)
    shown = client.get(first).text
    assert "The other half of right crotch: a change there changes both." in shown
    assert "crotch.toml" not in re.sub(r"<[^>]*>", "", shown)


def test_openings_that_stop_going_together_say_so_and_do_not_print(romper: Path) -> None:
    client, first = client_for(romper)
    belt = plan_of(client.get(first).text, "belt")
    text = (TEMPLATES / "curved-front" / "plan.toml").read_text(encoding="utf-8").replace("drawing =", "# drawing =")
    text = re.sub(r"\[edge\].*?(?=\n\[)", '[edge]\nstraight = "400 mm"\n', text, flags=re.DOTALL)
    text = re.sub(r"\[\[(?:anchor|clear)\]\].*?(?=\n\[|\Z)", "", text, flags=re.DOTALL)
    assert client.post(f"{belt}/change", data={"do": "text", "text": text}, headers=SENT).status_code == 303
    shown = client.get(first)
    assert shown.status_code == 200 and "do not go together" in shown.text and "is no strap" in shown.text
    assert client.get(f"{first}/files/marking.pdf").status_code == 422


def test_starting_garment_is_opened_from_the_first_page_and_left_as_it_is() -> None:
    page, _ = make_app(8471)
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    assert "whole-romper" in client.get("/").text
    opened = client.post("/open/garment", data={"name": "whole-romper"}, headers=SENT)
    assert opened.status_code == 303
    before = (ROMPER / "front.toml").read_bytes()
    front = plan_of(client.get(opened.headers["location"]).text, "front")
    client.post(f"{front}/change", data={"spacing.count": "7", "spacing.by": "count"}, headers=SENT)
    assert (ROMPER / "front.toml").read_bytes() == before
    assert client.post("/open/garment", data={"name": "no-such"}, headers=SENT).status_code == 422


def test_garment_is_handed_in_with_its_plans_and_a_missing_one_is_named() -> None:
    page, _ = make_app(8471)
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    handed = [("files", (path.name, path.read_bytes())) for path in sorted(ROMPER.iterdir())]
    opened = client.post("/open/plan", files=handed, headers=SENT)
    assert opened.status_code == 303 and opened.headers["location"].startswith("/garment/")
    missing = client.post("/open/plan", files=[one for one in handed if one[1][0] != "belt.toml"], headers=SENT)
    assert missing.status_code == 422 and "belt.toml" in missing.text and "was not handed in" in missing.text


def test_garment_is_remembered_with_its_plans_and_comes_back_under_the_same_address(
    romper: Path, tmp_path: Path
) -> None:
    client, first = client_for(romper, Memory(tmp_path / "aside"))
    front = plan_of(client.get(first).text, "front")
    client.post(f"{front}/change", data={"spacing.count": "7", "spacing.by": "count"}, headers=SENT)
    page, _ = make_app(8471, memory=Memory(tmp_path / "aside"))
    again = TestClient(page, base_url=HOME, follow_redirects=False)
    assert f'href="{first}"' in again.get("/").text
    assert len(again.get(f"{first}/files/report.json").json()["openings"][0]["report"]["marks"]) == 7
    assert f'href="{first}"' in again.get(front).text
    _, same = client_for(romper, Memory(tmp_path / "aside"))
    assert same == first


def test_garment_that_is_not_open_is_said() -> None:
    page, _ = make_app(8471)
    client = TestClient(page, base_url=HOME)
    assert client.get("/garment/nothing-of-this-name").status_code == 404
    assert "no longer on the table" in client.get("/garment/nothing-of-this-name").text


def without_a_row(folder: Path) -> Path:
    """A romper of which one opening has fewer closures than its widest gap allows."""
    plan = next(path for path in sorted(folder.glob("*.toml")) if "[spacing]" in path.read_text("utf-8"))
    text = re.sub(r"(?m)^(pitch|count|widest) = .*\n", "", plan.read_text("utf-8"))
    plan.write_text(text.replace("[spacing]\n", '[spacing]\ncount = 3\nwidest = "20 mm"\n'), "utf-8")
    return plan


@pytest.mark.parametrize("is_served", [True, False], ids=["served", "handed in"])
def test_garment_with_an_opening_that_no_row_meets_is_offered_its_repairs_and_hangs_mended(
    is_served: bool, romper: Path
) -> None:
    plan = without_a_row(romper.parent)
    before = plan.read_text("utf-8")
    if is_served:
        client, first = client_for(romper)
        shown = client.get(first).text
    else:
        page, _ = make_app(8471)
        client = TestClient(page, base_url=HOME, follow_redirects=False)
        files = [("files", (path.name, path.read_bytes())) for path in romper.parent.iterdir()]
        refused = client.post("/open/plan", files=files, headers=SENT)
        shown = refused.text
        assert refused.status_code == 422
    assert plan.name in shown and plan.read_text("utf-8") == before
    offers = re.findall(r'action="(/open/mended/[^"]+)"[^>]*><button name="do" value="(repair \d+)"', shown)
    assert offers
    taken = client.post(offers[0][0], data={"do": offers[0][1]}, headers=SENT)
    assert taken.status_code == 303, taken.text
    hung = client.get(taken.headers["location"])
    assert taken.headers["location"].startswith("/garment/") and "openings" in hung.text
    assert (plan.read_text("utf-8") != before) is is_served


def test_refused_change_of_an_opening_is_offered_repairs_that_the_garment_shows(romper: Path) -> None:
    client, first = client_for(romper)
    opening = re.findall(r'href="(/plan/[^"]+)"', client.get(first).text)[0]
    before = client.get(f"{opening}/files/plan.toml").text
    parts = client.post(
        f"{opening}/change",
        data={"do": "redraw", "spacing.widest": "9 mm"},
        headers=SENT | {"accept": "application/json"},
    ).json()
    assert not parts["ok"] and "not in the picture yet" in html.unescape(client.get(first).text).lower()
    assert 'value="repair 0"' in parts["message"]
    mended = client.post(
        f"{opening}/change", data={"do": "repair 0"}, headers=SENT | {"accept": "application/json"}
    ).json()
    assert mended["ok"] and mended["text"] != before
    assert "not in the picture yet" not in client.get(first).text.lower()


@pytest.mark.parametrize("way", ["named to the command", "handed in"])
def test_plan_of_both_sides_is_the_garment_of_both_on_the_page(tmp_path: Path, way: str) -> None:
    plan = Path(shutil.copytree(TEMPLATES / "whole-nursing-top", tmp_path / "own")) / "side.toml"
    plan.write_text(plan.read_text().replace("[garment]\n", "[garment]\npair_of_rows = true\n", 1))
    assert CliRunner().invoke(command, ["place", str(plan)]).exit_code == 0
    if way == "handed in":
        page, _ = make_app(8471)
        client = TestClient(page, base_url=HOME, follow_redirects=False)
        opened = client.post("/open/plan", files={"file": ("side.toml", plan.read_bytes())}, headers=SENT)
        assert opened.status_code == 303, opened.text
        first = opened.headers["location"]
    else:
        client, first = client_for(plan)
    shown = client.get(first).text
    assert first.startswith("/garment/") and "left side</h3>" in shown and "right side</h3>" in shown
    own = client.get(plan_of(shown, "right side")).text
    assert "This is one of two rows" in own
    with zipfile.ZipFile(io.BytesIO(client.get(f"{first}/files/all.zip").content)) as packed:
        for file in (plan.parent / "side").iterdir():
            if not file.name.startswith("."):
                assert packed.read(file.name) == file.read_bytes(), file.name
        assert packed.read("side.toml") == plan.read_bytes()


def test_a_slip_in_the_name_of_the_openings_is_told_as_the_command_tells_it(romper: Path) -> None:
    romper.write_text(romper.read_text().replace("[[opening]]", "[[openings]]"))
    handed = [("file", (one.name, one.read_bytes())) for one in romper.parent.iterdir()]
    told = CliRunner().invoke(command, ["check", str(romper)]).stderr
    page, _ = make_app(8471)
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    shown = html.unescape(client.post("/open/plan", files=handed, headers=SENT).text)
    mend = 'Write [[opening]] above each opening, and below it name = "front" and plan = "front.toml".'
    assert mend in told and mend in shown


def test_small_picture_of_a_short_row_gives_its_numbers_room() -> None:
    client, first = client_for(ROMPER / "garment.toml")
    shown = client.get(first).text
    # The front is 590 mm high and shown whole; the crotch, 110 mm long with its names at both ends, fills its picture.
    boxes = [list(map(float, told.split())) for told in re.findall(r'viewBox="([-\d. ]+)" role="img"', shown)]
    assert len(boxes) == 4 and boxes[0][3] > 560
    assert all(110 < width < 300 and height < 300 for _, _, width, height in boxes[1:3])
    whole = re.search(r'id="worn" viewBox="([-\d. ]+)"', client.get(plan_of(shown, "right crotch")).text)
    assert float(whole[1].split()[3]) > 560


def test_page_of_an_opening_tells_what_the_garments_other_plans_tell_of_its_wearer(romper: Path) -> None:
    client, first = client_for(romper)
    shown = client.get(first).text
    assert "one garment has one wearer" not in client.get(plan_of(shown, "right crotch")).text
    front = romper.parent / "front.toml"
    front.write_text(front.read_text() + '\n[wearer]\nprofiles = ["child"]\n')
    client, first = client_for(romper)
    shown = client.get(first).text
    crotch = html.unescape(client.get(plan_of(shown, "right crotch")).text)
    assert '<p class="note">right crotch does not tell profiles (child), and is worked as the garment' in crotch
    assert "All else that stands here is of this plan alone" in crotch
    assert "one garment has one wearer" not in client.get(plan_of(shown, "front")).text


def test_page_of_an_opening_tells_what_its_garment_finds_between_it_and_the_others(romper: Path) -> None:
    """That a belt covers a closure of the front is found between the two: the front's own checks all pass."""
    romper.write_text(romper.read_text().replace('level = "332 mm"', 'level = "345 mm"'))
    client, first = client_for(romper)
    shown = client.get(first).text
    for opening in ("front", "belt"):
        own = html.unescape(client.get(plan_of(shown, opening)).text)
        assert re.search(r'<p class="note">[✕!] front 5 lies under the belt', own)
        assert "with the garment’s other plans, as they stood when this page was loaded" in own.lower()
    crotch = html.unescape(client.get(plan_of(shown, "right crotch")).text)
    assert "well beside it" in crotch and "lies under the belt" not in crotch


def test_page_tells_of_a_garment_what_the_command_tells(romper: Path) -> None:
    front = romper.parent / "front.toml"
    front.write_text(front.read_text().replace("[spacing]\n", '[spacing]\nwidest = "60 mm"\n'))
    said = CliRunner().invoke(command, ["check", str(romper)], terminal_width=5000).output
    client, first = client_for(romper)
    shown = html.unescape(re.sub(r"<[^>]*>", "", client.get(first).text))
    plain = " ".join(said.split())
    assert "look front, " in plain and "Assumed: " in plain and "Lay a tape on yours." in plain
    told = [line for line in re.findall(r'class="note">(.*?)</p>', html.unescape(client.get(first).text))]
    assert len(told) >= 5
    for line in told:
        # Keys are told by the labels of their fields here.
        assert " ".join(line.split()).partition(" “")[0] in plain, line
    looks = re.findall(r'class="warn">.*?<p>(.*?)</p>', html.unescape(client.get(first).text))
    assert len(looks) == plain.count("look front, ") > 0
    assert "front: Assumed: The closing line lies 18 mm from the finished edge" in shown
    assert "A pack holds whole closures, all parts of each" in shown and "A pack holds whole closures" in plain


def test_garment_tells_that_another_program_changed_a_plan_and_a_button_takes_it(romper: Path) -> None:
    client, first = client_for(romper)
    shown = client.get(first).text
    at = re.search(r'name="at" value="([^"]+)"', shown)
    crotch = romper.parent / "crotch.toml"
    crotch.write_text(
        crotch.read_text(encoding="utf-8").replace('pitch = "25 mm"', 'pitch = "20 mm"'), encoding="utf-8"
    )
    # Who was not told gets nothing, however often it is asked.
    for wanted in ("marking.pdf", "all.zip", "report.json", "marking.pdf"):
        held = client.get(f"{first}/files/{wanted}")
        assert held.status_code == 422 and "Right crotch and left crotch: another program" in html.unescape(held.text)
        assert f'href="{first}">Back to this garment' in held.text
    # A window that is open hears of it, with its way to go on, and is not green.
    assert at is not None
    state = client.get(f"{first}/state?at={at[1]}").json()
    assert state["result"] == "warn" and not state["holds"]
    assert state["brief"].startswith("Not what the files hold now: right crotch and left crotch. 4 openings, ")
    assert "Go on from the file" in state["held_html"] and "another program changed the file" in state["held_html"]
    told = {"told": state["told"], "at": at[1]}
    assert client.get(f"{first}/files/report.json", params=told).status_code == 200
    # So does one that is loaded now.
    shown = client.get(first).text
    assert (
        f'name="told" value="{state["told"]} "' in shown and 'class="warn">Not what the files hold now: right' in shown
    )
    bench = plan_of(shown, "left crotch")
    taken = client.post(f"{bench}/change?at=0", data={"do": "file", "to": "garment"}, headers=SENT)
    assert taken.status_code == 303 and taken.headers["location"] == first
    shown = client.get(first).text
    assert "Go on from the file" not in shown and 'class="pass">4 openings' in shown
    report = client.get(f"{first}/files/report.json").json()
    assert report["openings"][1]["report"]["spacing"]["largest_mm"] < 22


def test_telling_of_one_changed_file_is_no_telling_of_another(romper: Path) -> None:
    client, first = client_for(romper)
    front, belt = romper.parent / "front.toml", romper.parent / "belt.toml"
    front.write_text(front.read_text(encoding="utf-8") + "\n# by somebody else\n", encoding="utf-8")
    told = client.get(f"{first}/state").json()["told"]
    assert client.get(f"{first}/files/report.json", params={"told": told}).status_code == 200
    belt.write_text(belt.read_text(encoding="utf-8") + "\n# by somebody else\n", encoding="utf-8")
    assert "belt: another program" in client.get(f"{first}/files/report.json", params={"told": told}).text.lower()


def test_line_of_a_garment_counts_the_notes_of_its_parts(romper: Path) -> None:
    client, first = client_for(romper)
    shown = client.get(first).text
    notes = sum(int(many) for many in re.findall(r'card-told">[^<]*; (\d+) notes? to read', shown))
    assert notes > 0
    assert (
        f"every check passes; {notes} note{'' if notes == 1 else 's'} to read.</p>" in shown.partition("card-told")[0]
    )


def test_what_is_wrong_between_openings_names_them_and_the_fields_of_their_pages(romper: Path) -> None:
    client, first = client_for(romper)
    crotch, front = romper.parent / "crotch.toml", romper.parent / "front.toml"
    whole = crotch.read_text(encoding="utf-8")
    loses = '[shrinkage]\nmeasured = "unwashed"\nalong = "5 %"\nacross = "5 %"\n'
    front.write_text(front.read_text(encoding="utf-8") + loses, encoding="utf-8")
    client, first = client_for(romper)
    for page in (first, f"{first}/files/marking.pdf"):
        said = html.unescape(client.get(page).text)
        assert "Write “Shrinkage” into right crotch and left crotch too" in said and "crotch.toml" not in said, page
    front.write_text(front.read_text(encoding="utf-8").replace(loses, ""), encoding="utf-8")
    # One half alone of a row that its plan says the body has twice.
    crotch.write_text(whole.replace("[garment]\n", "[garment]\npair_of_rows = true\n"), encoding="utf-8")
    text = romper.read_text(encoding="utf-8")
    romper.write_text(re.sub(r'\[\[opening\]\]\nname = "left crotch"[^[]*', "", text), encoding="utf-8")
    client, first = client_for(romper)
    for page in (first, f"{first}/files/marking.pdf"):
        said = html.unescape(client.get(page).text)
        assert "right crotch: “The other side of the body has it too” says" in said, page
