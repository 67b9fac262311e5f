"""The way round a convex obstacle at a given distance."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from polypocket.shape.outline import Outline

__all__ = ["crosses", "fence", "joined_way", "outside", "way_round"]

Pair = tuple[float, float]

#: Widest angle between neighbouring edges of a fence. Each corner is a stop, and a wide angle a way round; at 45° a
#: corner stands off by 8 % more than the distance asked for.
_WIDEST_TURN = math.pi / 4.0
#: Edges shorter than this share of the fence's distance get no edge of their own in it.
_SHORT = 0.5
#: A point this near to an edge stands on it, mm.
_ON_EDGE = 1e-7
#: Ways that are remembered: those of one clearing, whose levels and whose timing go them again. No source.
_WAYS_KEPT = 1024


def fence(outline: Outline, distance: float) -> Outline:
    """Return a convex polygon with few corners that stays at least ``distance`` mm from the outline all round.

    It runs along the longer edges of the outline at exactly that distance. Support lines of one convex body in the
    order of their angles all belong to its boundary, so that neighbours' meetings are its corners.
    """
    directions = _directions(outline, distance)
    supports = outline.supports(directions)
    lines = [
        (math.cos(angle), math.sin(angle), support + distance)
        for angle, support in zip(directions, supports, strict=True)
    ]
    corners: list[Pair] = []
    for (c1, s1, h1), (c2, s2, h2) in zip(lines[-1:] + lines[:-1], lines, strict=True):
        determinant = c1 * s2 - s1 * c2
        corner = (h1 * s2 - h2 * s1) / determinant, (h2 * c1 - h1 * c2) / determinant
        if not corners or math.dist(corner, corners[-1]) > 1e-6:
            corners.append(corner)
    if math.dist(corners[0], corners[-1]) <= 1e-6:
        corners.pop()
    return Outline(tuple(corners))


def _directions(outline: Outline, distance: float) -> list[float]:
    """Directions of the outline's longer edges, and as many between them as the widest turn asks for."""
    own = sorted(
        math.atan2(x1 - x2, y2 - y1) % (2.0 * math.pi)
        for (x1, y1), (x2, y2) in outline.edges()
        if math.hypot(x2 - x1, y2 - y1) > _SHORT * distance
    ) or [0.0]
    directions = [own[0]]
    for angle in (*own[1:], own[0] + 2.0 * math.pi):
        gap = angle - directions[-1]
        if gap < 1e-3:
            continue
        parts = math.ceil(gap / _WIDEST_TURN - 1e-9)
        directions += [directions[-1] + gap * (i + 1) / parts for i in range(parts)]
    return directions[:-1]


@lru_cache(maxsize=_WAYS_KEPT)
def way_round(obstacle: Outline, distance: float, start: Pair, end: Pair) -> tuple[Pair, ...]:
    """Return the corners of the shortest way from ``start`` to ``end`` round the fence of ``obstacle`` at ``distance``.

    ``start`` and ``end`` belong to the way, first and last. Either may stand between obstacle and fence: the way then
    moves away from the obstacle from the first (and comes to it likewise), if need be straight away from it.
    """
    keep_out = fence(obstacle, distance)
    first, last = outside(keep_out, obstacle, start), outside(keep_out, obstacle, end)
    return joined_way(start, [first, *_corners_passed(keep_out, first, last), last], end)


def joined_way(start: Pair, way: list[Pair], end: Pair) -> tuple[Pair, ...]:
    """Return a way outside a fence with its ends joined to points that may stand inside of it.

    The way's own ends are where those points leave the fence (``outside``); they are left out where the next corner can
    be gone to straight away.
    """
    first, last = way[0], way[-1]
    if first != start:
        way = [start, *(way[1:] if len(way) > 2 and _moves_away(start, first, way[1]) else way)]
    if last != end:
        way = [*(way[:-1] if len(way) > 2 and _moves_away(end, last, way[-2]) else way), end]
    return tuple(way)


def _moves_away(point: Pair, outwards: Pair, towards: Pair) -> bool:
    """Whether going from ``point`` to ``towards`` moves away from what ``outwards`` moves straight away from.

    Distance from a convex body is a convex function along a line: once it grows it goes on growing.
    """
    (x, y), (ox, oy), (tx, ty) = point, outwards, towards
    return (tx - x) * (ox - x) + (ty - y) * (oy - y) > 0.0


def outside(fence: Outline, obstacle: Outline, point: Pair) -> Pair:
    """Return the point itself, or where it leaves the fence when it goes straight away from the obstacle."""
    heights = _heights(fence, point)
    if max(heights)[0] >= 0.0:
        return point
    x, y = _nearest(obstacle, point)
    away = math.dist(point, (x, y))
    dx, dy = (point[0] - x) / away, (point[1] - y) / away
    steps = (-height / (dx * nx + dy * ny) for height, nx, ny in heights if dx * nx + dy * ny > 1e-9)
    step = min(steps) + _ON_EDGE
    return point[0] + step * dx, point[1] + step * dy


def _nearest(outline: Outline, point: Pair) -> Pair:
    """Return the point of the outline's boundary that is nearest to ``point``."""
    nearest, best = point, math.inf
    for (x1, y1), (x2, y2) in outline.edges():
        dx, dy = x2 - x1, y2 - y1
        share = ((point[0] - x1) * dx + (point[1] - y1) * dy) / (dx * dx + dy * dy)
        share = min(1.0, max(0.0, share))
        candidate = x1 + share * dx, y1 + share * dy
        if (gap := math.dist(candidate, point)) < best:
            nearest, best = candidate, gap
    return nearest


def _heights(fence: Outline, point: Pair) -> list[tuple[float, float, float]]:
    """Return how far outside each edge the point is, mm, and the edge's outward normal."""
    heights = []
    for (x1, y1), (x2, y2) in fence.edges():
        length = math.hypot(x2 - x1, y2 - y1)
        nx, ny = (y2 - y1) / length, (x1 - x2) / length
        heights.append(((point[0] - x1) * nx + (point[1] - y1) * ny, nx, ny))
    return heights


def crosses(fence: Outline, start: Pair, end: Pair) -> bool:
    """Whether the straight way runs through the inside of the fence."""
    low, high = 0.0, 1.0
    dx, dy = end[0] - start[0], end[1] - start[1]
    for height, nx, ny in _heights(fence, start):
        slope = dx * nx + dy * ny
        if abs(slope) < 1e-12:
            if height >= -_ON_EDGE:
                return False
        elif slope > 0.0:
            high = min(high, (-_ON_EDGE - height) / slope)
        else:
            low = max(low, (-_ON_EDGE - height) / slope)
        if low >= high:
            return False
    return True


def _corners_passed(fence: Outline, start: Pair, end: Pair) -> list[Pair]:
    """Corners of the fence that the shorter way round passes; none where the straight way is clear."""
    if not crosses(fence, start, end):
        return []
    count = len(fence.vertices)
    seen_from_start = [height >= -_ON_EDGE for height, _, _ in _heights(fence, start)]
    seen_from_end = [height >= -_ON_EDGE for height, _, _ in _heights(fence, end)]
    ways = []
    for first, last, step in (
        (_after(seen_from_start), _before(seen_from_end), 1),
        (_before(seen_from_start), _after(seen_from_end), -1),
    ):
        passed = range((last - first) * step % count + 1)
        ways.append([fence.vertices[(first + step * k) % count] for k in passed])
    return min(ways, key=lambda way: _length([start, *way, end]))


def _after(seen: list[bool]) -> int:
    """Vertex at which the run of seen edges ends, going anticlockwise (edge i runs from vertex i to i + 1)."""
    return next(i for i in range(len(seen)) if seen[i - 1] and not seen[i])


def _before(seen: list[bool]) -> int:
    """Vertex at which the run of seen edges begins, going anticlockwise."""
    return next(i for i in range(len(seen)) if seen[i] and not seen[i - 1])


def _length(points: list[Pair]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))
