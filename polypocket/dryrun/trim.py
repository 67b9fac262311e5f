"""Swept areas with only those corners that another area can see.

Most of a round cutter's rim is on the side on which nothing stands, and overlays take time for every corner.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import lru_cache

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
    placed = seen @ np.array(((c, -s), (s, c)))  # along the line, and to its left
    (first, right), (last, left) = np.minimum.reduce(placed).tolist(), np.maximum.reduce(placed).tolist()
    along, across = start[0] * c + start[1] * s, start[1] * c - start[0] * s
    # Between its ends the area swept is the box about the line: a round end that is not seen becomes a straight one.
    ahead = _round_end(radius, right - across, left - across, seen=last - along > length - _MARGIN)
    behind = _round_end(radius, across - left, across - right, seen=first - along < _MARGIN)
    ring = np.concatenate(ahead + behind)
    turn = sum(map(len, ahead))
    ring[:turn, 0] += length
    ring[turn:] *= -1.0
    return shapely.polygons(ring @ np.array(((c, s), (-s, c))) + start)


def _round_end(radius: float, right: float, left: float, *, seen: bool) -> list[Floats]:
    """Return the front rim of a disc about the origin, from its right to its left, as seen between two lines.

    The rim's corners outside of the lines, ``right`` and ``left`` mm to the left of the origin, are left out, but for
    its ends and the one next to each line: what is so cut off is outside too. All but its ends are, if it is not seen.
    """
    rim = front_rim(radius)
    if not seen:
        return [rim[:1], rim[-1:]]
    places = _rim_places(radius)
    first = bisect_left(places, right - _MARGIN) - 1
    last = bisect_left(places, left + _MARGIN)
    return [rim[:1], rim[max(first, 1) : min(last, len(rim) - 2) + 1], rim[-1:]]


@lru_cache(maxsize=64)
def _rim_places(radius: float) -> tuple[float, ...]:
    """Return how far to the left of the disc's centre each corner of its front rim is, mm."""
    return tuple(front_rim(radius)[:, 1].tolist())


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
    limits = np.maximum.reduce(seen @ sides) + _MARGIN
    for side in np.flatnonzero(np.logical_or.reduce(ring @ sides > limits)).tolist():
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
