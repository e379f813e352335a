"""Runs of equal gaps: which gaps lead from one bend past what lies between, and rows that are one single run."""

import math
from collections.abc import Iterator

from closures.spacing.course import BEND, PLACE_SLACK_MM, ZONE, Course, is_in
from closures.spacing.reach import Interval

Gaps = list[Interval]
"""Gaps that are allowed, as closed intervals in mm."""


def runs_from(course: Course, bend: int, gaps: Gaps) -> Iterator[tuple[int, float, Gaps]]:
    """Follow equal gaps from one bend to all the later ones.

    Args:
        course: the line.
        bend: index of the bend where the runs begin.
        gaps: the gaps that are allowed.

    Yields:
        index of a later bend, how far on it is, and the gaps with which no closure of the run lies in a clear
        zone before it and every anchor between the two bends is met.
    """
    begin = course.bends[bend]
    for place, kind, index in course.events_after(begin):
        if kind == BEND:
            yield index, place - begin, gaps
            continue
        low, high = (course.zones if kind == ZONE else course.windows)[index]
        if kind == ZONE:
            if high <= begin + PLACE_SLACK_MM:
                continue
            gaps = past_zone(gaps, low - begin, high - begin)
        elif low > begin + PLACE_SLACK_MM:
            gaps = into_window(gaps, low - begin, high - begin)
        if not gaps:
            return


def past_zone(gaps: Gaps, near_mm: float, far_mm: float, most: int | None = None) -> Gaps:
    """Keep the gaps with which no closure ahead lies strictly between two distances.

    Closure k lies there with gaps from near/k to far/k, which are taken out for k = 1, 2, ...

    Args:
        gaps: the gaps.
        near_mm: how far ahead the stretch begins; 0 or more.
        far_mm: how far ahead it ends.
        most: so many closures lie ahead; None for as many as there is room for.
    """
    near_mm, far_mm = near_mm + PLACE_SLACK_MM, far_mm - PLACE_SLACK_MM
    if near_mm >= far_mm:
        return gaps
    kept: Gaps = []
    for least, most_gap in gaps:
        k = math.floor(near_mm / most_gap) + 1
        top = most_gap
        while (most is None or k <= most) and far_mm / k > least:
            if far_mm / k <= top:
                kept.append((far_mm / k, top))
            top = min(top, near_mm / k)
            if top < least:
                break
            k += 1
        if top >= least:
            kept.append((least, top))
    return kept


def into_window(gaps: Gaps, near_mm: float, far_mm: float) -> Gaps:
    """Keep the gaps with which some closure ahead lies between two distances, both above 0."""
    near_mm, far_mm = near_mm - PLACE_SLACK_MM, far_mm + PLACE_SLACK_MM
    kept: Gaps = []
    for least, most in gaps:
        top = bottom = math.inf
        for k in range(max(math.ceil(near_mm / most), 1), math.floor(far_mm / least) + 1):
            if far_mm / k < bottom:
                if bottom <= top:
                    kept.append((bottom, top))
                top = min(far_mm / k, most)
            bottom = max(near_mm / k, least)
        if bottom <= top < math.inf:
            kept.append((bottom, top))
    return kept


def counts_of_level_run(course: Course, place_mm: float, gap_mm: float, way: int) -> range:
    """Count the gaps that a run of one given gap may have from a bend to the free end of the row.

    Args:
        course: the line.
        place_mm: the bend.
        gap_mm: the gap.
        way: 1 toward the last end, -1 toward the first.

    Returns:
        the numbers of gaps, 1 or more, with which the end closure lies in its range, every anchor on the way is
        met and no closure lies in a clear zone.
    """
    near, far = (course.last if way > 0 else course.first)[::way]
    least = max(math.ceil(((near - place_mm) * way - PLACE_SLACK_MM) / gap_mm), 1)
    most = math.floor(((far - place_mm) * way + PLACE_SLACK_MM) / gap_mm)
    if least > most:
        return range(0)
    for span in course.windows:
        begin, end = ((bound - place_mm) * way for bound in span[::way])
        if begin > PLACE_SLACK_MM:
            k = math.ceil((begin - PLACE_SLACK_MM) / gap_mm)
            if k * gap_mm > end + PLACE_SLACK_MM:
                return range(0)
            least = max(least, k)
    for span in course.zones:
        begin, end = ((bound - place_mm) * way for bound in span[::way])
        if end > PLACE_SLACK_MM:
            k = math.floor((begin + PLACE_SLACK_MM) / gap_mm) + 1
            if k * gap_mm < end - PLACE_SLACK_MM:
                most = min(most, k - 1)
    while most >= least and not is_in(course.free, place_mm + way * most * gap_mm):
        most -= 1  # past the outermost free stretch
    return range(least, most + 1)
