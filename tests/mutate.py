"""Puts small faults into the core, one at a time, and asks the core tests whether they notice: run it by hand.

    python tests/mutate.py            all of them
    python tests/mutate.py laps row   those in files whose path holds one of these words

A fault is a snippet of the source, which must stand there once, and what is put in its place. Where a snippet no longer
stands, nothing is tried until the list is mended: find where its line has gone. The quick tests ask that as well. The
package is copied first; the checkout is never touched.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue

ROOT = Path(__file__).resolve().parent.parent
FIRST = ("tests/test_boundaries.py", "tests/test_checks.py", "tests/test_placement.py", "tests/test_drawing_sheets.py")
"""Asked first: they notice most. The whole core is asked where these notice nothing."""

FAULTS = (
    # A row at its limits
    ("checks/row.py", '("last", marks[-1], length - marks[-1].along_mm, last)', '("last", marks[-1], marks[-1].along_mm, last)'),
    ("checks/row.py", '("first", marks[0], marks[0].along_mm, first)', '("first", marks[0], marks[-1].along_mm, first)'),
    ("checks/row.py", "limits = Limits(usual, rim_mm, source, \"geometry\")", "limits = Limits(usual, 0.0, source, \"geometry\")"),
    ("checks/gaps.py", "if gap > limit + SAME_MM", "if gap >= limit - 0.01"),
    ("checks/gaps.py", 'text, source, None, place, largest, limit, "most")', 'text, source, None, place + 1, largest, limit, "most")'),
    # Which row is the best
    ("spacing/choice.py", "if departure.value <= wish.even_departure * pitch + EQUAL_MM:", "if departure.value >= 0:"),
    ("spacing/repeats.py", "ended = replace(way, ends=way.ends + (place - last) ** 2)", "ended = way"),
    ("checks/row.py", "fastener_of(mark.n).rim_mm if zone.room == \"rim\" else 0.0", "fastener_of(mark.n).rim_mm * 0.0"),
    ("checks/row.py", "depth = min(max(low - place, place - high)", "depth = min(max(low - place, place - low)"),
    ("checks/row.py", "if shift <= limit + SAME_MM", "if shift <= 10 * limit"),
    ("checks/row.py", '"fail" if found < -SAME_MM else "pass"', '"pass"'),
    ("checks/row.py", 'side = "below" if mark.along_mm > anchor.along_mm else "above"', 'side = "above" if mark.along_mm > anchor.along_mm else "below"'),
    ("checks/gaps.py", 'limit = wish.pitch_mm * (1 + checked.limit_mm("even departure"))', "limit = wish.pitch_mm * 2"),
    # A closure on its lap
    ("checks/place.py", "if k >= i + 2 and room", "if k >= i + 3 and room"),
    ("checks/place.py", 'checked.rim_mm + checked.limit_mm("edge warn extra")', '2 * checked.rim_mm + checked.limit_mm("edge warn extra")'),
    ("checks/place.py", 'checked.rim_mm + checked.limit_mm("edge fail extra")', 'checked.limit_mm("edge fail extra")'),
    ("checks/place.py", "mark.straight_to_next_mm - rim_mm[mark.n] - rim_mm[mark.n + 1]", "mark.straight_to_next_mm - rim_mm[mark.n]"),
    ("checks/place.py", "Limits(checked.limit_mm(rule), SAME_MM,", "Limits(checked.limit_mm(rule), -9.0,"),
    ("checks/place.py", "lap.width_mm - on_lap.edge_distance_mm\n                    if on_lap.inner_distance_mm is None", "lap.width_mm\n                    if on_lap.inner_distance_mm is None"),
    ("checks/place.py", "yield first.n, first.along_mm - reach[first.n][0]", "yield first.n, first.along_mm - reach[first.n][1]"),
    ("checks/place.py", "- last.along_mm - reach[last.n][1]", "- last.along_mm - reach[last.n][0]"),
    ("checks/place.py", "min(on_lap.edge_distance_mm - hole.before_mm, inner - hole.after_mm)", "on_lap.edge_distance_mm - hole.before_mm"),
    ("checks/place.py", "for across in (column - 1, column, column + 1):", "for across in (column, column + 1):"),
    ("checks/checked.py", "if found_mm < self.fail_mm - SAME_MM", "if found_mm <= self.fail_mm + SAME_MM"),
    ("checks/checked.py", "if found_mm < self.warn_mm - SAME_MM", "if found_mm <= self.warn_mm + SAME_MM"),
    ("checks/checked.py", "told = short or [first_least(judged, lambda entry: entry[1])]", "told = short or [first_least(judged, lambda entry: -entry[1])]"),
    # Cloth that shrinks, figure by figure
    ("placing/shrinkage.py", "if self.stand is None or mm >= self.stand.seam_mm:", "if mm == mm:"),
    ("placing/shrinkage.py", "holes=(longer, 1.0 / left_across)", "holes=(longer, longer)"),
    ("placing/shrinkage.py", "at_mm=stripe.at_mm * y", "at_mm=stripe.at_mm"),
    ("placing/shrinkage.py", "(place[0] * by.x, place[1] * by.y) if isinstance(place, tuple) else place", "place"),
    ("placing/shrinkage.py", "None if layer.across_mm is None else _range(layer.across_mm, by.x)", "layer.across_mm"),
    ("placing/shrinkage.py", "within_mm=anchor.within_mm * by.line", "within_mm=anchor.within_mm"),
    ("placing/shrinkage.py", "level_zero_y=edges.level_zero_y * y", "level_zero_y=edges.level_zero_y"),
    ("placing/singly.py", "inset = rule.value * unwashed(plan, edges)", "inset = rule.value"),
    # What it clamps
    ("checks/ridge.py", "if clear < -SAME_MM:", "if clear < -1.0:"),
    ("checks/cloth.py", "if lap.name not in checked.fastener.clamps:", "if lap.name in checked.fastener.clamps and lap.name == \"under\":"),
    ("placing/layers_between.py", "for layer in layers) < least", "for layer in layers) <= least"),
    ("checks/cloth.py", "if least > high + _SAME_FIGURE_MM:", "if least > 3 * high:"),
    ("placing/stack.py", "thickest = max(parted, key=lambda one: _typical(one[1]))", "thickest = min(parted, key=lambda one: _typical(one[1]))"),
    ("placing/stack.py", 'if wish.on in (lap, "both")', 'if wish.on in ("over", "both")'),
    ("placing/stack.py", "border_mm=_nearest_border(layers, edge_distance_mm, along_mm, flange_mm + ridge_mm)", "border_mm=_nearest_border(layers, edge_distance_mm, along_mm, flange_mm)"),
    ("placing/stack.py", "across = Range(max(width - turn, 0.0), width)", "across = Range(0.0, turn)"),
    # Turns and overlaps
    ("checks/curve.py", "limit = lap.width_mm / (2 * least)", "limit = lap.width_mm / least"),
    ("checks/curve.py", "strain = lap.width_mm / (2 * radius_mm)", "strain = lap.width_mm / (4 * radius_mm)"),
    ("checks/curve.py", "elif strain <= most:", "elif strain < least:"),
    ("checks/overlap.py", "(to_border if inside else -to_border) - checked.rim_mm", "(to_border if inside else -to_border)"),
    ("checks/overlap.py", "rooms.append((mark.n, (to_border if inside else -to_border)", "rooms.append((mark.n, (to_border if inside else to_border)"),
    # Hands and haste
    ("checks/wearer.py", "if found < least - SAME_MM:", "if found <= least + SAME_MM:"),
    ("checks/wearer.py", "if count > most:", "if count >= most:"),
    ("placing/nothing_set.py", 'if answer == "not asked" and is_asked else []', "if is_asked else []"),
    ("checks/wearer.py", 'if answer == "none":', 'if answer != "some":'),
    # Straps
    ("checks/strap.py", "short = found < limit - SAME_MM", "short = found <= limit + SAME_MM"),
    ("checks/strap.py", "for m, other in centres if m != n) - 2 * checked.rim_mm", "for m, other in centres if m != n)"),
    # The laps and their line
    ("placing/laps.py", "_inner(edge, -inwards * band.under_width_mm)", "_inner(edge, inwards * band.under_width_mm)"),
    ("placing/laps.py", "past = inwards * band.under_inset_mm", "past = inwards * band.inset_mm"),
    ("placing/laps.py", "_inner(edge, inwards * band.width_mm)", "_inner(edge, 2 * inwards * band.width_mm)"),
    ("placing/laps.py", "_inner(edge, -inwards * band.under_width_mm), band", "_inner(edge, -inwards * band.width_mm), band"),
    ("placing/laps.py", "if inside < -_ON_EDGE_MM or distance < _ON_EDGE_MM:", "if inside < -_ON_EDGE_MM:"),
    ("edges/reading.py", "return curve if as_drawn <= turned else curve.reversed()", "return curve"),
    ("placing/lap.py", 'return (-ty, tx) if cloth_on == "right" else (ty, -tx)', "return (-ty, tx)"),
    # Where anchors and zones meet it
    ("placing/meeting.py", "wish.which <= len(crossings)", "wish.which < len(crossings)"),
    ("placing/meeting.py", "return crossings[wish.which - 1]", "return crossings[wish.which - 2]"),
    ("placing/meeting.py", "-_PAST_THE_END_MM if low <= 0.0 else low", "low"),
    ("placing/meeting.py", "length_mm + _PAST_THE_END_MM if high >= length_mm else high", "high"),
    ("placing/meeting.py", 'room = rim_mm if wish.room == "rim" else 0.0', "room = rim_mm"),
    ("placing/meeting.py", "closed = line.level_stretches(low - room, high + room)", "closed = line.level_stretches(low - room, high)"),
    ("placing/meeting.py", "_clear_before(line, low, after), _clear_after(line, high, before)", "low, _clear_after(line, high, before)"),
    # From numbers to marks
    ("placing/placement.py", "closest_mm=max(least, spacing.closest_mm or 0.0)", "closest_mm=spacing.closest_mm or 0.0"),
    ("placing/placement.py", "last=(last.low_mm, last.high_mm),", "last=(first.low_mm, first.high_mm),"),
    ("placing/placement.py", "Anchor(a.name, a.along_mm, a.within_mm)", "Anchor(a.name, a.along_mm, 0.0)"),
    ("placing/marking.py", "for shift in reversed(spacing.shifts)", "for shift in spacing.shifts"),
    ("placing/marking.py", "level_mm=point[1] - laps.level_zero_mm", "level_mm=point[1]"),
    ("placing/marking.py", "return -distance if inside > 0.0 else distance", "return distance"),
    ("placing/buttonhole.py", 'way = plan.closure.hole or "along"', 'way = plan.closure.hole or "across"'),
    ("plan/band.py", "inset_mm=width_mm / 2 if inset_mm is None", "inset_mm=under_width_mm / 2 if inset_mm is None"),
    # Shapes and lengths
    ("curve/folds.py", "low = 0.0 if begins and _room(segment, 0.0, d) > 0 else t0", "low = 0.0 if begins else t0"),
    ("curve/offset_piece.py", "-1 / self.distance if math.isinf(k) else k / (1 - self.distance * k)", "k / (1 - self.distance * k)"),
    ("edges/reading.py", "over = over.reversed() if wish.reverse else over", "over = over"),
)  # fmt: skip


def stale(package: Path) -> list[str]:
    """Faults whose snippet does not stand just once where it is looked for: nothing is tried by them any more."""
    found = []
    for name, old, new in FAULTS:
        source = (package / name).read_text(encoding="utf-8") if (package / name).exists() else ""
        if source.count(old) != 1 or old == new:
            found.append(f"stands {source.count(old)} times: {name}: {old!r}")
    return found


def main(words: list[str]) -> int:
    """Try every fault; the number of those that were not noticed comes out."""
    if lost := stale(ROOT / "closures"):
        print("Mend the list of faults first.", *lost, sep="\n")
        return len(lost)
    faults = [fault for fault in FAULTS if not words or any(word in fault[0] for word in words)]
    trees: Queue[Path] = Queue()
    with tempfile.TemporaryDirectory() as folder:
        for k in range(min(2, os.cpu_count() or 1)):
            tree = Path(folder) / str(k)
            for part in ("closures", "tests", "templates", "docs", "gallery"):
                shutil.copytree(ROOT / part, tree / part, ignore=shutil.ignore_patterns("__pycache__"))
            for page in ("pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE"):
                shutil.copy(ROOT / page, tree)
            trees.put(tree)
        sound = noticed_by(Path(folder) / "0")
        if sound:
            print(f"The tests fail without any fault: {sound}. Mend that first.")
            return 1
        with ThreadPoolExecutor(trees.qsize()) as hands:
            told = list(hands.map(lambda fault: tried(fault, trees), faults))
    missed = [line for line in told if not line.startswith("noticed")]
    print(f"{len(faults)} faults, {len(faults) - len(missed)} noticed." + "".join(f"\n{line}" for line in missed))
    return len(missed)


def tried(fault: tuple[str, str, str], trees: Queue[Path]) -> str:
    """Try one fault in a tree of its own for the while."""
    name, old, new = fault
    tree = trees.get()
    module = tree / "closures" / name
    try:
        source = module.read_text(encoding="utf-8")
        module.write_text(source.replace(old, new), encoding="utf-8")
        by = noticed_by(tree)
        line = f"noticed by {by}: {name}: {new!r}" if by else f"NOT NOTICED: {name}: {old!r} -> {new!r}"
        module.write_text(source, encoding="utf-8")
    finally:
        trees.put(tree)
    print(line, flush=True)
    return line


def noticed_by(tree: Path) -> str:
    """The first core test that fails in a tree; empty where none does."""
    for asked in (FIRST, ("-m", "core")):
        words = [sys.executable, "-B", "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *asked]
        done = subprocess.run(
            words, cwd=tree, capture_output=True, text=True, env=os.environ | {"PYTHONPATH": str(tree)}
        )
        if done.returncode:
            lines = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
            return lines[0][:120] if lines else f"exit {done.returncode}"
    return ""


if __name__ == "__main__":
    sys.exit(min(main(sys.argv[1:]), 100))
