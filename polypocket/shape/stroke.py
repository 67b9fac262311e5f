"""Where a disc that moves along a straight line meets a convex outline, and where it is done with it.

A stroke works in the frame of its flat: ``u`` along the flat, anticlockwise round the part, and ``v`` outwards
along the flat's direction. The disc's centre stays at ``v = distance + radius``, so that the disc clears
everything beyond ``distance`` and nothing within it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from polypocket.shape.outline import Outline

__all__ = ["Line", "clear_of", "first_contact", "first_contacts"]

Pair = tuple[float, float]


class Line(NamedTuple):
    """The line of a flat.

    Attributes:
        direction: in which the flat faces, radians anticlockwise from +X.
        distance: from the origin, mm.
    """

    direction: float
    distance: float

    def frame(self, outline: Outline) -> list[Pair]:
        """Vertices of ``outline`` as (u, v)."""
        c, s = math.cos(self.direction), math.sin(self.direction)
        return [(y * c - x * s, x * c + y * s) for x, y in outline.vertices]

    def point(self, u: float, beyond: float = 0.0) -> Pair:
        """X and Y of the point at ``u``, ``beyond`` mm outside the line."""
        c, s = math.cos(self.direction), math.sin(self.direction)
        v = self.distance + beyond
        return v * c - u * s, v * s + u * c

    def along(self, point: Pair) -> float:
        """Return the ``u`` of a point."""
        return point[1] * math.cos(self.direction) - point[0] * math.sin(self.direction)

    def outside(self, points: Mapping[int, Pair]) -> list[int]:
        """Return which points are outside the line."""
        c, s = math.cos(self.direction), math.sin(self.direction)
        return [each for each, (x, y) in points.items() if x * c + y * s > self.distance]

    def begins(self, outline: Outline) -> float:
        """Return the least ``u`` of the vertices outside the line.

        Raises:
            ValueError: there is none.
        """
        c, s, distance = math.cos(self.direction), math.sin(self.direction), self.distance
        return min([y * c - x * s for x, y in outline.vertices if x * c + y * s > distance])

    def beyond(self, outline: Outline) -> Outline:
        """Return the part of ``outline`` outside the line."""
        return outline.clip(self.direction + math.pi, -self.distance)

    def frame_beyond(self, outline: Outline) -> list[Pair]:
        """Vertices of ``beyond`` as (u, v), of which some may be there twice; none where nothing lies outside."""
        c, s = math.cos(self.direction), math.sin(self.direction)
        return [
            (y * c - x * s, x * c + y * s) for x, y in outline.kept(self.direction + math.pi, -self.distance)
        ]

    def corner(self, following: Line) -> Pair:
        """X and Y where this line meets ``following``.

        Raises:
            ZeroDivisionError: the lines are parallel.
        """
        turn = math.sin(following.direction - self.direction)
        u = (following.distance - self.distance * math.cos(following.direction - self.direction)) / turn
        return self.point(u)


def first_contact(outline: Outline, line: Line, radius: float, gap: float = 0.0) -> float:
    """Return the ``u`` at which a disc coming from −u is first within ``gap`` mm of the outline.

    The centre runs ``radius`` outside the line; with a gap of 0 only what lies beyond the line can be met.
    The disc touches either a vertex or an edge from outside, so the earliest of those is the answer.

    Raises:
        ValueError: it never comes that close.
    """
    return first_contacts(outline, line, radius, (gap,))[0]


def first_contacts(outline: Outline, line: Line, radius: float, gaps: Sequence[float]) -> list[float]:
    """Return ``first_contact`` for each of several gaps."""
    points = line.frame(outline)
    return [_first_contact(points, line.distance + radius, radius + gap) for gap in gaps]


def _first_contact(points: Sequence[Pair], centre: float, reach: float) -> float:
    """Return the ``u`` at which a point on ``v = centre`` is first within ``reach`` of an outline, as (u, v)."""
    earliest = math.inf
    out_of_reach = centre - reach
    for (u1, v1), (u2, v2) in zip(points, [*points[-1:], *points[:-1]], strict=True):
        if v1 < out_of_reach and v2 < out_of_reach:
            continue
        square = reach * reach - (v1 - centre) * (v1 - centre)
        if square >= 0.0 and (touch := u1 - math.sqrt(square)) < earliest:
            earliest = touch
        # u and v are left-handed, so the outline runs clockwise in them and has its outside on the left.
        length = math.hypot(u1 - u2, v1 - v2)
        nu, nv = (v2 - v1) / length, (u1 - u2) / length
        if nu >= -1e-12:
            continue  # faces away from the coming disc
        touch = (reach + nu * u2 + nv * v2 - nv * centre) / nu
        foot_u, foot_v = touch - reach * nu, centre - reach * nv
        share = ((foot_u - u2) * (u1 - u2) + (foot_v - v2) * (v1 - v2)) / (length * length)
        if 0.0 <= share <= 1.0 and touch < earliest:
            earliest = touch
    if math.isinf(earliest):
        raise ValueError("the disc never comes that close to the outline")
    return earliest


def clear_of(outline: Outline, line: Line, radius: float) -> float:
    """Return the ``u`` from which everything beyond the line has been swept by a disc coming from −u.

    A point is swept as soon as the disc's leading edge covers it; where that is is a convex function of the point, so
    that a vertex of the part beyond the line decides.

    Raises:
        ValueError: nothing lies beyond the line, or something reaches further out than the centre's path.
    """
    points = line.frame_beyond(outline)
    if len(points) < 3:
        raise ValueError("nothing lies beyond the line")
    centre = line.distance + radius
    if max([v for _, v in points]) > centre + 1e-9:
        raise ValueError("material reaches further out than the path of the cutter's centre")
    square = radius * radius
    return max([u - math.sqrt(max(0.0, square - (centre - v) * (centre - v))) for u, v in points])
