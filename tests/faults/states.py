"""Harms that show without the work: cutters, speeds, stops for a person, and the ends of travel."""

from __future__ import annotations

import math

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from tests.faults.harms import Harms
from tests.faults.motions import Reading
from tests.faults.solid import arc_points

__all__ = ["judge_cutters", "judge_speeds", "judge_travel"]


def judge_cutters(reading: Reading, job: BlockJob, mill: Mill, harms: Harms) -> None:
    if reading.changed and not mill.tool_change.automatic:
        harms.certain("no stop", 1)
    known = {cutter.number for cutter in job.cutters}
    for number, diameter in reading.cutters:
        if number not in known:
            harms.certain("cutter", 1)
        harms.measure("cutter", abs(diameter - job.cutter(number).diameter), 0.003, 0.02, 1)
    if reading.steps and not reading.cutters and not reading.changed:
        harms.certain("cutter not said", 1)
    if len(known) > 1 and any(step.cutter == 0 for step in reading.steps):
        harms.certain("cutter not said", 1)
    if any(number not in known for number in reading.changed):
        harms.certain("cutter", 1)
    for line in (*reading.unattended, *reading.hands):
        harms.certain("no stop", line)
    for line, height in reading.changes:
        if height is None or height < job.clamping.clamp_height - 0.01:
            harms.certain("no stop", line)
    if reading.spinning:
        harms.certain("spinning end", 1)


def judge_speeds(reading: Reading, job: BlockJob, mill: Mill, harms: Harms) -> None:
    spindle = mill.spindle
    for signed, number in reading.speeds:
        rpm, allowed = abs(signed), job.cutter(number).cut.spindle_rpm
        if rpm == 0.0:
            continue  # whoever cuts with it is told that it stands
        harms.measure("speed", rpm / allowed - 1.0, 0.004, 0.006, 1)
        if math.isnan(rpm):
            continue
        known = spindle.speeds or (min(max(rpm, spindle.rpm_low), spindle.rpm_high),)
        harms.measure("speed", min(abs(rpm / speed - 1.0) for speed in known), 0.004, 0.006, 1)


def judge_travel(reading: Reading, job: BlockJob, mill: Mill, harms: Harms) -> bool:
    """Judge travel; whether all places are known in the mill's own work offset."""
    if any(offset != mill.work_offset for offset in reading.offsets):
        harms.certain("travel", 1)
        return False
    zero = mill.work_offsets[mill.work_offset] if mill.homed else (0.0, 0.0, 0.0)
    for axis, name in enumerate("xyz"):
        ends = getattr(mill.axes, name)
        places: list[tuple[float, int]] = []
        for step in reading.steps:
            places += [
                (
                    place[axis]
                    + zero[axis]
                    + (job.longer_by(job.cutter(step.cutter)) if name == "z" else 0.0),
                    step.line,
                )
                for place in (step.start, step.end)
                if place[axis] is not None
            ]
            if step.centre is not None and axis < 2:
                points = arc_points(step)[:, axis] + zero[axis]
                places += [(float(points.min()), step.line), (float(points.max()), step.line)]
        if not places:
            continue
        low, high = min(places), max(places)
        if mill.homed:
            harms.measure("travel", ends.low - low[0], 0.001, 0.004, low[1])
            harms.measure("travel", high[0] - ends.high, 0.001, 0.004, high[1])
        else:
            harms.measure("travel", high[0] - low[0] - (ends.high - ends.low), 0.001, 0.004, high[1])
    return True
