"""Areas that a round cutter sweeps along lines and arcs, as shapely polygons.

Every circle is replaced by a polygon with its corners on the circle where the cutter is inside it (outer
rims, round ends), and by one with its sides touching the circle where the cutter is outside it (the inner
rim of an arc). The polygons therefore never hold a point that the cutter does not sweep, but for the
rounding of unions to a grid of 1e-6 mm; they miss less than ``CHORD_ERROR``.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.shape.outline import Outline

__all__ = [
    "CHORD_ERROR",
    "arc_sector",
    "circle_sides",
    "disc",
    "outline_area",
    "swept_arc",
    "swept_box",
    "swept_straight",
]

#: Most by which a polygon stands back from its circle, mm: the smallest step of a program in millimetres.
CHORD_ERROR = 0.001

#: Corners of unions lie on a grid of this spacing, mm: overlays in floating point can fail where edges touch.
_GRID = 1e-6
_QUARTER = math.pi / 2.0
_FULL_TURN = 2.0 * math.pi

PlanePoint = tuple[float, float]


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
    return Point(centre).buffer(radius, quad_segs=circle_sides(radius) // 4)


def swept_straight(start: PlanePoint, end: PlanePoint, radius: float) -> Polygon:
    """Return what a disc of ``radius`` mm sweeps along a line: a stadium of area 2·r·L + π·r²."""
    if math.dist(start, end) == 0.0:
        return disc(start, radius)
    return LineString((start, end)).buffer(radius, quad_segs=circle_sides(radius) // 4)


def swept_box(start: PlanePoint, end: PlanePoint, radius: float) -> Polygon:
    """Return what a disc sweeps that may go anywhere in the box with these opposite corners."""
    if start[0] == end[0] or start[1] == end[1]:
        return swept_straight(start, end, radius)
    return shapely.box(
        min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1])
    ).buffer(radius, quad_segs=circle_sides(radius) // 4)


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
    sector = arc_sector(centre, path_radius, start, sweep, radius)
    if abs(sweep) >= _FULL_TURN:
        return sector
    ends = (
        (centre[0] + path_radius * math.cos(angle), centre[1] + path_radius * math.sin(angle))
        for angle in (start, start + sweep)
    )
    return shapely.union_all([sector, *(disc(end, radius) for end in ends)], grid_size=_GRID)


def _arc_points(
    centre: PlanePoint, radius: float, start: float, sweep: float, *, outside: bool
) -> NDArray[np.float64]:
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
