"""How wide a cut is, and on which side of the travel the material stands.

Both are seen at the moment at which the cutter's rim reaches a point, square to the travel at that moment; along a
line this is the distance from the path. Along an arc of radius R a cutter of radius r reaches a point at distance ρ
from the arc's centre when its own centre lags behind it by an angle δ, ρ² + R² − 2ρR·cos δ = r². The point is then
R − ρ·cos δ = (R² + r² − ρ²)/2R inwards of the tangent (the law of cosines). So a cut round an outside corner is
narrower than what stands there, and one along the inside of a pocket wider, by 1 + r/R for a thin layer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.material import Piece
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import common, without
from polypocket.dryrun.sweeps import Sweeper
from polypocket.dryrun.tolerances import CONTACT
from polypocket.shape.swept import disc

__all__ = ["Bite", "bite_of"]

#: Further than any place that a program can tell by a slip, mm, and still fine on the grid: the half-plane on a line's
#: left is a box of this size about the line's beginning.
_FAR = 1e7


class Bite(NamedTuple):
    """What one motion removes, seen in the direction of travel.

    Attributes:
        left, right: area removed on each side of the path of the cutter's centre, mm².
        width: from the rim on the engaged side to the innermost point of what is removed, mm.
        height: along Z, all slabs together, mm.
    """

    left: float
    right: float
    width: float
    height: float

    @property
    def is_left(self) -> bool:
        """Whether the material stands on the left of the travel."""
        return self.left >= self.right


def bite_of(swept: Sweeper, pieces: Iterable[Piece]) -> Bite:
    """Measure what a cutter removes in a motion that moves across."""
    left = right = height = 0.0
    lowest, highest = math.inf, -math.inf
    for piece in pieces:
        to_left, to_right, low, high = _found(swept, piece.region)
        left += to_left
        right += to_right
        height += piece.high - piece.low
        lowest, highest = min(lowest, low), max(highest, high)
    width = swept.radius - lowest if left >= right else swept.radius + highest
    return Bite(left, right, width + CONTACT / 2.0, height)


class _Line(NamedTuple):
    """A straight path through ``point`` along the unit vector ``along``."""

    point: tuple[float, float]
    along: tuple[float, float]

    def left_side(self) -> BaseGeometry:
        """Return the half-plane on the left."""
        (x, y), (u, v) = self.point, self.along
        near, far = (x - _FAR * u, y - _FAR * v), (x + _FAR * u, y + _FAR * v)
        return Polygon(
            (near, far, (far[0] - _FAR * v, far[1] + _FAR * u), (near[0] - _FAR * v, near[1] + _FAR * u))
        )

    def reach(self, region: BaseGeometry) -> tuple[float, float]:
        """Return the least and greatest distance to the left of the path, mm."""
        across = (shapely.get_coordinates(region) - self.point) @ np.array((-self.along[1], self.along[0]))
        return float(across.min()), float(across.max())


class _Round(NamedTuple):
    """A circular path of ``path_radius`` about ``centre`` of a cutter of ``radius``, mm."""

    centre: tuple[float, float]
    path_radius: float
    radius: float
    anticlockwise: bool

    def left_side(self) -> BaseGeometry:
        """Return where the cutter's rim meets what is on its left: (R² + r² − ρ²)/2R = 0 bounds it."""
        inside = disc(self.centre, math.hypot(self.path_radius, self.radius))
        return inside if self.anticlockwise else without(shapely.box(-_FAR, -_FAR, _FAR, _FAR), inside)

    def reach(self, region: BaseGeometry) -> tuple[float, float]:
        """Return the least and greatest distance to the left of the path, mm: inwards if anticlockwise."""
        from_centre = shapely.get_coordinates(region) - self.centre
        outermost = self._inwards(float(np.hypot(from_centre[:, 0], from_centre[:, 1]).max()))
        innermost = self._inwards(float(region.distance(shapely.Point(self.centre))))
        return (outermost, innermost) if self.anticlockwise else (-innermost, -outermost)

    def _inwards(self, distance: float) -> float:
        """Return how far inwards of the tangent a point at ``distance`` from the centre is when the rim reaches it."""
        return (self.path_radius**2 + self.radius**2 - distance**2) / (2.0 * self.path_radius)


def _found(swept: Sweeper, region: BaseGeometry) -> tuple[float, float, float, float]:
    """Return what ``_measured`` does, found out once: slabs and levels that are cut alike hold the same region."""
    return swept.once(
        "bite", (0.0, 1.0), region, lambda: _measured(_path(swept.motion, swept.radius), region)
    )


def _measured(path: _Line | _Round, region: BaseGeometry) -> tuple[float, float, float, float]:
    """Return the area on the left and on the right of a path, and the least and greatest distance to its left."""
    area = float(region.area)
    low, high = path.reach(region)
    if low >= 0.0 or high <= 0.0:
        return (area, 0.0, low, high) if low >= 0.0 else (0.0, area, low, high)
    to_left = float(common(region, path.left_side()).area)
    return to_left, area - to_left, low, high


def _path(motion: Motion, radius: float) -> _Line | _Round:
    if motion.is_arc:
        return _Round(motion.centre, motion.path_radius, radius, motion.sweep > 0.0)
    length = math.dist(motion.start[:2], motion.end[:2])
    along = ((motion.end[0] - motion.start[0]) / length, (motion.end[1] - motion.start[1]) / length)
    return _Line(motion.start[:2], along)
