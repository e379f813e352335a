"""Which tests are the core: the middle of the program, in a few seconds, for work on it.

`pytest -m core` runs them. A file belongs to the core by its name here; a test in it that takes long (a search of
many thousand rows, a plan of anything at all) is marked `long` and runs with all others.
"""

import os
import sys
import tempfile

import in_turn
import pytest
from hypothesis import HealthCheck, settings

# A page that a test starts remembers its plans elsewhere than the page of whoever runs the tests.
_ASIDE = tempfile.TemporaryDirectory(prefix="closures-tests-", ignore_cleanup_errors=True)
os.environ["XDG_STATE_HOME"] = os.environ["LOCALAPPDATA"] = _ASIDE.name

# Many tests start the program anew: with its modules compiled once it answers in two thirds of the time.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# How long an example takes says how busy the machine is, not whether the program is right. The usual run draws the same
# examples each time, so that a change is judged by what it changes; `--hypothesis-profile=search` draws new ones.
STEADY = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("search", **STEADY)
settings.register_profile("steady", derandomize=True, **STEADY)
settings.load_profile("steady")

CORE = {
    "test_boundaries",
    "test_catalogue",
    "test_checks",
    "test_checks_on_moved_marks",
    "test_curve",
    "test_curve_offset",
    "test_drawing_cuts",
    "test_drawing_shapes",
    "test_drawing_sheets",
    "test_files",
    "test_house",
    "test_lengths",
    "test_placement",
    "test_plan",
    "test_plan_faults",
    "test_plan_editing",
    "test_plan_one_line",
    "test_plan_as_written",
    "test_row",
    "test_shrinkage_figures",
    "test_spacing",
    "test_spacing_impossible",
    "test_spacing_on_repeats",
    "test_stack",
}


@pytest.fixture(scope="module")
def chromium():
    """A real browser, one for all tests of a file."""
    import page_browser

    with page_browser.browser() as opened:
        yield opened


def only_core(config):
    """Whether nothing but the core was asked for: then the other files need not even be imported."""
    return config.option.markexpr == "core"


def pytest_ignore_collect(collection_path, config):
    """Pass over files outside the core where only the core is wanted."""
    if only_core(config) and collection_path.suffix == ".py" and collection_path.stem not in CORE:
        return True
    return None


def pytest_addoption(parser):
    """`--whole`: every case of the tests that are otherwise asked in turn."""
    parser.addoption("--whole", action="store_true", help="ask every case of the long tests, not those of this turn")


def pytest_configure(config):
    """Note whether cases are drawn: not where files were named or the whole was asked for."""
    told = getattr(config, "workerinput", {}).get("draws")
    config.draws = told if told is not None else not (config.option.whole or config.args_source.name == "ARGS")


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node):
    """Tell a process that runs a part of the tests what was asked of the run: its own call names the files."""
    node.workerinput["draws"] = node.config.draws


def pytest_collection_modifyitems(config, items):
    """Mark what belongs to the core, and leave out the cases of long tests whose turn it is not."""
    for item in items:
        if item.path.stem in CORE and not item.get_closest_marker("long"):
            item.add_marker(pytest.mark.core)
    # What drives a browser takes longest: begun first, it leaves no process with an hour's file when all others rest.
    items.sort(key=lambda item: not item.path.stem.startswith("test_page"))
    if not config.draws:
        return
    marks = [(item.nodeid, item.get_closest_marker("in_turn")) for item in items]
    asked = in_turn.drawn([(name, mark and mark.args[0]) for name, mark in marks], in_turn.turn())
    config.hook.pytest_deselected(items=[item for item in items if item.nodeid not in asked])
    items[:] = [item for item in items if item.nodeid in asked]
