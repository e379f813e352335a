"""What the page keeps, and what the process that answers it holds on to: counted, with no clock."""

from __future__ import annotations

import gc
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

import pytest

pytest.importorskip("httpx2", reason="the test client needs httpx2")

from starlette.testclient import TestClient

from closures.app.web import bench, memory, placed, table
from closures.app.web.app import make_app
from closures.app.web.memory import Memory
from closures.app.web.table import files_beside
from closures.curve import kept

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
PORT = 8471
HOME = f"http://127.0.0.1:{PORT}"
SENT = {"origin": HOME, "accept": "application/json"}
ROUNDS = 20
PLACES_MM = (212.0, 240.0, 251.5, 260.0)
OPENED = ("jacket-placket", "sash-belt", "curved-front", "shirt-front")


def of_all_kinds(client: TestClient, plan: str, first: int, rounds: int) -> None:
    """So many rounds of what hands ask: a drag, good and bad words, the page itself, plans opened, a file that is none."""
    for n in range(first, first + rounds):
        move = {"do": "move", "what": "anchor", "n": 0, "along": PLACES_MM[n % len(PLACES_MM)]}
        assert client.post(f"{plan}/change", data={**move, "seq": n, "gesture": f"drag-{n}"}, headers=SENT).json()[
            "seq"
        ] == str(n)
        client.post(f"{plan}/change", data={"spacing.pitch": ("80 mm", "x")[n % 2], "do": "redraw"}, headers=SENT)
        assert client.get(plan).status_code == 200
        assert client.get(f"{plan}/turn").status_code == 200
        opened = client.post("/open/starting-plan", data={"name": OPENED[n % len(OPENED)]}, headers=SENT)
        assert opened.status_code == 303
        assert client.post("/open/numbers", data={"numbers": "-3 mm"}, headers=SENT).status_code == 422
        nonsense = {"plan": ("plan.toml", b"title = 3", "text/plain")}
        assert client.post("/open/plan", files=nonsense, headers=SENT).status_code == 422


def kept_now() -> int:
    """How many pieces of memory Python has: every value of every kind is one or more."""
    urlsplit.cache_clear()  # of the test's own client
    gc.collect()
    return sys.getallocatedblocks()


def test_page_keeps_no_more_after_twice_as_many_requests(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    # What has a bound is full within the first requests: what is told apart here is what has none.
    monkeypatch.setattr(bench, "MOST_STEPS", 6)
    monkeypatch.setattr(table, "MOST_BENCHES", 4)
    monkeypatch.setattr(memory, "MOST_REMEMBERED", 4)
    monkeypatch.setattr(kept, "MOST_KEPT", 1)
    for one in (placed._PLANS, placed._ANSWERS):
        monkeypatch.setattr(one, "_most", 4)
    page, first = make_app(PORT, files_beside(TEMPLATES / "shirt-front" / "plan.toml"), memory=Memory(tmp_path))
    client = TestClient(page, base_url=HOME, follow_redirects=False)
    counts = []
    for part in range(3):
        of_all_kinds(client, first, part * ROUNDS, ROUNDS)
        counts.append(kept_now())
    # Each round asks seven times, and some small values of the libraries come and go: two or three in a round.
    assert counts[2] - counts[1] < 5 * ROUNDS


HEAPS = """
import ctypes, sys, tempfile, threading
from closures.app.bounds import give_memory_back
if sys.argv[1] == "given back" and not give_memory_back():
    print("untold")
    sys.exit()
together = threading.Barrier(6)
def work():
    together.wait()
    kept = [bytes(2000) for _ in range(2000)]
    together.wait()
threads = [threading.Thread(target=work) for _ in range(6)]
[one.start() for one in threads]
[one.join() for one in threads]
libc = ctypes.CDLL(None)
libc.fdopen.restype = ctypes.c_void_p
with tempfile.TemporaryFile() as file:
    stream = ctypes.c_void_p(libc.fdopen(file.fileno(), b"w"))
    libc.malloc_info(0, stream)
    libc.fflush(stream)
    file.seek(0)
    print(file.read().count(b"<heap nr="))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="heaps of threads are those of glibc")
def test_threads_of_the_page_share_two_heaps_where_each_would_have_its_own() -> None:
    def heaps(how: str) -> str:
        done = subprocess.run([sys.executable, "-c", HEAPS, how], capture_output=True, text=True, check=True)
        return done.stdout.strip()

    given_back = heaps("given back")
    if given_back == "untold":
        pytest.skip("no glibc")
    assert int(given_back) <= 2 < int(heaps("as it is"))
