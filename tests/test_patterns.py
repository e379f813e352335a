"""Every pattern of the program tried with the texts that make it work hardest: its work grows in step with them."""

import ast
import importlib
import re
from pathlib import Path

import pytest
from matching import Followed, growth

import closures

PACKAGE = Path(closures.__file__).parent
WAYS = dict.fromkeys(("search", "sub", "findall", "finditer", "split"), "search") | {
    "match": "match",
    "fullmatch": "fullmatch",
}
IN_STEP = 8.0
"""Four times the text may take four times the work, and what is done once; sixteen times is what is looked for."""

SHORT = {
    # Pages of the guide, which come with the program.
    "app/guide/pages.py", "app/guide/site.py", "app/guide/terminal.py",
    # Answers at a terminal, cut to 400 signs where they are asked for.
    "app/questions.py", "app/slips.py",
    # Our own messages, which echo at most a line of what somebody wrote.
    "app/web/wording.py", "plan/as_options.py",
    # Numbers and lengths, looked for in 60 signs and less.
    "nearest.py",
    # A broken line, of which 300 signs are looked at.
    "plan/toml_text.py",
}  # fmt: skip
"""Modules whose patterns only ever meet short texts, each with why."""


def flags_of(call: ast.Call) -> int:
    told = [ast.unparse(one) for one in (*call.args[1:], *(keyword.value for keyword in call.keywords))]
    return sum(getattr(re, name) for one in told for name in re.findall(r"\bre\.([A-Z]+)\b", one))


def patterns_of(path: Path) -> dict[tuple[str, str], re.Pattern]:
    """The patterns of a module, by their text and the way in which they are used there."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    name = ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")
    module = vars(importlib.import_module(name))
    calls = [one for one in ast.walk(tree) if isinstance(one, ast.Call) and isinstance(one.func, ast.Attribute)]
    found = {}
    used: dict[str, set[str]] = {}
    for call in calls:
        way, owner = WAYS.get(call.func.attr), call.func.value
        if way and isinstance(owner, ast.Name) and owner.id == "re" and isinstance(call.args[0], ast.Constant):
            pattern = re.compile(call.args[0].value, flags_of(call))
            found[pattern.pattern, way] = pattern
        elif way and isinstance(owner, ast.Name):
            used.setdefault(owner.id, set()).add(way)
    for key, value in module.items():
        held = value if isinstance(value, tuple) else (value,)
        held = [one for each in held for one in (each if isinstance(each, tuple) else (each,))]
        for pattern in held:
            if isinstance(pattern, re.Pattern):
                found |= {(pattern.pattern, way): pattern for way in used.get(key, {"search"})}
    return found


MODULES = [
    path
    for path in sorted(PACKAGE.rglob("*.py"))
    if re.search(r"^(import re$|from \S+ import .*_FORM)", path.read_text(encoding="utf-8"), re.MULTILINE)
]


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_work_of_patterns_grows_in_step_with_their_text(path: Path) -> None:
    grown = {key: growth(pattern, key[1]) for key, pattern in patterns_of(path).items()}
    wild = {key: told for key, told in grown.items() if told[0] > IN_STEP}
    if path.relative_to(PACKAGE).as_posix() in SHORT:
        assert all(times < 4**3 for times, _ in wild.values()), wild
    else:
        assert not wild


def test_patterns_are_found_wherever_they_stand() -> None:
    found = {path.name: patterns_of(path) for path in MODULES}
    assert sum(map(len, found.values())) > 150
    assert any("beginbfchar" in str(text) for text, _ in found["page_read.py"])
    assert any(way == "search" for _, way in found["one_line.py"])


@pytest.mark.in_turn(3)
@pytest.mark.parametrize(
    ("pattern", "way"),
    [
        (r"(?:a|aa)+b", "fullmatch"),
        (r"(?:\d+\.?)*x", "match"),
        (r"\s+to\s+", "search"),
        (r"(?P<what>.+?)(?:\s+on\s+(?P<on>[a-z]+))?", "fullmatch"),
        (r"(\d+)?\s*,?\s*x", "fullmatch"),
    ],
)
def test_pattern_that_tries_every_way_is_seen(pattern: str, way: str) -> None:
    assert growth(re.compile(pattern), way)[0] > 1.5 * IN_STEP


@pytest.mark.parametrize(
    "pattern", [r"(?<!\s)\s+to\s+", r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)", r"<[^<>]*>", r",\s*+(?=[^,=]+=)"]
)
def test_pattern_that_reads_once_passes(pattern: str) -> None:
    assert growth(re.compile(pattern), "search")[0] < IN_STEP


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_patterns_are_followed_as_the_engine_follows_them(path: Path) -> None:
    for (_, way), pattern in patterns_of(path).items():
        followed = Followed(pattern)
        for text in followed.hard_texts(3):
            told = text if isinstance(pattern.pattern, str) else text.encode("latin-1", "replace")
            assert followed.finds(text, way) == (getattr(pattern, way)(told) is not None), (pattern, text)
