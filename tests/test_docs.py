"""README and docs, held to what the program does: every command and snippet in them is run.

How a page says what is to be run:

- a ``console`` block: lines that begin with ``$`` are commands, what follows is what they print; ``...`` stands
  for whatever is left out, a whole stretch on a line of its own, else a part of its line. A command is expected to
  end with exit code 0, or with that of the block's heading: ``console exit 2``.
- a ``toml`` or ``svg`` block with a file name in its heading is written to that file.
- a ``toml`` block without one is a piece of a plan or of a supplies file, and must be read without a fault.
- a sentence "in `FILE`, change `THIS` to `THAT`" is done.
- a ``pycon`` block is a session at the Python prompt.

The blocks of a page run from top to bottom in a folder of their own.
"""

from __future__ import annotations

import doctest
import json
import re
import shlex
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command
from typer.testing import CliRunner

import closures
from closures import shipped
from closures.advice.cautions import all_cautions
from closures.app.command import app
from closures.app.job import check_plan, load_plan
from closures.catalogue.loading import load_catalogue
from closures.checks.rules import RULES
from closures.errors import ClosureError
from closures.plan.plan import SECTIONS, TOP
from closures.plan.reading import read_plan
from closures.plan.section import Section

ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
REFERENCE = DOCS / "reference"
PAGES = [ROOT / "README.md", *sorted(DOCS.rglob("*.md"))]
WRITTEN = [*PAGES, ROOT / "DEVELOPERS.md", ROOT / "CHANGELOG.md"]

BASE_PLAN = """
[edge]
straight = "600 mm"
[band]
width = "40 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = 5
"""
"""What a piece of a plan is laid over, to be read as a whole one."""


@dataclass(frozen=True)
class Step:
    """A block or a sentence of a page, with the line it stands on."""

    kind: str
    heading: str
    text: str
    line: int


_FENCE = re.compile(r"```(\S*) ?(.*)")
_CHANGE = re.compile(r"[Ii]n\s+`([^`]+)`,\s+change\s+`([^`]+)`\s+to\s+`([^`]+)`")


def steps_of(page: Path) -> Iterator[Step]:
    """Part a page into its blocks and its sentences that change a file, in their order."""
    prose, fence, begun = "", "", 0
    block: list[str] | None = None
    for n, line in enumerate(page.read_text(encoding="utf-8").splitlines(), 1):
        match = _FENCE.fullmatch(line)
        if block is None and match:
            yield from _changes(prose, n)
            prose, block, fence, begun = "", [], line, n
        elif block is not None and line == "```":
            kind, heading = _FENCE.fullmatch(fence).groups()  # type: ignore[union-attr]
            yield Step(kind, heading, "\n".join(block), begun)
            block = None
        elif block is not None:
            block.append(line)
        else:
            prose += line + "\n"
    assert block is None, f"{page.name}, line {begun}: the block has no end"
    yield from _changes(prose, 0)


def _changes(prose: str, line: int) -> Iterator[Step]:
    for match in _CHANGE.finditer(prose):
        yield Step("change", match[1], f"{match[2]}\n{match[3]}", line)


def commands_of(step: Step) -> Iterator[tuple[str, str]]:
    """Give each command of a console block with the output shown for it."""
    parts = re.split(r"^\$ ", step.text, flags=re.MULTILINE)
    assert parts[0] == "", f"line {step.line}: the block does not begin with a command"
    for part in parts[1:]:
        joined = part.replace("\\\n", " ")
        command, _, output = joined.partition("\n")
        yield command, output


def is_like(shown: str, printed: str) -> bool:
    """Tell whether an output is the one shown, where ``...`` stands for anything."""
    pattern = ""
    for line in shown.rstrip().splitlines():
        if line.strip() == "...":
            pattern += r"(?:.*\n)*?"
        else:
            pattern += ".*?".join(re.escape(part) for part in line.rstrip().split("...")) + r"\n"
    tidy = "\n".join(line.rstrip() for line in printed.rstrip().splitlines())
    return re.fullmatch(pattern, tidy + "\n") is not None


@pytest.mark.parametrize(
    ("shown", "printed", "like"),
    [
        ("a\nb", "a\nb\n", True),
        ("a\nb", "a\nc\n", False),
        ("a", "a\nb\n", False),
        ("a\n...\nd", "a\nb\nc\nd\n", True),
        ("a\n...\nd", "a\nb\nc\n", False),
        ("a ... d", "a b c d\n", True),
        ("a ... d", "a b\nc d\n", False),
        ("a.c", "abc\n", False),
    ],
)
def test_comparison_of_outputs_tells_like_from_unlike(shown: str, printed: str, like: bool) -> None:
    assert is_like(shown, printed) is like


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_page_does_what_it_says(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    names: dict[str, Any] = {}
    for step in steps_of(page):
        place = f"{page.relative_to(ROOT)}, line {step.line}"
        if step.kind == "console":
            exit_code = int(step.heading.removeprefix("exit ") or 0)
            for command, output in commands_of(step):
                _run(command, output, exit_code, place)
        elif step.kind == "change":
            old, new = step.text.split("\n")
            _change(Path(step.heading), old, new, place)
        elif step.kind in ("toml", "svg") and step.heading:
            Path(step.heading).parent.mkdir(parents=True, exist_ok=True)
            Path(step.heading).write_text(step.text + "\n", encoding="utf-8")
        elif step.kind == "toml":
            _read_piece(step.text, place)
        elif step.kind == "pycon":
            _converse(step.text, names, place)
        else:
            assert step.kind in ("text", "sh"), f"{place}: a block of kind {step.kind!r} is not tested"


def _run(command: str, output: str, exit_code: int, place: str) -> None:
    words = shlex.split(command)
    if words[:2] == ["bash", ".ci/test"]:
        assert "pytest" in (ROOT / ".ci" / "test").read_text()
        return
    told = ""
    if words[:2] == ["bash", ".ci/place"]:
        words, told = _words_of_script(words[2:])
    assert words[0] == "closures", f"{place}: {words[0]} is not run by the tests"
    result = CliRunner().invoke(app, words[1:])
    assert result.exit_code == exit_code, f"{place}: {command}\n{result.output}"
    if output.strip():
        assert is_like(output, result.output + told), f"{place}: {command} printed\n{result.output}{told}"


def _words_of_script(names: list[str]) -> tuple[list[str], str]:
    """The command that ``.ci/place`` runs once all is set up, and what it says after it."""
    script = (ROOT / ".ci" / "place").read_text()
    default = re.search(r"name=\$\{1:-(.+)\}", script)
    line = re.search(r"^bash \.ci/in (closures place .+)$", script, re.MULTILINE)
    told = re.search(r'^echo "(.+)"$', script, re.MULTILINE)
    assert default and line and told
    name = names[0] if names else default[1]
    words = shlex.split(line[1].replace("$name", name))
    words[2] = str(ROOT / words[2])
    return words, "\n" + told[1].replace("$PWD", str(Path.cwd())).replace("$name", name) + "\n"


def _change(file: Path, old: str, new: str, place: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{place}: {old!r} stands {text.count(old)} times in {file}"
    file.write_text(text.replace(old, new), encoding="utf-8")


def _read_piece(text: str, place: str) -> None:
    piece = tomllib.loads(text)
    try:
        if piece and set(piece) <= {"fastener", "cloth"}:
            load_catalogue(text.encode())
        else:
            read_plan(_whole_plan(piece, text).encode(), place)
    except ClosureError as error:
        pytest.fail(f"{place}: {error}")


def _whole_plan(piece: dict[str, Any], text: str) -> str:
    """Lay a piece of a plan over the base: its own keys, and the base's that do not clash with them."""
    base = tomllib.loads(BASE_PLAN)
    top = [line for line in text.split("\n[", 1)[0].splitlines() if not text.startswith("[")]
    rest = text if text.startswith("[") else text[len("\n".join(top)) :]
    ousted = {
        name for section in SECTIONS if section.name in piece for name in (*section.instead_of, *section.not_with)
    }
    lines = []
    for section in SECTIONS:
        own, given = base.get(section.name), piece.get(section.name)
        if own is None or section.name in ousted:
            continue
        clashing = {
            name for group in section.one_of for name in group if given and any(other in given for other in group)
        }
        kept = {k: v for k, v in own.items() if k not in (given or {}) and k not in clashing}
        if given is None:
            lines += [f"[{section.name}]", *(f"{k} = {json.dumps(v)}" for k, v in kept.items())]
        else:
            heading = f"[{section.name}]"
            added = "\n".join([heading, *(f"{k} = {json.dumps(v)}" for k, v in kept.items())])
            rest = rest.replace(heading, added, 1)
    return "\n".join([*top, *lines, rest])


def _converse(text: str, names: dict[str, Any], place: str) -> None:
    test = doctest.DocTestParser().get_doctest(text + "\n", names, place, place, 0)
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    said: list[str] = []
    assert runner.run(test, out=said.append, clear_globs=False).failed == 0, "".join(said)
    names.update(test.globs)


def _anchors(page: Path) -> set[str]:
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.casefold()).replace(" ", "-") for heading in headings}


def _links(page: Path) -> Iterator[str]:
    text = re.sub(r"^```.*?^```$", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL)
    yield from re.findall(r"\]\(([^)\s]+)\)", text)
    yield from re.findall(r'(?:src|href)="([^"]+)"', text)


@pytest.mark.parametrize("page", WRITTEN, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(page: Path) -> None:
    for link in _links(page):
        name, _, anchor = link.partition("#")
        assert "://" not in link, f"{link} leads out of the house"
        target = page if not name else (page.parent / name)
        assert target.exists(), link
        if anchor:
            assert anchor in _anchors(target), link


@pytest.mark.parametrize("begin", ["index.md", "what-are-you-closing.md"])
def test_every_page_is_reached_from_where_readers_begin(begin: str) -> None:
    waiting, seen = [DOCS / begin], set()
    while waiting:
        page = waiting.pop().resolve()
        if page in seen or page.suffix != ".md":
            continue
        seen.add(page)
        waiting += [page.parent / link.partition("#")[0] for link in _links(page) if link.partition("#")[0]]
    missing = [page.relative_to(ROOT).as_posix() for page in DOCS.rglob("*.md") if page.resolve() not in seen]
    assert missing == []


@pytest.mark.parametrize("page", WRITTEN, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_words_that_claim_too_much_are_nowhere(page: Path) -> None:
    assert re.findall(r"\b(?:un)?(?:safe|safely|compliant|compliance)\b", page.read_text(encoding="utf-8"), re.I) == []


def _part_under(page: Path, heading: str) -> str:
    """The text under a heading, up to the next one of any depth."""
    found = re.search(rf"^#+ {re.escape(heading)}$\n(.*?)(?=^#|\Z)", page.read_text(), re.MULTILINE | re.DOTALL)
    assert found, f"{page.name} has no heading {heading}"
    return found[1]


def _row_names(text: str) -> set[str]:
    return set(re.findall(r"^\| `([^`]+)` \|", text, re.MULTILINE))


def _headings_of(section: Section, *, within: bool = False) -> Iterator[tuple[str, Section]]:
    """A section and the tables within it, with the heading that each has on the page."""
    name = section.name if within else f"[[{section.name}]]" if section.repeated else f"[{section.name}]"
    yield ("Before the first section" if section is TOP else f"`{name}`"), section
    for key in section.keys:
        if isinstance(key.kind, Section):
            yield from _headings_of(key.kind, within=True)


TOLD_SECTIONS = [pair for section in (TOP, *SECTIONS) for pair in _headings_of(section)]


@pytest.mark.parametrize(("heading", "section"), TOLD_SECTIONS, ids=[heading for heading, _ in TOLD_SECTIONS])
def test_reference_tells_every_key_of_a_plan(heading: str, section: Section) -> None:
    told = _row_names(_part_under(REFERENCE / "plan.md", heading))
    assert told == {key.name for key in section.keys}


def test_reference_tells_every_command_and_option() -> None:
    text = (REFERENCE / "command.md").read_text()
    group: Any = get_command(app)
    commands = {name: group.get_command(None, name) for name in group.list_commands(None)}
    known = {option for command in commands.values() for p in command.params for option in p.opts if option[:2] == "--"}
    assert (
        set(re.findall(r"`(--[a-z-]+)", text)) - {"--help", "--version", "--install-completion", "--show-completion"}
        == known
    )
    for name in commands:
        assert f"## `closures {name}" in text


def _paths(value: Any, path: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _paths(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list) and value and isinstance(value[0], dict | list):
        for inner in value:
            yield from _paths(inner, f"{path}[]")
    else:
        yield path


def test_reference_tells_every_key_of_the_report() -> None:
    result = CliRunner().invoke(app, ["check", str(ROOT / "templates" / "curved-front" / "plan.toml"), "--json"])
    drawn = {f"sheets[].{key}" for key in ("file", "lap", "face", "flipped", "origin_mm", "size_mm")}
    # Only pieces drawn apart have pins.
    pins = {f"match[].{key}" for key in ("over_along_mm", "under_along_mm", "under_longer_mm")}
    known = (set(_paths(json.loads(result.output))) - {"sheets"}) | drawn | pins | {"files"}
    assert _row_names((REFERENCE / "report.md").read_text()) == known


def _rule_names() -> set[str]:
    """The names of all rules, as they come up when the starting plans are checked."""
    names: set[str] = set()
    for folder in shipped.starting_plans().values():
        plan = folder / "plan.toml"
        names |= {finding.rule for finding in check_plan(load_plan(plan), plan).findings}
    return names


def test_reference_tells_every_rule() -> None:
    # Twelve rules speak only of what is wrong, and no starting plan is; two go by one name, "two lines": of one the lengths
    # are those of the plan, of the other those of the cloth while it is sewn. Two go by "cloth": what it bears, and
    # whether it is told at all; "side pull" is that of straps as well; "way in" is what the body passes, and its slit; and
    # what is left of a band that is opened is judged under "layer thickness" and "backing" once more.
    names = _rule_names() | {
        "garment",
        "ends",
        "tape",
        "washing",
        "gauge",
        "loop",
        "named places",
        "sizes compared",
        "girth",
        "backing pieces",
        "measured cap",
        "turned button",
    }
    assert len(names) >= len(RULES) - 5
    text = (REFERENCE / "checks.md").read_text()
    assert set(re.findall(r"^## (.+)$", text, re.MULTILINE)) >= names


def test_reference_tells_every_limit_of_the_checks_with_its_source() -> None:
    text = " ".join((REFERENCE / "checks.md").read_text().split())
    package = ROOT / "closures"
    modules = [*sorted((package / "checks").glob("*.py")), package / "placing" / "buttonhole.py"]
    source = "\n".join(module.read_text() for module in modules)
    keys = set(re.findall(r'(?:limit_mm|rule|source)\("([^"]+)"\)', source))
    assert len(keys) > 5
    catalogue = load_catalogue()
    for key in sorted(keys):
        rule = catalogue.rule(key)
        assert f"{rule.value.value:g} {rule.unit}" in text, f"{key}: {rule.value.value:g} {rule.unit}"
        assert rule.value.provenance.text in text, f"{key}: {rule.value.provenance.text}"


def test_reference_tells_every_public_name() -> None:
    text = (REFERENCE / "python.md").read_text()
    assert _row_names(text) == set(closures.__all__)


def test_made_pages_are_as_their_tables_make_them() -> None:
    sys.path.insert(0, str(DOCS))
    try:
        import make
    finally:
        sys.path.remove(str(DOCS))
    pages = make.pages()
    assert len(pages) == 6
    for name, text in pages.items():
        assert (REFERENCE / name).read_text(encoding="utf-8") == text, f"{name} is old: run python docs/make.py"


def test_cautions_page_tells_every_caution() -> None:
    text = " ".join((DOCS / "cautions.md").read_text(encoding="utf-8").split())
    for caution in all_cautions():
        assert caution.told in text, caution
