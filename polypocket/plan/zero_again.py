"""From what a person finds the zero again in a later clamping: flats that were cut, or faces of the stock."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill

__all__ = ["Touch", "has_opposite_corners", "held_too_much", "touches"]

Triple = tuple[float, float, float]

_QUARTER = math.pi / 2.0
#: Angles nearer than this are one, radians.
_SAME = 1e-9
#: Lengths nearer than this are one, mm.
_ROUNDING = 1e-6
#: So much of the stock must stand out between jaws and floors for a face to be touched there, mm. Common practice, no
#: source.
_ROOM_TO_TOUCH = 2.0


class Touch(NamedTuple):
    """Something to touch off at.

    Attributes:
        axis: 0 for X, 1 for Y.
        side: quarter turns anticlockwise from +X in which it faces.
        distance: from the block's centre, mm; of the stock's own faces as they should be, so that it is measured.
        section, flat: a flat that was cut; ``None`` for the stock.
        is_corner: a corner of the stock, where no face of it lies along the axis.
    """

    axis: int
    side: int
    distance: float
    section: int | None
    flat: int | None
    is_corner: bool = False


def touches(
    job: BlockJob, mill: Mill, swivel: float, zero: Triple | None, done: Mapping[int, frozenset[int]]
) -> Iterator[Touch]:
    """Yield what lies along an axis and can be reached from outside with the cutter, flats that were cut first.

    Args:
        job: the job.
        mill: the mill.
        swivel: setting of the swivel base, radians.
        zero: machine position of the block's centre, mm; ``None`` where it is not known, and all can be reached.
        done: flats that were cut before, by section.
    """
    corners = _corners(job, swivel) if mill.axis_by_hand is not None else ()
    for touch in (*_flats(job, swivel, done), *_faces(job, swivel), *corners):
        is_there = touch.flat is not None or _stands(touch, job, swivel, done)
        if is_there and (zero is None or _is_reached(touch, job, mill, zero)):
            yield touch


def _flats(job: BlockJob, swivel: float, done: Mapping[int, frozenset[int]]) -> Iterator[Touch]:
    for section in sorted(done):
        polygon = job.sections[section - 1].polygon()
        for flat in sorted(done[section]):
            side = _side(polygon.direction(flat) + swivel)
            if side is not None:
                yield Touch(side % 2, side, polygon.inradius, section, flat)


def _faces(job: BlockJob, swivel: float) -> Iterator[Touch]:
    if job.stock.diameter is not None:
        yield from (Touch(side % 2, side, job.stock.diameter / 2.0, None, None) for side in range(4))
        return
    for direction, distance in job.stock.faces():
        side = _side(direction + swivel)
        if side is not None:
            yield Touch(side % 2, side, distance, None, None)


def _corners(job: BlockJob, swivel: float) -> Iterator[Touch]:
    """Yield the corners that reach furthest out on sides where no face lies along the axis: those of opposite ones."""
    if job.stock.diameter is not None or not has_opposite_corners(job):
        return
    along = {_side(direction + swivel) for direction, _ in job.stock.faces()}
    outline = job.stock.outline().turned(swivel)
    for side in range(4):
        if side not in along:
            yield Touch(side % 2, side, outline.support(side * _QUARTER), None, None, is_corner=True)


def has_opposite_corners(job: BlockJob) -> bool:
    """Whether each corner of the stock has one opposite, so that the centre is half way between them."""
    corners = job.stock.outline().vertices
    return all(any(math.dist((-x, -y), other) <= _ROUNDING for other in corners) for x, y in corners)


def held_too_much(job: BlockJob) -> float:
    """Return how much less of the stock must be held for it to be touched below all floors, mm; 0 where it can be."""
    deepest = max(section.depth for section in job.sections)
    return max(0.0, _ROOM_TO_TOUCH - (job.stock.thickness - job.clamping.held - deepest))


def _side(direction: float) -> int | None:
    """Return the quarter turn that a direction is, ``None`` where it is none."""
    quarter = round(direction / _QUARTER)
    return quarter % 4 if abs(direction - quarter * _QUARTER) <= _SAME else None


def _stands(touch: Touch, job: BlockJob, swivel: float, done: Mapping[int, frozenset[int]]) -> bool:
    """Whether a face or corner of the stock can be touched: it has been left, or stands out below the floors."""
    deepest = max((job.sections[number - 1].depth for number in done if done[number]), default=0.0)
    if job.stock.thickness - job.clamping.held - deepest >= _ROOM_TO_TOUCH - _ROUNDING:
        return True
    outward = touch.side * _QUARTER
    outline = job.stock.outline().turned(swivel)
    reach = outline.support(outward)
    there = [
        v for v in outline.vertices if v[0] * math.cos(outward) + v[1] * math.sin(outward) > reach - _ROUNDING
    ]
    x, y = (sum(each) / len(there) for each in zip(*there, strict=True))
    for number, flats in done.items():
        polygon = job.sections[number - 1].polygon().turned(swivel)
        for flat in flats:
            facing = polygon.direction(flat)
            if x * math.cos(facing) + y * math.sin(facing) > polygon.inradius + _ROUNDING:
                return False
    return True


def _is_reached(touch: Touch, job: BlockJob, mill: Mill, zero: Triple) -> bool:
    axis = (mill.axes.x, mill.axes.y)[touch.axis]
    away = touch.distance + job.stock.oversize + job.only_cutter.radius
    at = zero[touch.axis] + (away if touch.side < 2 else -away)
    return axis.low <= at <= axis.high
