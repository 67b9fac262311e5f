"""Whether the program works with the job's cutter, and at the job's speed."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.tolerances import DIAMETER, SPEED_RATIO
from polypocket.reader.track import Track

__all__ = ["cutter_faults"]


def cutter_faults(context: Context, track: Track) -> Iterator[Fault]:
    """Yield what is wrong with the cutters that a program names, and with its spindle speeds."""
    yield from _cutters(context, track)
    allowed = context.job.cut.spindle_rpm
    speeds = np.abs(track.rpm)
    for row in np.flatnonzero(speeds > allowed * (1.0 + SPEED_RATIO)).tolist():
        rpm = float(speeds[row])
        yield context.fault(
            "over-speed",
            int(track.line[row]),
            f"turns at {rpm:.0f} rpm; the job's speed is {allowed:.0f} rpm",
            "turn at the job's speed",
            key="job",
            amount=rpm,
        )


def _cutters(context: Context, track: Track) -> Iterator[Fault]:
    cutter = context.job.cutter
    named: dict[int, int] = {}
    for tool, line in zip(track.tool.tolist(), track.line.tolist(), strict=True):
        if tool:
            named.setdefault(tool, line)
    asked = [ask for ask in track.asks if ask.kind == "cutter"]
    for ask in asked:
        named.setdefault(ask.number, ask.line)
        if not math.isnan(ask.value) and abs(ask.value - cutter.diameter) > DIAMETER:
            yield context.fault(
                "tool",
                ask.line,
                f"asks for one of {context.text(ask.value)}, the job's is {context.text(cutter.diameter)}",
                "put in the job's cutter, say --cutter-diameter if that one is meant, or correct the job",
                key="diameter",
            )
    for number, line in named.items():
        if number != cutter.number:
            yield context.fault(
                "tool",
                line,
                f"works with cutter {number}; the job's is cutter {cutter.number}",
                "put in the job's cutter, or correct the job",
                key=f"number {number}",
            )
    if not named and not any(complaint.code == "tool" for complaint in track.complaints):
        yield context.fault(
            "tool",
            1,
            "the program never says which cutter it is for",
            f"make sure that cutter {cutter.number}, {context.text(cutter.diameter)}, is in the spindle",
            severity="warning",
        )
