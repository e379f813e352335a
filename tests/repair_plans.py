"""Random plans that no row meets: every repair followed at its word, and none smaller to be had; by hand over all.

    python tests/repair_plans.py [HOW MANY] [FIRST SEED]

A repair's lines are pasted into the plan as a person would paste them, and that plan is placed. The fewest changes are
found by leaving out every set of wishes. It prints how many changes the repairs took, and how many refusals had none.
"""

from __future__ import annotations

import random
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Callable
from itertools import combinations

import closures
from closures.app.repairing import Repair, repairs
from closures.plan.editing import remove_key, remove_section, set_key, value_of
from closures.spacing import NoSpacing

EDGES = (
    'straight = "{length} mm"',
    'arc = {{ length = "{length} mm", radius = "900 mm", bows = "out" }}',
    'points = [["0 mm", "0 mm"], ["20 mm", "{third} mm"], ["55 mm", "{two} mm"], ["60 mm", "{length} mm"]]',
)
LEAST_MM = 12.7


def clash(seed: int) -> str:
    """Give the text of a plan, in mm or inches, whose wishes often clash."""
    dice = random.Random(seed)
    length = dice.randint(250, 700)
    unit = dice.choice(["mm", "mm", "cm", "in"])

    def told(mm: float) -> str:
        if unit == "in":
            sixteenths = max(round(mm / 25.4 * 16), 1)
            whole, rest = divmod(sixteenths, 16)
            return '"' + " ".join([str(whole)] * bool(whole or not rest) + [f"{rest}/16"] * bool(rest)) + ' in"'
        return f'"{mm / 10:.1f} cm"' if unit == "cm" else f'"{mm:.0f} mm"'

    def end() -> str:
        low = dice.uniform(8, 40)
        return told(low) if dice.random() < 0.6 else f"{{ from = {told(low)}, to = {told(low + dice.uniform(2, 12))} }}"

    lines = [f"first = {end()}   # from the neck", f"last = {end()}"]
    lines.append(f"count = {dice.randint(2, 14)}" if dice.random() < 0.5 else f"pitch = {told(dice.uniform(40, 100))}")
    if dice.random() < 0.5:
        lines.append(f"widest = {told(dice.uniform(60, 110))}")
    if dice.random() < 0.4:
        lines.append(f"closest = {told(dice.uniform(15, 55))}")
    rows = []
    spots = [dice.uniform(60, length - 60) for _ in range(dice.randint(0, 2))]
    for n in range(dice.randint(0, 3)):
        near = (
            dice.choice(spots) + dice.uniform(-9, 9) if spots and dice.random() < 0.6 else dice.uniform(30, length - 30)
        )
        key, within = (
            dice.choice(["level", "along"]),
            f"within = {told(dice.uniform(1, 3))}" if dice.random() < 0.3 else "",
        )
        rows.append(f'[[anchor]]\nname = "anchor {n}"\n{key} = {told(near)}  # as worn\n{within}')
    for n in range(dice.randint(0, 2)):
        near = dice.choice(spots) if spots and dice.random() < 0.5 else dice.uniform(30, length - 90)
        span = f"[{told(near - 10)}, {told(near + dice.uniform(5, 70))}]"
        room = dice.choice(['room = "centre"', ""])
        rows.append(f'[[clear]]\nname = "zone {n}"\n{dice.choice(["level", "along"])} = {span}\n{room}')
    edge = dice.choice(EDGES).format(length=length, third=length // 3, two=2 * length // 3)
    return "\n".join(
        [
            "# A plan of many wishes.",
            f'[edge]\n{edge}\n[garment]\npieces = "separate"\n[band]\nwidth = "40 mm"\nlap = "right over left"',
            '[closure]\nkind = "prong snap"\nsize = "16 L"\n[spacing]',
            *lines,
            *rows,
        ]
    )


def place(text: str) -> None:
    """Place a plan.

    Raises:
        ClosureError: it cannot be.
    """
    closures.check_plan(closures.read_plan(text.encode(), "clash.toml"), {})


def is_refused(text: str) -> bool:
    """Whether no row meets the wishes of a plan."""
    try:
        place(text)
    except NoSpacing:
        return True
    return False


def pasted(text: str, repair: Repair) -> str:
    """Paste the lines of a repair into a plan, by what they say alone."""
    for line in repair.lines:
        taken_out = re.fullmatch(r'\[\[clear\]\] "(.*)" taken out', line)
        if taken_out:
            names = [row["name"] for row in tomllib.loads(text)["clear"]]
            text = remove_section(text, "clear", names.index(taken_out[1]) + 1)
            continue
        section, name, written = re.fullmatch(r'\[\[?(\w+)\]\]?(?: "(.*?)")? (.*)', line).groups()
        nth = [row["name"] for row in tomllib.loads(text)[section]].index(name) + 1 if name else 0
        for key, value in tomllib.loads(written).items():
            text = set_key(text, section, key, value, nth)
    return text


def loosenings(text: str) -> list[Callable[[str], str]]:
    """Give, for each wish of a plan, how to leave it out of a text."""
    table = tomllib.loads(text)
    whole = {"from": 0, "to": "90 m"}
    ways: list[Callable[[str], str]] = [
        lambda changed, key=key: set_key(changed, "spacing", key, whole) for key in ("first", "last")
    ]
    ways += [
        lambda changed, key=key: remove_key(changed, "spacing", key)
        for key in ("widest", "closest")
        if key in table["spacing"]
    ]
    if "count" in table["spacing"]:
        ways.append(lambda changed: set_key(remove_key(changed, "spacing", "count"), "spacing", "pitch", "60 mm"))
    for section in ("anchor", "clear"):
        for row in table.get(section, ()):
            ways.append(lambda changed, section=section, name=row["name"]: _without(changed, section, name))
    return ways


def _without(text: str, section: str, name: str) -> str:
    return remove_section(text, section, [row["name"] for row in value_of(text, section)].index(name) + 1)


def fewest(text: str, most: int) -> int | None:
    """Find how few wishes must be left out, by trying every set of up to so many."""
    ways = loosenings(text)
    for size in range(1, most + 1):
        for chosen in combinations(ways, size):
            loosened = text
            for way in chosen:
                loosened = way(loosened)
            if not is_refused(loosened):
                return size
    return None


def held(seed: int) -> tuple[int, tuple[Repair, ...]] | None:
    """Hold the repairs of one plan against all this.

    Returns:
        the fewest changes and the repairs; None where the plan is not refused for its spacing.
    """
    text = clash(seed)
    try:
        if not is_refused(text):
            return None
    except closures.ClosureError:
        return None
    found = repairs(text, "clash.toml", {})
    sizes = {len(repair.lines) for repair in found}
    few = fewest(text, max(sizes, default=3))
    if found and sizes != {few}:
        raise ValueError(f"plan {seed}: repairs of {sizes} changes where {few} would do\n{text}")
    for repair in found:
        if tomllib.loads(pasted(text, repair)) != tomllib.loads(repair.text):
            raise ValueError(f"plan {seed}: what is told is not what is written: {repair.lines}")
        if "# A plan of many wishes." not in repair.text or "# from the neck" not in repair.text:
            raise ValueError(f"plan {seed}: a note is lost by {repair.lines}")
        place(repair.text)
    return few or 0, found


def main() -> None:
    """Run over many plans, and say what was found."""
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seed, done, offered, none, sizes = int(sys.argv[2]) if len(sys.argv) > 2 else 0, 0, 0, [], Counter[int]()
    while done < how_many:
        result = held(seed)
        if result is not None:
            few, found = result
            done, offered = done + 1, offered + len(found)
            sizes[few] += 1
            none += [] if found else [seed]
        seed += 1
    print(f"{done} refusals, {offered} repairs, all of which place; fewest changes {dict(sizes)}; none for {none}")


if __name__ == "__main__":
    main()
