"""A tree of boxes over the segments of a curve, so that most of them need not be looked at."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from closures.curve.line import Box

# A leaf has no branches. The numbers are the first segment and the one after the last.
Node = tuple[Box, int, int, "Node | None", "Node | None"]


def grow_tree(boxes: Sequence[Box], low: int = 0, high: int = -1) -> Node:
    """Build a tree over boxes that follow each other along a curve.

    Args:
        boxes: one for each segment, at least one.
        low, high: the first and the one after the last to take; all of them by default.
    """
    high = len(boxes) if high < 0 else high
    if high - low == 1:
        return (boxes[low], low, high, None, None)
    middle = (low + high) // 2
    left, right = grow_tree(boxes, low, middle), grow_tree(boxes, middle, high)
    a, b = left[0], right[0]
    box = (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))
    return (box, low, high, left, right)


def distance_to_box(box: Box, x: float, y: float) -> float:
    """The distance from a point to a box, nought inside it."""
    dx = box[0] - x if x < box[0] else (x - box[2] if x > box[2] else 0.0)
    dy = box[1] - y if y < box[1] else (y - box[3] if y > box[3] else 0.0)
    return math.hypot(dx, dy) if dx or dy else 0.0


def pairs_that_meet(tree: Node) -> Iterator[tuple[int, int]]:
    """Yield every pair of leaves, i before j and not neighbours, whose boxes touch."""
    waiting: list[tuple[Node, Node]] = [(tree, tree)]
    while waiting:
        one, other = waiting.pop()
        a, b = one[0], other[0]
        if a[0] > b[2] or b[0] > a[2] or a[1] > b[3] or b[1] > a[3]:
            continue
        if one[3] is None and other[3] is None:
            if other[1] - one[1] > 1:
                yield one[1], other[1]
        elif one is other:
            left, right = one[3], one[4]
            if left and right:
                waiting += [(left, left), (right, right), (left, right)]
        elif other[3] is None or (one[3] is not None and one[2] - one[1] >= other[2] - other[1]):
            waiting += [(branch, other) for branch in (one[3], one[4]) if branch]
        else:
            waiting += [(one, branch) for branch in (other[3], other[4]) if branch]
