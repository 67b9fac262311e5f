"""What becomes of the block where a person does what a sheet says, flat after flat, by a second way.

Where an edge really is, is asked of the block as it stands, not of the sheet: a reading counts from there.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import shapely

from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Axis, Mill
from tests.faults.harms import Harms
from tests.faults.judge import Run
from tests.faults.motions import Place, Reading, Step
from tests.faults.setting import slack_of
from tests.faults.sheets.reading import Block, Sheet
from tests.faults.solid import Slabs, path_of, turned
from tests.faults.states import judge_cutters, judge_speeds, judge_travel

__all__ = ["judge_sheet", "steps_of"]

Pair = tuple[float, float]

#: What makes readings count from elsewhere than the sheet tells, or by other steps.
_WRONG_READINGS = {"edge", "scale"}
#: What is as it is wherever readings count from.
_WITHOUT_READINGS = {"cutter", "speed", "swivel"}


class _Stand(NamedTuple):
    """Where the cutter stands between two flats, and at which setting of the swivel base."""

    place: Pair
    height: float
    swivel: float | None


def judge_sheet(sheet: Sheet, job: BlockJob, mill: Mill) -> Harms:
    """Return everything that is wrong with what a sheet makes a person do."""
    harms, cutter = Harms(), sheet.cutter
    told = Reading(cutters=[cutter] if cutter[0] else [])
    told.speeds += [(block.rpm, cutter[0]) for block in sheet.blocks]
    judge_cutters(told, job, mill, harms)
    judge_speeds(told, job, mill, harms)
    _judge_scales(sheet, mill, harms)
    stand = _Stand((sheet.outside, -sheet.outside), sheet.raised[1], None)
    if sheet.raised[1] < job.clamping.clamp_height:
        harms.certain("from nowhere", sheet.raised[0])
    stands: Slabs | None = None
    run: Run | None = None
    every: list[Step] = []
    for block in sheet.blocks:
        _judge_name(block, job, mill, harms)
        _judge_swivel(block, stand, sheet, job, harms)
        before, run = run, Run(Reading(swivel=block.swivel), job, mill, harms, stands)
        if before is not None:
            run.screws = before.screws
        zeros = _zeros(block, run.slabs, job.cutters[0].diameter / 2.0, harms)
        steps, place = steps_of(block, sheet, zeros, stand.place, stand.height)
        # What stands is looked at in slabs between all the heights at which this flat is cut.
        run = Run(Reading(steps, swivel=block.swivel), job, mill, harms, stands)
        if before is not None:
            run.screws = before.screws
        _cut(run, block, job, mill, harms)
        stands = {height: turned(area, -block.swivel) for height, area in run.slabs.items()}
        stand = _Stand(place, block.height, block.swivel)
        every += steps
    judge_travel(Reading(every), job, mill, harms)
    if run is None:
        run = Run(Reading(swivel=0.0), job, mill, harms, None)
    run.part()
    if (
        harms.sure.keys() & _WRONG_READINGS
    ):  # what comes of it is another thing for whoever believes the sheet
        harms.doubt(*(harms.sure.keys() - _WRONG_READINGS - _WITHOUT_READINGS))
    if harms.maybe.keys() & (_WRONG_READINGS | {"cutter"}):
        for name in ("gouge", "left standing", "edge", "name"):
            harms.maybe.setdefault(name, (0.0, 1))
    return harms


def _judge_scales(sheet: Sheet, mill: Mill, harms: Harms) -> None:
    """Judge whether each axis is told to be read as the mill has it."""
    for name, axis in zip("XYZ", (mill.axes.x, mill.axes.y, mill.axes.z), strict=True):
        scale = sheet.scales.get(name)
        if scale is None:
            continue
        turn, divisions = _dial_of(axis)
        if scale.divisions != divisions:
            harms.certain("scale", 1)
        harms.measure("scale", abs(scale.turn - turn), 0.0005, 0.02, 1)


def _dial_of(axis: Axis) -> tuple[float, int]:
    return (axis.dial_turn or 0.0, axis.dial_divisions or 0) if axis.dial_turn else (0.0, 0)


def _judge_name(block: Block, job: BlockJob, mill: Mill, harms: Harms) -> None:
    """Judge whether a flat is one of the job's, faces where it is said to and is told to end where it is."""
    if block.section > len(job.sections):
        harms.certain("name", block.line)
        return
    section = job.sections[block.section - 1]
    if block.flat > section.sides or block.flat in flats_left(job, section):
        harms.certain("name", block.line)
        return
    facing = (0.0 if block.way > 0 else math.pi) + (math.pi / 2.0 if block.axis else 0.0)
    out = math.remainder(section.polygon().direction(block.flat) + block.swivel - facing, math.tau)
    allowed = job.tolerance.angle / 2.0
    harms.measure("name", abs(out), allowed * 0.999, allowed + math.radians(1e-4), block.line)
    harms.measure("name", -block.height - section.depth, 0.003, 0.02, block.line)
    edge = next(touch.edge for touch in block.touches if touch.axis == block.axis)
    _, last, finishes = block.passes[-1]
    beyond = edge + block.way * last - section.polygon().inradius
    rough = 0.0 if finishes else job.cutters[0].cut.finish_allowance + 4.0 * slack_of(job, mill)
    off = abs(edge + block.way * block.line_at - section.polygon().inradius)
    for out in (beyond - rough, -beyond, off):
        harms.measure("name", out - slack_of(job, mill), 0.002, 0.02, block.line)


def _judge_swivel(block: Block, stand: _Stand, sheet: Sheet, job: BlockJob, harms: Harms) -> None:
    if min(abs(block.swivel - each) for each in job.clamping.swivel_settings) > math.radians(1e-4):
        harms.certain("swivel", block.line)
    if stand.swivel in (None, block.swivel) or not min(stand.height, block.height) < 0.0:
        return
    reach = max(math.hypot(*corner) for corner in job.stock.largest_outline().vertices)
    away = sheet.outside - job.cutters[0].radius
    lowest = stand.height if stand.height < 0.0 else 1.0
    if lowest < 0.0:
        harms.measure("rapid contact", reach - away, 0.003, 0.02, block.line)


def _zeros(block: Block, slabs: Slabs, radius: float, harms: Harms) -> Pair:
    """Return where the cutter's centre is on X and on Y where the readings are 0."""
    zeros = [math.nan, math.nan]
    tops = dict(zip(slabs, [0.0, *slabs], strict=False))
    beside = [area for height, area in slabs.items() if tops[height] > block.height + 0.004]
    beside = [area for area in beside if not area.is_empty]
    for touch in block.touches:
        if not beside:
            edge = touch.edge
            harms.certain("edge", touch.line)
        else:
            bounds = shapely.total_bounds(beside)
            edge = bounds[touch.axis + 2] if touch.way > 0 else -bounds[touch.axis]
        harms.measure("edge", abs(edge - touch.edge), 0.006, 0.03, touch.line)
        if beside and not touch.is_corner:
            corners = shapely.get_coordinates(beside)
            there = corners[touch.way * corners[:, touch.axis] > edge - 0.005, 1 - touch.axis]
            harms.measure("corner", 1.0 / max(float(np.ptp(there)), 0.01), 0.5, 1.0, touch.line)
        zeros[touch.axis] = touch.way * (edge + radius)
    return zeros[0], zeros[1]


def steps_of(block: Block, sheet: Sheet, zeros: Pair, place: Pair, height: float) -> tuple[list[Step], Pair]:
    """Return what a person turns the handwheels for at a flat, and where the cutter then stands.

    From ``place`` on the square, at ``height``, to the new depth and round the square to where the passes begin.
    """
    along, across = 1 - block.axis, block.axis
    steps: list[Step] = []
    at: list[float] = [*place, height]

    def go(line: int, axis: int, to: float, kind: str = "rapid") -> None:
        start = at.copy()
        at[axis] = to
        if start != at or kind == "feed":
            steps.append(
                Step(line, kind, _place(start), _place(at), None, block.feed, block.rpm, sheet.cutter[0])
            )

    for line, to in block.depths:
        go(line, 2, to)
    side = math.copysign(sheet.outside, zeros[along])
    goal = [0.0, 0.0]
    goal[along], goal[across] = side, zeros[across] + block.clear
    for x, y in _round_square(sheet.outside, (at[0], at[1]), (goal[0], goal[1])):
        go(block.line, 0, x)
        go(block.line, 1, y)
    go(block.line, along, zeros[along] + block.begins)
    for line, depth, _ in block.passes:
        go(line, across, zeros[across] + depth)
        go(line, along, zeros[along] + block.ends, "feed")
        go(line, across, zeros[across] + block.clear)
        go(line, along, zeros[along] + block.begins)
    go(block.stop, along, side)
    return steps, (at[0], at[1])


def _place(at: list[float]) -> Place:
    return at[0], at[1], at[2]


def _round_square(half: float, start: Pair, goal: Pair) -> list[Pair]:
    """Return the corners of a square that are passed on the shorter way round from one place to another, and it."""
    corners = [(half, half), (-half, half), (-half, -half), (half, -half)]

    def turn(place: Pair) -> float:
        x, y = place
        scale = max(abs(x), abs(y)) or 1.0
        x, y = x / scale, y / scale
        if x == 1.0:
            return y % 8.0
        if y == 1.0:
            return 2.0 - x
        return 4.0 - y if x == -1.0 else 6.0 + x

    begin, ahead = turn(start), (turn(goal) - turn(start)) % 8.0
    way = 1.0 if ahead <= 4.0 else -1.0
    length = ahead if way > 0.0 else 8.0 - ahead
    met = sorted(((turn(corner) - begin) * way % 8.0, corner) for corner in corners)
    return [*(corner for there, corner in met if 0.0 < there < length), goal]


def _cut(run: Run, block: Block, job: BlockJob, mill: Mill, harms: Harms) -> None:
    """Carry the steps out; rapids by hand have to stay clear of the work by the job's clearance."""
    keeps = job.cutters[0].radius + job.cutters[0].cut.clearance - slack_of(job, mill)
    before: Step | None = None
    for step in run.reading.steps:
        leaves = before is not None and before.kind == "feed"
        if before is not None and before.line == block.line != step.line:
            run.wait(before, block.start)  # the spindle is started there
        if step.kind == "rapid" and not leaves:
            for height, standing in run.slabs.items():
                path = path_of(step, run.tops[height] - 0.01, run.independent)
                if path is not None and not standing.is_empty:
                    near = keeps - shapely.distance(path, standing)
                    harms.measure("rapid contact", near, -0.01, 0.06, step.line)
        run.step(step)
        run.screws.follow(step)
        before = step
