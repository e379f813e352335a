"""What the page remembers of its plans from one run to the next: every step, and what was typed and is in no picture.

Each plan has a file of lines: the first tells what it is, every further one what a change did, so that a page that is
ended in the middle has lost nothing but a line that was not written to its end. Drawings lie beside, once each.
"""

from __future__ import annotations

import hashlib
import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from closures.app.web.bench import Bench, Left, Refusal, Step
from closures.app.web.kept import Kept
from closures.frozen import frozen
from closures.plan.editing import value_of
from closures.results import aside

MOST_REMEMBERED = 60
MOST_REMEMBERED_BYTES = 200_000_000
"""Of all plans and drawings: what was not changed for longest makes room."""
_MOST_LINES_BYTES = 1_000_000
"""A plan's file beyond this is written anew, without what its steps no longer hold."""
_MOST_AT_HAND, _MOST_AT_HAND_BYTES = 8, 50_000_000
"""Of so many plans what their files hold is at hand; another one's file is written anew when it changes."""
_STEPS, _FILE, _SET = ".steps", ".file", ".garment"
_NAME = re.compile(r"[\w-]{10,40}")


@frozen
class Remembered:
    """A plan that is remembered.

    Attributes:
        name: as of its bench.
        title: the plan's own title, or its file's name.
        home: the file that it is kept in, empty for none.
        changed: when it was changed last, in seconds since 1970.
        steps: how many there are to go back over.
        about: how long it is or which drawing it is in, and its closure: plans of one title are told apart by it.
    """

    name: str
    title: str
    home: str
    changed: float
    steps: int
    about: str


class Memory:
    """Plans in a folder.

    Args:
        folder: where; it is made when there is something to keep.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        # How large each plan's file was left, and of the plans in hand what it holds, so that a line is added to it.
        self._sizes: dict[str, int] = {}
        self._last: Kept[Bench] = Kept(_MOST_AT_HAND_BYTES, _MOST_AT_HAND)

    def keep(self, bench: Bench) -> bool:
        """Keep a plan as it is now; whether that could be done."""
        size, last, path = self._sizes.get(bench.name), self._last.get(bench.name), self._path(bench.name)
        try:
            is_same = last is not None and (last.garment, last.files) == (bench.garment, bench.files)
            if (
                last is None
                or not is_same
                or size is None
                or size > _MOST_LINES_BYTES
                or aside.size_aside(path) != size
            ):
                self._write(bench, path, is_new=size is None)
            else:
                line = _line(_changes(bench, last.steps))
                aside.add_aside(path, line)
                self._hold(bench, size + len(line))
        except OSError:
            self._let_go(bench.name)
            return False
        return True

    def _hold(self, bench: Bench, size: int) -> None:
        self._sizes[bench.name] = size
        self._last.put(bench.name, bench, size + sum(map(len, bench.files.values())))

    def _let_go(self, name: str) -> None:
        self._sizes.pop(name, None)
        self._last.drop(name)

    def _write(self, bench: Bench, path: Path, *, is_new: bool) -> None:
        named = {name: hashlib.sha256(data).hexdigest() for name, data in bench.files.items()}
        for name, digest in named.items():
            at = self._folder / f"{digest}{_FILE}"
            if not at.exists():
                aside.write_aside(at, bench.files[name])
        home = None if bench.home is None else str(bench.home.resolve())
        head = {"closures": 1, "title": bench.title, "files": named, "home": home, "garment": bench.garment}
        lines = _line(head) + _line(_changes(bench, ()))
        aside.write_aside(path, lines)
        self._hold(bench, len(lines))
        if is_new:
            self._make_room()

    def _make_room(self) -> None:
        """Forget what was not changed for longest, and drawings that nothing names any more."""
        kept, size, named = 0, 0, set[str]()
        sizes = {path.name: much for path, _, much in aside.list_aside(self._folder, _FILE)}
        for path, _, much in aside.list_aside(self._folder, _STEPS):
            files = {f"{digest}{_FILE}" for digest in _head(aside.read_aside(path)).get("files", {}).values()}
            size += much + sum(sizes.get(one, 0) for one in files - named)
            if kept and (kept >= MOST_REMEMBERED or size > MOST_REMEMBERED_BYTES):
                aside.drop_aside(path)
                self._let_go(path.stem)
                continue
            kept, named = kept + 1, named | files
        for name in sizes.keys() - named:
            aside.drop_aside(self._folder / name)

    def is_older(self, bench: Bench) -> bool:
        """Whether another run of the page has changed a plan since it was kept here."""
        size = self._sizes.get(bench.name)
        return size is not None and aside.size_aside(self._path(bench.name)) not in (0, size)

    def recall(self, name: str) -> Bench | None:
        """Remember a plan as it was kept last; None where it is not remembered, or not whole."""
        if not _NAME.fullmatch(name):
            return None
        data = aside.read_aside(self._path(name))
        head = _head(data)
        if data is None or not head:
            return None
        try:
            files = {one: aside.read_aside(self._folder / f"{digest}{_FILE}") for one, digest in head["files"].items()}
            beside = {one: held for one, held in files.items() if held is not None}
            home = None if head["home"] is None else Path(head["home"])
            bench = Bench(name, head["title"], beside, (), home=home, garment=head["garment"])
            for line in data.split(b"\n")[1:-1]:
                bench = _after(bench, json.loads(line))
        except (ValueError, KeyError, TypeError, AttributeError):
            return None
        if not bench.steps or len(beside) < len(files):
            return None
        self._hold(bench, len(data))
        return bench

    def of_home(self, home: Path) -> Bench | None:
        """Remember the plan that is kept in a file of its own, with its steps."""
        at = str(home.resolve())
        for path, _, _ in aside.list_aside(self._folder, _STEPS):
            if _head(aside.read_aside(path)).get("home") == at:
                return self.recall(path.stem)
        return None

    def listed(self) -> tuple[Remembered, ...]:
        """List what is remembered, what was changed last first."""
        found = []
        for path, changed, _ in aside.list_aside(self._folder, _STEPS):
            bench = self.recall(path.stem)
            if bench is not None:
                home = "" if bench.home is None else str(bench.home)
                steps = len(bench.steps) - 1
                found.append(Remembered(bench.name, title_of(bench), home, changed, steps, _about(bench.step.text)))
        return tuple(found)

    def keep_set(self, name: str, told: Mapping[str, Any]) -> None:
        """Keep which plans belong together as a garment; what cannot be kept is forgotten."""
        try:
            aside.write_aside(self._folder / f"{name}{_SET}", _line(told))
        except OSError:
            return
        for path, _, _ in aside.list_aside(self._folder, _SET)[MOST_REMEMBERED:]:
            aside.drop_aside(path)

    def recall_set(self, name: str) -> Mapping[str, Any] | None:
        """Remember a garment whose plans are all remembered."""
        if not _NAME.fullmatch(name):
            return None
        try:
            told = json.loads(aside.read_aside(self._folder / f"{name}{_SET}") or b"{}")
        except ValueError:
            return None
        if (
            not isinstance(told, dict)
            or not isinstance(told.get("benches"), dict)
            or not {"text", "title"} <= told.keys()
        ):
            return None
        return told if all(self._path(str(one)).exists() for one in told["benches"].values()) else None

    def sets(self) -> tuple[tuple[str, float, Mapping[str, Any]], ...]:
        """List the garments: name, when it was opened, what it is."""
        listed = aside.list_aside(self._folder, _SET)
        return tuple(
            (path.stem, changed, told)
            for path, changed, _ in listed
            if (told := self.recall_set(path.stem)) is not None
        )

    def forget(self, name: str) -> None:
        """Forget a plan; its own file, where it has one, stays."""
        if _NAME.fullmatch(name):
            self._let_go(name)
            aside.drop_aside(self._path(name))
            self._make_room()

    def _path(self, name: str) -> Path:
        return self._folder / f"{name}{_STEPS}"


def title_of(bench: Bench) -> str:
    """The title that a plan gives itself, or its file's name."""
    return read_title({"text": bench.step.text, "title": bench.title})


def read_title(kept: Mapping[str, Any]) -> str:
    """The title that the text of a file gives, or the file's name."""
    try:
        told = tomllib.loads(kept["text"]).get("title", "")
    except tomllib.TOMLDecodeError:
        told = ""
    return told if isinstance(told, str) and told.strip() else str(kept["title"])


_LENGTHS = (
    ("edge", ("straight",)),
    ("edge", ("arc", "length")),
    ("row", ("length",)),
    ("belt", ("waist",)),
    ("", ("drawing",)),
)


def _about(text: str) -> str:
    try:
        length = next((told for section, key in _LENGTHS if (told := value_of(text, section, key)) is not None), "")
        kind, size = (value_of(text, "closure", (key,)) or "" for key in ("kind", "size"))
    except tomllib.TOMLDecodeError:
        return ""
    return ", ".join(one for one in (str(length), f"{kind} {size}".strip()) if one)


def _line(told: Mapping[str, Any]) -> bytes:
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass") + b"\n"


def _head(data: bytes | None) -> Mapping[str, Any]:
    try:
        told = json.loads((data or b"").partition(b"\n")[0])
    except ValueError:
        return {}
    return told if isinstance(told, dict) and told.get("closures") == 1 and "files" in told else {}


def _changes(bench: Bench, before: tuple[Step, ...]) -> dict[str, Any]:
    """What tells a plan from steps before: how many fall away, how many stay after those, and what is new."""
    steps = bench.steps
    drop = 1 if len(before) == len(steps) > 1 and steps[0] != before[0] and steps[0] == before[1] else 0
    stay = 0
    for one, other in zip(before[drop:], steps, strict=False):
        if one != other:
            break
        stay += 1
    return {
        "drop": drop,
        "stay": stay,
        "add": [asdict(step) for step in steps[stay:]],
        "at": bench.at,
        "turn": bench.turn,
        "kept": None if bench.kept == bench.step.text else bench.kept,
        "trouble": bench.trouble,
        "beside": None if bench.beside is None else asdict(bench.beside),
        "refusal": None if bench.refusal is None or not bench.refusal.words else asdict(bench.refusal),
        "left": [[one.window, one.said] for one in bench.left],
    }


def _step(told: Mapping[str, Any]) -> Step:
    return Step(told["text"], told["size"], told["gesture"])


def _after(bench: Bench, told: Mapping[str, Any]) -> Bench:
    stays = bench.steps[told["drop"] :][: told["stay"]]
    steps = (*stays, *map(_step, told["add"]))
    if not 0 <= told["at"] < len(steps):
        raise ValueError("a step that is not there")
    refusal = None
    if told["refusal"] is not None:
        said: dict[str, Any] = {
            one: tuple(held) if isinstance(held, list) else held for one, held in told["refusal"].items()
        }
        refusal = Refusal(**said | {"offers": tuple((words, text) for words, text in said["offers"])})
    return replace(
        bench,
        steps=steps,
        at=told["at"],
        turn=told["turn"],
        kept=steps[told["at"]].text if told["kept"] is None else told["kept"],
        trouble=told["trouble"],
        beside=None if told["beside"] is None else _step(told["beside"]),
        refusal=refusal,
        left=tuple(Left(window, tuple(said)) for window, said in told.get("left", ())),
    )
