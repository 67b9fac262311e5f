"""Intersection, difference and union of areas on a fixed grid.

In floating point the overlay of two polygons whose edges run along each other within 1e-15 mm can take the wrong
side of an edge: a cutter that only slid along a flat has been seen to remove the whole block, with no error raised.
With every corner on a grid the same overlay is exact and cannot (snap rounding: Hobby 1999, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.tolerances import CONTACT

__all__ = ["GRID", "common", "lost", "on_grid", "only_areas", "thick_part", "together", "without"]

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
    """Return what is left of an area when another is taken away.

    What is one cell of the grid thick may come to a line, with which nothing could be laid over the rest.
    """
    return only_areas(shapely.difference(area, removed, grid_size=GRID))


def lost(area: BaseGeometry, removed: BaseGeometry, left: BaseGeometry) -> BaseGeometry:
    """Return what two areas have in common, given what ``without`` leaves of the first.

    The overlay in floating point is a fifth of the work. It is taken where its area and that of ``left`` make up the
    whole but for rounding to the grid, which moves no edge by more than ``GRID``; ``common`` tells where they do not.
    """
    try:
        result: BaseGeometry = shapely.intersection(area, removed)
    except shapely.GEOSException:
        return common(area, removed)
    rounding = GRID * (area.length + removed.length)
    return result if abs(area.area - left.area - result.area) <= rounding else common(area, removed)


def together(areas: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return areas as one."""
    return only_areas(shapely.union_all(areas, grid_size=GRID))


def only_areas(shape: BaseGeometry) -> BaseGeometry:
    """Return a shape without lines and points: those in which two areas only touch, or to which one has come."""
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        return shape
    polygons = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    return MultiPolygon(polygons)


def thick_part(area: BaseGeometry) -> BaseGeometry:
    """Return an area drawn in by half of ``CONTACT``: what is thinner than ``CONTACT`` vanishes."""
    return shapely.buffer(area, -CONTACT / 2.0, join_style="mitre")
