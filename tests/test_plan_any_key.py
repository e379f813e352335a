"""Any key of a plan told in one text, for the command."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from closures.app.command import app
from closures.app.options import plan_asked
from closures.errors import PlanError
from closures.plan.any_key import read_told
from closures.plan.one_line import shown
from closures.plan.options import plan_from_options
from closures.plan.plan import SECTIONS, TOP
from closures.plan.reading import read_plan
from closures.plan.section import Section

SMALL = {"straight": "24 in", "band": "40 mm", "lap": "right over left", "closure": "prong snap", "size": "16 L"}
SPACED = SMALL | {"first": "20 mm", "last": "20 mm", "count": 8}
TEXT = """# by hand
[edge]
straight = "24 in" # taped
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 8
[[anchor]]
name = "bust"
level = "10 in"
within = "1 in"
"""


def _keys(section: Section, way: str) -> list[tuple[str, str]]:
    import tomllib

    found = []
    for key in section.keys:
        if isinstance(key.kind, Section):
            found += _keys(key.kind, f"{way}{key.name}.")
        else:
            found.append((way + key.name, shown(key.kind, tomllib.loads(f"key = {key.example}")["key"])))
    return found


EVERY = [
    (name, text)
    for section in (TOP, *SECTIONS)
    for name, text in _keys(
        section, f"{section.name}.1." if section.repeated else f"{section.name}." if section.name else ""
    )
]


@pytest.mark.parametrize(("name", "text"), EVERY, ids=[name for name, _ in EVERY])
def test_every_key_of_a_plan_can_be_told_by_an_option(name: str, text: str) -> None:
    (told,) = read_told([f"{name} = {text}"])
    assert ".".join(filter(None, (told.section, str(told.nth or ""), *told.path))) == name


def test_a_plan_of_options_takes_any_key() -> None:
    plan = plan_from_options(
        **SPACED,
        set=["stripe.every = 32 mm", "stripe.at = 24 mm", "clear.1.name = belt", "clear.1.level = 3 in to 4 in"],
    )
    assert plan.stripe is not None and plan.stripe.every_mm == 32
    assert [zone.name for zone in plan.clear] == ["belt"]


def test_a_plan_file_is_changed_for_this_once_and_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(TEXT)
    plan = plan_asked(
        path, {"set": ["spacing.count = 9", "anchor.1.within = 5 mm", "anchor.2.name = hem", "anchor.2.along = 580 mm"]}
    )
    assert plan.spacing is not None and plan.spacing.count == 9
    assert [(anchor.name, anchor.within_mm) for anchor in plan.anchors] == [("bust", 5.0), ("hem", 0.0)]
    assert path.read_text() == TEXT
    assert read_plan(TEXT.encode(), "a.toml").spacing.count == 8  # type: ignore[union-attr]
    with pytest.raises(PlanError, match=r"The next is anchor\.2"):
        plan_asked(path, {"set": ["anchor.3.name = hem"]})


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("spacing.cuont = 9", "Did you mean count"),
        ("spacng.count = 9", "Did you mean spacing"),
        ("anchor.name = a", "Say which: anchor.1.name"),
        ("edge.arc = 3", "Tell one of its keys, such as edge.arc.length"),
        ("count", "it tells no key"),
        ("spacing.count.more = 9", "no key here"),
    ],
)
def test_what_tells_no_key_is_refused(text: str, says: str) -> None:
    with pytest.raises(PlanError, match=says):
        read_told([text])


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ('title = "Linen blouse"', "Linen blouse"),
        ('edge.level_zero = "-80 mm"', "-80 mm"),
        ('edge.straight = 24"', '24"'),
        ('title = The "good" one', 'The "good" one'),
    ],
)
def test_quotes_that_a_plan_file_would_have_are_no_part_of_a_value(text: str, value: str) -> None:
    assert [one.value for one in read_told([text])] == [value]


def test_the_command_takes_it_and_names_it(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(TEXT)
    ran = CliRunner().invoke(app, ["check", str(path), "--set", "spacing.count = 9"])
    assert ran.exit_code in (0, 1) and "9 closures" in ran.output
    refused = CliRunner().invoke(app, ["check", str(path), "--set", "spacing.count = 0"])
    assert refused.exit_code == 2 and "[spacing] count: 0 is too few" in refused.output
    with pytest.raises(PlanError, match=r"^--set stripe\.every: "):
        plan_from_options(**SPACED, set=["stripe.every = x", "stripe.at = 0"])
