"""One section: roughed level by level, then finished at its full depth."""

from __future__ import annotations

from typing import NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.changes import change_seconds
from polypocket.plan.clearing import Bound, Clearing
from polypocket.plan.levels import levels
from polypocket.plan.method import Method
from polypocket.plan.strokes import Stroke
from polypocket.plan.timing import seconds
from polypocket.plan.ways import leaving, way_between
from polypocket.program.moves import Feed, Move, Point, Rapid

__all__ = ["Stage", "plan_stage", "stages_between"]


class Stage(NamedTuple):
    """How one section is cut.

    Attributes:
        cutter: number of the one that cuts it.
        strokes: in order.
        seconds: that they and the ways between them take.
        bounds: give the seconds that any order of its strips must take, each so many times.
    """

    cutter: int
    strokes: tuple[Stroke, ...]
    seconds: float
    bounds: tuple[tuple[int, Bound], ...] = ()

    @property
    def least(self) -> float:
        """Seconds that any order of its strips must take; as many as it takes where all orders were compared."""
        return sum(times * bound() for times, bound in self.bounds)


def plan_stage(feature: str, clearing: Clearing, top: float, bottom: float, method: Method) -> Stage:
    """Return the strokes that cut a section's own wall, between the depths ``top`` and ``bottom`` (mm)."""
    heights = [-depth for depth in levels(top, bottom, method.stepdown, method.height_step)]
    roughing = [
        stroke._replace(feature=feature, level=height) for height in heights for stroke in clearing.roughing
    ]
    finishing = [stroke._replace(feature=feature, level=-bottom) for stroke in clearing.finishing]
    spent = clearing.roughing_seconds * len(heights) + clearing.finishing_seconds
    bounds = (len(heights), clearing.roughing_bound), (1, clearing.finishing_bound)
    return Stage(method.cutter, (*roughing, *finishing), spent, bounds)


def stages_between(before: Stage | None, after: Stage | None, job: BlockJob, mill: Mill) -> float:
    """Return the seconds of the way from one stage to the next, or from and to the safe height where one is ``None``.

    Where the cutter comes from and goes to in X and Y is not known then, and does not count. Where the next stage has
    another cutter, the way goes up, the cutter is changed, and comes down again.
    """
    if before is not None and after is not None and before.cutter != after.cutter:
        leaving_it = stages_between(before, None, job, mill)
        return leaving_it + change_seconds(mill) + stages_between(None, after, job, mill)
    first = after.strokes[0] if after is not None and after.strokes else None
    last = before.strokes[-1] if before is not None and before.strokes else None
    stage = after or before
    if stage is None:
        return 0.0
    method = Method.of(job, job.cutter(stage.cutter), mill)
    if first is not None and last is not None:
        way = way_between(last, first, method)
        start = (*last.cut.path[-1].to, last.level)
        return seconds((way.lead_out, *way.link), start, method.kinematics)
    if first is not None:
        x, y = first.comes_down
        feeds = [Feed(Point(u, v), method.feed_max) for u, v in first.arrivals]
        down: list[Move] = [Rapid(Point(x, y, first.level)), *feeds]
        return seconds(down, (x, y, method.safe), method.kinematics)
    if last is not None:
        up = (leaving(last, method), Rapid(Point(z=method.safe)))
        return seconds(up, (*last.cut.path[-1].to, last.level), method.kinematics)
    return 0.0
