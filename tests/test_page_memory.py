"""What the page remembers: an ended page comes back to the same work, step by step, with what waits in its fields."""

from __future__ import annotations

import os
import random
import shutil
import stat
import tracemalloc
from dataclasses import replace
from pathlib import Path

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient

from closures.app.web import memory as remembering
from closures.app.web.app import make_app
from closures.app.web.bench import MOST_STEPS, Bench, Refusal, Step
from closures.app.web.memory import Memory
from closures.app.web.table import Hand, Table, files_beside
from closures.errors import PlanError

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
HOME = "http://127.0.0.1:8471"
SENT = {"origin": HOME}


def own_plan(tmp_path: Path) -> Path:
    shutil.copytree(TEMPLATES / "curved-front", tmp_path / "own")
    return tmp_path / "own" / "plan.toml"


def test_page_that_was_ended_comes_back_to_every_step_and_undoes_them(tmp_path: Path) -> None:
    table = Table(Memory(tmp_path / "aside"))
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    for pitch in ("70 mm", "60 mm", "65 mm"):
        bench = table.change(bench.name, Hand("redraw", {"spacing.pitch": pitch}))
    bench = table.change(bench.name, Hand("undo", {}))
    again = Table(Memory(tmp_path / "aside"))
    found = again.find(bench.name)
    assert (found.steps, found.at, found.turn, found.files) == (bench.steps, bench.at, bench.turn, bench.files)
    assert "70 mm" in again.change(bench.name, Hand("undo", {})).step.text
    assert "65 mm" in [again.change(bench.name, Hand("redo", {})) for _ in range(2)][-1].step.text


def test_what_waits_in_a_field_is_remembered_and_still_holds_the_print(tmp_path: Path) -> None:
    table = Table(Memory(tmp_path))
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    bench = table.change(bench.name, Hand("redraw", {"band.width": "wide", "spacing.pitch": "70 mm"}))
    found = Table(Memory(tmp_path)).find(bench.name)
    assert bench.refusal is not None and found.refusal == replace(bench.refusal)
    assert found.has_waiting and found.refusal.words.keys() == {"band.width"}


def test_line_that_was_not_written_to_its_end_is_one_step_less_and_no_more(tmp_path: Path) -> None:
    table = Table(Memory(tmp_path))
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    for pitch in ("70 mm", "60 mm"):
        bench = table.change(bench.name, Hand("redraw", {"spacing.pitch": pitch}))
    path = tmp_path / f"{bench.name}.steps"
    path.write_bytes(path.read_bytes()[:-7])
    found = Table(Memory(tmp_path)).find(bench.name)
    assert found.steps == bench.steps[:-1]


@pytest.mark.parametrize("seed", range(8))
def test_random_steps_undone_dropped_and_beyond_the_limit_are_remembered_alike(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    dice = random.Random(seed)
    if seed % 2:
        monkeypatch.setattr(remembering, "_MOST_LINES_BYTES", 20_000)
    memory = Memory(tmp_path)
    bench = Bench("a-name-of-a-bench", "plan.toml", {"d.svg": b"<svg/>"}, (Step('title = "0"'),))
    for n in range(MOST_STEPS + 60):
        match dice.randrange(6):
            case 0:
                bench = bench.undone()
            case 1:
                bench = bench.redone()
            case 2:
                bench = bench.refused(Refusal(("no",), ("a",), {"a": "x"}, {"a": "no"}, offers=(("take", "t"),)))
            case _:
                bench = bench.taken(Step(f"title = {str(n)!r}", gesture=dice.choice(("", "drag-1"))))
        assert memory.keep(bench)
        if n % 20 == 0:
            assert Memory(tmp_path).recall(bench.name) == replace(bench, kept=bench.kept)


def test_plan_given_again_goes_on_with_its_steps_and_what_an_editor_wrote_is_one_more(tmp_path: Path) -> None:
    home, aside = own_plan(tmp_path), tmp_path / "aside"
    table = Table(Memory(aside))
    bench = table.lay(*files_beside(home), home)
    was = home.read_text(encoding="utf-8")
    table.change(bench.name, Hand("redraw", {"spacing.pitch": "70 mm"}))
    again = Table(Memory(aside))
    found = again.lay(*files_beside(home), home)
    assert found.name == bench.name and found.can_undo
    again.change(found.name, Hand("undo", {}))
    assert home.read_text(encoding="utf-8") == was
    home.write_text(was + "\n# by an editor\n", encoding="utf-8")
    third = Table(Memory(aside))
    edited = third.lay(*files_beside(home), home)
    assert edited.step.text.endswith("# by an editor\n") and edited.can_undo
    third.change(edited.name, Hand("undo", {}))
    assert home.read_text(encoding="utf-8") == was


def test_other_drawing_beside_a_plan_begins_anew(tmp_path: Path) -> None:
    home, memory = own_plan(tmp_path), Memory(tmp_path / "aside")
    first = Table(memory).lay(*files_beside(home), home)
    drawing = next(home.parent.glob("*.svg"))
    drawing.write_bytes(drawing.read_bytes() + b"<!-- drawn again -->")
    assert Table(memory).lay(*files_beside(home), home).name != first.name


def test_two_pages_on_one_plan_agree(tmp_path: Path) -> None:
    one, other = Table(Memory(tmp_path)), Table(Memory(tmp_path))
    bench = one.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    assert other.find(bench.name).step == bench.step
    changed = one.change(bench.name, Hand("redraw", {"spacing.pitch": "70 mm"}, turn=0))
    late = other.change(bench.name, Hand("redraw", {"spacing.pitch": "60 mm"}, turn=0))
    assert late.step == changed.step and late.refusal is not None and "another window" in late.refusal.sentences[0]


@pytest.mark.skipif(os.name == "nt", reason="permissions as POSIX has them")
def test_what_is_remembered_is_its_owners_alone(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "aside"
    Table(Memory(folder)).lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}


def test_what_was_not_changed_for_longest_makes_room_with_its_drawing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(remembering, "MOST_REMEMBERED", 2)
    memory = Memory(tmp_path)
    for n in range(3):
        bench = Bench(f"bench-number-{n}", "plan.toml", {"d.svg": b"%d" % n}, (Step(f'title = "{n}"'),))
        assert memory.keep(bench)
        os.utime(tmp_path / f"bench-number-{n}.steps", (n, n))
    memory.keep(Bench("bench-number-3", "plan.toml", {}, (Step('title = "3"'),)))
    assert [one.title for one in memory.listed()] == ["3", "2"]
    assert len(list(tmp_path.glob("*.file"))) == 1


def test_plans_of_one_title_are_told_apart_by_their_length_and_closure(tmp_path: Path) -> None:
    memory = Memory(tmp_path)
    texts = {
        "straight": '[edge]\nstraight = "24 in"\n[closure]\nkind = "prong snap"\nsize = "16 L"\n',
        "arc": '[edge]\narc = { length = "345 mm", radius = "220 mm" }\n[closure]\nkind = "eyelet"\nsize = "4 mm"\n',
        "drawn": 'drawing = "front.svg"\n[edge]\npath = "edge"\n[closure]\nkind = "eyelet"\nsize = "4 mm"\n',
    }
    for name, text in texts.items():
        memory.keep(Bench(f"bench-of-a-{name}", "plan.toml", {}, (Step(text),)))
    assert {one.name.removeprefix("bench-of-a-"): one.about for one in memory.listed()} == {
        "straight": "24 in, prong snap 16 L",
        "arc": "345 mm, eyelet 4 mm",
        "drawn": "front.svg, eyelet 4 mm",
    }


def test_what_makes_room_is_held_in_memory_no_longer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each plan that was ever opened stayed, with its drawings: a page that was open for an hour grew by a quarter."""
    monkeypatch.setattr(remembering, "MOST_REMEMBERED", 3)
    memory = Memory(tmp_path)
    drawing = b"d" * 400_000
    tracemalloc.start()
    try:
        for n in range(60):
            bench = Bench(f"bench-number-{n}", "plan.toml", {"d.svg": drawing + b"%d" % n}, (Step(f'title = "{n}"'),))
            assert memory.keep(bench)
        del bench
        held, _ = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert held < 12 * len(drawing)
    assert len(memory.listed()) == 3


def test_plan_that_is_not_at_hand_any_more_goes_on_with_its_steps(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    memory = Memory(tmp_path)
    benches = [Bench(f"bench-number-{n}", "plan.toml", {}, (Step(f'title = "{n}"'),)) for n in range(12)]
    for bench in benches:
        assert memory.keep(bench)
    changed = replace(benches[0], steps=(*benches[0].steps, Step('title = "anew"')), at=1)
    assert memory.keep(changed) and not memory.is_older(changed)
    again = Memory(tmp_path).recall(changed.name)
    assert again is not None and again.steps == changed.steps


def test_folder_that_cannot_be_written_leaves_the_page_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    table = Table(Memory(tmp_path / "taken"))
    bench = table.lay(*files_beside(TEMPLATES / "curved-front" / "plan.toml"))
    assert not bench.is_remembered
    assert "70 mm" in table.change(bench.name, Hand("redraw", {"spacing.pitch": "70 mm"})).step.text


@pytest.mark.parametrize("name", ["../../etc/passwd", "short", "x" * 80, "a/b-c-d-e-f-g-h"])
def test_name_that_is_none_reads_no_file(tmp_path: Path, name: str) -> None:
    with pytest.raises(PlanError, match="no longer on the table"):
        Table(Memory(tmp_path)).find(name)


def test_first_page_lists_what_is_open_and_what_was_and_forgets_what_is_told(tmp_path: Path) -> None:
    page, first = make_app(8471, files_beside(TEMPLATES / "curved-front" / "plan.toml"), memory=Memory(tmp_path))
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    listed = client.get("/").text
    assert "Open now" in listed and f'href="{first}"' in listed and "Earlier" not in listed
    assert "Remembered here as you change it" in client.get(first).text
    page, _ = make_app(8471, memory=Memory(tmp_path))
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    listed = client.get("/").text
    assert "Earlier" in listed and f'href="{first}"' in listed and "Open now" not in listed
    assert client.get(first).status_code == 200
    assert client.post("/forget", data={"name": first.rpartition("/")[2]}, headers=SENT).status_code == 303
    assert client.get(first).status_code == 404 and first not in client.get("/").text


@pytest.mark.skipif(os.name == "nt", reason="signals as POSIX has them")
def test_killed_server_comes_back_to_the_same_work_at_the_same_address(tmp_path: Path) -> None:
    import http.client
    import re
    import signal
    import subprocess
    import sys
    from urllib.parse import urlencode, urlsplit

    def begun(*more: str) -> tuple[subprocess.Popen[str], http.client.HTTPConnection, dict[str, str], str]:
        words = [sys.executable, "-m", "closures", "serve", *more, "--port", "0", "--no-open"]
        place = {**os.environ, "XDG_STATE_HOME": str(tmp_path), "LOCALAPPDATA": str(tmp_path), "HOME": str(tmp_path)}
        running = subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=place)
        assert running.stdout is not None
        found = re.search(r"http://\S+", running.stdout.readline())
        assert found is not None
        at = urlsplit(found[0])
        asked = http.client.HTTPConnection(at.hostname or "", at.port or 0, timeout=60)
        asked.request("GET", f"{at.path}?{at.query}")
        answer = asked.getresponse()
        answer.read()
        asked.close()
        headers = {"Cookie": str(answer.getheader("set-cookie")).partition(";")[0], "Origin": f"http://{at.netloc}"}
        return running, asked, headers, at.path

    running, asked, headers, plan = begun(str(TEMPLATES / "curved-front" / "plan.toml"))
    form = {"Content-Type": "application/x-www-form-urlencoded", "Accept": "application/json"}
    asked.request("POST", f"{plan}/change", urlencode({"spacing.pitch": "70 mm"}), headers | form)
    assert b'"ok":true' in asked.getresponse().read()
    running.send_signal(signal.SIGKILL)
    running.wait(30)
    running, asked, headers, _ = begun()
    try:
        asked.request("GET", f"{plan}/files/plan.toml", headers=headers)
        assert b"70 mm" in asked.getresponse().read()
        asked.request("POST", f"{plan}/change", urlencode({"do": "undo"}), headers | form)
        assert b'"ok":true' in asked.getresponse().read()
    finally:
        running.terminate()
        running.wait(30)
