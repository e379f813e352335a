"""Which cases of the long tests the usual run asks: `in_turn(n)` on a test means one case in n, others at each change.

Some tests ask every starting plan on every paper, or walk through the page by mouse, keys and touch. All of them
together take four times as long as one in a few, and what they look for is seldom lost in one case alone. So a run of
everything draws them by the commit that it stands on: the same commit asks the same cases, and over the commits all
are asked. A file that is named is asked whole, and so is everything with `--whole`.
"""

import subprocess
import zlib
from pathlib import Path


def _number(text):
    return zlib.crc32(text.encode())


def turn():
    """A whole number that the commit gives which the files stand on; 0 where no version is kept here."""
    try:
        told = subprocess.run(
            ["git", "rev-parse", "HEAD"],
            cwd=Path(__file__).parent,
            capture_output=True,
            text=True,
            check=True,
        ).stdout
    except (OSError, subprocess.CalledProcessError):
        return 0
    return _number(told.strip())


def drawn(cases, turn):
    """Those of `cases`, pairs of (name, n or None), that are asked at this turn, as a set of names.

    What has no n is always asked. Of all cases with one n every n-th is, in an order in which the cases of a test stand
    side by side and otherwise as by chance: a test of m cases has m / n of them asked, rounded up or down, and n turns
    that follow one another ask each exactly once.
    """
    asked = {name for name, n in cases if n is None}
    for n in {n for _, n in cases if n is not None}:
        line = sorted(
            (name for name, own in cases if own == n), key=lambda name: (name.partition("[")[0], _number(name))
        )
        asked.update(line[turn % n :: n])
    return asked
