"""Picture the page, with a starting plan on it, as a browser shows it.

Run it from anywhere::

    python gallery/shoot.py

Needs the packages of the ``test`` extra, and chromium.
"""

from __future__ import annotations

import io
import shutil
import sys
import threading
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from closures import shipped
from closures.app.web.server import listen
from closures.app.web.table import files_beside

WIDTH_PX, HEIGHT_PX = 1280, 900
COLOURS = 256
"""As many as a palette holds: with fewer the two cloths change their look."""


def main(folder: Path = HERE) -> None:
    """Write the picture.

    Args:
        folder: where it goes.

    Raises:
        SystemExit: there is no chromium.
    """
    chromium = shutil.which("chromium")
    if chromium is None:
        raise SystemExit("chromium is needed for the picture of the page")
    (folder / "the-page.png").write_bytes(picture(chromium))


def picture(chromium: str, name: str = "curved-front") -> bytes:
    """Lay a starting plan on the page, and picture it.

    Args:
        chromium: the browser.
        name: of the starting plan.

    Returns:
        A PNG.
    """
    from PIL import Image
    from playwright.sync_api import sync_playwright

    served = listen(0, files_beside(shipped.starting_plans()[name] / "plan.toml"))
    threading.Thread(target=served.run, daemon=True).start()
    while not served.server.started:
        time.sleep(0.01)
    with sync_playwright() as maker:
        browser = maker.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--headless", "--disable-gpu"])
        page = browser.new_page(viewport={"width": WIDTH_PX, "height": HEIGHT_PX})
        page.goto(served.address)
        page.wait_for_selector("body.ready")
        page.wait_for_selector("#pages-count", state="attached")  # the button that prints says how many sheets it takes
        seen = page.screenshot()
        browser.close()
    served.server.should_exit = True
    with Image.open(io.BytesIO(seen)) as shot:
        small = io.BytesIO()
        shot.convert("RGB").quantize(COLOURS).save(small, "PNG", optimize=True)
    return small.getvalue()


if __name__ == "__main__":
    main()
