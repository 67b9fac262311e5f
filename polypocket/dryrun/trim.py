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

__all__ = ["trimmed"]

#: Nothing changes nearer to the other area than this, mm: a thousand cells of the grid of overlays.
_MARGIN = 1e-3

Floats = NDArray[np.float64]


def trimmed(area: BaseGeometry, other: BaseGeometry, direction: float) -> BaseGeometry:
    """Return an area that is the same as ``area`` wherever ``other`` is, with fewer corners.

    Args:
        area: any; only polygons without holes are trimmed.
        other: the area that it is to be laid over.
        direction: of the sides of the box about ``other`` beyond which corners may go, radians; best along the
            motion.
    """
    seen = shapely.get_coordinates(other)
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
