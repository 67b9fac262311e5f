"""Where something may not be put, so that what moves over it does not meet a box that stands still."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.shape.reach import Box

__all__ = ["hindrance"]

Pair = tuple[float, float]

#: By how much more the forbidden places are than need be, mm, so that the polygons that stand for circles hold them.
_MORE = 0.01
#: Sides of a quarter of a circle: at 100 mm they stand back by 0.008 mm, less than ``_MORE``.
_QUARTER_SIDES = 64


def hindrance(box: Box, ways: Iterable[Sequence[Pair]], radius: float) -> BaseGeometry:
    """Return the places of a zero from which a round body on one of ``ways`` would enter ``box``.

    The body's centre is anywhere in the convex hull of a way's points, which count from the zero; it enters where it
    comes nearer than ``radius`` mm. The places are the box less the hull (their Minkowski difference), grown by the
    radius: the sum of two convex sets is the hull of the sums of their corners.
    """
    low_x, low_y, high_x, high_y = box
    corners = np.array([(low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)])
    hulls = [
        shapely.multipoints((corners[:, None, :] - np.array(way)[None, :, :]).reshape(-1, 2)).convex_hull
        for way in ways
    ]
    return shapely.union_all(hulls).buffer(radius + _MORE, quad_segs=_QUARTER_SIDES)
