"""Convex outlines, and what half-planes leave of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

__all__ = ["Outline", "circle_outline", "rectangle_outline"]

#: Corners closer than this are one corner, mm; far below any control's resolution.
_SAME_POINT = 1e-9


class Outline(NamedTuple):
    """A convex polygon; empty where it has no vertices.

    Attributes:
        vertices: X and Y in mm, anticlockwise, convex, none repeated.
    """

    vertices: tuple[tuple[float, float], ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left."""
        return len(self.vertices) < 3

    @property
    def area(self) -> float:
        """Area, mm²."""
        return 0.5 * sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in self.edges())

    def edges(self) -> zip[tuple[tuple[float, float], tuple[float, float]]]:
        """Pairs of neighbouring vertices, anticlockwise."""
        return zip(self.vertices, self.vertices[1:] + self.vertices[:1], strict=True)

    def support(self, direction: float) -> float:
        """Largest distance of the outline from the origin measured along ``direction`` (radians), mm.

        Raises:
            ValueError: the outline is empty.
        """
        c, s = math.cos(direction), math.sin(direction)
        return max([x * c + y * s for x, y in self.vertices])

    def supports(self, directions: Sequence[float]) -> list[float]:
        """Return ``support`` along several directions, each less than half a turn anticlockwise of the one before.

        The vertex that is furthest then goes round anticlockwise too, and is not looked for among all.

        Raises:
            ValueError: the outline is empty.
        """
        vertices, count, at = self.vertices, len(self.vertices), 0
        found: list[float] = []
        for direction in directions:
            c, s = math.cos(direction), math.sin(direction)
            if not found:
                heights = [x * c + y * s for x, y in vertices]
                at = heights.index(max(heights))
            height = vertices[at][0] * c + vertices[at][1] * s
            for _ in vertices:
                x, y = vertices[(at + 1) % count]
                if (following := x * c + y * s) < height:
                    break
                at, height = (at + 1) % count, following
            found.append(height)
        return found

    def furthest(self, direction: float) -> tuple[float, tuple[float, float]]:
        """Return the support along ``direction`` (radians), mm, and a vertex that has it.

        Raises:
            ValueError: the outline is empty.
        """
        c, s = math.cos(direction), math.sin(direction)
        return max(zip([x * c + y * s for x, y in self.vertices], self.vertices, strict=True))

    def clip(self, direction: float, distance: float) -> Outline:
        """Keep what lies within ``distance`` mm of the origin measured along ``direction`` (radians)."""
        corners = self.kept(direction, distance)
        if corners is self.vertices:
            return self
        kept: list[tuple[float, float]] = []
        for corner in corners:
            if not (kept and math.dist(kept[-1], corner) <= _SAME_POINT):
                kept.append(corner)
        while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= _SAME_POINT:
            kept.pop()
        return Outline(tuple(kept)) if len(kept) >= 3 else Outline(())

    def kept(self, direction: float, distance: float) -> Sequence[tuple[float, float]]:
        """Return the corners of what ``clip`` keeps, of which some may be there twice; ``vertices`` where that is all.

        There are none where nothing is left.
        """
        c, s = math.cos(direction), math.sin(direction)
        heights = [x * c + y * s - distance for x, y in self.vertices]
        # A corner on the line but for rounding is on it, or cutting along an edge would leave a sliver's corners.
        inside = [at for at, height in enumerate(heights) if height <= _SAME_POINT]
        if len(inside) == len(heights):
            return self.vertices
        corners: list[tuple[float, float]] = []
        vertices, count = self.vertices, len(heights)
        for at in inside:
            height, before, after = heights[at], at - 1, (at + 1) % count
            if at and height < -_SAME_POINT and heights[before] > _SAME_POINT:
                corners.append(_crossing(vertices[before], vertices[at], heights[before], height))
            corners.append(vertices[at])
            if height < -_SAME_POINT and heights[after] > _SAME_POINT:
                corners.append(_crossing(vertices[at], vertices[after], height, heights[after]))
        if heights[0] < -_SAME_POINT and heights[-1] > _SAME_POINT:
            corners.append(_crossing(vertices[-1], vertices[0], heights[-1], heights[0]))
        return corners

    def extents(self) -> tuple[float, float, float, float]:
        """Lowest X, lowest Y, highest X, highest Y, mm."""
        xs = [x for x, _ in self.vertices]
        ys = [y for _, y in self.vertices]
        return min(xs), min(ys), max(xs), max(ys)

    def sticks_out(self, inner: Outline) -> float:
        """By how much ``inner`` reaches beyond this outline at the worst, mm; negative where it stays inside."""
        worst = -math.inf
        for (x1, y1), (x2, y2) in self.edges():
            length = math.hypot(x2 - x1, y2 - y1)
            nx, ny = (y2 - y1) / length, (x1 - x2) / length
            worst = max(worst, max((x - x1) * nx + (y - y1) * ny for x, y in inner.vertices))
        return worst

    def turned(self, angle: float) -> Outline:
        """Turn it about the origin by ``angle`` radians, positive anticlockwise; quarter turns are exact."""
        if angle == 0.0:
            return self
        c, s = (round(value, 15) for value in (math.cos(angle), math.sin(angle)))
        return Outline(tuple((x * c - y * s, x * s + y * c) for x, y in self.vertices))

    def grown(self, distance: float) -> Outline:
        """Move every edge outwards by ``distance`` mm; corners stay sharp."""
        moved: list[tuple[float, float, float]] = []
        for (x1, y1), (x2, y2) in self.edges():
            length = math.hypot(x2 - x1, y2 - y1)
            nx, ny = (y2 - y1) / length, (x1 - x2) / length
            moved.append((nx, ny, nx * x1 + ny * y1 + distance))
        corners = [_meeting(moved[i - 1], moved[i]) for i in range(len(moved))]
        return Outline(tuple(corners))


def rectangle_outline(width: float, length: float) -> Outline:
    """Return a rectangle centred on the origin, ``width`` along X and ``length`` along Y, mm."""
    x, y = width / 2.0, length / 2.0
    return Outline(((x, -y), (x, y), (-x, y), (-x, -y)))


def circle_outline(radius: float, error: float = 0.005) -> Outline:
    """Return a polygon round the circle of ``radius`` mm that stands out from it by at most ``error`` mm."""
    count = max(12, math.ceil(math.pi / math.acos(radius / (radius + error))))
    corner = radius / math.cos(math.pi / count)
    return Outline(_regular(count, corner))


def _regular(count: int, radius: float) -> tuple[tuple[float, float], ...]:
    angles = ((2 * i + 1) * math.pi / count for i in range(count))
    return tuple((radius * math.cos(a), radius * math.sin(a)) for a in angles)


def _crossing(
    start: tuple[float, float], end: tuple[float, float], height: float, other: float
) -> tuple[float, float]:
    """Point of an edge that is on a line, given how far outside the line its ends are."""
    (x1, y1), (x2, y2), t = start, end, height / (height - other)
    return x1 + t * (x2 - x1), y1 + t * (y2 - y1)


def _meeting(a: Sequence[float], b: Sequence[float]) -> tuple[float, float]:
    """Point where two lines, each given as unit normal and distance, meet."""
    determinant = a[0] * b[1] - a[1] * b[0]
    return (a[2] * b[1] - b[2] * a[1]) / determinant, (a[0] * b[2] - b[0] * a[2]) / determinant
