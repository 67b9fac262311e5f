"""Whether the program works with the job's cutters, each at its speed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.tolerances import DIAMETER, SPEED_RATIO
from polypocket.reader.track import Kind, Track

__all__ = ["cutter_faults"]


def cutter_faults(context: Context, track: Track) -> Iterator[Fault]:
    """Yield what is wrong with the cutters that a program names, and with its spindle speeds."""
    yield from _cutters(context, track)
    allowed = _allowed_speeds(context, track)
    speeds = np.abs(track.rpm)
    for row in np.flatnonzero(speeds > allowed * (1.0 + SPEED_RATIO)).tolist():
        rpm, at_most = float(speeds[row]), float(allowed[row])
        yield context.fault(
            "over-speed",
            int(track.line[row]),
            f"turns at {rpm:.0f} rpm; the job's speed is {at_most:.0f} rpm",
            "turn at the job's speed",
            key=f"job {at_most}",
            amount=rpm,
        )


def _allowed_speeds(context: Context, track: Track) -> NDArray[np.float64]:
    """Return the speed that the job allows in each row, turns a minute: that of the cutter which is in."""
    allowed = np.full(len(track), context.job.cutters[0].cut.spindle_rpm)
    for cutter in context.job.cutters[1:]:
        allowed[track.tool == cutter.number] = cutter.cut.spindle_rpm
    return allowed


def _cutters(context: Context, track: Track) -> Iterator[Fault]:
    cutters = {cutter.number: cutter for cutter in context.job.cutters}
    named: dict[int, int] = {}
    for tool, line in zip(track.tool.tolist(), track.line.tolist(), strict=True):
        if tool:
            named.setdefault(tool, line)
    asked = [ask for ask in track.asks if ask.kind == "cutter"]
    for ask in asked:
        named.setdefault(ask.number, ask.line)
        wanted = context.job.cutter(ask.number).diameter
        if not math.isnan(ask.value) and abs(ask.value - wanted) > DIAMETER:
            yield context.fault(
                "tool",
                ask.line,
                f"asks for one of {context.text(ask.value)}, the job's is {context.text(wanted)}",
                "put in the job's cutter, say --cutter-diameter if that one is meant, or correct the job",
                key=f"diameter {ask.number}",
            )
    for number, line in named.items():
        if number not in cutters:
            known = " or ".join(map(str, cutters))
            yield context.fault(
                "tool",
                line,
                f"works with cutter {number}; the job's is cutter {known}",
                "put in the job's cutter, or correct the job",
                key=f"number {number}",
            )
    if not any(complaint.code == "tool" for complaint in track.complaints):
        yield from _never_said(context, track, named)


def _never_said(context: Context, track: Track, named: Mapping[int, int]) -> Iterator[Fault]:
    """Yield a fault where a program cuts before it says with which cutter; an error where it may be one of several."""
    first, *others = context.job.cutters
    if others:
        moves = np.flatnonzero((track.tool == 0) & ~np.isin(track.kind, (Kind.EVENT, Kind.DWELL)))
        for row in moves[:1].tolist():
            yield context.fault(
                "tool",
                int(track.line[row]),
                "moves before the program says which of the job's cutters is in the spindle",
                f"say it before this line, such as (CUTTER {first.number} DIAMETER …)",
            )
    elif not named:
        yield context.fault(
            "tool",
            1,
            "the program never says which cutter it is for",
            f"make sure that cutter {first.number}, {context.text(first.diameter)}, is in the spindle",
            severity="warning",
        )
