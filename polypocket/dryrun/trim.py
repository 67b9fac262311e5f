"""Swept areas with only those corners that another area can see.

Most of a round cutter's rim is on the side on which nothing stands, and overlays take time for every corner.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.shape.swept import front_rim

__all__ = ["facing_straight", "trimmed"]

#: Nothing changes nearer to the other area than this, mm: a thousand cells of the grid of overlays.
_MARGIN = 1e-3

Floats = NDArray[np.float64]
Pair = tuple[float, float]


def facing_straight(start: Pair, end: Pair, radius: float, seen: Floats) -> Polygon:
    """Return what a disc sweeps along a line, the same wherever another area is, with fewer corners.

    Args:
        start: of the disc's centre, mm.
        end: of its centre, mm, another place.
        radius: of the disc, mm.
        seen: corners of the area that it is to be laid over, in rows, at least one.
    """
    length = math.dist(start, end)
    c, s = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    to_plane = np.array(((c, s), (-s, c)))
    placed = (seen - start) @ to_plane.T  # along the line, and to its left
    (first, right), (last, left) = placed.min(axis=0).tolist(), placed.max(axis=0).tolist()
    # Between its ends the area swept is the box about the line: a round end that is not seen becomes a straight one.
    square = np.array(((0.0, -radius), (0.0, radius)))
    ahead = _round_end(radius, right, left) if last > length - _MARGIN else square
    behind = _round_end(radius, -left, -right) if first < _MARGIN else square
    ring = np.concatenate((ahead + np.array((length, 0.0)), -behind)) @ to_plane + start
    return shapely.polygons(ring)


def _round_end(radius: float, right: float, left: float) -> Floats:
    """Return the front rim of a disc about the origin, from its right to its left, as seen between two lines.

    The rim's corners outside of the lines, ``right`` and ``left`` mm to the left of the origin, are left out, but for
    its ends and the one next to each line: what is so cut off is outside too.
    """
    rim = front_rim(radius)
    first = max(int(np.searchsorted(rim[:, 1], right - _MARGIN)) - 1, 0)
    last = min(int(np.searchsorted(rim[:, 1], left + _MARGIN)), len(rim) - 1)
    if first == 0 and last == len(rim) - 1:
        return rim
    kept = [0, *range(max(first, 1), min(last, len(rim) - 2) + 1), len(rim) - 1]
    return rim[kept]


def trimmed(area: BaseGeometry, seen: Floats, direction: float) -> BaseGeometry:
    """Return an area that is the same as ``area`` wherever another is, with fewer corners.

    Args:
        area: any; only polygons without holes are trimmed.
        seen: corners of the area that it is to be laid over, in rows.
        direction: of the sides of the box about the other beyond which corners may go, radians; best along the
            motion.
    """
    if not isinstance(area, Polygon) or shapely.get_num_interior_rings(area) or not len(seen):
        return area
    ring = shapely.get_coordinates(area)
    corners = len(ring)
    c, s = math.cos(direction), math.sin(direction)
    sides = np.array(((c, -s, -c, s), (s, c, -s, -c)))
    limits = (seen @ sides).max(axis=0) + _MARGIN
    for side in np.flatnonzero((ring @ sides > limits).any(axis=0)).tolist():
        ring = _without_run(ring, ring @ sides[:, side] > limits[side])
    return area if len(ring) == corners else shapely.polygons(ring)


def _without_run(ring: Floats, beyond: NDArray[np.bool_]) -> Floats:
    """Return a closed ring without its corners beyond a line, if they are one run, but for the first and last.

    The edge between these two is beyond the line, and what is left of the ring is not: it is still simple and the
    same on this side.
    """
    changes = np.flatnonzero(beyond[1:] != beyond[:-1])
    if len(changes) != 2:
        return ring
    first, last = changes.tolist()
    if beyond[0]:
        return np.concatenate((ring[first : last + 2], ring[first : first + 1]))
    return np.concatenate((ring[: first + 2], ring[last:]))
