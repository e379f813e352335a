"""Letters are the same however many threads draw at once: the page draws sheets and pictures beside each other."""

import sys
from concurrent.futures import ThreadPoolExecutor

from closures.drawing.ink import lettering

TEXT = "".join(map(chr, (*range(33, 127), *range(192, 214), *range(216, 246))))


def test_letters_drawn_by_several_threads_at_once_are_those_of_one() -> None:
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        for _ in range(3):
            lettering.glyph.cache_clear()
            lettering._face.cache_clear()
            with ThreadPoolExecutor(4) as threads:
                drawn = [
                    list(made)
                    for made in threads.map(lambda _: [lettering.glyph(c, "regular") for c in TEXT], range(4))
                ]
            lettering.glyph.cache_clear()
            lettering._face.cache_clear()
            assert drawn == [[lettering.glyph(c, "regular") for c in TEXT]] * 4
    finally:
        sys.setswitchinterval(usual)
