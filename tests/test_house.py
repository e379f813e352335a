"""The shape of the house: imports run one way, libraries stay in their rooms, nothing in the middle reads or writes."""

import ast
import functools
import tomllib
from pathlib import Path

from mutate import stale

import closures

PACKAGE = Path(closures.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))

# From what everything stands on to what nothing stands on; a room within a room is named with its own floor
# where other parts of that room stand on it.
FLOORS = {
    "frozen": -1,
    "errors": 0,
    "nearest": 0,
    "series": 0,
    "said": 0,
    "cores": -1,
    "lengths": 1,
    "offered": 1.5,
    "results": 1,
    "verifying": 0,
    "files": 1.5,
    "shipped": 1.6,
    "plan": 2,
    "catalogue": 2,
    "curve": 2,
    "spacing": 2,
    "edges": 3,
    "placing": 4,
    "checks": 5,
    "jobs": 6,
    "advice": 6.5,
    "drawing": 7,
    "report": 8,
    "app": 9,
    "__main__": 10,
}

ROOM_OF_LIBRARY = {
    "pint": "lengths.py",
    "svgwrite": "drawing/write/svg.py",
    "pikepdf": (
        "drawing/write/pdf.py",
        "drawing/write/pdf_font.py",
        "drawing/write/pdf_tags.py",
        "edges/pdf/pages.py",
        "edges/pdf/operators.py",
        "verifying/page_read.py",
    ),
    "ezdxf": "edges/dxf/drawing.py",
    "cv2": ("edges/scan/trace.py", "edges/scan/markers.py"),
    "cairosvg": "drawing/write/picture.py",
    "svgelements": "edges/svg/lines.py",
    "fontTools": "drawing/ink/lettering.py",
    "tomlkit": ("plan/editing.py", "jobs/table/trial.py"),
    "scipy": ("jobs/gape/model/sheet.py", "jobs/gape/model/strip.py", "jobs/gape/model/forces.py"),
    "typer": ("app/command.py", *sorted(f"app/commands/{path.name}" for path in PACKAGE.glob("app/commands/*.py"))),
}


def name_of(module):
    return module.relative_to(PACKAGE).as_posix()


def room_of(module):
    return module.relative_to(PACKAGE).parts[0].removesuffix(".py")


@functools.cache
def text_of(module):
    return module.read_text(encoding="utf-8")


@functools.cache
def tree_of(module):
    return ast.parse(text_of(module))


@functools.cache
def imports_of(module):
    """Every absolute import of a module that runs, so without those that only types need."""
    tree = tree_of(module)
    typing_only = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    names = []
    for node in ast.walk(tree):
        if id(node) in typing_only:
            continue
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.append(node.module)
            if node.module == "closures":
                names += [f"closures.{alias.name}" for alias in node.names if alias.name in FLOORS]
    return names


# Each rule is one test over all modules, which names every module that breaks it: a test to each module would be
# most of the time of the core.


def test_imports_run_down_the_flow():
    upward = []
    for module in MODULES:
        room = room_of(module)
        if room == "__init__":
            continue
        for name in imports_of(module):
            parts = name.split(".")
            if parts[0] == "closures" and len(parts) > 1 and parts[1] != room and FLOORS[parts[1]] >= FLOORS[room]:
                upward.append(f"{name_of(module)} imports {name}")
    assert not upward


def test_frozen_values_are_made_by_the_decorator_that_starts_quickly():
    dear = "@dataclass(frozen=True, slots=True)"
    assert [name_of(module) for module in MODULES if dear in text_of(module)] == []


def test_libraries_stay_in_their_rooms():
    strayed = []
    for module in MODULES:
        for name in imports_of(module):
            rooms = ROOM_OF_LIBRARY.get(name.split(".")[0])
            if rooms and name_of(module) not in ((rooms,) if isinstance(rooms, str) else rooms):
                strayed.append(f"{name} in {name_of(module)}")
    assert not strayed


def test_only_the_ends_open_files_print_or_read_the_clock():
    kept = {"open", "print", "write_bytes", "write_text", "getenv", "now", "today"}
    found = []
    for module in MODULES:
        if (
            room_of(module) in ("files", "results")
            or name_of(module) == "app/leaving.py"
            or name_of(module).startswith("app/command")
        ):
            continue
        calls = {
            getattr(node.func, "id", getattr(node.func, "attr", ""))
            for node in ast.walk(tree_of(module))
            if isinstance(node, ast.Call)
        }
        found += [f"{call} in {name_of(module)}" for call in sorted(calls & kept)]
    assert not found


def test_rooms_stay_small():
    assert not [name_of(module) for module in MODULES if len(text_of(module).splitlines()) > 400]


def test_words_that_claim_too_much_are_nowhere():
    for module in MODULES:
        text = text_of(module).casefold()
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
    assert set(pyproject["tool"]["setuptools"]["packages"]) == folders | {
        "closures.guide_pages",
        "closures.pictures",
        "closures.starting_plans",
    }


def test_top_level_holds_what_the_house_has_and_nothing_else() -> None:
    made = {"build", "dist", "my-sheets"}
    found = {
        path.name
        for path in Path(__file__).resolve().parent.parent.iterdir()
        if path.name[0] != "." and path.suffix != ".egg-info"
    } - made
    files = {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml"}
    assert found == files | {"closures", "templates", "tests", "gallery", "docs"}


def test_every_fault_of_the_list_of_small_faults_still_has_its_line() -> None:
    assert stale(PACKAGE) == []


def test_fault_whose_line_has_gone_is_told(tmp_path) -> None:
    (tmp_path / "checks").mkdir()
    (tmp_path / "checks" / "ridge.py").write_text("if clear < -SAME_MM:\n")
    told = stale(tmp_path)
    assert "stands 0 times: checks/cloth.py: 'if least > high + _SAME_FIGURE_MM:'" in told
    assert not any("if clear < -SAME_MM:" in line for line in told)
