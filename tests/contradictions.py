"""Jobs put together by chance, each drawn and printed, every page read for what must not stand in one set.

    python tests/contradictions.py          all 200, and as many of two unlike laps
    python tests/contradictions.py 40 60    those from 40 up to 60

The suite reads the words of all 200 before they are drawn, and the pages of a few; this reads the pages of all, which
takes some minutes. Of unlike laps it reads besides what each cloth is asked for.
"""

from __future__ import annotations

import sys

from test_advice_jobs import contradictions, drawn, mispointed, whole_set
from test_advice_of_unlike_laps import spoiled_by, unlike

from closures.errors import ClosureError

COUNT = 200


def main(first: int = 0, end: int = COUNT) -> int:
    """Read the pages of the jobs from `first` up to `end`, and print what contradicts itself.

    Returns:
        0 where nothing does.
    """
    found = read = 0
    for seed in range(first, end):
        try:
            words = whole_set(drawn(seed))
        except ClosureError:
            continue
        read += 1
        for one, other in contradictions(words):
            found += 1
            print(f"job {seed}: {one!r} and {other!r}")
        for told in mispointed(words):
            found += 1
            print(f"job {seed}: two points side by side in {told!r}")
    print(f"{read} of {end - first} jobs could be placed; {found} contradictions")
    for seed in range(first, end):
        try:
            spoilt = spoiled_by(unlike(seed))
        except ClosureError:
            continue
        for told in spoilt:
            found += 1
            print(f"unlike laps {seed}: {told}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:3])))
