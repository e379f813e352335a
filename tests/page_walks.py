"""Random walks over the page: fields, picture, saved plan and PDF must tell the same after every step.

    python tests/page_walks.py            300 walks, from a seed of their own
    python tests/page_walks.py 5000 7     so many, from a seed
    python tests/page_walks.py 5000 7 10  of which every tenth is printed too, as printing is four fifths of the work
    python tests/page_walks.py 300 7 1 all  on all starting plans that have an edge and one size, not on the usual seven

A walk opens a starting plan and makes a few changes as a hand does: good and bad words in fields, all of them sent as
they stand; places moved; marks locked; rows added and taken out; units; steps back. After each, the whole page is read
anew and held against the plan that it saves, placed by the command's own path. While anything on the page is not in the
picture, nothing may print; what prints at the end is what the command writes for the saved plan, byte for byte, and the
marks on the sheet lie as those of the picture do.
"""

from __future__ import annotations

import html
import itertools
import math
import random
import re
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from lxml import etree

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = ROOT / "templates"
PORT = 8471
HOME = f"http://127.0.0.1:{PORT}"
JSON = {"accept": "application/json", "origin": HOME}
PLANS = (
    "curved-front",
    "shirt-front",
    "scooped-wrap",
    "jacket-placket",
    "striped-shirt",
    "cape-corner",
    "side-opening",
)
ALL = tuple(
    sorted(
        folder.name
        for folder in TEMPLATES.iterdir()
        if (folder / "plan.toml").exists()
        and not re.search(r"(?m)^\[(belt|row|sizes)", (folder / "plan.toml").read_text(encoding="utf-8"))
    )
)
WORDS = ("", "x", "1,5 in", "-3 mm", "0", "12 mm", "5/8 in", "2 to 4 in", "1 1/2 in", "900 mm", "70 mm", "3", "7", "0.5 in",
         "40 mm", "35 mm to 60 mm", "1e9", "½ in", "cotton", "both", "8 L")  # fmt: skip
LIKELY = ("spacing", "band", "closure", "anchor", "clear", "layer", "edge.level", ".title")
DONE: Counter[str] = Counter()
"""What came of the steps: where all end alike, nothing was tried."""


class Shown:
    """What a page shows: its fields with what stands in them, those marked as wrong, and where the marks lie.

    lxml calls `start`, `data` and `end` as it reads: a page has some thousand elements, and a walk reads seven.
    """

    def __init__(self, page: str) -> None:
        self.fields: dict[str, str] = {}
        self.wrong: set[str] = set()
        self.new: set[str] = set()
        self.choices: dict[str, list[str]] = {}
        self.banner = ""
        self.turn = ""
        self._form = self._select = self._area = ""
        self._row_new: list[bool] = []
        self._option: Mapping[str, str] | None = None
        self._first = False
        etree.fromstring(page, etree.HTMLParser(target=self))
        found = re.findall(r'<g id="mark-(\d+)".*?matrix\(([^)]*)\)', page, re.DOTALL)
        self.marks = {int(n): tuple(float(v) for v in numbers.split()[-2:]) for n, numbers in found}

    def start(self, tag: str, given: Mapping[str, str]) -> None:
        name = given.get("name", "")
        if tag == "form":
            self._form = given.get("id", "")
        if given.get("class") == "wrong-words":
            self.wrong.add(given["id"].removeprefix("w-"))
        if given.get("id") == "live":
            self.banner = given["class"]
        if given.get("id") == "at":
            self.turn = given["value"]
        if tag == "fieldset":
            self._row_new.append("new" in given.get("class", "").split())
        if self._form != "change" or tag not in ("input", "select", "textarea", "option"):
            return
        if not name and tag != "option":
            # A browser sends nothing of what has no name.
            return
        if given.get("aria-invalid") == "true":
            self.wrong.add(name)
        if name and any(self._row_new):
            self.new.add(name)
        if given.get("type") == "radio":
            self.choices.setdefault(name, []).append(given["value"])
        if tag == "input" and (given.get("type") != "radio" or "checked" in given):
            self.fields[name] = given.get("value", "")
        elif tag == "select":
            self._select, self.fields[name], self.choices[name] = name, "", []
            self._first = True
        elif tag == "textarea":
            self._area, self.fields[name] = name, ""
        elif tag == "option" and self._select:
            self._option = given
            if "value" in given:
                self._chosen(given["value"])

    def data(self, data: str) -> None:
        if self._area:
            self.fields[self._area] += data
        elif self._select and self._option is not None and "value" not in self._option and data.strip():
            self._chosen(data)

    def _chosen(self, value: str) -> None:
        self.choices[self._select].append(value)
        if "selected" in (self._option or {}) or self._first:
            self.fields[self._select] = value
        self._first, self._option = False, None

    def end(self, tag: str) -> None:
        if tag == "form":
            self._form = ""
        if tag == "select":
            self._select = ""
        if tag == "textarea":
            self._area = ""
        if tag == "fieldset" and self._row_new:
            self._row_new.pop()

    def close(self) -> None:
        """Nothing is left to do; lxml asks for it."""


class Walk:
    """One walk on one starting plan."""

    def __init__(self, name: str, dice: random.Random) -> None:
        from starlette.testclient import TestClient

        from closures.app.web.app import make_app
        from closures.app.web.table import files_beside

        self.name, self.dice = name, dice
        plan, title, self.beside = files_beside(TEMPLATES / name / "plan.toml")
        page, self.first = make_app(PORT, (plan, title, self.beside))
        self.client = TestClient(page, base_url=HOME, follow_redirects=False)
        self.told: list[Any] = []
        opened = self.client.get(self.first)
        assert opened.status_code == 200, f"the page did not open: {opened.text[:300]}"
        self.shown = Shown(opened.text)

    def step(self) -> None:
        typed = self._typed()
        self.told.append(typed)
        answered = self.client.post(f"{self.first}/change", data={**typed, "at": self.shown.turn}, headers=JSON)
        assert answered.status_code == 200, answered.text[:300]
        parts = answered.json()
        assert "Traceback" not in parts["message"]
        DONE[f"{typed['do'].split()[0]} {'taken' if parts['ok'] else 'refused'}"] += 1
        self._holds(parts, typed)

    def _typed(self) -> dict[str, str]:
        dice, kind = self.dice, self.dice.randrange(12)
        if self.shown.wrong and dice.random() < 0.4:
            return {"do": "undo"}
        own = [name for name in self.shown.fields if name not in self.shown.new]
        if self.shown.fields.get("swap.kind") and dice.random() < 0.25:
            return {"do": f"take {dice.randint(0, 10)}"}
        if kind < 5:
            fields = {name: self.shown.fields[name] for name in own}
            likely = [name for name in own if name.startswith(LIKELY)]
            for name in dice.sample(own if dice.random() < 0.3 else likely, dice.randint(1, 3)):
                fields[name] = dice.choice(self.shown.choices.get(name, WORDS))
            return {**fields, "do": "redraw"}
        if kind == 5:
            row = {f"anchor.{self._rows('anchor')}.{key}": dice.choice(WORDS) for key in ("along", "within")}
            return {**row, f"anchor.{self._rows('anchor')}.by": "along", f"anchor.{self._rows('anchor')}.name": "hip", "do": "add anchor"}  # fmt: skip
        if kind == 6:
            section = dice.choice(("anchor", "clear", "layer"))
            fields = {name: self.shown.fields[name] for name in own}
            return {**fields, "do": f"remove {section} {dice.randrange(3)}"}
        if kind == 7:
            return {"do": f"{dice.choice(('lock', 'unlock'))} {dice.randint(1, 12)}"}
        if kind == 8:
            return {"do": dice.choice(("undo", "redo", "units mm", "units in"))}
        if kind == 9:
            return dice.choice((
                {"do": f"without {dice.choice(('mark', 'anchor', 'clear'))} {dice.randint(0, 12)}"},
                {"do": f"set {dice.choice(('mark', 'anchor', 'clear'))}", "along": f"{dice.uniform(-50, 900):.3f}"},
                {"do": "move", "what": "mark", "n": str(dice.randint(1, 9)), "along": f"{dice.uniform(0, 700):.3f}", "gesture": "drag"},
            ))  # fmt: skip
        what = dice.choice(("anchor", "clear"))
        part = dice.choice(("whole", "from", "to"))
        return {"do": "move", "what": what, "n": str(dice.randrange(2)), "part": part, "along": f"{dice.uniform(-50, 900):.3f}"}  # fmt: skip

    def _rows(self, section: str) -> int:
        return len({name.split(".")[1] for name in self.shown.fields if name.startswith(f"{section}.")}) - 1

    def _holds(self, parts: dict[str, Any], typed: dict[str, str]) -> None:
        """Fields, picture, banner and saved plan agree, on the whole page as it is loaded anew."""
        from closures.app.job import check_plan
        from closures.app.web.fields import values_of
        from closures.app.web.telling import shown_result
        from closures.plan.reading import read_plan

        self.shown = shown = Shown(self.client.get(self.first).text)
        saved = self.client.get(f"{self.first}/files/plan.toml").text
        says, waiting = values_of(saved), parts["words"]
        for name, stands in shown.fields.items():
            if name in shown.new or name not in says or name in waiting:
                continue
            if " ".join(html.unescape(stands).split()) != " ".join(says[name].split()):
                held = [one for one in waiting if one.rpartition(".")[0] == name.rpartition(".")[0]]
                assert held, f"{name} shows {stands!r}, the plan holds {says[name]!r}"
        assert set(waiting) <= shown.wrong | {"text"} | shown.new, (waiting, shown.wrong)
        answer = check_plan(read_plan(saved.encode(), "plan.toml"), self.beside)
        beside = [mark for mark in answer.placement.all_marks if mark.over is not None]
        placed = {mark.n: (mark.x_mm, mark.y_mm) for mark in (*answer.placement.marks, *beside)}
        assert placed.keys() == shown.marks.keys()
        for n, (x, y) in placed.items():
            assert math.dist((x, y), shown.marks[n]) < 0.006, f"mark {n} is shown elsewhere than the plan has it"
        assert shown.banner == ("fail" if waiting else shown_result(answer))
        if waiting:
            held = self.client.get(f"{self.first}/files/report.json")
            assert held.status_code == 422 and "not in the picture yet" in held.text

    def end(self) -> None:
        """What prints is what is shown."""
        from closures.app.job import is_roll, place_plan, result_files
        from closures.plan.reading import read_plan
        from closures.results.standing import sealed
        from closures.verifying.sheet_read import read_sheet

        asked = f"{self.first}/files/marking.pdf?paper=a4&at={self.shown.turn}"
        if re.search("A4 is too (small|short) for", self.client.get(asked).text):
            # Where the command refuses a paper, the page gives none either.
            DONE["too large for A4"] += 1
            return
        if self.shown.banner == "fail" and self.client.get(asked).status_code == 422:
            DONE["nothing printed"] += 1
            while self.client.get(asked).status_code == 422:
                self.client.post(f"{self.first}/change", data={"do": "undo"}, headers=JSON)
                self.shown = Shown(self.client.get(self.first).text)
                asked = f"{self.first}/files/marking.pdf?paper=a4&at={self.shown.turn}"
        DONE["printed"] += 1
        saved = self.client.get(f"{self.first}/files/plan.toml").content
        answer = place_plan(read_plan(saved, "plan.toml"), self.beside, "usual", None, whole=is_roll("a4"))
        made = sealed(result_files(answer, "a4"))
        for name in ("marking.pdf", "over.svg", "under.svg", "report.json"):
            got = self.client.get(f"{self.first}/files/{name}?at={self.shown.turn}")
            # On a machine that is busy enough the page gives work up, and says so.
            assert got.status_code == 200, f"{name} is answered by {got.status_code}: {got.text[-300:]}"
            assert got.content == made[name], f"{name} is not what the command writes for the saved plan"
        assert self.client.get(f"{asked}0").status_code == 422, "another turn than the one shown was printed"
        sheet = {n: at for (lap, n), at in read_sheet(made["over.svg"]).marks.items() if lap == "over"}
        assert sheet.keys() == self.shown.marks.keys()
        if not saved.count(b"[shrinkage]"):
            for one, other in itertools.pairwise(sorted(sheet)):
                apart = math.dist(sheet[one], sheet[other])
                assert abs(apart - math.dist(self.shown.marks[one], self.shown.marks[other])) < 0.02


def walk(seed: int, steps: int = 6, *, prints: bool = True, plans: Sequence[str] = PLANS) -> None:
    """Go one walk, to its print or to its last step, on one of some plans.

    Raises:
        AssertionError: what the page shows is not what it saves or prints, with the steps that led there.
    """
    dice = random.Random(seed)
    going = Walk(dice.choice(plans), dice)
    try:
        for _ in range(steps):
            going.step()
        if prints:
            going.end()
    except Exception as error:
        changed = [{k: v for k, v in told.items() if v != going.shown.fields.get(k)} for told in going.told]
        raise AssertionError(f"walk {seed} on {going.name}: {error}\n  steps: {changed}") from error


def main(count: int, seed: int, every: int, plans: Sequence[str]) -> int:
    """Go many walks, print every so-manyth, and tell what came of them; Ctrl+C ends them earlier."""
    failed = gone = 0
    try:
        for n in range(count):
            try:
                walk(seed + n, prints=n % every == 0, plans=plans)
            except AssertionError as error:
                failed += 1
                print(str(error)[:1500], flush=True)
            gone += 1
            if gone % 100 == 0:
                print(f"{gone} walks, {failed} of them wrong", file=sys.stderr, flush=True)
    except KeyboardInterrupt:
        pass
    print(f"{gone} walks, {failed} of them wrong")
    for what, times in sorted(DONE.items()):
        print(f"  {times:6} {what}")
    return 1 if failed else 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:] if word != "all"]
    count, seed, every = given + [300, 1, 1][len(given) :]
    sys.exit(main(count, seed, every, ALL if "all" in sys.argv else PLANS))
