"""Where on a mill the work zero may be, so that a program stays inside the travel and clear of what stands around.

Machine coordinates, mm. Each axis' travel bounds the zero on that axis alone, so that without anything in the way the
region is a box. So does the column at the place of the cutter change, which lies at a place of the machine; during the
program the column goes with the spindle and the zero drops out of it: either it is met from everywhere or from nowhere.
What stands on the table takes a piece out of the box (``shape/hindrance.py``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from typing import NamedTuple

from shapely.geometry.base import BaseGeometry

from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.standing import vise_body, zero_height
from polypocket.plan.extent import Extent, Step
from polypocket.program.moves import Arc, Rapid
from polypocket.shape.reach import Box

__all__ = ["Misfit", "Region", "bounds_of", "misfits_of", "region_of", "work_back"]

Pair = tuple[float, float]
Triple = tuple[float, float, float]

#: Smaller differences are rounding, mm.
_ROUNDING = 1e-9
#: Most by which a chord may stand back from its arc, mm; ``shape.hindrance`` takes as much more than need be.
_CHORD_ERROR = 0.005


class Misfit(NamedTuple):
    """One thing for which there is no room.

    Attributes:
        axis: ``x``, ``y`` or ``z``.
        over: by how much, mm.
        low, high: the steps that get furthest each way; the same where only one end matters.
        what: what it meets: ``travel``, ``table``, ``column``, ``cutter change``, ``keep-out`` or ``on vise``.
    """

    axis: str
    over: float
    low: Step
    high: Step
    what: str


class Region(NamedTuple):
    """Where the work zero may be; empty where an axis has its ``low`` above its ``high``.

    Attributes:
        low, high: the box, X, Y and Z.
        area: what keep-outs leave of it in plan with the zero at the lowest Z, and so at any higher one, where the
            cutter is further above them; ``None`` where that is all of it.
    """

    low: Triple
    high: Triple
    area: BaseGeometry | None = None

    @property
    def is_empty(self) -> bool:
        """Whether there is no such place."""
        boxed = all(low <= high + _ROUNDING for low, high in zip(self.low, self.high, strict=True))
        return not boxed or (self.area is not None and self.area.is_empty)

    def holds(self, zero: Triple) -> bool:
        """Whether a zero is in it."""
        boxed = all(
            low - _ROUNDING <= at <= high + _ROUNDING
            for at, low, high in zip(zero, self.low, self.high, strict=True)
        )
        if not boxed or self.area is None:
            return boxed
        from shapely import Point

        return bool(self.area.distance(Point(zero[:2])) <= _ROUNDING)


def work_back(job: BlockJob, mill: Mill, swivel: float) -> float:
    """Return how far the stock and the vise's body reach back from the zero, towards the column, mm."""
    outlines = [job.stock.largest_outline(), vise_body(job, mill)]
    return max(each.turned(swivel).extents()[3] for each in outlines if each is not None)


def bounds_of(room: Extent, job: BlockJob, mill: Mill, swivel: float) -> Region:
    """Return the box in which each axis has room; the table, where the mill file has it, fixes Z."""
    axes = (mill.axes.x, mill.axes.y, mill.axes.z)
    low = [axis.low - least.at for axis, least in zip(axes, room.low, strict=True)]
    high = [axis.high - most.at for axis, most in zip(axes, room.high, strict=True)]
    if mill.column is not None and mill.tool_change.at is not None:
        high[1] = min(high[1], mill.tool_change.at[1] + mill.column.throat - work_back(job, mill, swivel))
    fixed = zero_height(job, mill)
    if fixed is not None:
        low[2], high[2] = max(low[2], fixed), min(high[2], fixed)
    return Region((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def region_of(room: Extent, steps: Sequence[Step], job: BlockJob, mill: Mill, swivel: float) -> Region:
    """Return the region; where something stands on the table, for the upper half of the zero's heights.

    Where that leaves nothing, for the highest alone.
    """
    box = bounds_of(room, job, mill, swivel)
    if box.is_empty:
        return box
    if _meets_column(room, job, mill, swivel) > 0.0 or _meets_on_vise(steps, job, mill, swivel) is not None:
        return box._replace(low=(math.inf, math.inf, math.inf))
    if all(each.on_vise for each in mill.keep_out):
        return box
    middle = (box.low[2] + box.high[2]) / 2.0
    area = _beside_keep_outs(box, middle, steps, job, mill)
    if area.is_empty:
        middle = box.high[2]
        area = _beside_keep_outs(box, middle, steps, job, mill)
    return box._replace(low=(box.low[0], box.low[1], middle), area=area)


def _beside_keep_outs(
    box: Region, at_z: float, steps: Sequence[Step], job: BlockJob, mill: Mill
) -> BaseGeometry:
    """Return where in plan neither cutter nor holder enters a keep-out, the zero being at the height ``at_z``."""
    import shapely

    from polypocket.shape.hindrance import hindrance

    area: BaseGeometry = shapely.box(*box.low[:2], *box.high[:2])
    for keep_out in (each for each in mill.keep_out if not each.on_vise):
        plan: Box = (keep_out.x[0], keep_out.y[0], keep_out.x[1], keep_out.y[1])
        for cutter, (radius, base) in ((each, rod) for each in job.cutters for rod in _rods(each)):
            own = (step for step in steps if job.cutter(step.cutter) == cutter)
            lower = [step for step in own if _lowest(step) + base + at_z < keep_out.z[1]]
            if any(math.isnan(at) for step in lower for at in step.start[:2]):
                return shapely.Polygon()  # the cutter comes from wherever it stands
            independent = mill.rapid_path == "independent"
            ways = [way for step in lower for way in _ways(step, independent=independent)]
            area = area.difference(hindrance(plan, ways, radius))
    return area


def misfits_of(
    room: Extent, steps: Sequence[Step], region: Region, job: BlockJob, mill: Mill, swivel: float
) -> tuple[Misfit, ...]:
    """Return why there is no place for the zero; nothing where there is one."""
    if not region.is_empty:
        return ()
    found: list[Misfit] = []
    for i, (name, axis) in enumerate((("x", mill.axes.x), ("y", mill.axes.y), ("z", mill.axes.z))):
        over = room.need(i) - (axis.high - axis.low)
        if over > _ROUNDING:
            found.append(Misfit(name, over, room.low[i].step, room.high[i].step, "travel"))
    box = bounds_of(room, job, mill, swivel)
    if not found and box.low[2] > box.high[2] + _ROUNDING:
        over = box.low[2] - box.high[2]
        fixed = zero_height(job, mill) or 0.0
        end = room.low[2].step if fixed < box.low[2] else room.high[2].step
        found.append(Misfit("z", over, end, end, "table"))
    column = _meets_column(room, job, mill, swivel)
    if column > 0.0:
        found.append(Misfit("y", column, room.low[1].step, room.low[1].step, "column"))
    elif box.low[1] > box.high[1] + _ROUNDING and not any(each.axis == "y" for each in found):
        step = room.low[1].step
        found.append(Misfit("y", box.low[1] - box.high[1], step, step, "cutter change"))
    if not found and (met := _meets_on_vise(steps, job, mill, swivel)) is not None:
        found.append(Misfit("x", 0.0, met, met, "on vise"))
    if not found:
        found.append(Misfit("x", 0.0, room.low[0].step, room.high[0].step, "keep-out"))
    return tuple(found)


def _meets_on_vise(steps: Sequence[Step], job: BlockJob, mill: Mill, swivel: float) -> Step | None:
    """Return the first step that enters a keep-out on the vise, wherever that stands."""
    if not any(each.on_vise for each in mill.keep_out):
        return None
    import shapely
    from shapely.affinity import rotate

    things = [
        (
            rotate(shapely.box(each.x[0], each.y[0], each.x[1], each.y[1]), swivel, (0, 0), use_radians=True),
            each,
        )
        for each in mill.keep_out
        if each.on_vise
    ]
    independent = mill.rapid_path == "independent"
    for step in steps:
        for (area, each), (radius, base) in product(things, _rods(job.cutter(step.cutter))):
            if _lowest(step) + base >= each.z[1]:
                continue
            if any(math.isnan(at) for at in step.start[:2]):
                return step
            for way in _ways(step, independent=independent):
                if area.distance(shapely.multipoints(way).convex_hull) < radius:
                    return step
    return None


def _meets_column(room: Extent, job: BlockJob, mill: Mill, swivel: float) -> float:
    """Return how far the work goes into the column where the spindle gets furthest to the front, mm."""
    if mill.column is None:
        return 0.0
    return max(0.0, work_back(job, mill, swivel) - (room.low[1].at + mill.column.throat))


def _rods(cutter: Cutter) -> tuple[tuple[float, float], ...]:
    """Return what turns in the spindle: radius, and how far above the tip it begins, mm."""
    rod = (cutter.radius, 0.0)
    return (
        (rod,) if cutter.holder_diameter is None else (rod, (cutter.holder_diameter / 2.0, cutter.stick_out))
    )


def _lowest(step: Step) -> float:
    """Return the lowest Z of a step, mm; straight up or down that of its end, wherever it began."""
    # An axis that is not known afterwards has not been commanded yet, and so stays.
    straight = all(
        end == start or math.isnan(end) for start, end in zip(step.start[:2], step.to[:2], strict=True)
    )
    begin = step.to[2] if math.isnan(step.start[2]) and straight else step.start[2]
    return -math.inf if math.isnan(begin + step.to[2]) else min(begin, step.to[2])


def _ways(step: Step, *, independent: bool) -> Iterator[tuple[Pair, ...]]:
    """Yield the hulls that a step stays in."""
    start, end = step.start[:2], step.to[:2]
    if isinstance(step.move, Arc):
        yield from _chords(step.move, start, end)
    elif isinstance(step.move, Rapid) and independent:
        yield start, (start[0], end[1]), end, (end[0], start[1])
    else:
        yield start, end


def _chords(arc: Arc, start: Pair, end: Pair) -> Iterator[tuple[Pair, ...]]:
    cx, cy = arc.centre
    radius = math.dist(start, arc.centre)
    begin = math.atan2(start[1] - cy, start[0] - cx)
    sweep = (math.atan2(end[1] - cy, end[0] - cx) - begin) * (-1.0 if arc.clockwise else 1.0) % math.tau
    sweep += arc.turns * math.tau
    count = max(1, math.ceil(sweep / (2.0 * math.acos(1.0 - _CHORD_ERROR / max(radius, _CHORD_ERROR)))))
    sign = -1.0 if arc.clockwise else 1.0
    angles = [begin + sign * sweep * i / count for i in range(count + 1)]
    points = [(cx + radius * math.cos(angle), cy + radius * math.sin(angle)) for angle in angles]
    yield from pairwise(points)
