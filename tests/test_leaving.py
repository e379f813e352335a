"""How the command leaves: the exit code and the last words, whatever happened to it."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from closures.app.leaving import unforeseen_words
from closures.verifying.verify import UnsoundError

PLAN = Path(__file__).resolve().parent.parent / "templates" / "curved-front" / "plan.toml"
COMMAND = [sys.executable, "-m", "closures"]


def begun(*words: str, **more: object) -> "subprocess.Popen[str]":
    return subprocess.Popen([*COMMAND, *words], stderr=subprocess.PIPE, text=True, **more)  # type: ignore[call-overload]


def test_set_that_is_wrong_throughout_is_told_by_its_first_faults() -> None:
    faults = tuple(f"mark {n} is out" for n in range(1, 301))
    told = unforeseen_words(UnsoundError(faults))
    assert "\nmark 1 is out; mark 2 is out; mark 3 is out; and 297 more.\n" in told
    assert "\nmark 1 is out.\n" in unforeseen_words(UnsoundError(faults[:1]))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
@pytest.mark.parametrize(
    "words", [["fasteners"], ["--help"], ["check", str(PLAN)], ["check", str(PLAN), "--json"]], ids=" ".join
)
def test_answer_that_cannot_be_written_is_said_and_is_no_failed_check(words: list[str]) -> None:
    with open("/dev/full", "w") as full:
        done = begun(*words, stdout=full)
        _, told = done.communicate(timeout=60)
    assert done.returncode == 3
    assert told.startswith("The answer could not be written to the output (") and "Traceback" not in told


def test_reader_that_goes_away_is_nothing_to_speak_of() -> None:
    done = begun("check", str(PLAN), "--json", stdout=subprocess.PIPE)
    assert done.stdout is not None and done.stderr is not None
    done.stdout.close()
    assert done.stderr.read() == ""
    done.stderr.close()
    assert done.wait(60) == 141  # 128 and 13, the number of SIGPIPE in POSIX


@pytest.mark.skipif(os.name == "nt", reason="there names are kept as letters, never as bytes")
@pytest.mark.parametrize(
    ("name", "said"),
    [("Żabot.toml".encode(), "Żabot.toml"), (b"caf\xe9.toml", r"caf\xe9.toml"), (b"\xc5\xbb\xff", "Ż\\xff")],
    ids=["letters in UTF-8", "a letter in Latin-1", "both"],
)
@pytest.mark.parametrize("words", [["check"], ["start"]], ids=" ".join)
def test_name_is_said_in_its_own_letters_where_the_system_takes_plain_ones_alone(
    tmp_path: Path, words: list[str], name: bytes, said: str
) -> None:
    plain = os.environ | {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    done = subprocess.run([*COMMAND, *words, name], capture_output=True, env=plain, cwd=tmp_path, timeout=60)
    assert done.returncode == 2
    assert said in done.stderr.decode() and "?" not in done.stderr.decode()


@pytest.mark.skipif(os.name == "nt", reason="there names are kept as letters, never as bytes")
def test_title_that_is_the_name_of_the_plan_is_told_in_its_letters_under_plain_ones(tmp_path: Path) -> None:
    plain = os.environ | {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    text = "".join(line for line in PLAN.read_text().splitlines(keepends=True) if not line.startswith("title"))
    (tmp_path / "Żabot.toml").write_text(text, encoding="utf-8")
    (tmp_path / "front.svg").write_bytes((PLAN.parent / "front.svg").read_bytes())
    words = ["check", "Żabot.toml", "--json"]
    done = subprocess.run([*COMMAND, *words], capture_output=True, env=plain, cwd=tmp_path, timeout=60)
    assert json.loads(done.stdout)["title"] == "Żabot"


def test_output_that_was_never_open_is_no_fault() -> None:
    done = subprocess.run(
        f'exec "{sys.executable}" -m closures check "{PLAN}" >&-',
        shell=True,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0 and done.stderr == ""


@pytest.mark.skipif(os.name == "nt", reason="the shell of this test is not there")
@pytest.mark.parametrize("given", ["<&-", "</dev/null"], ids=["no input", "an empty input"])
def test_questions_that_nobody_answers_are_said_to_be_unanswered(tmp_path: Path, given: str) -> None:
    words = ["sh", "-c", f'exec "$0" -m closures new made.toml {given}', sys.executable]
    done = subprocess.run(words, capture_output=True, text=True, cwd=tmp_path, timeout=60)
    assert done.returncode == 2 and "run this where you can type the answers" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="there a process is not sent such a signal")
@pytest.mark.parametrize(
    ("sent", "code", "said"),
    [
        pytest.param(signal.SIGINT, 130, "Stopped. Results that stood there before are as they were.\n", id="Ctrl+C"),
        pytest.param(signal.SIGTERM, 143, "", id="asked to end"),
    ],
)
def test_command_that_is_ended_says_so_by_its_own_code_and_leaves_nothing(
    sent: signal.Signals, code: int, said: str, tmp_path: Path
) -> None:
    # It is held at the door of the write, so that the end comes while it works.
    held = (
        "import closures.files as files, signal, time, sys\n"
        # A shell without jobs starts what runs behind it deaf to Ctrl+C, and whatever that starts inherits it.
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "write = files.write_results\n"
        "def hold(*given):\n"
        "    print('at the door', flush=True); time.sleep(60); return write(*given)\n"
        "files.write_results = hold\n"
        "from closures.app.command import main\n"
        "sys.argv[0] = 'closures'\n"
        "main()\n"
    )
    words = [sys.executable, "-c", held, "place", str(PLAN), "--out", str(tmp_path / "out")]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as done:
        assert done.stdout is not None and done.stderr is not None
        assert done.stdout.readline() == "at the door\n"
        done.send_signal(sent)
        assert (done.wait(30), done.stderr.read()) == (code, said)
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(sys.platform == "win32", reason="there a process is not sent such a signal")
@pytest.mark.parametrize(("sent", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)], ids=["Ctrl+C", "to end"])
def test_command_that_is_ended_twice_while_its_threads_still_work_leaves_without_a_traceback(
    sent: signal.Signals, code: int
) -> None:
    held = (
        "import signal, time\n"
        "from concurrent.futures import ThreadPoolExecutor\n"
        "from closures.app.leaving import leave_well\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "def command():\n"
        "    ThreadPoolExecutor(1).submit(time.sleep, 20)\n"
        "    try:\n"
        "        print('at work', flush=True); time.sleep(60)\n"
        "    finally:\n"
        "        print('tidying up', flush=True); time.sleep(0.5 if signal.getsignal(signal.SIGTERM) is signal.SIG_IGN else 0)\n"
        "leave_well(command)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", held], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as done:
        assert done.stdout is not None and done.stderr is not None
        assert done.stdout.readline() == "at work\n"
        done.send_signal(sent)
        assert done.stdout.readline() == "tidying up\n"
        if sent == signal.SIGTERM:
            done.send_signal(sent)
        time.sleep(1.5)
        assert done.poll() is None
        done.send_signal(sent)
        told = done.stderr.read()
        assert done.wait(30) == code and "Traceback" not in told and "ignored" not in told


@pytest.mark.parametrize("module", ["typer", "closures.app.command"])
def test_command_that_is_stopped_while_it_is_still_being_loaded_says_so(module: str) -> None:
    stopped = (
        "import sys\n"
        "class Stop:\n"
        "    def find_spec(self, name, *rest):\n"
        f"        if name == {module!r}: raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Stop())\n"
        "from closures.__main__ import main\n"
        "main()\n"
    )
    done = subprocess.run([sys.executable, "-c", stopped], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (130, "Stopped. Results that stood there before are as they were.\n")
