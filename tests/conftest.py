"""Which tests are the core: the middle of the program, in a few seconds, for work on it.

`pytest -m core` runs them. A file belongs to the core by its name here; a test in it that takes long (a search of
many thousand rows, a plan of anything at all) is marked `long` and runs with all others.
"""

import os
import sys
import tempfile

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


def only_core(config):
    """Whether nothing but the core was asked for: then the other files need not even be imported."""
    return config.option.markexpr == "core"


def pytest_ignore_collect(collection_path, config):
    """Pass over files outside the core where only the core is wanted."""
    if only_core(config) and collection_path.suffix == ".py" and collection_path.stem not in CORE:
        return True
    return None


def pytest_collection_modifyitems(items):
    """Mark what belongs to the core."""
    for item in items:
        if item.path.stem in CORE and not item.get_closest_marker("long"):
            item.add_marker(pytest.mark.core)
