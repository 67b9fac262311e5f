"""How far a point's path stays from a rectangle whose sides lie along the axes: exact, in plain arithmetic.

A disc that goes along the path enters the rectangle where its radius is more than this distance. Distances are 0 where
the path itself meets the rectangle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

__all__ = ["Box", "arc_to_box", "box_to_box", "segment_to_box"]

Pair = tuple[float, float]
#: Lowest X, lowest Y, highest X, highest Y, mm.
Box = tuple[float, float, float, float]

_QUARTER = math.pi / 2.0
_FULL_TURN = 2.0 * math.pi


def box_to_box(one: Box, other: Box) -> float:
    """Return the distance between two rectangles, mm.

    A point, a line along an axis, or one that is infinite may be the first of them.
    """
    gap_x = max(other[0] - one[2], one[0] - other[2], 0.0)
    gap_y = max(other[1] - one[3], one[1] - other[3], 0.0)
    return math.hypot(gap_x, gap_y)


def segment_to_box(start: Pair, end: Pair, box: Box) -> float:
    """Return the distance between a straight line and a rectangle, mm.

    Where they do not meet, an end of the line or a corner of the rectangle is nearest.
    """
    if _crosses(start, end, box):
        return 0.0
    ends = min(_point_to_box(start, box), _point_to_box(end, box))
    return min(ends, *(_point_to_segment(corner, start, end) for corner in _corners(box)))


def arc_to_box(centre: Pair, radius: float, start_angle: float, sweep: float, box: Box) -> float:
    """Return the distance between an arc and a rectangle, mm.

    Where they do not meet, the shortest way from one to the other starts at an end of the arc, or is square to it; then
    it is square to a side too (the arc's quadrant points), or ends at a corner.

    Args:
        centre: of the arc, mm.
        radius: mm.
        start_angle: direction from the centre to the start, radians.
        sweep: angle that the arc goes through, radians, positive anticlockwise; a full turn or more is a circle.
        box: the rectangle.
    """
    angles = [start_angle, start_angle + sweep]
    angles += [quarter * _QUARTER for quarter in range(4) if _swept(quarter * _QUARTER, start_angle, sweep)]
    points = ((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)
    nearest = min(_point_to_box(point, box) for point in points)
    if nearest == 0.0 or any(
        _swept(math.atan2(y - centre[1], x - centre[0]), start_angle, sweep)
        for x, y in _on_circle(centre, radius, box)
    ):
        return 0.0
    for x, y in _corners(box):
        if _swept(math.atan2(y - centre[1], x - centre[0]), start_angle, sweep):
            nearest = min(nearest, abs(math.dist((x, y), centre) - radius))
    return nearest


def _point_to_box(point: Pair, box: Box) -> float:
    return box_to_box((*point, *point), box)


def _point_to_segment(point: Pair, start: Pair, end: Pair) -> float:
    along = end[0] - start[0], end[1] - start[1]
    square = along[0] ** 2 + along[1] ** 2
    if square == 0.0:
        return math.dist(point, start)
    share = ((point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]) / square
    share = min(max(share, 0.0), 1.0)
    return math.dist(point, (start[0] + share * along[0], start[1] + share * along[1]))


def _crosses(start: Pair, end: Pair, box: Box) -> bool:
    """Whether a straight line has a point in a rectangle: it is between all four sides at once somewhere."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        low, high, begin, way = box[axis], box[axis + 2], start[axis], end[axis] - start[axis]
        if way == 0.0:
            if not low <= begin <= high:
                return False
            continue
        near, far = sorted(((low - begin) / way, (high - begin) / way))
        first, last = max(first, near), min(last, far)
    return first <= last


def _corners(box: Box) -> tuple[Pair, ...]:
    low_x, low_y, high_x, high_y = box
    return (low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)


def _on_circle(centre: Pair, radius: float, box: Box) -> Iterator[Pair]:
    """Yield the points of a rectangle's sides that are on a circle."""
    for axis in (0, 1):
        other = 1 - axis
        for side in (box[axis], box[axis + 2]):
            square = radius**2 - (side - centre[axis]) ** 2
            if square < 0.0:
                continue
            for half in (math.sqrt(square), -math.sqrt(square)):
                place = centre[other] + half
                if box[other] <= place <= box[other + 2]:
                    yield (side, place) if axis == 0 else (place, side)


def _swept(angle: float, start_angle: float, sweep: float) -> bool:
    """Whether an arc passes a direction from its centre, radians."""
    turn = (angle - start_angle) if sweep >= 0.0 else (start_angle - angle)
    return turn % _FULL_TURN <= abs(sweep)
