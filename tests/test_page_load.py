"""The page under many hands: in order and without loss. How quick it is, the benchmark tells."""

from __future__ import annotations

import http.client
import json
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
TWELVE = """
title = "Twelve"
[garment]
opens = "front"
pieces = "pair"
[edge]
points = [["0 mm","0 mm"], ["16 mm","150 mm"], ["30 mm","320 mm"], ["0 mm","760 mm"]]
[band]
width = "38 mm"
lap = "right over left"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = { from = "10 mm", to = "60 mm" }
last = { from = "10 mm", to = "80 mm" }
count = 12
[[anchor]]
name = "bust point"
along = "230 mm"
"""
CLIENTS, REDRAWS, PER_SECOND = 4, 150, 200


@contextmanager
def served(plan: Path) -> Iterator[str]:
    """Run the command itself, in a process of its own, at the address that comes out."""
    words = [sys.executable, "-m", "closures", "serve", str(plan), "--port", "0", "--no-open"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as command:
        try:
            assert command.stdout is not None
            found = re.search(r"http://\S+", command.stdout.readline())
            assert found is not None
            yield found[0]
        finally:
            command.terminate()
            command.wait(10)


class Client:
    """One browser's worth of requests on one connection."""

    def __init__(self, address: str) -> None:
        self.at = urlsplit(address)
        self.connection = http.client.HTTPConnection(str(self.at.hostname), self.at.port or 80, timeout=60)
        self.headers = {
            "Origin": f"http://{self.at.netloc}",
            "Accept": "application/json",
            "Content-Type": "application/x-www-form-urlencoded",
        }
        self.connection.request("GET", f"{self.at.path}?{self.at.query}")
        let_in = self.connection.getresponse()
        let_in.read()
        self.headers["Cookie"] = str(let_in.getheader("set-cookie")).partition(";")[0]
        self.connection.close()

    def post(self, path: str, **typed: object) -> http.client.HTTPResponse:
        self.connection.request("POST", path, urlencode(typed), self.headers)
        return self.connection.getresponse()

    def move(self, plan: str, along: float, seq: int, gesture: str = "") -> dict[str, object]:
        typed = {"do": "move", "what": "anchor", "n": 0, "along": along, "seq": seq, "gesture": gesture}
        answered = json.loads(self.post(f"{plan}/change", **typed).read())
        assert isinstance(answered, dict)
        return answered


def test_redraw_of_twelve_closures_shows_twelve_each_time(tmp_path: Path) -> None:
    (tmp_path / "plan.toml").write_text(TWELVE, encoding="utf-8")
    with served(tmp_path / "plan.toml") as address:
        client = Client(address)
        for i in range(40):
            parts = client.move(client.at.path, 200.0 + i, i, "drag-1")
            assert parts["ok"] and str(parts["picture"]).count('id="mark-') == 12


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("one_plan", [False, True], ids=["a plan each", "one plan together"])
def test_many_redraws_lose_nothing_and_are_answered_in_order(one_plan: bool) -> None:
    with served(TEMPLATES / "shirt-front" / "plan.toml") as address:
        clients = [Client(address) for _ in range(CLIENTS)]
        plans = [client.at.path for client in clients]
        if not one_plan:
            opened = [client.post("/open/starting-plan", name="shirt-front") for client in clients]
            plans = [str(answer.getheader("location")) for answer in opened]
            for answer in opened:
                answer.read()
        answers: list[list[tuple[float, dict[str, object]]]] = [[] for _ in clients]
        begun = time.perf_counter()

        def work(k: int) -> None:
            for i in range(REDRAWS):
                # Every client asks at its own even beat, and waits for no other.
                due = begun + (i * CLIENTS + k) / PER_SECOND
                time.sleep(max(0.0, due - time.perf_counter()))
                sixteenth = 60 + (7 * i + 41 * k) % 200
                along = sixteenth * 25.4 / 16
                answers[k].append((along, clients[k].move(plans[k], round(along, 6), i)))

        hands = [threading.Thread(target=work, args=(k,)) for k in range(CLIENTS)]
        for hand in hands:
            hand.start()
        for hand in hands:
            hand.join(120)
    turns = []
    for mine in answers:
        assert len(mine) == REDRAWS
        for i, (along, parts) in enumerate(mine):
            assert parts["ok"] and parts["seq"] == str(i)
            moved = re.search(r'id="handle-anchor-0-whole".*?data-along="([\d.]+)"', str(parts["picture"]))
            assert moved is not None and float(moved[1]) == pytest.approx(along, abs=1e-4)
        own = [int(str(parts["turn"])) for _, parts in mine]
        assert own == sorted(own) and len(set(own)) == REDRAWS
        turns.append(own)
    if one_plan:
        assert sorted(turn for own in turns for turn in own) == list(range(1, CLIENTS * REDRAWS + 1))
    else:
        assert all(own == list(range(1, REDRAWS + 1)) for own in turns)
