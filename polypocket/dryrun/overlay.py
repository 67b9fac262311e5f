"""Intersection and difference of areas on a fixed grid.

In floating point the overlay of two polygons whose edges run along each other within 1e-15 mm can take the wrong
side of an edge: a cutter that only slid along a flat has been seen to remove the whole block, with no error raised.
With every corner on a grid the same overlay is exact and cannot (snap rounding: Hobby 1999, from memory).
"""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

__all__ = ["GRID", "common", "on_grid", "without"]

#: Spacing of the grid, mm: a thousandth of the smallest step of a program; over a flat of 1 mm it turns a line by
#: at most 1e-6 radians.
GRID = 1e-6


def on_grid(area: BaseGeometry) -> BaseGeometry:
    """Return an area with its corners on the grid; what is done with it later is not bound to the grid."""
    result: BaseGeometry = shapely.set_precision(shapely.set_precision(area, GRID), 0.0)
    return result


def common(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    """Return what two areas have in common."""
    result: BaseGeometry = shapely.intersection(a, b, grid_size=GRID)
    return result


def without(area: BaseGeometry, removed: BaseGeometry) -> BaseGeometry:
    """Return what is left of an area when another is taken away."""
    result: BaseGeometry = shapely.difference(area, removed, grid_size=GRID)
    return result
