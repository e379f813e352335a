"""An entry in the system's menu that opens the page with a click: what it holds, and where each system looks for it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePath, PurePosixPath, PureWindowsPath

from closures.errors import OutputError
from closures.frozen import frozen


@frozen
class Shortcut:
    """One entry.

    Attributes:
        folder: where the system looks for it.
        name: its file name there.
        content: what stands in it.
        is_program: it has to be marked as one that may be run.
    """

    folder: str
    name: str
    content: str
    is_program: bool


def shortcut_for(platform: str, environment: Mapping[str, str], home: str, program: str) -> Shortcut:
    """Make the entry of one system.

    Args:
        platform: as Python names it: ``win32``, ``darwin``, or anything else for the systems that follow the
            desktop entry specification of freedesktop.org.
        environment: the environment's variables.
        home: the user's own folder.
        program: what is started, a path to Python.

    Returns:
        The entry.

    Raises:
        OutputError: the system does not say where its menu is.
    """
    home_path: PurePath
    if platform == "win32":
        roaming = environment.get("APPDATA")
        if not roaming:
            raise OutputError("Windows does not say where the menu is", mend="Open the page with: closures serve")
        home_path = PureWindowsPath(roaming, "Microsoft", "Windows", "Start Menu", "Programs")
        text = f'@echo off\r\nchcp 65001 >nul\r\n"{program}" -m closures serve\r\n'
        return Shortcut(str(home_path), "Closures.bat", text, False)
    if platform == "darwin":
        home_path = PurePosixPath(home, "Applications")
        return Shortcut(
            str(home_path), "Closures.command", f"#!/bin/sh\nexec {_quoted(program)} -m closures serve\n", True
        )
    home_path = PurePosixPath(environment.get("XDG_DATA_HOME") or f"{home}/.local/share", "applications")
    lines = (
        "[Desktop Entry]",
        "Type=Application",
        "Name=Closures",
        "Comment=Place snaps, buttons and hooks, and print marking templates",
        f"Exec={_entry_quoted(program)} -m closures serve",
        "Terminal=true",
        "Categories=Graphics;",
    )
    return Shortcut(str(home_path), "closures.desktop", "\n".join(lines) + "\n", False)


def _quoted(path: str) -> str:
    """A path as a shell reads it back whole."""
    return "'" + path.replace("'", "'\\''") + "'"


def _entry_quoted(path: str) -> str:
    """A path as a desktop entry reads it back whole: quoted, and a percent sign doubled."""
    for sign in ("\\", '"', "`", "$"):
        path = path.replace(sign, f"\\{sign}")
    # The value is unescaped once as text and once as a command line.
    path = path.replace("\\", "\\\\").replace("%", "%%")
    return f'"{path}"'
