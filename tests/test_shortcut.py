"""The entry of the menu on each system, and what is printed under encodings that lack a sign."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.shortcut import shortcut_for
from closures.errors import OutputError


def test_entry_of_a_desktop_follows_its_specification() -> None:
    """The quoting of Exec: freedesktop.org, Desktop Entry Specification 1.5, section "The Exec key"."""
    entry = shortcut_for("linux", {}, "/home/ada", "/home/ada/my tools 100%/python")
    assert entry.folder == "/home/ada/.local/share/applications" and entry.name == "closures.desktop"
    assert 'Exec="/home/ada/my tools 100%%/python" -m closures serve' in entry.content.splitlines()
    assert not entry.is_program


def test_entry_goes_where_the_user_keeps_data() -> None:
    assert shortcut_for("linux", {"XDG_DATA_HOME": "/d"}, "/home/ada", "/py").folder == "/d/applications"


def test_entry_of_a_mac_is_a_program_that_a_shell_reads() -> None:
    entry = shortcut_for("darwin", {}, "/Users/ada", "/Users/ada/ada's tools/python")
    assert entry.folder == "/Users/ada/Applications" and entry.is_program
    assert shlex.split(entry.content.splitlines()[1]) == [
        "exec",
        "/Users/ada/ada's tools/python",
        "-m",
        "closures",
        "serve",
    ]


def test_entry_of_windows_lies_in_the_start_menu() -> None:
    entry = shortcut_for("win32", {"APPDATA": r"C:\Users\Ada\AppData\Roaming"}, r"C:\Users\Ada", r"C:\Py\python.exe")
    assert entry.folder == r"C:\Users\Ada\AppData\Roaming\Microsoft\Windows\Start Menu\Programs"
    assert '"C:\\Py\\python.exe" -m closures serve' in entry.content


def test_windows_without_a_menu_is_refused() -> None:
    with pytest.raises(OutputError, match="does not say where the menu is"):
        shortcut_for("win32", {}, "", "python")


def test_entry_is_written_and_taken_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")
    entry = tmp_path / "applications" / "closures.desktop"
    assert CliRunner().invoke(app, ["shortcut"]).exit_code == 0 and entry.exists()
    assert CliRunner().invoke(app, ["shortcut", "--remove"]).exit_code == 0 and not entry.exists()
    again = CliRunner().invoke(app, ["shortcut", "--remove"])
    assert again.exit_code == 2 and "there is no such entry" in again.stderr


@pytest.mark.parametrize("encoding", ["ascii", "cp1251", "cp1252", "latin-1"])
def test_output_is_utf8_whatever_the_system_writes(encoding: str) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "closures", "check", "--straight", "24 in", "--band", "1 1/2 in", "--lap", "right over left",
         "--closure", "prong snap", "--size", "16 L", "--first", "5/8 in", "--last", "2 in", "--count", "8",
         "--title", "Żółta suknia ½"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0", "LC_ALL": "C"},
    )  # fmt: skip
    assert ran.returncode == 0 and "Żółta suknia ½" in ran.stdout.decode("utf-8") and "×" in ran.stdout.decode("utf-8")


def test_cloths_are_listed_and_found_by_a_part_of_their_name() -> None:
    every, some = CliRunner().invoke(app, ["cloths"]), CliRunner().invoke(app, ["cloths", "denim"])
    assert "cotton lawn" in every.output and "cotton lawn" not in some.output and "denim" in some.output
    assert "leather 4 oz" in CliRunner().invoke(app, ["cloths", "leather 4 oz"]).output
    lost = CliRunner().invoke(app, ["cloths", "spun moonlight"])
    assert lost.exit_code == 2 and "there is no cloth" in lost.stderr
