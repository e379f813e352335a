"""A real browser for the tests of the page, and a page that answers it."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"

# As root in a container a browser has no sandbox; it asks nothing of any network.
FLAGS = (
    "--no-sandbox",
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

READY = "() => !!document.body?.classList.contains('ready') && !location.search"
"""That a page is loaded, its scripts run, and the hand is back where it was."""


def need_browser() -> str:
    """Find the browser, or pass the tests over with the reason."""
    pytest.importorskip("playwright", reason="playwright is not installed")
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("chromium is not installed")
    return found


@contextmanager
def running(served: Any) -> Iterator[str]:
    """Let a page that listens answer, at the address that comes out, and end it."""
    answering = threading.Thread(target=served.run, daemon=True)
    answering.start()
    while not served.server.started:
        time.sleep(0.01)
    try:
        yield served.address
    finally:
        served.server.should_exit = True
        answering.join(10)
        served.listener.close()


@contextmanager
def serving(name: str | None = "curved-front") -> Iterator[str]:
    """Answer with a starting plan on the table, or with nothing on it, at the address that comes out."""
    from closures.app.web.server import listen
    from closures.app.web.table import files_beside

    with running(listen(0, None if name is None else files_beside(TEMPLATES / name / "plan.toml"))) as address:
        yield address


@contextmanager
def browser() -> Iterator[Any]:
    """Open a browser."""
    where = need_browser()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as maker:
        opened = maker.chromium.launch(executable_path=where, args=list(FLAGS))
        try:
            yield opened
        finally:
            opened.close()


# The rules of WCAG 2.2, levels A and AA, as axe-core holds them.
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def breaches_of(page: Any, *further: str, contrast: bool = True) -> list[Any]:
    """What of a page breaks the rules of WCAG, or further ones by their tag: the rule, where, and why.

    What keeps them is named and not listed node by node, which took two thirds of the time. The contrast of colours takes
    two thirds of the rest: a phone has those of the desk, and forced colours are the reader's own.
    """
    axe = pytest.importorskip("axe_playwright_python", reason="axe-core is not installed")
    page.evaluate((Path(axe.__file__).parent / "axe.min.js").read_text(encoding="utf-8"))
    how = {
        "resultTypes": ["violations"],
        "runOnly": {"type": "tag", "values": [*WCAG, *further]},
        "rules": {"color-contrast": {"enabled": contrast}},
    }
    found = page.evaluate("how => axe.run(document, how)", how)
    assert len(found["passes"]) > 10
    return [
        (v["id"], [n["target"] for n in v["nodes"]][:5], v["nodes"][0]["failureSummary"]) for v in found["violations"]
    ]
