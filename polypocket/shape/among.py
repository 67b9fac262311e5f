"""The shortest way among several convex obstacles: along lines of sight between their fences' corners."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence

from polypocket.shape.around import crosses, fence, joined_way, outside
from polypocket.shape.outline import Outline
from polypocket.shape.reach import Box

__all__ = ["way_among"]

Pair = tuple[float, float]

#: A corner this far outside the room is still in it, mm: rounding.
_ROUNDING = 1e-6


def way_among(
    obstacle: Outline, distance: float, others: Sequence[Outline], room: Box, start: Pair, end: Pair
) -> tuple[Pair, ...] | None:
    """Return the corners of the shortest way from ``start`` to ``end``, both included; ``None`` where there is none.

    A shortest way among convex polygons turns at their corners only, so that it is the shortest one in the graph of
    the corners that see each other (Lee, Proximity and Reachability in the Plane, 1978, from memory).

    Args:
        obstacle: what is gone round at ``distance`` mm; either end may stand between it and its fence.
        distance: mm.
        others: outlines that are not entered, fences already.
        room: inside of which the way stays; ends and obstacles may reach beyond it.
        start: X and Y, mm.
        end: likewise.
    """
    keep_out = fence(obstacle, distance)
    fences = (keep_out, *others)
    first, last = outside(keep_out, obstacle, start), outside(keep_out, obstacle, end)
    corners = [corner for each in fences for corner in each.vertices if _inside(corner, room)]
    way = _shortest([first, last, *corners], fences)
    return None if way is None else joined_way(start, way, end)


def _shortest(points: Sequence[Pair], fences: Sequence[Outline]) -> list[Pair] | None:
    """Return the shortest way from the first point to the second one (Dijkstra)."""
    lengths = {0: 0.0}
    came_from: dict[int, int] = {}
    queue = [(0.0, 0)]
    while queue:
        length, here = heapq.heappop(queue)
        if here == 1:
            return _traced(points, came_from)
        if length > lengths[here]:
            continue  # it has been reached by a shorter way since
        for there in range(1, len(points)):
            further = length + math.dist(points[here], points[there])
            if further >= lengths.get(there, math.inf):
                continue
            if any(crosses(each, points[here], points[there]) for each in fences):
                continue
            lengths[there], came_from[there] = further, here
            heapq.heappush(queue, (further, there))
    return None


def _traced(points: Sequence[Pair], came_from: dict[int, int]) -> list[Pair]:
    way = [1]
    while way[-1] != 0:
        way.append(came_from[way[-1]])
    return [points[index] for index in reversed(way)]


def _inside(point: Pair, room: Box) -> bool:
    low_x, low_y, high_x, high_y = (
        room[0] - _ROUNDING,
        room[1] - _ROUNDING,
        room[2] + _ROUNDING,
        room[3] + _ROUNDING,
    )
    return low_x <= point[0] <= high_x and low_y <= point[1] <= high_y
