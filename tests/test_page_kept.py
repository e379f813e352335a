"""What the page keeps, and what the process that answers it holds on to: counted, with no clock."""

from __future__ import annotations

import subprocess
import sys

import pytest

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
