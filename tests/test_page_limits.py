"""The page under what nobody means it to bear: heavy files, slow senders, full memory, and an end while it works."""

from __future__ import annotations

import asyncio
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from closures.app.web import files_first, guard, hands
from closures.app.web.files_first import Reader
from closures.app.web.hands import Hands
from closures.app.web.kept import Kept
from closures.errors import ClosureError

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path id="e" d="M1 1V90"/></svg>'


def test_what_was_not_used_for_longest_makes_room_by_bytes_and_by_number() -> None:
    kept: Kept[str] = Kept(100, 3)
    for n in range(3):
        kept.put(n, str(n), 30)
    assert kept.get(0) == "0"
    kept.put(3, "3", 30)
    assert 1 not in kept and 0 in kept and kept.bytes_kept == 90
    kept.put(4, "4", 90)
    assert kept.bytes_kept == 90 and kept.get(4) == "4" and 0 not in kept
    kept.put(5, "5", 1000)
    assert kept.get(5) == "5" and kept.bytes_kept == 1000
    assert kept.put(5, "6", 10) == "6" and kept.bytes_kept == 10
    assert kept.made(5, lambda: "7", 10) == "6" and kept.made(6, lambda: "7", 10) == "7"


def test_work_that_takes_too_long_is_given_up_and_keeps_no_other_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hands, "MOST_HAND_SECONDS", 0.4)
    working = Hands()

    def long() -> None:
        while True:
            sum(range(1000))

    async def both() -> tuple[BaseException, str, float]:
        begun = time.perf_counter()
        heavy = asyncio.ensure_future(working.by_hand(long, "a plan"))
        await asyncio.sleep(0.05)
        light = await working.by_hand(lambda: "answered", "another plan")
        took = time.perf_counter() - begun
        (trouble,) = await asyncio.gather(heavy, return_exceptions=True)
        assert isinstance(trouble, BaseException)
        return trouble, light, took

    trouble, light, took = asyncio.run(both())
    working.rest()
    assert isinstance(trouble, ClosureError) and "was given up" in str(trouble)
    assert light == "answered" and took < 0.4


def test_work_is_given_up_though_it_is_told_so_while_it_tidies_up_and_nothing_is_written_of_it(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(hands, "MOST_HAND_SECONDS", 0.1)
    monkeypatch.setattr(sys, "unraisablehook", sys.__unraisablehook__)
    working, end = Hands(), time.perf_counter() + 20

    class Heavy:
        def __del__(self) -> None:
            # Python writes what is raised here to stderr, and goes on.
            until = time.perf_counter() + 0.4
            while time.perf_counter() < until:
                pass

    def long() -> None:
        Heavy()
        while time.perf_counter() < end:
            pass

    async def trouble() -> BaseException | None:
        (told,) = await asyncio.gather(working.by_hand(long, "a plan"), return_exceptions=True)
        return told

    told = asyncio.run(trouble())
    working.rest()
    assert isinstance(told, ClosureError) and "was given up" in str(told)
    assert capfd.readouterr().err == ""


def test_changes_of_one_plan_are_made_in_the_order_in_which_they_came() -> None:
    working, done = Hands(), []

    def change(n: int) -> None:
        time.sleep(0.01 * (5 - n))
        done.append(n)

    async def all_of_them() -> None:
        await asyncio.gather(*(working.by_hand(lambda n=n: change(n), "a plan") for n in range(5)))  # type: ignore[misc]

    asyncio.run(all_of_them())
    working.rest()
    assert done == [0, 1, 2, 3, 4]


def test_file_that_holds_its_reader_is_refused_and_the_next_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    reader = Reader()
    reader.look_at_drawing(SVG, "a.svg")
    first = reader._process
    with pytest.raises(ClosureError, match=r"cannot be read|not an SVG"):
        reader.look_at_drawing(b"<svg", "a.svg")
    assert reader._process is first
    assert first is not None
    threading.Timer(0.05, first.kill).start()
    monkeypatch.setattr(files_first, "_MOST_WAITED_SECONDS", 30.0)
    time.sleep(0.3)
    reader.look_at_drawing(SVG, "a.svg")
    assert reader._process is not first
    reader.rest()


def test_process_that_does_not_answer_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files_first, "_MOST_WAITED_SECONDS", 0.5)
    monkeypatch.setattr(
        files_first,
        "_started",
        lambda: subprocess.Popen(
            [sys.executable, "-c", "import time; time.sleep(600)"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        ),
    )
    reader = Reader()
    begun = time.perf_counter()
    with pytest.raises(ClosureError, match=r"a\.svg: reading this took more time or memory"):
        reader.look_at_drawing(SVG, "a.svg")
    assert time.perf_counter() - begun < 20 and reader._process is None


def sent(messages: list[dict[str, object]], wait: float = 0.0) -> int:
    """The status of an answer to a body that is sent in parts."""
    statuses: list[int] = []

    async def inner(scope: object, receive: object, send: object) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": []})  # type: ignore[operator]
        await send({"type": "http.response.body", "body": b""})  # type: ignore[operator]

    async def receive() -> dict[str, object]:
        if not messages:
            await asyncio.sleep(60)
        await asyncio.sleep(wait)
        return messages.pop(0)

    async def send(message: dict[str, object]) -> None:
        if message["type"] == "http.response.start":
            statuses.append(int(message["status"]))  # type: ignore[call-overload]

    door = guard.Guard(inner, 1)  # type: ignore[arg-type]
    headers = [(b"host", b"localhost:1"), (b"origin", b"http://localhost:1")]
    asyncio.run(door({"type": "http", "method": "POST", "headers": headers}, receive, send))  # type: ignore[arg-type]
    assert door.in_flight == 0
    return statuses[0]


def part(size: int, more: bool = True) -> dict[str, object]:
    return {"type": "http.request", "body": b"x" * size, "more_body": more}


def test_body_that_stops_coming_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "_IDLE_SECONDS", 0.1)
    assert sent([part(10), part(10, more=False)]) == 200
    assert sent([part(10)]) == 408


def test_body_that_drips_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "_WHOLE_SECONDS", 0.3)
    assert sent([part(1) for _ in range(100)], wait=0.02) == 408


def test_bodies_in_flight_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "_MOST_IN_FLIGHT_BYTES", 100)
    assert sent([part(90, more=False)]) == 200
    assert sent([part(90), part(20, more=False)]) == 503


@pytest.mark.in_turn(3)
@pytest.mark.skipif(not hasattr(signal, "SIGINT") or sys.platform == "win32", reason="signals as POSIX has them")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_page_ends_when_asked_though_a_body_is_half_sent_and_work_goes_on(how: signal.Signals, tmp_path: Path) -> None:
    plan = TEMPLATES / "shirt-front" / "plan.toml"
    words = [sys.executable, "-m", "closures", "serve", str(plan), "--port", "0", "--no-open"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as command:
        assert command.stdout is not None
        at = urlsplit(re.search(r"http://\S+", command.stdout.readline())[0])  # type: ignore[index]
        with socket.create_connection((at.hostname or "", at.port or 0)) as door:
            door.sendall(f"GET {at.path}?{at.query} HTTP/1.1\r\nHost: {at.netloc}\r\n\r\n".encode())
            cookie = re.search(rb"set-cookie: ([^;]+)", door.recv(4000))[1].decode()  # type: ignore[index]
        with socket.create_connection((at.hostname or "", at.port or 0)) as half:
            head = f"POST /open/drawing HTTP/1.1\r\nHost: {at.netloc}\r\nOrigin: http://{at.netloc}\r\nCookie: {cookie}\r\n"
            half.sendall(
                f"{head}Content-Type: multipart/form-data; boundary=b\r\nContent-Length: 9000\r\n\r\n--b".encode()
            )
            files = socket.create_connection((at.hostname or "", at.port or 0))
            files.sendall(
                f"GET {at.path}/files/all.zip HTTP/1.1\r\nHost: {at.netloc}\r\nCookie: {cookie}\r\n\r\n".encode()
            )
            time.sleep(0.5)
            begun = time.perf_counter()
            command.send_signal(how)
            command.wait(30)
            assert time.perf_counter() - begun < 20
            files.close()
