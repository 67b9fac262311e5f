"""What is wrong with the motions of a program, by a second way: stroke after stroke taken from the block."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.model.job import BlockJob, Section, flats_left
from polypocket.model.mill import Mill
from tests.faults.harms import Harms
from tests.faults.motions import Reading, Step
from tests.faults.play import Screws
from tests.faults.setting import judge_hands, slack_of
from tests.faults.solid import GRID, Flat, Slabs, bitten, fixtures, path_of, stock_slabs, turned
from tests.faults.states import judge_cutters, judge_speeds, judge_travel

__all__ = ["Before", "Run", "before", "judge", "left_by"]

_SPECK = 1e-3
#: Half the thickness from which on too much or too little is sure, mm: what is thinner rounding can make.
_THIN = 0.0015
#: A slab no higher than this is rounding or a harm, mm: either answer is right.
_FLAT_SLAB = 0.01
_FAR = 1e4


@dataclass(frozen=True)
class Before:
    """A good program's motions, and the slabs as they stand before each of them and after the last."""

    reading: Reading
    slabs: list[Slabs]


def before(reading: Reading, job: BlockJob, mill: Mill, stands: Slabs | None = None) -> Before:
    """Run a good program once, so that what others do like it need not be worked out again.

    ``stands`` is what programs before it have left, not turned; ``None`` for the stock.
    """
    reading = _of_tips(reading, job)
    run = Run(reading, job, mill, Harms(), stands)
    slabs = [dict(run.slabs)]
    for step in reading.steps:
        if step.kind != "rapid" and None not in step.start + step.end:
            run.take(step)
        slabs.append(dict(run.slabs))
    return Before(reading, slabs)


def left_by(good: Before) -> Slabs:
    """Return what a good program leaves, not turned."""
    return {height: turned(area, -(good.reading.swivel or 0.0)) for height, area in good.slabs[-1].items()}


def judge(
    reading: Reading, job: BlockJob, mill: Mill, good: Before | None = None, stands: Slabs | None = None
) -> Harms:
    """Return everything that is wrong with a program as interpreted; ``stands`` as for ``before``.

    Up to where it does what a ``good`` one does in the same job, nothing is judged again.
    """
    harms, reading = Harms(), _of_tips(reading, job)
    judge_cutters(reading, job, mill, harms)
    judge_speeds(reading, job, mill, harms)
    if judge_hands(reading, job, mill, harms) and judge_travel(reading, job, mill, harms):
        Run(reading, job, mill, harms, stands).run(good)
    if reading.blends:
        harms.certain("corners", 1)
    return harms


def _of_tips(reading: Reading, job: BlockJob) -> Reading:
    """Return a reading in which each step starts where its own cutter's tip is: after a change the spindle stays."""
    steps: list[Step] = []
    before = 0
    for step in reading.steps:
        (x, y, z), here = step.start, step.cutter
        if here != before and z is not None:
            z += job.longer_by(job.cutter(before)) - job.longer_by(job.cutter(here))
        steps.append(step._replace(start=(x, y, z)))
        before = here
    return replace(reading, steps=steps)


class Run:
    """The steps of one program, one after another."""

    def __init__(
        self, reading: Reading, job: BlockJob, mill: Mill, harms: Harms, stands: Slabs | None
    ) -> None:
        self.reading, self.job, self.mill, self.harms = reading, job, mill, harms
        self.cutter = job.cutters[0]
        self.independent = mill.rapid_path == "independent"
        self.angle = reading.swivel or 0.0
        self.slack = slack_of(job, mill)
        self.slabs = stock_slabs(job, reading.steps, stands, self.angle)
        self.tops = dict(zip(self.slabs, [0.0, *self.slabs], strict=False))
        self.fixtures = fixtures(job, mill, self.angle)
        self.screws = Screws(mill.axes.x.backlash, mill.axes.y.backlash)

    @property
    def radius(self) -> float:
        return self.cutter.radius

    def run(self, good: Before | None) -> None:
        begin = self.skip(good) if good is not None else 0
        steps, waits = self.reading.steps, dict(self.reading.waits)
        for count, step in enumerate(steps[begin:], start=begin):
            if count and count in waits:
                self.wait(steps[count - 1], waits[count])
            if None in step.start or None in step.end:
                self.from_nowhere(step)
            else:
                self.step(step)
            self.screws.follow(step)
        if steps and len(steps) in waits:
            self.wait(steps[-1], waits[len(steps)])
        self.part()

    def wait(self, last: Step, line: int) -> None:
        """Judge whether the cutter touches the work where it is started, or where somebody keeps it waiting."""
        if None in last.start + last.end:
            return
        rests = last._replace(kind="rapid", start=last.end, centre=None)
        for height, standing in self.slabs.items():
            for depth, near, share in ((0.003, -0.02, 0.5), (0.01, 0.02, 1.0)):
                path = path_of(rests, self.tops[height] - depth, False)
                if path is None or standing.is_empty:
                    continue
                into = self.job.cutter(last.cutter).radius - shapely.distance(path, standing)
                if into > near:
                    self.harms.measure("in the cut", share, 0.0, 0.75, line)

    def skip(self, good: Before) -> int:
        """Begin where the program does something else than the good one; return how many steps that leaves out."""
        if self.slabs.keys() != good.slabs[0].keys() or self.angle != (good.reading.swivel or 0.0):
            return 0
        same = [
            repr(a[1:]) == repr(b[1:]) for a, b in zip(self.reading.steps, good.reading.steps, strict=False)
        ]
        count = same.index(False) if False in same else len(same)
        known = {before for before, _ in good.reading.waits}
        count = min([count, *(before for before, _ in self.reading.waits if before not in known)])
        for step in self.reading.steps[:count]:
            self.screws.follow(step)
        self.slabs = dict(good.slabs[count])
        return count

    def from_nowhere(self, step: Step) -> None:
        """Judge a motion from a place that is not known: it must go up or down to above everything, or stay there."""
        top = self.job.clamping.clamp_height
        across = step.start[:2] != step.end[:2]
        heights = (step.start[2], step.end[2]) if across else (step.end[2],)
        if any(z is None or z < top for z in heights):
            self.harms.certain("from nowhere", step.line)

    def step(self, step: Step) -> None:
        self.cutter = self.job.cutter(step.cutter)
        z1, z2 = step.start[2] or 0.0, step.end[2] or 0.0
        lowest = min(z1, z2)
        self.fixed(step, lowest)
        if step.kind != "rapid":
            self.harms.measure("feed", step.feed / self.mill.feed_max - 1.0, 0.004, 0.006, step.line)
        if lowest >= 0.0:
            return
        if step.kind == "rapid":
            for height, standing in self.slabs.items():
                self.contact("rapid contact", step, standing, self.tops[height], self.radius)
        else:
            self.cut(step, lowest, level=z1 == z2, descends=z2 < z1)

    def fixed(self, step: Step, lowest: float) -> None:
        cutter = self.cutter
        for fixture in self.fixtures:
            self.contact("fixture", step, fixture.area, fixture.top, self.radius)
        if cutter.holder_diameter is None:
            return
        holder, out = cutter.holder_diameter / 2.0, cutter.stick_out
        for fixture in self.fixtures:
            self.contact("holder", step, fixture.area, fixture.top - out, holder)
        if lowest + out < 0.0:
            for height, standing in self.slabs.items():
                self.contact("holder", step, standing, self.tops[height] - out, holder)

    def contact(self, name: str, step: Step, standing: BaseGeometry, top: float, radius: float) -> None:
        """Judge whether a body of some radius goes into a prism that reaches up to ``top``, more than it may."""
        path = path_of(step, top - 0.003, self.independent)
        if path is None or standing.is_empty or shapely.distance(path, standing) >= radius - 0.002:
            return
        deep = path_of(step, top - 0.01, self.independent)
        swept = None if deep is None else deep.buffer(radius - 0.01, quad_segs=64)
        sure = (
            swept is not None
            and not shapely.intersection(standing, swept, grid_size=GRID).buffer(-0.004).is_empty
        )
        self.harms.measure(name, 1.0 if sure else 0.5, 0.0, 0.75, step.line)

    def cut(self, step: Step, lowest: float, *, level: bool, descends: bool) -> None:
        if descends:
            for height, standing in self.slabs.items():
                if height < (step.start[2] or 0.0) - 0.01:
                    self.contact(
                        "plunge", step, standing, min(self.tops[height], step.start[2] or 0.0), self.radius
                    )
        taken = self.take(step)
        bites = {height: what.buffer(-0.003) for height, what in taken.items()}
        removed = {height: bite for height, bite in bites.items() if not bite.is_empty}
        self.flutes(step, lowest, removed)
        touched = [height for height, what in taken.items() if not what.buffer(-0.001).is_empty]
        if removed:
            self.way_of_cutting(step, self.harms)
            self.bite(step, removed, touched, level=level)
        elif touched:
            sliver = Harms()  # so thin that it may be rounding
            self.way_of_cutting(step, sliver)
            self.harms.maybe = sliver.sure | sliver.maybe | self.harms.maybe

    def take(self, step: Step) -> dict[float, BaseGeometry]:
        """Take a stroke from the block; return what it takes from each slab."""
        self.cutter = self.job.cutter(step.cutter)
        taken: dict[float, BaseGeometry] = {}
        for height, standing in self.slabs.items():
            path = path_of(step, height + 0.004, False)
            if path is None or shapely.distance(path, standing) >= self.radius:
                continue
            swept = path.buffer(self.radius, quad_segs=64)
            taken[height] = shapely.intersection(standing, swept, grid_size=GRID)
            left = shapely.get_parts(shapely.difference(standing, swept, grid_size=GRID))
            # What is one cell of the grid thick may come to a line, which nothing can be laid over.
            self.slabs[height] = MultiPolygon([part for part in left if isinstance(part, Polygon)])
        return taken

    def flutes(self, step: Step, lowest: float, removed: dict[float, BaseGeometry]) -> None:
        """Judge what stands beside the shank, which rubs on what it touches: before this stroke takes it away."""
        base = lowest + self.cutter.flute_length
        for height in self.slabs:
            if self.tops[height] <= base + 0.003:
                continue
            path = path_of(step, self.tops[height] - self.cutter.flute_length, False)
            if path is None:
                continue
            if height in removed:
                self.harms.measure("flutes", self.tops[height] - base, 0.003, 0.02, step.line)
            elif shapely.distance(path, self.slabs[height]) < self.radius + 0.02:
                self.harms.measure("flutes", 0.5, 0.0, 1.0, step.line)

    def way_of_cutting(self, step: Step, harms: Harms) -> None:
        """Judge spindle and feed while material is cut."""
        cut = self.cutter.cut
        if not step.rpm > 0.0:
            harms.certain("spindle", step.line)
        else:
            share = step.feed / step.rpm / (cut.feed / cut.spindle_rpm) - 1.0
            harms.measure("chip load", share, 0.009, 0.012, step.line)
        harms.measure("feed", step.feed / cut.feed - 1.0, 0.004, 0.006, step.line)

    def bite(
        self, step: Step, removed: dict[float, BaseGeometry], touched: Sequence[float], *, level: bool
    ) -> None:
        """Judge what is removed; at the heights that are ``touched`` it may be no more than rounding."""
        if step.start[:2] == step.end[:2] and step.centre is None:
            return
        measured = [bitten(step, self.radius, region) for region in removed.values()]
        left, right = sum(each[0] for each in measured), sum(each[1] for each in measured)
        to_left, to_right = max(each[2] for each in measured), max(each[3] for each in measured)
        wanted_left = (self.cutter.cut.direction == "conventional") == (not step.rpm < 0.0)
        wrong = (right if wanted_left else left) / (left + right)
        # A bite from the rim on one side inwards to the furthest point on the other.
        width = self.radius + (to_right if left >= right else to_left) + 0.003
        deep = [each for each, region in removed.items() if not region.buffer(-self.slack).is_empty]
        height = max(self.tops[each] for each in deep) - min(deep) if deep else 0.0
        slivers = max(self.tops[each] for each in touched) - min(removed)
        if not level:
            # What a slope takes is not worked out finely enough here to be sure of it.
            self.harms.measure("direction", wrong, 0.02, 1.0, step.line)
            self.harms.measure("width", width / (self.cutter.cut.stepover + 0.005), 1.0, math.inf, step.line)
            return
        self.harms.measure("direction", wrong, 0.4, 0.6, step.line)
        self.harms.measure("width", width - self.cutter.cut.stepover, 0.005, 0.02, step.line)
        self.depth(step, width, height)
        self.depth(step, width, slivers, sure=False)
        self.play(step, removed)

    def depth(self, step: Step, width: float, height: float, *, sure: bool = True) -> None:
        cut = self.cutter.cut
        deepest = max(section.depth for section in self.job.sections)
        allowed = deepest if cut.stepdown is None else cut.stepdown
        corner = max(1.0 / math.cos(math.pi / section.sides) for section in self.job.sections)
        finish = cut.finish_allowance
        if finish and width <= finish * (corner if step.centre is not None else 1.0) + 0.005:
            return
        doubtful = not sure or (bool(finish) and width <= finish * corner + 0.03)
        self.harms.measure("depth", height - allowed, 0.003, math.inf if doubtful else 0.02, step.line)

    def play(self, step: Step, removed: dict[float, BaseGeometry]) -> None:
        """Judge how unsure the place of a flat is where screws have much play."""
        if not self.screws.loose:
            return
        for height, region in removed.items():
            for section in (section for section in self.job.sections if -section.depth <= height + 0.004):
                for flat in _flats(self.job, section, self.angle):
                    unsure = self.screws.unsure(step, region, self.radius, flat)
                    self.harms.measure("play", unsure, 0.0, 0.03, step.line)

    def part(self) -> None:
        """Judge what is left, slab by slab."""
        nominal = turned(Polygon(self.job.stock.outline().vertices), self.angle)
        largest = turned(Polygon(self.job.stock.largest_outline().vertices), self.angle)
        end = self.reading.steps[-1].line if self.reading.steps else 1
        for height, standing in self.slabs.items():
            must, may = nominal, largest
            for section in (section for section in self.job.sections if -section.depth <= height + 0.004):
                must = must.intersection(turned(Polygon(section.polygon().vertices()), self.angle))
                for flat in _flats(self.job, section, self.angle):
                    may = may.intersection(_half_plane(flat.direction, flat.distance))
            sure = self.tops[height] - height > _FLAT_SLAB
            for name, what, inside in (("left standing", standing, may), ("gouge", must, standing)):
                for share, by, thin in ((0.5, self._doubtful(), 0.0003), (1.0, 0.012 + self.slack, _THIN)):
                    beyond = what.difference(inside.buffer(by, join_style="mitre"))
                    if beyond.area > _SPECK * share * by / 0.012 and not beyond.buffer(-thin).is_empty:
                        self.harms.measure(name, share if sure else 0.5, 0.0, 0.75, end)

    def _doubtful(self) -> float:
        """Return from which thickness on, mm, what a flat has too much or too little may be one or the other.

        So little at one of its ends turns a short flat by a fair part of the angle that the job allows.
        """
        side = min(section.polygon().side for section in self.job.sections)
        return min(0.004, 0.1 * self.job.tolerance.angle * side)


def _flats(job: BlockJob, section: Section, angle: float) -> Sequence[Flat]:
    """Return the flats that are cut, on work that is turned by an angle."""
    polygon, left = section.polygon(), flats_left(job, section)
    numbers = (flat for flat in range(1, section.sides + 1) if flat not in left)
    return [Flat(polygon.direction(flat) + angle, polygon.inradius, polygon.side) for flat in numbers]


def _half_plane(direction: float, distance: float) -> Polygon:
    c, s = math.cos(direction), math.sin(direction)
    corners = ((distance, -_FAR), (distance, _FAR), (-_FAR, _FAR), (-_FAR, -_FAR))
    return Polygon([(v * c - u * s, v * s + u * c) for v, u in corners])
