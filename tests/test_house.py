"""The shape of the house: imports run one way, libraries stay in their rooms, nothing in the middle reads or writes."""

import ast
import tomllib
from pathlib import Path

import pytest

import closures

PACKAGE = Path(closures.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))

# From what everything stands on to what nothing stands on.
FLOORS = {
    "errors": 0,
    "nearest": 0,
    "handing_on": 0,
    "lengths": 1,
    "files": 1,
    "plan": 2,
    "catalogue": 2,
    "curve": 2,
    "spacing": 2,
    "edges": 3,
    "stack": 3,
    "buttonhole": 3,
    "lap": 4,
    "meeting": 5,
    "strap": 5,
    "shrinkage": 5,
    "choosing": 5.5,
    "marking": 5,
    "placement": 6,
    "checks": 7,
    "swap": 7.5,
    "sizes": 7.6,
    "workshop": 7.6,
    "drawing": 8,
    "report": 9,
    "listing": 10,
    "job": 10,
    "sizing": 10.2,
    "collection": 10.5,
    "several": 10.8,
    "wishes": 10.8,
    "page": 10.8,
    "cli": 11,
    "__main__": 12,
}

ROOM_OF_LIBRARY = {
    "pint": "lengths.py",
    "svgwrite": "drawing/svg.py",
    "pikepdf": ("drawing/pdf.py", "edges/pdf.py"),
    "ezdxf": "edges/dxf.py",
    "cv2": ("edges/scan.py", "edges/markers.py"),
    "cairosvg": "drawing/picture.py",
    "svgelements": "edges/svg.py",
    "fontTools": "drawing/lettering.py",
    "typer": "cli.py",
}


def name_of(module):
    return module.relative_to(PACKAGE).as_posix()


def room_of(module):
    return module.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports_of(module):
    """Every absolute import of a module that runs, so without those that only types need."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    typing_only = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            if node.module == "closures":
                yield from (f"closures.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_imports_run_down_the_flow(module):
    room = room_of(module)
    if room == "__init__":
        return
    for name in imports_of(module):
        parts = name.split(".")
        if parts[0] == "closures" and len(parts) > 1 and parts[1] != room:
            assert FLOORS[parts[1]] < FLOORS[room] or (FLOORS[parts[1]] == FLOORS[room] and parts[1] == room), (
                f"{room} imports {parts[1]}"
            )


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_libraries_stay_in_their_rooms(module):
    for name in imports_of(module):
        library = name.split(".")[0]
        if library in ROOM_OF_LIBRARY:
            rooms = ROOM_OF_LIBRARY[library]
            assert name_of(module) in ((rooms,) if isinstance(rooms, str) else rooms), f"{library} in {name_of(module)}"


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_only_the_ends_open_files_print_or_read_the_clock(module):
    if room_of(module) in ("files", "cli"):
        return
    calls = {
        getattr(node.func, "id", getattr(node.func, "attr", ""))
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
    }
    assert not calls & {"open", "print", "write_bytes", "write_text", "getenv", "now", "today"}, name_of(module)


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_rooms_stay_small(module):
    assert len(module.read_text(encoding="utf-8").splitlines()) <= 400


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_words_that_claim_too_much_are_nowhere(module):
    text = module.read_text(encoding="utf-8").casefold()
    for word in ("safe", "compliant"):
        for found in text.split(word)[:-1]:
            # A part of another word, such as an escape function's name, claims nothing.
            assert found and (found[-1].isalnum() or found[-1] == "_"), f"{word} in {name_of(module)}"


def test_public_names_all_import():
    for name in closures.__all__:
        assert getattr(closures, name) is not None


def test_every_folder_of_the_package_is_installed():
    pyproject = tomllib.loads((PACKAGE.parent / "pyproject.toml").read_text(encoding="utf-8"))
    folders = {".".join(module.relative_to(PACKAGE.parent).parts[:-1]) for module in MODULES}
    assert set(pyproject["tool"]["setuptools"]["packages"]) == folders | {"closures.starting_plans"}
