"""What stands in one slab, cut into tiles where its outline has many corners.

To take a swept area away costs time for every corner of what stands, and a long program leaves ever more of them. A
tile with too many corners is therefore halved, and its halves again, so that a motion has to do only with the few
corners near it. Seams lie on the grid of overlays and are straight along an axis: the halves fit without gap or
overlap, and ``whole`` puts them together again without the corners that the seams have made.

Tiles are never changed. What is left of them is a new tree that shares the tiles that stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.overlay import GRID, common, only_areas, together
from polypocket.lazily import kept_property

__all__ = ["Bounds", "Halves", "Standing", "Tile", "apart", "changed", "tiles_near", "tiles_of", "whole"]

Floats = NDArray[np.float64]
#: Lowest X, lowest Y, highest X, highest Y, mm.
Bounds = tuple[float, float, float, float]

#: A tile with more corners is halved. Measured: fewer make more seams, more make slower overlays.
MOST_CORNERS = 200
#: A tile no longer than this is not halved however many corners it has, mm: every motion would touch many.
LEAST_LENGTH = 2.0
#: Decimals of a millimetre on the grid of overlays.
_DECIMALS = 6
#: A seam's corner that is nearer to the line through its neighbours is none, mm: each of the three is on the grid.
_ON_LINE = 2.0 * GRID
_NOWHERE: Bounds = (np.inf, np.inf, -np.inf, -np.inf)


@dataclass(frozen=True, eq=False)
class Tile:
    """One tile: the area that stands in it, which may be empty."""

    area: BaseGeometry

    @kept_property
    def bounds(self) -> Bounds:
        """Of the area."""
        return self.area.bounds if not self.area.is_empty else _NOWHERE

    @kept_property
    def corners(self) -> Floats:
        """Of the area, in rows, mm."""
        coordinates: Floats = shapely.get_coordinates(self.area)
        return coordinates


@dataclass(frozen=True, eq=False)
class Halves:
    """What stands on the two sides of a seam.

    Attributes:
        axis: on which the seam is at one place: 0 for X, 1 for Y.
        seam: where, mm.
        below, above: what stands on the side of lower and of higher coordinates.
    """

    axis: int
    seam: float
    below: Standing
    above: Standing

    @kept_property
    def bounds(self) -> Bounds:
        """Of both."""
        a, b = self.below.bounds, self.above.bounds
        return min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])

    @kept_property
    def area(self) -> BaseGeometry:
        """Both together, without the seams."""
        seams: tuple[set[float], set[float]] = (set(), set())
        tiles = list(_tiles(self, seams))
        return _without_seams(together([tile.area for tile in tiles]), *seams)


Standing: TypeAlias = Tile | Halves


def tiles_of(area: BaseGeometry) -> Standing:
    """Return an area with its corners on the grid as tiles: a single one where it has few corners."""
    tile = Tile(area)
    low_x, low_y, high_x, high_y = tile.bounds
    length = max(high_x - low_x, high_y - low_y)
    if length <= LEAST_LENGTH or shapely.get_num_coordinates(area) <= MOST_CORNERS:
        return tile
    axis = 0 if length == high_x - low_x else 1
    seam = round((tile.bounds[axis] + tile.bounds[axis + 2]) / 2.0, _DECIMALS)
    low, high = low_x - 1.0, low_y - 1.0
    boxes = (
        shapely.box(low, high, *((seam, high_y + 1.0) if axis == 0 else (high_x + 1.0, seam))),
        shapely.box(*((seam, high) if axis == 0 else (low, seam)), high_x + 1.0, high_y + 1.0),
    )
    below, above = (tiles_of(only_areas(common(area, box))) for box in boxes)
    return Halves(axis, seam, below, above)


def tiles_near(standing: Standing, bounds: Bounds) -> Iterator[Tile]:
    """Yield the tiles whose bounds meet others."""
    if apart(standing.bounds, bounds):
        return
    if isinstance(standing, Tile):
        yield standing
    else:
        yield from tiles_near(standing.below, bounds)
        yield from tiles_near(standing.above, bounds)


def changed(standing: Standing, areas: Mapping[Tile, BaseGeometry], bounds: Bounds) -> Standing:
    """Return what stands when some tiles are given other areas, on the grid and inside of what they were.

    Args:
        standing: before.
        areas: the new areas.
        bounds: which the bounds of all the tiles that change meet.
    """
    if isinstance(standing, Tile):
        return tiles_of(areas[standing]) if standing in areas else standing
    if apart(standing.bounds, bounds):
        return standing
    below, above = (changed(half, areas, bounds) for half in (standing.below, standing.above))
    if below is standing.below and above is standing.above:
        return standing
    if _is_empty(below):
        return above
    return below if _is_empty(above) else Halves(standing.axis, standing.seam, below, above)


def whole(standing: Standing) -> BaseGeometry:
    """Return what stands as one area, without the seams; found out once."""
    return standing.area


def apart(a: Bounds, b: Bounds) -> bool:
    """Whether two boxes do not even touch."""
    return a[0] > b[2] or b[0] > a[2] or a[1] > b[3] or b[1] > a[3]


def _is_empty(standing: Standing) -> bool:
    return standing.bounds == _NOWHERE


def _tiles(standing: Standing, seams: tuple[set[float], set[float]]) -> Iterator[Tile]:
    """Yield all tiles, and note the places of all seams on X and on Y."""
    if isinstance(standing, Tile):
        yield standing
    else:
        seams[standing.axis].add(standing.seam)
        yield from _tiles(standing.below, seams)
        yield from _tiles(standing.above, seams)


def _without_seams(area: BaseGeometry, on_x: set[float], on_y: set[float]) -> BaseGeometry:
    """Return an area without the corners that seams have made in its straight edges."""
    polygons = [
        Polygon(
            _ring_without_seams(shapely.get_coordinates(part.exterior), on_x, on_y),
            [_ring_without_seams(shapely.get_coordinates(hole), on_x, on_y) for hole in part.interiors],
        )
        for part in shapely.get_parts(area)
        if isinstance(part, Polygon)
    ]
    return polygons[0] if len(polygons) == 1 else MultiPolygon(polygons)


def _ring_without_seams(ring: Floats, on_x: set[float], on_y: set[float]) -> Floats:
    corners = ring[:-1]
    count = len(corners)
    on_seam = np.isin(corners[:, 0], list(on_x)) | np.isin(corners[:, 1], list(on_y))
    stays = np.ones(count, bool)
    before = corners[-1]
    for i in range(count):
        if on_seam[i] and stays.sum() > 3 and _on_line(before, corners[i], corners[(i + 1) % count]):
            stays[i] = False
        else:
            before = corners[i]
    return corners[stays]


def _on_line(before: Floats, corner: Floats, after: Floats) -> bool:
    """Whether a corner is one only because of rounding to the grid."""
    (x, y), (u, v) = corner - before, after - before
    length = float(np.hypot(u, v))
    if length == 0.0:
        return False
    return bool(abs(x * v - y * u) <= _ON_LINE * length and 0.0 <= x * u + y * v <= length * length)
