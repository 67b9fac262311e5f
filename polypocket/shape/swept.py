"""Areas that a round cutter sweeps along lines and arcs, as shapely polygons.

Every circle is replaced by a polygon with its corners on the circle where the cutter is inside it (outer
rims, round ends), and by one with its sides touching the circle where the cutter is outside it (the inner
rim of an arc). The polygons therefore never hold a point that the cutter does not sweep, but for the
rounding of unions to a grid of 1e-6 mm; they miss less than ``CHORD_ERROR``.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.shape.outline import Outline

__all__ = [
    "CHORD_ERROR",
    "arc_sector",
    "circle_sides",
    "disc",
    "front_rim",
    "outline_area",
    "swept_arc",
    "swept_box",
    "swept_straight",
]

#: Most by which a polygon stands back from its circle, mm: the smallest step of a program in millimetres.
CHORD_ERROR = 0.001

#: Corners of unions lie on a grid of this spacing, mm: overlays in floating point can fail where edges touch.
_GRID = 1e-6
#: A corner nearer than this share of a side to the end of a rim is left out: it is that end.
_SAME_CORNER = 1e-6
#: Radii nearer to each other than this are one, mm: far below the grid. An inner rim would be smaller than rounding.
_SAME_RADIUS = 1e-9
_QUARTER = math.pi / 2.0
_FULL_TURN = 2.0 * math.pi

PlanePoint = tuple[float, float]
Points = NDArray[np.float64]


@lru_cache(maxsize=256)
def circle_sides(radius: float) -> int:
    """Return how many sides a polygon needs to stand back at most ``CHORD_ERROR``: a multiple of four.

    ``radius`` in mm. A chord of angle φ stands back r·(1 − cos(φ/2)).
    """
    if radius <= CHORD_ERROR:
        return 4
    return 4 * math.ceil(_QUARTER / (2.0 * math.acos(1.0 - CHORD_ERROR / radius)))


def outline_area(outline: Outline) -> Polygon:
    """Return a convex outline as a shapely polygon; empty where the outline is."""
    return Polygon(outline.vertices)


def disc(centre: PlanePoint, radius: float) -> Polygon:
    """Return the disc of ``radius`` mm about ``centre``."""
    return shapely.polygons(_circle(radius)[: circle_sides(radius)] + centre)


@lru_cache(maxsize=64)
def front_rim(radius: float) -> Points:
    """Return the corners of the front half of a disc of ``radius`` mm that goes along +X, from right to left.

    They are those of the end of ``swept_straight``; X and Y from the disc's centre, mm, in rows.
    """
    half = circle_sides(radius) // 2
    rim: Points = _circle(radius)[: half + 1] @ np.array(((0.0, -1.0), (1.0, 0.0)))
    rim[0], rim[-1] = (0.0, -radius), (0.0, radius)
    return rim


def swept_straight(start: PlanePoint, end: PlanePoint, radius: float) -> Polygon:
    """Return what a disc of ``radius`` mm sweeps along a line: a stadium of area 2·r·L + π·r²."""
    if math.dist(start, end) == 0.0:
        return disc(start, radius)
    length = math.dist(start, end)
    c, s = (end[1] - start[1]) / length, (start[0] - end[0]) / length  # to the right of the line
    half = circle_sides(radius) // 2
    turned = _circle(radius)[: 2 * half + 1] @ np.array(((c, s), (-s, c)))
    return _polygon(turned[: half + 1] + end, turned[half:] + start)


def swept_box(start: PlanePoint, end: PlanePoint, radius: float) -> Polygon:
    """Return what a disc sweeps that may go anywhere in the box with these opposite corners."""
    if start[0] == end[0] or start[1] == end[1]:
        return swept_straight(start, end, radius)
    (low_x, high_x), (low_y, high_y) = sorted((start[0], end[0])), sorted((start[1], end[1]))
    corners = (high_x, high_y), (low_x, high_y), (low_x, low_y), (high_x, low_y)
    quarter = circle_sides(radius) // 4
    circle = _circle(radius)
    return _polygon(
        *(circle[i * quarter : (i + 1) * quarter + 1] + corner for i, corner in enumerate(corners))
    )


def arc_sector(
    centre: PlanePoint, path_radius: float, start: float, sweep: float, radius: float
) -> BaseGeometry:
    """Return the part of an arc's swept area between the radial lines through its ends.

    Args:
        centre: of the arc, mm.
        path_radius: of the disc's centre about it, mm.
        start: direction from ``centre`` to the start, radians anticlockwise from +X.
        sweep: angle gone through, radians, positive anticlockwise; a full turn or more gives the whole ring.
        radius: of the disc, mm.
    """
    outer, inner = path_radius + radius, path_radius - radius
    if abs(sweep) >= _FULL_TURN:
        whole = disc(centre, outer)
        if inner <= 0.0:
            return whole
        hole = inner / math.cos(math.pi / circle_sides(inner))
        return shapely.difference(whole, disc(centre, hole), grid_size=_GRID)
    rim = _arc_points(centre, outer, start, sweep, outside=False)
    if inner <= 0.0:
        return Polygon([*rim, centre])
    return Polygon([*rim, *_arc_points(centre, inner, start, sweep, outside=True)[::-1]])


def swept_arc(
    centre: PlanePoint, path_radius: float, start: float, sweep: float, radius: float
) -> BaseGeometry:
    """Return what a disc sweeps along an arc: a piece of a ring with round ends; arguments as ``arc_sector``.

    Where the path's radius is not more than the disc's there is no inner rim: the sector reaches the
    centre, which the disc covers from everywhere on its path.
    """
    if abs(sweep) <= math.pi:
        return _short_arc(centre, path_radius, min(start, start + sweep), abs(sweep), radius)
    sector = arc_sector(centre, path_radius, start, sweep, radius)
    if abs(sweep) >= _FULL_TURN:
        return sector
    ends = (_on_circle(centre, path_radius, angle) for angle in (start, start + sweep))
    return shapely.union_all([sector, *(disc(end, radius) for end in ends)], grid_size=_GRID)


def _short_arc(
    centre: PlanePoint, path_radius: float, start: float, sweep: float, radius: float
) -> BaseGeometry:
    """Return the area swept along at most half a turn, anticlockwise: its outline never meets itself.

    The round ends reach to the inner rim; where there is none they meet behind the centre, on the line that
    halves the sweep: both circles are there R·cos(sweep/2) − √(r² − R²·sin²(sweep/2)) from the centre.
    """
    if abs(path_radius - radius) < _SAME_RADIUS:
        path_radius = radius
    end = start + sweep
    first, last = (_on_circle(centre, path_radius, angle) for angle in (start, end))
    outer = _arc_points(centre, path_radius + radius, start, sweep, outside=False)
    inner = path_radius - radius
    rims: tuple[Points, ...]
    if inner > 0.0:
        rims = (
            outer,
            _rim(last, radius, end, math.pi),
            _arc_points(centre, inner, start, sweep, outside=True)[::-1],
            _rim(first, radius, start + math.pi, math.pi),
        )
    else:
        half = sweep / 2.0
        behind = path_radius * math.cos(half) - math.sqrt(radius**2 - (path_radius * math.sin(half)) ** 2)
        meeting = _on_circle(centre, behind, start + half)
        from_first, from_last = (
            math.atan2(meeting[1] - point[1], meeting[0] - point[0]) for point in (first, last)
        )
        rims = (
            outer,
            _rim(last, radius, end, (from_last - end) % _FULL_TURN),
            _rim(first, radius, from_first, (start - from_first) % _FULL_TURN),
        )
    return _polygon(*(rim[:-1] for rim in rims))  # each rim ends where the next one begins


def _polygon(*rims: Points) -> Polygon:
    """Return the polygon with these rims one after another."""
    return shapely.polygons(np.concatenate(rims))


def _on_circle(centre: PlanePoint, radius: float, angle: float) -> PlanePoint:
    return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


@lru_cache(maxsize=64)
def _circle(radius: float) -> Points:
    """Corners of the circle of ``radius`` mm about the origin, from +X twice round, so that any rim is a slice."""
    sides = circle_sides(radius)
    angles = np.arange(2 * sides) * (_FULL_TURN / sides)
    return radius * np.column_stack((np.cos(angles), np.sin(angles)))


def _rim(centre: PlanePoint, radius: float, begin: float, turn: float) -> Points:
    """Corners of a circle from the direction ``begin`` anticlockwise through ``turn`` radians, ends and all."""
    side = _FULL_TURN / circle_sides(radius)
    begin %= _FULL_TURN
    first = math.floor(begin / side + _SAME_CORNER) + 1
    after = math.ceil((begin + turn) / side - _SAME_CORNER)
    rim = np.empty((max(0, after - first) + 2, 2))
    rim[0] = _on_circle((0.0, 0.0), radius, begin)
    rim[1:-1] = _circle(radius)[first:after]
    rim[-1] = _on_circle((0.0, 0.0), radius, begin + turn)
    rim += centre
    return rim


def _arc_points(centre: PlanePoint, radius: float, start: float, sweep: float, *, outside: bool) -> Points:
    """Corners of a polygonal arc: on the circle, or outside it with the sides touching it."""
    count = max(1, math.ceil(circle_sides(radius) * abs(sweep) / _FULL_TURN))
    angles = start + sweep * np.linspace(0.0, 1.0, count + 1)
    radii = np.full(count + 1, radius)
    if outside:
        middles = (angles[:-1] + angles[1:]) / 2.0
        angles = np.concatenate((angles[:1], middles, angles[-1:]))
        radii = np.concatenate(
            ((radius,), np.full(count, radius / math.cos(abs(sweep) / count / 2.0)), (radius,))
        )
    return np.column_stack((centre[0] + radii * np.cos(angles), centre[1] + radii * np.sin(angles)))
