"""The block in slabs, the strokes of a round cutter, and what holds the work: plain shapely, nothing of the dry run.

Lengths mm. A cutter's place is known by the line, arc or box along which its centre goes.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import shapely
import shapely.affinity
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from tests.faults.motions import Step

__all__ = [
    "GRID",
    "Fixture",
    "Flat",
    "Slabs",
    "arc_points",
    "bitten",
    "fixtures",
    "path_of",
    "stock_slabs",
    "turned",
]

Floats = NDArray[np.float64]
#: What stands, by the height of each slab's lower end, mm, from the top down.
Slabs = dict[float, BaseGeometry]

#: Overlays without a grid can take the wrong side of edges that run along each other, mm.
GRID = 1e-6
#: Straight pieces of an arc's path, radians: at a radius of 8 mm they stand back by 0.0001 mm.
_TURN = 0.01
_FAR = 1e4
#: Heights nearer than this are one, mm: one rounding of what is written.
_SAME_HEIGHT = 0.004


class Flat(NamedTuple):
    """Where a flat faces, radians, its distance from the centre and its length, mm."""

    direction: float
    distance: float
    side: float


class Fixture(NamedTuple):
    """A prism that nothing may enter, from ``top`` downwards."""

    name: str
    top: float
    area: BaseGeometry


def stock_slabs(job: BlockJob, steps: list[Step], stands: Slabs | None, angle: float) -> Slabs:
    """Return what stands at each height, by that of each slab's lower end, from the top down, turned by an angle.

    That is the largest stock, or what programs before have left of it (``stands``, not turned).
    """
    thickness = job.stock.thickness
    before = stands or {-thickness: Polygon(job.stock.largest_outline().vertices)}
    wanted = [-thickness, *(-section.depth for section in job.sections), *before]
    for step in steps:
        if step.kind != "rapid":
            wanted += [z for z in (step.start[2], step.end[2]) if z is not None and -thickness < z < 0.0]
    heights: list[float] = []
    for height in wanted:  # those of the job come first and stay
        if height < -_SAME_HEIGHT and all(abs(height - other) > _SAME_HEIGHT for other in heights):
            heights.append(height)
    heights.sort(reverse=True)
    middles = ((low + high) / 2.0 for low, high in zip(heights, [0.0, *heights], strict=False))
    return {
        height: turned(before[max(low for low in before if low < middle)], angle)
        for height, middle in zip(heights, middles, strict=True)
    }


def turned(area: BaseGeometry, angle: float) -> BaseGeometry:
    """Return an area turned about the work zero, radians, positive anticlockwise seen from above."""
    return shapely.affinity.rotate(area, angle, origin=(0.0, 0.0), use_radians=True) if angle else area


def fixtures(job: BlockJob, mill: Mill, angle: float = 0.0) -> list[Fixture]:
    """Return the jaws or the clamps, and what the block lies on, with the vise turned by an angle."""
    stock = Polygon(job.stock.outline().vertices)
    thickness = job.stock.thickness
    if job.clamping.grip == "plate":
        found = [Fixture("plate", -thickness, shapely.box(-_FAR, -_FAR, _FAR, _FAR))]
        if job.clamping.clamp_height > 0.0:
            smallest = min(job.sections, key=lambda section: section.depth)
            found.append(Fixture("clamp", job.clamping.clamp_height, Polygon(smallest.polygon().vertices())))
        return found
    x1, y1, x2, y2 = stock.bounds
    half = mill.vise.jaw_width / 2.0 if mill.vise else _FAR
    top = job.clamping.held - thickness
    if job.clamping.jaws_along == "x":
        jaws = shapely.box(-half, y2, half, _FAR), shapely.box(-half, -_FAR, half, y1)
    else:
        jaws = shapely.box(x2, -half, _FAR, half), shapely.box(-_FAR, -half, x1, half)
    bed = Fixture("vise", -thickness, Polygon(job.stock.largest_outline().vertices))
    every = [bed, *(Fixture("jaw", top, jaw) for jaw in jaws)]
    return [each._replace(area=turned(each.area, angle)) for each in every]


def path_of(step: Step, below: float, independent: bool) -> BaseGeometry | None:
    """Return where the centre goes while the tip may be below a height; ``None`` where it is not.

    A rapid whose axes go each at its own rate may be anywhere in the box of its ends, at its lowest. A line is cut
    off where it passes the height; an arc that changes its height is taken whole.
    """
    (x1, y1, z1), (x2, y2, z2) = _known(step.start), _known(step.end)
    if min(z1, z2) >= below:
        return None
    if step.centre is not None:
        return shapely.LineString(arc_points(step))
    if step.kind == "rapid" and independent:
        return shapely.MultiPoint([(x1, y1), (x1, y2), (x2, y1), (x2, y2)]).convex_hull
    if max(z1, z2) > below:
        share = (below - z1) / (z2 - z1)
        x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
        if z1 > below:
            x1, y1 = x, y
        else:
            x2, y2 = x, y
    return shapely.Point(x1, y1) if (x1, y1) == (x2, y2) else shapely.LineString([(x1, y1), (x2, y2)])


def arc_points(step: Step) -> Floats:
    """Return points along an arc, each on its circle."""
    assert step.centre is not None
    (x1, y1, _), (x2, y2, _), (x, y) = _known(step.start), _known(step.end), step.centre
    begin, finish = math.atan2(y1 - y, x1 - x), math.atan2(y2 - y, x2 - x)
    full = math.dist((x1, y1), (x2, y2)) < 1e-6
    turn = math.tau if full else (finish - begin) % math.tau
    if step.kind == "clockwise":
        turn = -math.tau if full else turn - math.tau
    radius = (math.hypot(x1 - x, y1 - y) + math.hypot(x2 - x, y2 - y)) / 2.0
    angles = begin + turn * np.linspace(0.0, 1.0, math.ceil(abs(turn) / _TURN) + 1)
    points: Floats = np.array((x, y)) + radius * np.column_stack((np.cos(angles), np.sin(angles)))
    return points


def bitten(step: Step, radius: float, region: BaseGeometry) -> tuple[float, float, float, float]:
    """Return the areas of a region on the left and right of a path, and how far it reaches to either side, mm.

    Seen square to the travel when the rim reaches a point. On an arc of radius R about M a cutter of radius r reaches a
    point that is ρ away from M when, by the law of cosines, it is (R² + r² − ρ²) / 2R inwards of the tangent.
    """
    if step.centre is None:
        (x1, y1, _), (x2, y2, _) = _known(step.start), _known(step.end)
        length = math.hypot(x2 - x1, y2 - y1)
        u, v = (x2 - x1) / length, (y2 - y1) / length
        across = (shapely.get_coordinates(region) - (x1, y1)) @ np.array((-v, u))
        # The half-plane on the left is a box about the region, however far off the stroke begins.
        along = (region.centroid.x - x1) * u + (region.centroid.y - y1) * v
        x1, y1 = x1 + along * u, y1 + along * v
        near, far = (x1 - _FAR * u, y1 - _FAR * v), (x1 + _FAR * u, y1 + _FAR * v)
        left_half = Polygon(
            (near, far, (far[0] - _FAR * v, far[1] + _FAR * u), (near[0] - _FAR * v, near[1] + _FAR * u))
        )
        left = shapely.intersection(region, left_half, grid_size=GRID).area
    else:
        away = math.dist(_known(step.start)[:2], step.centre)
        square = ((shapely.get_coordinates(region) - step.centre) ** 2).sum(axis=1)
        inwards = (away**2 + radius**2 - square) / (2.0 * away)
        within = shapely.Point(step.centre).buffer(math.hypot(away, radius), quad_segs=64)
        left = shapely.intersection(region, within, grid_size=GRID).area
        across = inwards
        if step.kind == "clockwise":
            left, across = region.area - left, -inwards
    return left, region.area - left, float(across.max()), -float(across.min())


def _known(place: tuple[float | None, ...]) -> tuple[float, float, float]:
    x, y, z = place
    assert x is not None and y is not None and z is not None
    return x, y, z
