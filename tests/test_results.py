"""Results are one thing: whole or untouched, over nothing that is somebody's own, and nothing left behind."""

import errno
import hashlib
import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures import files
from closures.app.command import app
from closures.errors import OutputError
from closures.results import standing, switching, whole

RUN = CliRunner()
KILLS = Path(__file__).with_name("kills.py")
PLAN = """
title = "Lantern shirt"
[edge]
straight = "600 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = 20
last = 20
count = 8
"""


def set_of(kind: str, *names: str) -> dict[str, bytes]:
    words = {name: f"{kind} {name}".encode() for name in ("over.svg", "under.svg", *names)}
    return words | {"report.json": json.dumps({"title": kind}).encode()}


def content_of(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def ways_to_switch(monkeypatch: pytest.MonkeyPatch, way: str, folder: Path) -> None:
    """Make this system one that cannot exchange folders in a step, or one that cannot move them at all."""
    if way == "two steps":
        monkeypatch.setattr(switching, "exchanged_at_once", lambda one, other: False)
    if way == "file by file":
        monkeypatch.setattr(whole, "exchange", lambda new, real, old: False)


WAYS = ["one step", "two steps", "file by file"]
pytestmark = pytest.mark.filterwarnings("error")


@pytest.mark.parametrize("way", WAYS)
def test_set_takes_the_place_of_the_one_before_and_takes_its_left_overs_away(way, tmp_path, monkeypatch):
    ways_to_switch(monkeypatch, way, tmp_path)
    out = tmp_path / "a" / "b"
    assert whole.write_set(out, set_of("old", "stencil.svg", "numbers.csv")).left == ()
    (out / "note.txt").write_bytes(b"mine")
    (out / "numbers.csv").write_bytes(b"changed by hand")
    note = (out / "note.txt").stat()
    written = whole.write_set(out, set_of("new"))
    assert written.left == ("numbers.csv",)
    assert content_of(out) == standing.sealed(set_of("new")) | {"note.txt": b"mine", "numbers.csv": b"changed by hand"}
    assert ((out / "note.txt").stat().st_ino, (out / "note.txt").stat().st_mtime) == (note.st_ino, note.st_mtime)
    assert [path.name for path in out.parent.iterdir()] == ["b"], "nothing is left beside it"
    # What was left once is somebody's own from then on.
    assert whole.write_set(out, set_of("newer")).left == ()
    assert (out / "numbers.csv").read_bytes() == b"changed by hand"


def test_report_names_every_file_of_its_set_with_its_hash(tmp_path):
    whole.write_set(tmp_path / "out", set_of("new", "stencil.svg"))
    told = json.loads((tmp_path / "out" / "report.json").read_bytes())["files"]
    here = content_of(tmp_path / "out")
    assert told == {name: hashlib.sha256(here[name]).hexdigest() for name in here if name != "report.json"}


def test_set_that_stands_there_already_is_left_as_it_is(tmp_path):
    whole.write_set(tmp_path / "out", set_of("one"))
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "out").iterdir()}
    whole.write_set(tmp_path / "out", set_of("one"))
    assert {path: path.stat().st_mtime_ns for path in (tmp_path / "out").iterdir()} == before


@pytest.mark.parametrize("way", WAYS)
def test_files_nobody_told_of_are_never_taken_away_by_a_report_that_names_them(way, tmp_path, monkeypatch):
    ways_to_switch(monkeypatch, way, tmp_path)
    out = tmp_path / "out"
    whole.write_set(out, set_of("old"))
    (tmp_path / "precious.txt").write_bytes(b"mine")
    report = json.loads((out / "report.json").read_bytes())
    mine = hashlib.sha256(b"mine").hexdigest()
    report["files"] |= {"../precious.txt": mine, "..": mine, "sub": mine, 'a"b': 7}
    (out / "report.json").write_text(json.dumps(report))
    (out / "sub").mkdir()
    whole.write_set(out, set_of("new"))
    assert (tmp_path / "precious.txt").read_bytes() == b"mine" and (out / "sub").is_dir()


@pytest.mark.parametrize("name", ["over.svg", "report.json", "report.md"])
def test_file_that_no_earlier_run_wrote_is_not_written_over(name, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / name).write_bytes(b'{"mine": 1}')
    with pytest.raises(OutputError, match="in the way"):
        whole.write_set(out, set_of("new", "report.md"))
    assert content_of(out) == {name: b'{"mine": 1}'}


def test_folder_of_a_results_name_in_the_way_is_named_with_the_cure_and_leaves_all_as_it_was(tmp_path):
    out = tmp_path / "out"
    whole.write_set(out, set_of("old"))
    (out / "marking.pdf").mkdir()
    before = {path.name for path in out.iterdir()}
    with pytest.raises(OutputError, match=r"marking\.pdf: a folder of this name is in the way.* Move it"):
        whole.write_set(out, set_of("new", "marking.pdf"))
    assert {path.name for path in out.iterdir()} == before and (out / "over.svg").read_bytes() == b"old over.svg"


def test_file_in_the_way_of_the_folder_is_told(tmp_path):
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(OutputError, match="in the way of the folder"):
        whole.write_set(tmp_path / "out", set_of("new"))
    assert (tmp_path / "out").read_bytes() == b"mine"


@pytest.mark.parametrize("held", ["over.svg", "report.json", "stencil.svg"])
def test_file_that_another_program_holds_is_named_and_the_old_set_stays_whole(held, tmp_path, monkeypatch):
    # As on a system where an open file cannot be moved, nor a folder that holds one.
    out = tmp_path / "out"
    whole.write_set(out, set_of("old", "stencil.svg"))
    before, move = content_of(out), os.rename

    def refuse(source, target):
        if Path(source) == out or (Path(source).name == held and Path(source).parent == out):
            raise PermissionError(errno.EACCES, "The process cannot access the file")
        return move(source, target)

    monkeypatch.setattr(switching, "exchanged_at_once", lambda one, other: False)
    monkeypatch.setattr(os, "rename", refuse)
    with pytest.raises(
        OutputError, match=rf"{held}: this file cannot be replaced: it is open in another program.*Close it"
    ):
        whole.write_set(out, set_of("new"))
    assert content_of(out) == before and [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("way", WAYS)
def test_disk_that_is_full_leaves_the_old_set_whole(way, tmp_path, monkeypatch):
    out = tmp_path / "out"
    whole.write_set(out, set_of("old"))
    before = content_of(out)
    ways_to_switch(monkeypatch, way, tmp_path)

    def full(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match=r"cannot be written here \(No space left on device\)"):
        whole.write_set(out, set_of("new"))
    assert content_of(out) == before and [path.name for path in tmp_path.iterdir()] == ["out"]
    with pytest.raises(OutputError, match="No space left"):
        whole.write_set(tmp_path / "x" / "y" / "z", set_of("new"))
    assert [path.name for path in tmp_path.iterdir()] == ["out"], "folders made on the way go again"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_folder_that_may_not_be_written_is_told(tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out").chmod(0o500)
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="cannot be written here"):
        whole.write_set(tmp_path / "out", set_of("new"))


def test_folder_that_somebody_stands_in_stays_the_same_folder(tmp_path, monkeypatch):
    out = tmp_path / "out"
    whole.write_set(out, set_of("old"))
    inode = out.stat().st_ino
    monkeypatch.chdir(out)
    whole.write_set(Path(), set_of("new"))
    assert out.stat().st_ino == inode and content_of(out) == standing.sealed(set_of("new"))


def test_rights_of_the_folder_are_kept(tmp_path):
    out = tmp_path / "out"
    whole.write_set(out, set_of("old"))
    out.chmod(0o750)
    whole.write_set(out, set_of("new"))
    assert out.stat().st_mode & 0o777 == 0o750


def test_link_to_the_folder_stays_a_link(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real", target_is_directory=True)
    whole.write_set(tmp_path / "link", set_of("old"))
    whole.write_set(tmp_path / "link", set_of("new"))
    assert (tmp_path / "link").is_symlink() and content_of(tmp_path / "real") == standing.sealed(set_of("new"))


def test_two_runs_at_once_leave_one_whole_set(tmp_path):
    out = tmp_path / "out"
    sets = [set_of(f"run {n} " * 300) for n in range(4)]
    failed = []

    def write(content):
        for _ in range(5):
            try:
                whole.write_set(out, content)
            except OutputError as error:
                failed.append(error)

    hands = [threading.Thread(target=write, args=(content,)) for content in sets]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join(60)
    assert content_of(out) in [standing.sealed(content) for content in sets]
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
    assert not failed


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot double a process")
@pytest.mark.parametrize("mode", ["whole", "two-step", "files"])
def test_kill_at_any_step_of_a_write_leaves_one_set_and_the_next_run_clears_the_rest(mode):
    done = subprocess.run([sys.executable, KILLS, "steps", mode], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stdout + done.stderr
    assert int(done.stdout.split()[0]) > 25, "each of its steps with files was one"


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot double a process")
def test_ends_at_random_moments_leave_one_set():
    done = subprocess.run([sys.executable, KILLS, "20", "7"], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stdout + done.stderr


def test_lock_on_a_system_that_locks_bytes(tmp_path, monkeypatch):
    calls = []

    class Msvcrt:
        LK_NBLCK = 2

        @staticmethod
        def locking(handle, way, count):
            calls.append((way, count))
            if len(calls) > 1:
                raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setitem(sys.modules, "msvcrt", Msvcrt)
    monkeypatch.setattr(switching.sys, "platform", "win32")
    with switching.Lock(tmp_path / "a.lock"), pytest.raises(BlockingIOError), switching.Lock(tmp_path / "a.lock"):
        pass
    assert calls == [(2, 1), (2, 1)] and not list(tmp_path.iterdir())


# The command


@pytest.fixture
def plan(tmp_path):
    path = tmp_path / "lantern.toml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def test_place_again_without_what_it_had_takes_the_rest_away(plan):
    out = plan.parent / "lantern"
    assert RUN.invoke(app, ["place", str(plan), "--dxf", "--also", "stencil"]).exit_code == 0
    more = {path.name for path in out.iterdir()}
    (out / "over.dxf").write_bytes(b"changed")
    done = RUN.invoke(app, ["place", str(plan)])
    assert done.exit_code == 0 and "Left there: over.dxf" in done.stdout
    now = {path.name for path in out.iterdir()}
    assert now == {"over.svg", "under.svg", "marking.pdf", "report.json", "report.md", "over.dxf"} < more


def test_place_into_the_folder_of_its_own_drawing_is_refused_where_it_would_be_lost(tmp_path, monkeypatch):
    drawing = b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="700mm" viewBox="0 0 100 700"><path id="e" d="M50 20V620"/></svg>'
    (tmp_path / "over.svg").write_bytes(drawing)
    (tmp_path / "plan.toml").write_text('drawing = "over.svg"\n' + PLAN.replace('straight = "600 mm"', 'path = "e"'))
    monkeypatch.chdir(tmp_path)
    for out in (".", str(tmp_path)):
        done = RUN.invoke(app, ["place", "plan.toml", "--out", out])
        assert done.exit_code == 2 and "over.svg: this file was read for the results" in done.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"over.svg", "plan.toml"}
    assert (tmp_path / "over.svg").read_bytes() == drawing


def test_drawing_that_an_earlier_run_wrote_is_read_and_not_written_over(plan):
    RUN.invoke(app, ["place", str(plan)])
    sheet = plan.parent / "lantern" / "over.svg"
    before = sheet.read_bytes()
    (plan.parent / "lantern.toml").write_text(
        'drawing = "lantern/over.svg"\n' + PLAN.replace('straight = "600 mm"', 'path = "1"')
    )
    done = RUN.invoke(app, ["place", str(plan)])
    assert done.exit_code == 2 and sheet.read_bytes() == before


@pytest.mark.parametrize("words", [["edges", "front.svg", "--picture", "front.svg"], ["marker-sheet", "--out", "plan.toml"], ["edges", "front.svg", "--picture", "photo.png"]], ids=" ".join)  # fmt: skip
def test_file_named_by_itself_is_not_written_over_what_is_somebodys_own(words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    own = {
        "front.svg": b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="700mm" viewBox="0 0 100 700"><path id="e" d="M50 20V620"/></svg>',
        "plan.toml": PLAN.encode(),
        "photo.png": b"\x89PNG of the sea",
    }
    for name, content in own.items():
        (tmp_path / name).write_bytes(content)
    done = RUN.invoke(app, words)
    assert done.exit_code == 2 and "this program did not write it" in done.stderr
    assert content_of(tmp_path) == own


def test_file_named_by_itself_is_written_again_over_its_own_earlier_one(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for paper in ("a4", "letter"):
        done = RUN.invoke(app, ["marker-sheet", "--out", "m.pdf", "--paper", paper])
        assert done.exit_code == 0, done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["m.pdf"]


@pytest.mark.parametrize(
    ("content", "kind"), [(b"<svg/>", "svg"), (b"%PDF-1.4\n%%EOF\n", "pdf"), (b"", "png")], ids=["svg", "pdf", "png"]
)
def test_file_named_by_itself_is_still_of_its_kind(content, kind, tmp_path):
    import io
    from xml.etree import ElementTree

    from PIL import Image

    if kind == "png":
        made = io.BytesIO()
        Image.new("L", (3, 2), 77).save(made, "PNG")
        content = made.getvalue()
    files.write_one(tmp_path / f"a.{kind}", content)
    written = (tmp_path / f"a.{kind}").read_bytes()
    if kind == "png":
        with Image.open(io.BytesIO(written)) as picture:
            picture.load()
            assert picture.getpixel((1, 1)) == 77 and picture.info["Software"] == "made by closures"
    elif kind == "svg":
        assert ElementTree.fromstring(written).tag == "svg"
    else:
        assert written.startswith(content)
    files.write_one(tmp_path / f"a.{kind}", content)
    assert (tmp_path / f"a.{kind}").read_bytes() == written and len(list(tmp_path.iterdir())) == 1
