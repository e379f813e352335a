"""Work that takes too long or too much is given up with a sentence, where the system can tell."""

import re
import signal
import subprocess
import sys

import pytest

from closures.app.bounds import bounded
from closures.errors import ClosureError

pytestmark = pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="this system has no such limits")


def test_work_without_an_end_is_given_up() -> None:
    with (
        pytest.raises(ClosureError, match=r"front\.svg: this takes more than 0 seconds of work, and was given up"),
        bounded(0.05, "front.svg"),
    ):
        while True:
            re.fullmatch(r"(a|aa)+", "a" * 30 + "b")
    assert signal.getitimer(signal.ITIMER_PROF) == (0.0, 0.0)


def test_work_that_ends_is_left_alone() -> None:
    before = signal.getsignal(signal.SIGPROF)
    with bounded(5.0):
        pass
    assert signal.getsignal(signal.SIGPROF) == before


def test_work_that_takes_too_much_memory_is_given_up() -> None:
    code = (
        "from closures.app.bounds import bounded, limit_memory\n"
        "limit_memory(400_000_000)\n"
        "try:\n"
        "    with bounded(60, 'photo.png'): bytearray(10**9)\n"
        "except Exception as error: print(error)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.stdout.startswith("photo.png: this takes more memory than there is for it")
