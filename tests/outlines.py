"""Edges as people have them: a thousand random outlines, sampled, rounded, noisy, cornered, with crumbs, read and placed.

    python tests/outlines.py [how many] [the first]

Each true outline is made of smooth curves (radius 150 mm and more) and up to three corners, sharp or rounded. It is
sampled at 40 to 1,000 points, closer together round corners as anybody does who measures one, rounded to up to
0.2 mm, moved by up to 0.15 mm, and given up to three crumbs. Then the plan is placed on the points and on the true
outline, and held against three things:

* what can be placed on the true outline is not refused;
* a check fails only where it fails on the true outline, or is at its limit there;
* each mark lies within the stated tolerance of the true closing line.

The stated tolerance is `read_within`, or what the reading itself says of the furthest point where that is more
(rounded to 0.2 mm and moved by 0.15 mm a point may be 0.29 mm off); and twice that where it says that points so far
apart leave open how the line bends between them. At a corner, sharp or rounded, two sides meet that may both be off so
much, and where they meet is off by that over the cosine of half the turn: no line through such points is surer.
"""

from __future__ import annotations

import math
import random
import re
import sys
from dataclasses import dataclass

from edge_files import edges_of

from closures.catalogue.loading import load_catalogue
from closures.checks.rules import check
from closures.curve import Arc, Cubic, Curve, Point
from closures.edges.reading import Edges
from closures.errors import ClosureError
from closures.placing.placement import place
from closures.plan.reading import read_plan

READ_WITHIN_MM = 0.15
INSET_MM = 19.0

PLAN = """
drawing = "outline.svg"
[garment]
pieces = "separate"
[edge]
path = "edge"
[band]
width = "38 mm"
inset = "19 mm"
lap = "{lap}"
[closure]
kind = "prong snap"
size = "16 L"
[spacing]
first = "20 mm"
last = "20 mm"
count = {count}
"""


@dataclass(frozen=True)
class Outline:
    """A true edge, and the points that somebody took of it."""

    seed: int
    true: Curve
    points: tuple[Point, ...]
    count: int
    rounded_mm: float
    moved_mm: float
    crumbs: int

    @property
    def words(self) -> str:
        return (
            f"{self.seed}: {self.count} points, to {self.rounded_mm} mm, moved by {self.moved_mm}, "
            f"{self.crumbs} crumbs, corners {[round(turn) for _, turn in self.true.corners(10)]}"
        )


def true_outline(rng: random.Random) -> Curve:
    """Smooth legs and corners between them, never crossing itself."""
    while True:
        corners = rng.randint(0, 3)
        (x, y), heading = (300.0, 100.0), math.pi / 2 + rng.uniform(-0.3, 0.3)
        segments: list[Cubic | Arc] = []
        for leg in range(corners + 1):
            length = rng.uniform(120, 420) if corners < 2 else rng.uniform(110, 260)
            parts = 1 if length < 200 else 2
            for _ in range(parts):
                far = length / parts
                bend = rng.uniform(-1, 1) * min(0.55, far / 260)
                after, way = heading + bend, heading + bend / 2 + rng.uniform(-0.1, 0.1) * bend
                end, handle = (x + far * math.cos(way), y + far * math.sin(way)), far / 3
                one = (x + handle * math.cos(heading), y + handle * math.sin(heading))
                other = (end[0] - handle * math.cos(after), end[1] - handle * math.sin(after))
                segments.append(Cubic((x, y), one, other, end))
                (x, y), heading = end, after
            if leg < corners:
                turn = rng.choice([-1, 1]) * math.radians(rng.uniform(20, 110))
                radius = rng.choice([0.0, 0.0, rng.uniform(5, 30)])
                if radius:
                    side = heading + math.copysign(math.pi / 2, turn)
                    centre = (x + radius * math.cos(side), y + radius * math.sin(side))
                    segments.append(Arc(centre, radius, side + math.pi, turn))
                    x, y = segments[-1].end
                heading += turn
        outline = Curve(tuple(segments))
        if outline.crosses_itself() is None:
            return outline


def outline_of(seed: int) -> Outline:
    """The outline of a number, always the same."""
    rng = random.Random(seed)
    true = true_outline(rng)
    count = rng.choice([40, 60, 80, 150, 300, 600, 1000])
    rounded, moved = rng.choice([0.01, 0.02, 0.05, 0.1, 0.2]), rng.choice([0, 0, 0.02, 0.05, 0.1, 0.15])
    crumbs = rng.choice([0, 0, 1, 3])
    step = true.length_mm / count
    places = [0.0]
    for segment, begin in zip(true.segments, true.starts, strict=False):
        parts = max(1, round(segment.length_mm / step))
        if isinstance(segment, Arc):
            parts = max(parts, math.ceil(abs(segment.sweep) / math.radians(12)))
        uneven = (rng.uniform(-0.2, 0.2) if i < parts else 0.0 for i in range(1, parts + 1))
        places += [begin + segment.length_mm * (i + off) / parts for i, off in enumerate(uneven, 1)]
    points: list[Point] = []
    for s in places:
        x, y = true.point_at(min(s, true.length_mm))
        far, way = moved * math.sqrt(rng.random()), rng.uniform(0, math.tau)
        x, y = x + far * math.cos(way), y + far * math.sin(way)
        points.append((round(x / rounded) * rounded, round(y / rounded) * rounded))
    for _ in range(crumbs):
        i = rng.randrange(1, len(points) - 1)
        far, way = rng.uniform(0.004, 0.02), rng.uniform(0, math.tau)
        points.insert(i + 1, (points[i][0] + far * math.cos(way), points[i][1] + far * math.sin(way)))
    kept = tuple(p for i, p in enumerate(points) if i == 0 or p != points[i - 1])
    return Outline(seed, true, kept, count, rounded, moved, crumbs)


@dataclass(frozen=True)
class Verdict:
    """What became of an outline: how far the worst mark is off, what that may be, and what is wrong."""

    off_mm: float = 0.0
    allowed_mm: float = 0.0
    wrong: str = ""


def verdict_on(outline: Outline) -> Verdict:
    """Place on the points and on the true outline, and compare."""
    catalogue = load_catalogue()
    lap = ("right over left", "left over right")[outline.seed % 2]
    count = max(2, round(outline.true.length_mm / 75))
    plan = read_plan(PLAN.format(lap=lap, count=count).encode(), "outline.toml")
    points = " ".join(f"{x!r},{y!r}" for x, y in outline.points)
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">'
        f'<polyline id="edge" points="{points}"/></svg>'
    ).encode()
    try:
        wanted = place(plan, Edges(outline.true, None, None, outline.true.start[1], ()), catalogue)
    except ClosureError:
        return Verdict()
    try:
        edges = edges_of(plan, drawing)
        found = place(plan, edges, catalogue)
    except ClosureError as error:
        return Verdict(wrong=f"refused: {error}")
    fails = {(one.rule, one.lap) for one in check(found, catalogue) if one.result == "fail"}
    fails -= {(one.rule, one.lap) for one in check(wanted, catalogue) if one.result != "pass"}
    if fails:
        return Verdict(wrong=f"fails {sorted(map(str, fails))}")
    line = wanted.laps.line
    furthest = max((_stated(note) for note in edges.notes), default=0.0)
    stated = max(READ_WITHIN_MM, furthest)
    if any("may be off by twice as much" in note for note in edges.notes):
        stated *= 2
    corners = [(line.point_at(s), math.radians(turn)) for s, turn in line.corners(10)]
    corners += [
        (line.point_at(line.nearest(arc.point(0.5)).along_mm), arc.sweep)
        for arc in outline.true.segments
        if isinstance(arc, Arc)
    ]
    worst, allowed = 0.0, stated
    for mark in found.marks:
        near = line.nearest((mark.x_mm, mark.y_mm))
        turns = [turn for place, turn in corners if math.dist(near.point, place) < INSET_MM * 1.5]
        may = stated / min((math.cos(turn / 2) for turn in turns), default=1.0)
        if near.distance_mm / may >= worst / allowed:
            worst, allowed = near.distance_mm, may
    wrong = f"a mark is {worst:.3f} mm off for {allowed:.3f}" if worst > allowed else ""
    return Verdict(worst, allowed, wrong)


def _stated(note: str) -> float:
    """The figure of the furthest point in a note, 0 where it is none."""
    found = re.search(r"furthest at point \d+, ([\d.]+) mm", note)
    return float(found[1]) if found else 0.0


def main() -> int:
    """Judge as many outlines as are asked for; tell what is wrong and how well the marks lie."""
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    wrong, offs = 0, []
    for seed in range(first, first + many):
        outline = outline_of(seed)
        verdict = verdict_on(outline)
        offs.append(verdict.off_mm)
        if verdict.wrong:
            wrong += 1
            print(f"{outline.words}: {verdict.wrong}", flush=True)
    offs.sort()
    shares = ", ".join(
        f"{share:.0%} within {offs[min(many - 1, int(share * many))]:.3f} mm" for share in (0.5, 0.9, 0.99, 1.0)
    )
    print(f"{many} outlines, {wrong} wrong; the worst mark of each: {shares}")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
