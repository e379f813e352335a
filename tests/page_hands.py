"""Random walks of hands over the page in a real browser, on a server that is slow to answer.

    python tests/page_hands.py 5000       so many walks
    python tests/page_hands.py 300 7      from a seed

Hands type, drag, click on the line, take out, lock, add, undo and change the units without waiting for an answer. Once all
is answered: what was typed last in a field stands in it, or in the row that it moved to; what was dragged lies where it
was let go; and fields, picture, saved plan and print tell the same.
"""

from __future__ import annotations

import asyncio
import importlib.util
import math
import random
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

_spec = importlib.util.spec_from_file_location("page_browser", Path(__file__).with_name("page_browser.py"))
assert _spec is not None and _spec.loader is not None
page_browser = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_browser)

PLANS = ("curved-front", "shirt-front", "side-opening", "jacket-placket")
WORDS = {
    "spacing.widest": ("95 mm", "110 mm", "4 1/2 in", "x"),
    "spacing.closest": ("12 mm", "15 mm", "-3 mm"),
    "spacing.last": ("20 mm", "1/2 in to 1 in", "2 in to 4 in"),
    "closure.spare": ("2", "3", "-1"),
    "closure.grip": ("1 mm to 3 mm", "thick"),
    "band.under_width": ("40 mm", "1 3/4 in", "0"),
    "anchor.0.within": ("3 mm", "1/8 in"),
    "anchor.0.name": ("hip", "waist"),
    "clear.0.name": ("belt", "seam"),
    "layer.0.count": ("2", "3"),
    ".title": ("Long walk", "Short walk"),
}
READ = """() => ({
  fields: Object.fromEntries([...new FormData(document.getElementById('change'))]
    .filter(([name]) => !document.querySelector(`#form .new [name="${CSS.escape(name)}"]`))),
  new: Object.fromEntries([...document.querySelectorAll('#form .new input')].map((one) => [one.name, one.value])),
  wrong: [...document.querySelectorAll('main .wrong-words')].map((one) => one.id.slice(2)),
  marks: Object.fromEntries([...document.querySelectorAll('#worn .mark')].map((one) =>
    [one.id.slice(5), one.querySelector('[transform]').transform.baseVal.consolidate().matrix]
  ).map(([n, m]) => [n, [m.e, m.f]])),
  handles: Object.fromEntries([...document.querySelectorAll('#worn .handle')].map((one) => [one.id, Number(one.dataset.along)])),
  live: document.getElementById('live').className, text: document.getElementById('text').value,
  scale: document.getElementById('worn').getScreenCTM().a, asked: window.asked, answered: window.answered,
})"""
LISTEN = """(() => {
  window.asked = 0; window.answered = [];
  const real = window.fetch;
  window.fetch = async (where, how) => {
    const isChange = String(where).endsWith('/change');
    if (isChange) window.asked += 1;
    const answer = await real(where, how);
    if (!isChange) return answer;
    // It counts as answered once the page has shown it, and has asked for what waits behind it.
    const read = answer.json.bind(answer);
    answer.json = async () => {
      const parts = await read();
      setTimeout(() => setTimeout(() => window.answered.push({ do: how.body.get('do'), shown: Boolean(parts.picture),
        n: how.body.get('n'), what: how.body.get('what'), along: Number(how.body.get('along')) })));
      return parts;
    };
    return answer;
  };
  // Where the pointer is in the picture that stands at that moment: an answer may bring another one right after it.
  const place = (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(document.getElementById('worn').getScreenCTM().inverse());
    return [at.x, at.y];
  };
  addEventListener('pointerdown', (event) => {
    const held = document.activeElement, isTaken = document.getElementById('picture').classList.contains('dragging');
    window.drag = { held: isTaken ? held.id : '', took: Number(held.dataset.along), went: [], at: event,
      answers: window.answered.length };
  });
  // The hand went what lies between two of its places on the picture as it lies then.
  addEventListener('pointermove', (event) => {
    if (!event.buttons || !window.drag) return;
    window.drag.went.push([place(window.drag.at), place(event)]);
    window.drag.at = event;
  });
})()"""
DONE: Counter[str] = Counter()
"""What hands did, and what came of it."""


def slow(served: Any, seconds: Any) -> Any:
    """Let a page be slow to answer what hands ask of it."""
    real = served.server.config.app

    async def app(scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] == "http" and scope["path"].endswith("/change"):
            await asyncio.sleep(seconds())
        await real(scope, receive, send)

    served.server.config.app = app
    return served


@contextmanager
def at_work(opened: Any, name: str, seconds: Any) -> Iterator[Any]:
    """A page with a starting plan on a slow server, with every part of it open."""
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    served = listen(0, files_beside(page_browser.TEMPLATES / name / "plan.toml"))
    with page_browser.running(slow(served, seconds)) as address:
        context = opened.new_context(viewport={"width": 1280, "height": 1000}, accept_downloads=True)
        try:
            page = context.new_page()
            page.add_init_script(LISTEN)
            page.goto(address)
            until(page, page_browser.READY)
            page.evaluate("document.querySelectorAll('#form details').forEach((one) => { one.open = true; })")
            yield page
        finally:
            context.close()


def until(page: Any, script: str, given: object = None) -> None:
    """Wait until a function of the page says yes."""
    from playwright.sync_api import Error

    for _ in range(1200):
        try:
            if page.evaluate(script, given):
                return
        except Error as error:
            if "navigat" not in str(error) and "context was destroyed" not in str(error):
                raise
        page.wait_for_timeout(15)
    raise AssertionError(f"{script} stayed untrue")


def take_hold(page: Any, handle: Any) -> tuple[float, float]:
    """Press the mouse on a handle, once nothing moves it any more: a page that is scrolled or laid out anew takes some frames.

    Returns:
        Where the pointer is, in pixels of the window.
    """
    handle.evaluate("one => one.scrollIntoView({ block: 'nearest', behavior: 'instant' })")
    where = None
    for _ in range(40):
        page.wait_for_timeout(40)
        before, where = where, handle.locator(".hold").bounding_box()
        if before == where:
            break
    assert where is not None and before == where, f"it does not come to rest: {before}, {where}"
    x, y = where["x"] + where["width"] / 2, where["y"] + where["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    assert page.evaluate("document.activeElement.id") == handle.get_attribute("id"), "the hand took hold of nothing"
    return x, y


class LetGo(NamedTuple):
    """What was dragged last: its handle, where it lay on the line, the pieces of way of the pointer, in mm, and how many
    answers there were before."""

    handle: str
    along_mm: float
    went: list[tuple[tuple[float, float], tuple[float, float]]]
    answers: int


class Hands:
    """One walk: what hands did, and what must stand at its end."""

    def __init__(self, page: Any, name: str, dice: random.Random) -> None:
        from closures.app.web.table import files_beside

        self.page, self.dice, self.told = page, dice, list[str]()
        self.beside = files_beside(page_browser.TEMPLATES / name / "plan.toml")[2]
        self.typed: dict[str, str] = {}
        self.leaving = set[str]()
        self.let_go: LetGo | None = None

    def step(self) -> None:
        """Do one thing, without waiting for what was asked before."""
        ways = (self.type, self.type, self.type, self.drag, self.drag, self.keys, self.click, self.take_out, self.lock, self.back, self.units, self.remove)  # fmt: skip
        way = self.dice.choice(ways)
        DONE[way.__name__] += 1
        if way != self.units:
            self.let_go = None
        way()

    def type(self) -> None:
        there = [name for name in WORDS if self.page.locator(f'[id="f-{name}"]:visible').count()]
        name = self.dice.choice(there)
        text, field = self.dice.choice(WORDS[name]), self.page.locator(f'[id="f-{name}"]')
        self.told.append(f"{name} = {text}")
        field.fill(text)
        if self.dice.random() < 0.7:
            field.blur()
        # A row that is being taken out takes along what is typed in it meanwhile.
        if not name.startswith(tuple(self.leaving)):
            self.typed[name] = text

    def drag(self) -> None:
        by = self.dice.randint(-25, 25)
        # Chosen and measured in one look: an answer may take handles away between two of them.
        name, *box = self.page.evaluate(
            "share => { const all = document.querySelectorAll('#worn .handle:not(#caret)');"
            " const one = all[Math.floor(share * all.length)];"
            " const it = (one.querySelector('.hold, .halo') || one).getBoundingClientRect();"
            " return [one.id, it.x + it.width / 2, it.y + it.height / 2]; }",
            self.dice.random(),
        )
        self.page.mouse.move(*box)
        self.page.mouse.down()
        for n in range(1, 5):
            self.page.mouse.move(box[0], box[1] + by * n / 4)
        self.page.mouse.up()
        # An answer to what was asked before may have moved it from under the hand.
        drag = self.page.evaluate("({ ...window.drag, at: null })")
        if drag["held"] == name and by:
            self.let_go = LetGo(drag["held"], drag["took"], drag["went"], drag["answers"])
        self.told.append(f"drag {name} by {by} px")
        self._away("anchor." if "mark" in name else "")
        if "mark" in name:
            # An end whose room is told is set by dragging its closure.
            self.typed = {
                name: text for name, text in self.typed.items() if name not in ("spacing.first", "spacing.last")
            }

    def keys(self) -> None:
        # Looked for and taken hold of at once: an answer that comes between the two may take it out of the row.
        held = self.page.evaluate(
            "() => { const one = document.querySelector('#worn [id^=handle-]'); one?.focus(); return one !== null; }"
        )
        if not held:
            return
        for _ in range(self.dice.randint(1, 4)):
            self.page.keyboard.press("ArrowDown")
        self.told.append("keys on the first handle")

    def click(self) -> None:
        self.page.locator("#adds").select_option(self.dice.choice(("mark", "anchor", "clear")))
        at = self.page.evaluate(
            "share => { const svg = document.getElementById('worn'), line = JSON.parse(svg.dataset.line);"
            " const [x, y] = line[Math.floor(share * (line.length - 1))];"
            " const at = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM()); return [at.x, at.y]; }",
            self.dice.random(),
        )
        self.page.mouse.click(*at)
        self.told.append(f"click on the line, {self.page.locator('#adds').input_value()}")

    def take_out(self) -> None:
        marks = self.page.locator("#worn .mark.handle")
        if marks.count() < 3:
            return
        self._focus_one(marks)
        self.page.keyboard.press("Delete")
        self.told.append("take out a closure")
        self._away("anchor.")

    def _focus_one(self, marks: Any) -> None:
        # An answer may take away closures between two looks at them.
        marks.evaluate_all("(all, share) => all[Math.floor(share * all.length)]?.focus()", self.dice.random())

    def lock(self) -> None:
        marks = self.page.locator("#worn .mark.handle")
        self._focus_one(marks)
        self.page.keyboard.press("l")
        self.told.append("lock or unlock a closure")
        self._away("anchor.")

    def back(self) -> None:
        self.page.evaluate("document.getElementById('undo').click()")
        self.told.append("undo")
        self._away("")

    def units(self) -> None:
        self.page.evaluate(f"document.getElementById('in-{self.dice.choice(('mm', 'in'))}').click()")
        self.told.append("units")

    def remove(self) -> None:
        section = self.dice.choice(("anchor", "clear", "layer"))
        button = self.page.locator(f'#form button[value="remove {section} 0"]').first
        if not button.count():
            return
        button.evaluate("one => one.click()")
        self.told.append(f"remove {section} 0")
        self._away(f"{section}.")

    def _away(self, section: str) -> None:
        """What was typed is not asked for any more, as after a step back; of one section, whose rows may be others now."""
        self.typed = {name: text for name, text in self.typed.items() if section and not name.startswith(section)}
        self.leaving |= {section} if section else {"anchor.", "clear.", "layer."}

    def settled(self) -> dict[str, Any]:
        """Wait until all is answered, and read what the page shows."""
        self.page.evaluate("document.activeElement?.blur()")
        before = None
        while True:
            until(self.page, "() => window.asked === window.answered.length")
            self.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 30)))")
            now: dict[str, Any] = self.page.evaluate(READ)
            if now == before:
                return now
            before = now

    def holds(self) -> None:
        """Fields, picture, saved plan and print agree, and what was typed last stands."""
        from closures.app.job import check_plan, place_plan, result_files
        from closures.app.web.fields import values_of
        from closures.errors import ClosureError
        from closures.plan.reading import read_plan
        from closures.results.standing import sealed

        shown = self.settled()
        got = self.page.request.get(f"{self.page.url.partition('#')[0]}/files/plan.toml")
        saved = got.text()
        if shown["text"] != saved:
            raise AssertionError("the text on the page is another than the saved plan")
        says = values_of(saved)
        for name, text in self.typed.items():
            # A row that is not added yet stands after one that a click on the line added meanwhile.
            section, _, key = name.rpartition(".")
            like = rf"{section.rstrip('0123456789')}\d+\.{key}" if section[-1:].isdigit() else re.escape(name)
            stands = [told for other, told in {**shown["fields"], **shown["new"]}.items() if re.fullmatch(like, other)]
            assert name not in shown["fields"] or text in stands, f"{name} shows {stands}, and {text!r} was typed last"
        for name, stands in shown["fields"].items():
            if name in says and name not in shown["wrong"] and stands.split() != says[name].split():
                held = [one for one in shown["wrong"] if one.rpartition(".")[0] == name.rpartition(".")[0]]
                assert held, f"{name} shows {stands!r}, and the plan says {says[name]!r}"
        answer = check_plan(read_plan(saved.encode(), "plan.toml"), self.beside)
        placed = {str(mark.n): (mark.x_mm, mark.y_mm) for mark in answer.placement.marks}
        assert placed.keys() == shown["marks"].keys(), "the picture shows other closures than the plan"
        for n, at in placed.items():
            assert math.dist(at, shown["marks"][n]) < 0.006, f"mark {n} is shown elsewhere"
        self.lies_where_let_go(shown, answer.placement)
        url = self.page.url.partition("#")[0]
        turn = self.page.locator("#at").input_value()
        elsewhere = f"{url}/files/marking.pdf?paper=a4&at={turn}"
        if any(text.strip() for text in shown["new"].values()):
            # The server hears of a row that is not added a quarter of a second after it was typed.
            for _ in range(40):
                if is_held := self.page.request.get(elsewhere).status == 422:
                    break
                self.page.wait_for_timeout(100)
            assert is_held, "a row stands typed and is not added, and another window prints without it"
        pdf = self.page.request.get(f"{elsewhere}&window={self.page.locator('#window').input_value()}")
        if shown["wrong"]:
            assert pdf.status == 422, "something typed is in no picture, and it prints"
            DONE["held back"] += 1
            return
        try:
            made = sealed(result_files(place_plan(read_plan(saved.encode(), "plan.toml"), self.beside), "a4"))
        except ClosureError:
            assert pdf.status == 422
            return
        assert pdf.body() == made["marking.pdf"], "what prints is not what the command writes for the saved plan"
        DONE["printed"] += 1

    def _takes_out(self, shown: dict[str, Any]) -> Callable[[str], bool]:
        """Tell of what was asked whether it takes out what was dragged last: a button, a key, or a step back that left
        none of it in the picture."""
        assert self.let_go is not None
        handle = self.let_go.handle
        what, n = handle.removeprefix("handle-").split("-")[:2]
        asked = {f"without {what} {n}", f"remove {what} {n}"}
        if handle not in shown["handles"]:
            asked |= {"undo", "redo"}
        return asked.__contains__

    def lies_where_let_go(self, shown: dict[str, Any], placement: Any) -> None:
        """What was dragged last was asked to go where the pointer let it go, and lies there if it could."""
        if self.let_go is None:
            return
        line = placement.laps.as_worn.line
        last = next((one for one in reversed(shown["answered"]) if not (one["do"] or "").startswith("units")), None)
        since = [one["do"] or "" for one in shown["answered"][self.let_go.answers :]]
        # What was asked before it was dragged took it out, and was answered after that; other answers may have come since.
        if any(map(self._takes_out(shown), since)) and "move" not in since[-1:]:
            DONE["gone by then"] += 1
            return
        to = self.let_go.along_mm
        for begun, ended in self.let_go.went:
            to += line.nearest(tuple(ended)).along_mm - line.nearest(tuple(begun)).along_mm
        # A pointer goes by whole pixels, and the picture may be drawn anew between two of them.
        loose = 2.5 / shown["scale"]
        # Less than half a millimetre of way along the line asks nothing, as that of a first closure past its end.
        if abs(min(max(to, 0.0), line.length_mm) - self.let_go.along_mm) <= 0.5 + loose and not (
            last and last["do"] == "move"
        ):
            DONE["hardly moved"] += 1
            return
        assert last and last["do"] == "move" and abs(last["along"] - to) <= loose, (
            f"{last} was asked, and it was let go at {to}"
        )
        if not last["shown"]:
            DONE["refused where it was let go"] += 1
            return
        kind = self.let_go.handle.rpartition("-")[0] if "mark" in self.let_go.handle else self.let_go.handle
        lies = [along for name, along in shown["handles"].items() if name.startswith(kind)]
        # It is written to the step of its unit; a closure may stray from its fixed place as far as that allows.
        loose += 1.0 + (max((one.within_mm for one in placement.plan.anchors), default=0.0) if kind == "mark" else 0.0)
        to = min(max(to, 0.0), line.length_mm)
        # The two ends of a stretch do not pass each other.
        if kind.endswith("-to"):
            to = max(to, shown["handles"].get(kind.removesuffix("to") + "from", to))
        elif kind.endswith("-from"):
            to = min(to, shown["handles"].get(kind.removesuffix("from") + "to", to))
        assert min(abs(along - to) for along in lies) <= loose, (
            f"{self.let_go.handle} was let go at {to}, and lies at {lies}"
        )
        DONE["lies where it was let go"] += 1


def walk(opened: Any, seed: int, steps: int = 6, seconds: float = 0.8) -> None:
    """Go one walk.

    Raises:
        AssertionError: something that hands did is lost, or the page tells two things.
    """
    dice = random.Random(seed)
    name = dice.choice(PLANS)
    with at_work(opened, name, lambda: dice.choice((0.0, seconds))) as page:
        hands = Hands(page, name, dice)
        try:
            for _ in range(steps):
                hands.step()
            if seed % 2:
                hands.let_go = None
                hands.drag()
            hands.holds()
        except Exception as error:
            raise AssertionError(f"walk {seed} on {name}: {error}\n  {hands.told}") from error


def main(count: int, seed: int) -> int:
    """Go many walks and tell what came of them."""
    failed = 0
    with page_browser.browser() as opened:
        for n in range(count):
            try:
                walk(opened, seed + n, seconds=0.2)
            except AssertionError as error:
                failed += 1
                print(str(error)[:1500], flush=True)
    print(f"{count} walks, {failed} of them wrong")
    for what, times in sorted(DONE.items()):
        print(f"  {times:6} {what}")
    return 1 if failed else 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    sys.exit(main(given[0] if given else 300, given[1] if len(given) > 1 else 1))
