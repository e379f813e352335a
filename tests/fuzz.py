"""Plans and drawings that somebody broke, and sound ones turned and mirrored: run by hand with as many as you like.

    python tests/fuzz.py               300 cases of each kind, from a seed of their own
    python tests/fuzz.py 20000 7       so many, from a seed

Every broken case must be placed or refused: in a sentence without a library's insides, within 5 seconds of a processor
and 500 MB more than before. Whatever is placed must be found sound by the reader at the door. Every sound case is also
shifted, turned by any angle, mirrored, seen from inside and drawn from its other end: the row must stay what it is.
"""

from __future__ import annotations

import math
import random
import re
import resource
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
MOST_SECONDS = 5.0
MOST_BYTES = 500_000_000
KEPT = ROOT / ".fuzz-kept"
"""Where made drawings that end wrong are kept, if there is such a folder."""
ENDS: Counter[str] = Counter()
"""How many cases were placed and how many refused: where all end alike, nothing was tried."""

INSIDES = re.compile(r"0x[0-9a-f]{6}|object at|NoneType|Traceback|_io\.|has no attribute")
WORDS = ("", "0", "-1", "1e309", "nan", "inf", '"1 1/2 in"', '"1,5 cm"', '"-3 mm"', "[]", "{}", "true", '"x"', '"' + "9" * 40 + ' mm"',
         '["1 mm", "0 mm"]', "{ from = 9, to = 1 }", '"5/8 in"', "1e-300", '"½ in"', '"\\u0000"', "99999", '"0 mm"')  # fmt: skip
BYTES = (b"\x00", b"\xff", b"<", b">", b"{", b"}", b'"', b"(", b")", b"%", b"1e309", b"-", b"NaN", b"M0 0", b"/", b"obj", b"stream", b"0\n", b"42\n1e9\n")  # fmt: skip


def broken_plan(text: str, dice: random.Random) -> str:
    """A plan with a few of its lines changed, doubled or taken out."""
    lines = text.splitlines()
    for _ in range(dice.randint(1, 4)):
        k = dice.randrange(len(lines))
        name, equals, _ = lines[k].partition("=")
        change = dice.randrange(5)
        if change == 0:
            del lines[k]
        elif change == 1:
            lines.insert(k, dice.choice(lines))
        elif change == 2 and equals:
            lines[k] = f"{name}= {dice.choice(WORDS)}"
        elif change == 3:
            place = dice.randrange(len(lines[k]) + 1)
            lines[k] = lines[k][:place] + dice.choice("\"'[]{}=#.,-0½\u00a0x") + lines[k][place:]
        else:
            lines[k] = re.sub(r"\d+", lambda _: str(dice.choice((0, 1, 7, 10**6, 10**12))), lines[k], count=1)
        if not lines:
            break
    return "\n".join(lines)


def broken_file(data: bytes, dice: random.Random) -> bytes:
    """A file with some of its bytes changed, cut out, doubled, or cut off."""
    for _ in range(dice.randint(1, 6)):
        if not data:
            break
        place, length = dice.randrange(len(data)), dice.randint(1, 40)
        change = dice.randrange(5)
        if change == 0:
            data = data[:place] + dice.choice(BYTES) + data[place + length :]
        elif change == 1:
            data = data[:place] + data[place + length :]
        elif change == 2:
            data = data[:place] + data[place : place + length] * 3 + data[place + length :]
        elif change == 3:
            data = data[: max(place, 20)]
        else:
            data = re.sub(
                rb"\d+", lambda found: dice.choice((b"0", b"1e309", b"99999999", found[0])), data, count=place % 50
            )
    return data


def starting_plans() -> list[tuple[str, dict[str, bytes]]]:
    """The starting plans, each with the files beside it."""
    found = []
    for plan in sorted((ROOT / "templates").glob("*/plan.toml")):
        beside = {
            path.name: path.read_bytes()
            for path in plan.parent.iterdir()
            if path.suffix != ".toml" or path.stem != "plan"
        }
        found.append((plan.read_text(encoding="utf-8"), beside))
    return found


def addresses_now() -> int:
    """How many bytes of addresses this process has; a system that does not tell sets no limit."""
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    except OSError:
        return 1 << 60
    return pages * resource.getpagesize()


def own_fault(error: BaseException) -> str:
    """Where this program itself stumbled over a file, behind a sentence that blames the file; empty where it did not."""
    from closures.errors import ClosureError

    cause = error.__cause__
    if isinstance(cause, ClosureError):  # told on, with more words
        return ""
    frames = traceback.extract_tb(cause.__traceback__) if cause is not None else []
    if not frames or str(ROOT / "closures") not in frames[-1].filename:
        return ""
    return f"{cause!r} in {Path(frames[-1].filename).name}, line {frames[-1].lineno}, told as: {str(error)[:120]}"


def outcome(plan: str, beside: dict[str, bytes], draw: bool) -> str:
    """What is wrong with how a case ends; empty where nothing is."""
    import closures
    from closures.app.bounds import bounded, limit_memory
    from closures.app.job import check_plan, place_plan, result_files
    from closures.plan.reading import read_plan

    begun = time.process_time()
    ENDS["placed"] += 1
    loosen = limit_memory(addresses_now() + MOST_BYTES)
    try:
        with bounded(4 * MOST_SECONDS):
            read = read_plan(plan.encode("utf-8", "surrogatepass"), "plan.toml")
            if draw and read.sizes is None:
                result_files(place_plan(read, beside), "a4")
            else:
                check_plan(read, beside)
    except closures.ClosureError as error:
        ENDS.update(refused=1, placed=-1)
        if INSIDES.search(str(error)):
            return f"a message with insides: {str(error)[:200]}"
        if "was given up" in str(error):
            return str(error)
        if own := own_fault(error):
            return own
    except Exception as error:
        return f"{type(error).__name__}: {str(error)[:200]}"
    finally:
        loosen()
    took = time.process_time() - begun
    return f"took {took:.1f} s" if took > MOST_SECONDS else ""


def walked(cases: int, what: str) -> Iterator[int]:
    """The numbers of some cases; a long run tells on standard error how far it has come, and how it ended so far."""
    for n in range(cases):
        if n and n % 500 == 0:
            print(f"{what}: {n} of {cases}; {dict(ENDS)}", file=sys.stderr, flush=True)
        yield n


class Wrong(list[str]):
    """What ended wrong, told on standard error at once: a run that is broken off has then told it."""

    def append(self, told: str) -> None:
        print(told, file=sys.stderr, flush=True)
        super().append(told)


def hostile(cases: int, dice: random.Random) -> list[str]:
    """Broken plans and drawings."""
    wrong, plans = Wrong(), starting_plans()
    for n in walked(cases, "broken"):
        plan, beside = dice.choice(plans)
        name = ""
        if beside and dice.random() < 0.5:
            name = dice.choice(sorted(beside))
            beside = beside | {name: broken_file(beside[name], dice)}
        else:
            plan = broken_plan(plan, dice)
        if told := outcome(plan, beside, draw=n % 10 == 0):
            wrong.append(f"hostile case {n} ({name or plan.splitlines()[0][:50]!r}): {told}")
    return wrong


def made(cases: int, dice: random.Random) -> list[str]:
    """Drawings that follow the rules of their format and hold what nobody would draw."""
    from fuzz_drawings import MADE, plan_for

    wrong = Wrong()
    for n in walked(cases, "made"):
        kind = dice.choice(list(MADE))
        data = MADE[kind](dice)
        before = ENDS["placed"]
        if told := outcome(plan_for(kind), {f"e.{kind}": data}, draw=n % 4 == 0):
            wrong.append(f"made case {n} ({kind}): {told}")
            if KEPT.is_dir():
                (KEPT / f"made-{n}.{kind}").write_bytes(data)
        ENDS[f"{kind} placed"] += ENDS["placed"] - before
    return wrong


Move = Callable[[float, float], tuple[float, float]]
MOVES: dict[str, tuple[Move, bool, bool, bool]] = {
    "shifted": (lambda x, y: (x + 137.25, y + 41.5), False, False, False),
    "mirrored": (lambda x, y: (600 - x, y), True, False, False),
    "seen from inside": (lambda x, y: (600 - x, y), False, True, False),
    "drawn from its other end": (lambda x, y: (x, y), False, False, True),
}
"""How a front is moved, whether its laps change sides, whether it is seen from inside, whether it is drawn from the end."""


def turned(degrees: float) -> Move:
    """A turn about the middle of the drawing, which stays large enough for it."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return lambda x, y: (450 + cos * (x - 300) - sin * (y - 450), 600 + sin * (x - 300) + cos * (y - 450))


def metamorphic(cases: int, dice: random.Random) -> list[str]:
    """Sound fronts, moved: the row must stay what it is."""
    from closures.app.job import check_plan
    from closures.errors import ClosureError
    from closures.plan.reading import read_plan

    def row(
        points: list[tuple[float, float]], lap: str, inside: bool, wishes: str, backwards: bool = False
    ) -> list[float] | str:
        points = points[::-1] if backwards else points
        data = f"M{points[0][0]} {points[0][1]}" + "".join(
            f"C{a[0]} {a[1]} {b[0]} {b[1]} {c[0]} {c[1]}"
            for a, b, c in zip(points[1::3], points[2::3], points[3::3], strict=True)
        )
        svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="1200mm" viewBox="0 0 900 1200"><path id="e" d="{data}"/></svg>'
        words = (
            f'drawing = "a.svg"\n[garment]\npieces = "{cut}"\n[edge]\npath = "e"\nreverse = {str(backwards).lower()}\n[band]\nwidth = "36 mm"\nlap = "{lap}"\n'
            + ('seen_from = "inside"\n' if inside else "")
            + f'[closure]\nkind = "prong snap"\nsize = "16 L"\n{wishes}'
        )
        try:
            answer = check_plan(read_plan(words.encode(), "a.toml"), {"a.svg": svg.encode()})
        except ClosureError as error:
            return re.sub(r"[\d.]+", "#", str(error))[:60]
        return [mark.along_mm for mark in answer.placement.marks]

    wrong = Wrong()
    cut = "pair"
    for n in walked(cases, "moved"):
        x, y, points = 300.0, 60.0, [(300.0, 60.0)]
        for _ in range(dice.randint(1, 3)):
            x2, y2 = 300 + dice.uniform(-30, 30), y + dice.uniform(150, 260)
            step = (y2 - y) / 3
            points += [(x + dice.uniform(-8, 8), y + step), (x2 + dice.uniform(-8, 8), y2 - step), (x2, y2)]
            x, y = x2, y2
        at = dice.uniform(100, 140)
        wishes = (
            f"[spacing]\nfirst = {{ from = 12, to = {dice.randint(14, 60)} }}\nlast = {{ from = 12, to = {dice.randint(14, 90)} }}\n"
            + (f"pitch = {dice.randint(45, 95)}\n" if dice.random() < 0.5 else f"count = {dice.randint(3, 9)}\n")
            + f'[[anchor]]\nname = "bust"\nalong = "{at:.3f} mm"\nwithin = "{dice.choice((0, 2, 9))} mm"\n'
        )
        lap, other = "right over left", "left over right"
        cut = dice.choice(("pair", "separate"))
        usual = row(points, lap, False, wishes)
        ENDS["sound rows" if isinstance(usual, list) else "sound fronts refused"] += 1
        degrees = dice.choice((90.0, 180.0, -90.0, dice.uniform(-180, 180)))
        moves = MOVES | {f"turned by {degrees:.3f} degrees": (turned(degrees), False, False, False)}
        for name, (move, sides, inside, backwards) in moves.items():
            moved = row([move(*point) for point in points], other if sides else lap, inside, wishes, backwards)
            if isinstance(usual, str) or isinstance(moved, str):
                same = isinstance(usual, str) and isinstance(moved, str)
            else:
                same = len(usual) == len(moved) and all(
                    math.isclose(a, b, abs_tol=2e-3) for a, b in zip(usual, moved, strict=False)
                )
            if not same:
                wrong.append(f"metamorphic case {n}, {name}: {usual} became {moved}")
    return wrong


def main(words: list[str]) -> int:
    """Run as many cases of each kind as are asked for; 1 where any of them is wrong."""
    cases = int(words[0]) if words else 300
    seed = int(words[1]) if len(words) > 1 else random.randrange(10**6)
    fewer = max(cases // 4, 1)
    wrong = hostile(cases, random.Random(seed))
    wrong += made(cases, random.Random(seed + 2)) + metamorphic(fewer, random.Random(seed + 1))
    print(f"{cases} broken, {cases} made and {fewer} moved cases from seed {seed}: {len(wrong)} wrong; {dict(ENDS)}")
    print("\n".join(wrong))
    return bool(wrong)


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
    sys.exit(main(sys.argv[1:]))
