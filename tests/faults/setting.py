"""Harms of what a person is asked: what nobody has the time to do, what contradicts itself, what cannot be set."""

from __future__ import annotations

import math

from polypocket.model.job import BlockJob
from polypocket.model.mill import Axis, Mill
from polypocket.model.settable import step_of
from tests.faults.harms import Harms
from tests.faults.motions import Dial, Reading

__all__ = ["judge_hands", "slack_of"]

#: Settings of the swivel base nearer than this are one, radians.
_SAME = math.radians(1e-4)


def slack_of(job: BlockJob, mill: Mill) -> float:
    """Return by how much the place of X or Y is out at the most since a person can set no finer, mm."""
    by_hand = (axis for axis in (mill.axes.x, mill.axes.y) if not axis.driven)
    return max((step_of(axis, mill, job.units) for axis in by_hand), default=0.0) / 2.0


def judge_hands(reading: Reading, job: BlockJob, mill: Mill, harms: Harms) -> bool:
    """Judge what is asked of a person; whether it is known what becomes of it."""
    for name, lines in (
        ("not waited for", reading.undone),
        ("disputed", reading.disputed),
        ("turned late", reading.turned_late),
        ("turned low", reading.turned_low),
        ("switched", reading.switched),
    ):
        for line in lines:
            harms.certain(name, line)
    for line, axis, place in reading.settings:
        if axis < 2 or place < 0.0:  # above the work any height will do
            step = step_of(_axis(mill, axis), mill, "inch" if reading.inch else "mm")
            harms.measure("unsettable", abs(place - step * round(place / step)), 0.004, 0.005, line)
    for line, axis, place in reading.settings:
        if axis < 2 and _axis(mill, axis).dial_turn and not _is_told(reading, line, axis, place):
            harms.certain("dial", line)
    for dial in reading.dials:
        harms.measure("dial", _out(dial, mill), 0.004, 0.005, dial.line)
    allowed = job.clamping.swivel_settings
    told = reading.swivel
    if told is None and allowed != (0.0,):
        harms.certain("swivel", 1)
    if told is not None and all(abs(told - each) > _SAME for each in allowed):
        harms.certain("swivel", 1)
    for line in reading.hasty:
        harms.measure("asked early", 0.5, 0.0, 1.0, line)
    for line in reading.turning:
        harms.measure("turning stop", 0.5, 0.0, 1.0, line)
    known = not harms.sure.keys() & {"not waited for", "disputed", "turned late", "swivel"}
    if reading.turned_late:
        harms.doubt("swivel")
    if reading.undone:
        harms.doubt("swivel", "spinning end", "no stop")
    return known


def _is_told(reading: Reading, line: int, axis: int, place: float) -> bool:
    """Whether the next that a dial is told of is this place, asked for in this line or in others at the same stop."""
    dial = next((dial for dial in reading.dials if dial.axis == axis and dial.line >= line), None)
    if dial is None or dial.asked is None:
        return False
    since = [at for row, which, at in reading.settings if which == axis and line <= row <= dial.line]
    return all(abs(at - place) < 1e-9 for at in since)


def _out(dial: Dial, mill: Mill) -> float:
    """Return by how much a dial is not where the axis is to be, mm."""
    axis = _axis(mill, dial.axis)
    if axis.dial_turn is None or axis.dial_divisions is None or dial.asked is None:
        return math.inf
    if abs(dial.divisions) >= axis.dial_divisions:
        return math.inf
    turned = axis.dial_turn * (dial.turns + abs(dial.divisions) / axis.dial_divisions)
    return abs(math.copysign(turned, dial.divisions) - dial.asked)


def _axis(mill: Mill, number: int) -> Axis:
    return (mill.axes.x, mill.axes.y, mill.axes.z)[number]
