"""How long a hand waits for the picture: 60 closures and 30 fixed places, one of them dragged to and fro in a real browser.

    python tests/page_speed.py            300 moves of the pointer
    python tests/page_speed.py 1000       so many

Tells, in ms, from the pointer's move to the frame that shows it, and from a question to its answer. It is run by hand on a
machine that does nothing else, and is no test: the suite counts the work of a move in `test_page_drag_work.py`.
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

_spec = importlib.util.spec_from_file_location("page_hands", Path(__file__).with_name("page_hands.py"))
assert _spec is not None and _spec.loader is not None
page_hands = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(page_hands)

CLOSURES, ANCHORS, LENGTH_MM, END_MM = 60, 30, 1500.0, 20.0
WANTED_MS = 33.0
LISTEN = """(() => {
  window.painted = []; window.answers = [];
  addEventListener('pointermove', (event) => {
    if (!event.buttons) return;
    // What is posted from within a frame comes after that frame was handed on to be painted.
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => window.painted.push(performance.now() - event.timeStamp);
      after.port2.postMessage(null);
    });
  }, true);
  const real = window.fetch;
  window.fetch = async (where, how) => {
    const begun = performance.now(), answer = await real(where, how);
    if (String(where).endsWith('/change')) {
      await answer.clone().arrayBuffer();
      window.answers.push(performance.now() - begun);
    }
    return answer;
  };
})()"""


def plan_text(closures: int = CLOSURES, anchors: int = ANCHORS) -> str:
    """A straight row of so many closures, so many of which sit at fixed places."""
    gap = (LENGTH_MM - 2 * END_MM) / (closures - 1)
    every = closures // anchors
    places = "".join(
        f'[[anchor]]\nname = "place {n + 1}"\nalong = "{END_MM + gap * every * n:.1f} mm"\nwithin = "1 mm"\n'
        for n in range(anchors)
    )
    return f"""title = "Long row"
[edge]
straight = "{LENGTH_MM} mm"
[garment]
opens = "front"
[band]
lap = "left over right"
width = "40 mm"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
count = {closures}
first = "{END_MM} mm"
last = "{END_MM} mm"
closest = "14 mm"
{places}"""


def _share(times: list[float], share: float) -> float:
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def _told(what: str, times: list[float]) -> str:
    half, most = _share(times, 0.5), _share(times, 0.95)
    return f"{what}: {len(times)} times, half within {half:.1f} ms, 95 of 100 within {most:.1f} ms, at most {max(times):.1f} ms"


def drag(page: Any, moves: int) -> None:
    """Take hold of the middle fixed place and drag it to and fro by so many moves."""
    handle = page.locator(f"#handle-anchor-{ANCHORS // 2}-whole .anchor")
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(moves):
        # To and fro over some mm, so that there is a row for every place.
        page.mouse.move(x, y + 4.0 * (1 - abs(n % 40 - 20) / 10))
    page.mouse.up()


def main(moves: int) -> int:
    """Measure, and tell it."""
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    with TemporaryDirectory() as folder, page_hands.page_browser.browser() as opened:
        (Path(folder) / "plan.toml").write_text(plan_text(), encoding="utf-8")
        served = listen(0, files_beside(Path(folder) / "plan.toml"))
        with page_hands.page_browser.running(served) as address:
            page = opened.new_page(viewport={"width": 1280, "height": 900})
            page.add_init_script(LISTEN)
            page.goto(address)
            page_hands.until(page, "() => !!document.body?.classList.contains('ready') && !location.search")
            print(f"{page.locator('#worn .mark').count()} closures; {page.locator('#live').inner_text()}")
            drag(page, moves)
            page_hands.until(page, "() => document.querySelector('.provisional') === null")
            painted, answers = page.evaluate("[window.painted, window.answers]")
            print(f"after it: {page.locator('#live').inner_text()} {page.locator('#message').inner_text()}")
    print(_told("pointer to paint", painted))
    print(_told("question to answer", answers))
    return 0 if _share(painted, 0.95) < WANTED_MS else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 300))
