"""The page for an hour under many hands: nothing lost, nothing late, memory flat; run by hand.

    python tests/page_soak.py              an hour at 50 requests a second
    python tests/page_soak.py 600 50       so many seconds, at so many requests a second

Four hands ask at even beats and wait for no other: they drag, type good and bad words, read the page, fetch sheets and
reports, open further plans and hand in files that nobody can read. Every question must be answered, a drag with its own
number, and nothing by a fault of the server. The resident memory of the server and its workers is read every five
seconds; the second half of the time is held against what stood once the first tenth was over.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from test_page_load import Client

ROOT = Path(__file__).resolve().parent.parent
HANDS = 4
EVERY_S = 5.0
STEPS = 12
"""The time falls into so many parts, of which each is told by itself: a memory that grows is told from one that fills."""
STARTING = ("shirt-front", "curved-front", "scooped-wrap", "jacket-placket", "sash-belt", "side-opening")
WORDS = ("", "x", "12 mm", "1,5 in", "-3 mm", "900 mm", "2 to 4 in", "1e9", "linen", "0")
FIELDS = ("spacing.pitch", "spacing.first", "spacing.last", "band.width", "band.inset", "closure.size", "closure.kind")


class Told:
    """What came of it, kept by all hands."""

    def __init__(self) -> None:
        self.counts: Counter[str] = Counter()
        self.wrong: list[str] = []
        self.late_ms: list[float] = []
        self.lock = threading.Lock()

    def answer(self, kind: str, took_s: float, wrong: str = "") -> None:
        with self.lock:
            self.counts[kind] += 1
            self.late_ms.append(took_s * 1000)
            if wrong:
                self.wrong.append(f"{kind}: {wrong}")


def _ask(client: Client, plan: str, n: int, dice: random.Random) -> tuple[str, str, str]:
    """One question: its kind, what is wrong with its answer, and the plan that is open now."""
    draw = dice.random()
    if draw < 0.6:
        told = client.move(plan, 150 + dice.randrange(200), n, f"drag-{n // 50}")
        return "drag", "" if told.get("seq") == str(n) and "ok" in told else f"{str(told)[:100]}", plan
    if draw < 0.72:
        typed = {dice.choice(FIELDS): dice.choice(WORDS), "do": "redraw", "seq": n}
        answer = client.post(f"{plan}/change", **typed)
        told = answer.read()
        return "words", "" if answer.status == 200 and told.startswith(b"{") else f"{answer.status}", plan
    if draw < 0.96:
        path = plan if draw < 0.93 else f"{plan}/sheets" if draw < 0.95 else f"{plan}/report"
        client.connection.request("GET", path, headers=client.headers)
        answer = client.connection.getresponse()
        answer.read()
        return "read", "" if answer.status < 500 else f"{path} {answer.status}", plan
    if draw < 0.98:
        answer = client.post("/open/starting-plan", name=dice.choice(STARTING))
        answer.read()
        there = str(answer.getheader("location") or "")
        return "open", "" if answer.status == 303 and there else f"{answer.status}", there.partition("#")[0] or plan
    answer = client.post("/open/numbers", numbers=dice.choice(WORDS))
    answer.read()
    return "nonsense", "" if answer.status < 500 else f"{answer.status}", plan


def resident_bytes(first: int) -> int:
    """Resident memory of a process and of all below it."""
    parents, sizes = {}, {}
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            try:
                stat = (folder / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            parents[int(folder.name)], sizes[int(folder.name)] = int(stat[1]), int(stat[21]) * 4096
    within, grew = {first}, True
    while grew:
        more = {pid for pid, parent in parents.items() if parent in within} - within
        within, grew = within | more, bool(more)
    return sum(sizes.get(pid, 0) for pid in within)


def main(words: list[str]) -> int:
    """Ask for so long, so often, and tell; 1 where anything was lost or memory grew by over a tenth."""
    from test_page_load import Client

    seconds = float(words[0]) if words else 3600.0
    per_second = float(words[1]) if len(words) > 1 else 50.0
    told, memory, stop = Told(), [], threading.Event()
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.toml"
        plan.write_bytes((ROOT / "templates" / "shirt-front" / "plan.toml").read_bytes())
        command = [sys.executable, "-m", "closures", "serve", str(plan), "--port", "0", "--no-open"]
        complaints = Path(folder) / "complaints.txt"
        with (
            complaints.open("w") as complained,
            subprocess.Popen(command, stdout=subprocess.PIPE, stderr=complained, text=True) as server,
        ):
            assert server.stdout is not None
            address = next(word for word in str(server.stdout.readline()).split() if word.startswith("http"))
            begun = time.monotonic()

            def hand(k: int) -> None:
                client, dice, n = Client(address), random.Random(k), 0
                mine = client.at.path
                while not stop.is_set():
                    due = begun + (n * HANDS + k) / per_second
                    time.sleep(max(0.0, due - time.monotonic()))
                    asked = time.monotonic()
                    try:
                        kind, wrong, mine = _ask(client, mine, n, dice)
                    except Exception as error:  # whatever breaks a question off is an answer lost
                        kind, wrong, client = "lost", repr(error), Client(address)
                    told.answer(kind, time.monotonic() - asked, wrong)
                    n += 1

            hands = [threading.Thread(target=hand, args=(k,)) for k in range(HANDS)]
            for one in hands:
                one.start()
            while time.monotonic() < begun + seconds:
                time.sleep(EVERY_S)
                memory.append(resident_bytes(server.pid))
            stop.set()
            for one in hands:
                one.join(60)
            took = time.monotonic() - begun
            server.terminate()
            ended = server.wait(20)
        said = complaints.read_text(encoding="utf-8")
    settled = memory[len(memory) // 10]
    parts = [memory[len(memory) * k // STEPS : len(memory) * (k + 1) // STEPS] for k in range(STEPS)]
    print(
        f"memory in {STEPS} parts of the time, half of the looks at most, in MB:",
        *(round(median(part) / 1e6) for part in parts if part),
    )
    most = max(memory[len(memory) // 2 :])
    late = sorted(told.late_ms)
    print(
        f"{sum(told.counts.values())} answers in {took:.0f} s, {sum(told.counts.values()) / took:.1f} a second; {dict(told.counts)}"
    )
    print(
        f"half within {late[len(late) // 2]:.0f} ms, 95 of 100 within {late[len(late) * 95 // 100]:.0f} ms, at most {late[-1]:.0f} ms"
    )
    print(
        f"memory: {settled / 1e6:.0f} MB after a tenth of the time, at most {most / 1e6:.0f} MB in the second half; ended with {ended}"
    )
    print(f"{len(told.wrong)} wrong", *told.wrong[:10], said[-3000:], sep="\n")
    return bool(told.wrong or most > 1.1 * settled)


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
    sys.exit(main(sys.argv[1:]))
