"""Whether a sheet calls each flat by the name that it has in the job: who ticks it off goes by the name."""

from __future__ import annotations

import math
from collections.abc import Iterator

from polypocket.dryrun.findings import Fault, length_text
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.model.job import BlockJob, flats_left
from polypocket.model.mill import Mill
from polypocket.reader.track import ToldFlat, Track

__all__ = ["told_flat_faults"]

#: Of a setting as it is told, radians: millionths of a degree.
_ROUNDING = math.radians(1e-5)


def told_flat_faults(track: Track, mill: Mill, job: BlockJob, slack: float) -> Iterator[Fault]:
    """Yield a fault for each flat of a sheet that is none of the job's, or another than the one that is cut.

    ``slack`` is by how much its surface may be out since a person can set no finer, mm.
    """
    done: set[tuple[int, int, float]] = set()
    for told in track.flats:
        cut = told.section, told.flat, told.height
        if why := _fault(told, mill, job, slack, track.units):
            yield _error(track, told, why)
        elif cut in done:
            yield _error(track, told, "which has been cut at this depth already")
        done.add(cut)


def _fault(told: ToldFlat, mill: Mill, job: BlockJob, slack: float, units: str | None) -> str:
    """Return what is wrong with a flat as it is called; nothing where it is right."""
    if told.section > len(job.sections):
        return f"and the job has {len(job.sections)} section{'s' * (len(job.sections) > 1)}"
    section = job.sections[told.section - 1]
    polygon = section.polygon()
    if told.flat > section.sides:
        return f"and the section has {section.sides}"
    if told.flat in flats_left(job, section):
        return "which the job leaves as the stock has it"
    out = math.remainder(polygon.direction(told.flat) + told.swivel - told.facing, 2.0 * math.pi)
    if abs(out) > job.tolerance.angle / 2.0 + _ROUNDING:
        return f"which faces {abs(math.degrees(out)):.3f}° elsewhere at this setting of the swivel"
    if told.height < -section.depth - HEIGHT:
        return f"which ends {length_text(section.depth, units)} down, and the cutter stands lower"
    beyond = told.distance - polygon.inradius
    step = max(axis.step(mill.readout) for axis in (mill.axes.x, mill.axes.y))
    rough = 0.0 if told.is_finished else job.only_cutter.cut.finish_allowance + 2.0 * step
    if not -slack - CONTACT <= beyond <= rough + slack + CONTACT:
        return (
            f"which is {length_text(polygon.inradius, units)} from the centre, and its last pass cuts at "
            f"{length_text(told.distance, units)}"
        )
    if abs(told.line_at - polygon.inradius) > slack + CONTACT:
        return (
            f"which is {length_text(polygon.inradius, units)} from the centre, and the check looks for its line at "
            f"{length_text(told.line_at, units)}"
        )
    return ""


def _error(track: Track, told: ToldFlat, why: str) -> Fault:
    return Fault(
        "unread", track.name, told.line, f"this is called flat {told.flat} of section {told.section}, {why}",
        "call each flat as the job does, and cut it where it is", key=f"flat {told.line}",
    )  # fmt: skip
