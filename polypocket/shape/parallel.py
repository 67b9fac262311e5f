"""Parallels of lines and arcs, and how the parallels of two pieces of a contour meet at its corners.

Lengths are in one unit throughout, angles in radians, positive anticlockwise. A distance is positive to the
left of the direction of travel. Where a corner turns away from the parallels they are joined by an arc about it, where
it turns towards them they end where they cross (common practice; the arc: NISTIR 6556, appendix B, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from polypocket.lazily import kept_property

__all__ = [
    "SAME_POINT",
    "SHORTEST",
    "Joint",
    "Misfit",
    "Piece",
    "Point",
    "joint",
    "tangent_point",
    "turn_between",
]

Point = tuple[float, float]

#: Points nearer to each other than this are one, mm: below any length that a text can say, far above rounding.
SAME_POINT = 1e-6

#: No arc is made shorter than this, mm: ten of the above, so that its ends never count as one point, which would
#: make it a full circle.
SHORTEST = 10.0 * SAME_POINT

#: A corner that turns by less than this short of a half turn turns straight back, radians. No source.
_STRAIGHT_BACK = 1e-6

#: Rounding of points that were worked out from squares and roots: mm along a line, radians about a centre.
_ROUNDING = 1e-7

_FULL_TURN = 2.0 * math.pi


@dataclass(frozen=True)
class Piece:
    """A straight line, or an arc, with its direction.

    Attributes:
        start, end: points.
        centre: of an arc, ``None`` of a line.
        sweep: angle that an arc goes through, 0 for a line.
    """

    start: Point
    end: Point
    centre: Point | None = None
    sweep: float = 0.0

    @kept_property
    def start_direction(self) -> Point:
        """Unit vector along the piece where it starts."""
        return self._direction(self.start)

    @kept_property
    def end_direction(self) -> Point:
        """Unit vector along the piece where it ends."""
        return self._direction(self.end)

    @kept_property
    def radius(self) -> float:
        """Mean of an arc's radii at its ends, which rounding makes differ; infinite for a line."""
        if self.centre is None:
            return math.inf
        return (math.dist(self.centre, self.start) + math.dist(self.centre, self.end)) / 2.0

    @kept_property
    def length(self) -> float:
        """Length of the path."""
        return math.dist(self.start, self.end) if self.centre is None else abs(self.sweep) * self.radius

    def radius_at(self, distance: float) -> float:
        """Return the radius of an arc's parallel at a distance: not positive where there is none."""
        return self.radius - math.copysign(distance, self.sweep * distance)

    def parallel(self, distance: float) -> Piece:
        """Return the parallel at a distance, which an arc must have room for (``radius_at``)."""
        start = _beside(self.start, self.start_direction, distance)
        end = _beside(self.end, self.end_direction, distance)
        return Piece(start, end, self.centre, self.sweep)

    def along(self, point: Point) -> float:
        """Return how far along the piece, from its start, a point on it or on its extension lies.

        On a line negative before its start; on an arc from 0 to a full turn.
        """
        if self.centre is None:
            (u, v), (x, y) = self.start_direction, self.start
            return u * (point[0] - x) + v * (point[1] - y)
        angle = math.copysign(1.0, self.sweep) * (
            _bearing(self.centre, point) - _bearing(self.centre, self.start)
        )
        angle %= _FULL_TURN
        return 0.0 if angle > _FULL_TURN - _ROUNDING else angle * self.radius

    def before_end(self, point: Point) -> float:
        """Return the same backwards from the end."""
        return Piece(self.end, self.start, self.centre, -self.sweep).along(point)

    def _direction(self, point: Point) -> Point:
        if self.centre is None:
            x, y = self.end[0] - self.start[0], self.end[1] - self.start[1]
            length = math.hypot(x, y)
            return x / length, y / length
        angle = _bearing(self.centre, point) + math.copysign(math.pi / 2.0, self.sweep)
        return math.cos(angle), math.sin(angle)


class Joint(NamedTuple):
    """Where one parallel ends and the next starts; where these are two points, an arc about the corner joins them.

    Attributes:
        before: end of the first.
        after: start of the second.
        first_cut, second_cut: lengths that the crossing cuts off the first and off the second.
    """

    before: Point
    after: Point
    first_cut: float = 0.0
    second_cut: float = 0.0


class Misfit(NamedTuple):
    """Parallels that do not meet: the length that is missing, ``None`` where a corner turns straight back."""

    missing: float | None


def joint(first: Piece, second: Piece, distance: float) -> Joint | Misfit:
    """Join the parallels of two pieces that follow each other, at a distance that is not 0."""
    turn = turn_between(first.end_direction, second.start_direction)
    one, other = first.parallel(distance), second.parallel(distance)
    if abs(distance * turn) <= SHORTEST:
        middle = (one.end[0] + other.start[0]) / 2.0, (one.end[1] + other.start[1]) / 2.0
        return Joint(middle, middle)
    if math.pi - abs(turn) < _STRAIGHT_BACK:
        return Misfit(None)
    if turn * distance < 0.0:
        return Joint(one.end, other.start)
    return _crossing(one, other)


def tangent_point(start: Point, corner: Point, distance: float) -> Point:
    """Return where a line from ``start`` ends that passes a corner at a distance and ends right beside it.

    The corner then lies square to the line, on its right for a positive distance. ``start`` must lie further from the
    corner than that. Source: NISTIR 6556, appendix B, the first move (from memory).
    """
    length = math.dist(start, corner)
    direction = _bearing(start, corner) + math.asin(distance / length)
    return _beside(corner, (math.cos(direction), math.sin(direction)), distance)


def turn_between(first: Point, second: Point) -> float:
    """Return the angle from one direction to another, from −π to π."""
    return math.atan2(
        first[0] * second[1] - first[1] * second[0], first[0] * second[0] + first[1] * second[1]
    )


def _crossing(one: Piece, other: Piece) -> Joint | Misfit:
    """End two parallels where they first cross, seen from the corner."""
    points = list(_crossings(one, other))
    if not points:
        return Misfit(max(0.0, _apart(one, other)))
    cuts = [(one.before_end(point), other.along(point), point) for point in points]
    missing = [
        max(first - one.length, second - other.length, -first - _ROUNDING, -second - _ROUNDING)
        for first, second, _ in cuts
    ]
    fitting = [cut for cut, lacks in zip(cuts, missing, strict=True) if lacks <= 0.0]
    if not fitting:
        return Misfit(min(missing))
    first, second, point = min(fitting, key=lambda cut: cut[0] + cut[1])
    return Joint(point, point, first, second)


def _crossings(one: Piece, other: Piece) -> Iterator[Point]:
    """Yield where two pieces, lengthened to lines and circles, cross."""
    if one.centre is None and other.centre is None:
        (u, v), (x, y) = one.end_direction, one.end
        across = u * other.start_direction[1] - v * other.start_direction[0]
        to_other = (other.start[0] - x) * other.start_direction[1] - (
            other.start[1] - y
        ) * other.start_direction[0]
        yield x + u * to_other / across, y + v * to_other / across
        return
    if one.centre is None or other.centre is None:
        line, centre = (one, other.centre) if one.centre is None else (other, one.centre)
        assert centre is not None
        radius = math.dist(centre, other.start if line is one else one.end)
        foot, along = _foot(line, centre), line.start_direction
        height = math.dist(foot, centre)
    else:
        centre, radius = one.centre, math.dist(one.centre, one.end)
        between, other_radius = math.dist(centre, other.centre), math.dist(other.centre, other.start)
        if between <= _ROUNDING:
            return
        towards = (other.centre[0] - centre[0]) / between, (other.centre[1] - centre[1]) / between
        height = (between**2 + radius**2 - other_radius**2) / (2.0 * between)
        foot, along = (
            (centre[0] + height * towards[0], centre[1] + height * towards[1]),
            (-towards[1], towards[0]),
        )
    if abs(height) > radius + _ROUNDING:
        return
    half = math.sqrt(max(0.0, (radius - height) * (radius + height)))
    for side in (half, -half):
        yield foot[0] + side * along[0], foot[1] + side * along[1]


def _apart(one: Piece, other: Piece) -> float:
    """Return how far two lines or circles that do not cross stay apart."""
    if one.centre is not None and other.centre is not None:
        between = math.dist(one.centre, other.centre)
        return max(between - one.radius - other.radius, abs(one.radius - other.radius) - between)
    line, arc = (one, other) if one.centre is None else (other, one)
    assert arc.centre is not None
    return math.dist(_foot(line, arc.centre), arc.centre) - arc.radius


def _foot(line: Piece, point: Point) -> Point:
    """Return the foot of the perpendicular from a point to a line."""
    along = line.along(point)
    return line.start[0] + along * line.start_direction[0], line.start[1] + along * line.start_direction[1]


def _beside(point: Point, direction: Point, distance: float) -> Point:
    """Return the point at a distance to the left of a direction."""
    return point[0] - distance * direction[1], point[1] + distance * direction[0]


def _bearing(start: Point, end: Point) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])
