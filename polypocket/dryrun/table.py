"""Whether cutter or holder meet what the mill file says is on the table, and whether the work meets the column.

Machine coordinates are the cutter's motion over the work. In them table, vise, stock and keep-outs stand still, and the
column goes with the spindle, its ``throat`` behind it; the mill moves the table instead, which comes to the same::

    seen from +X                                  │
                          spindle ┃── throat ────▶│ column,
           keep-out               ┃               │ as high as anything and as wide
           ┌──────┐          ┌────▼────┐          │
           │      │        ┌─┤  stock  ├─┐        │
           │      │     ┌──┴─┴─────────┴─┴──┐     │
           │      │     │   vise's body     │◀ its back, which must stay before the column
    ═══════╧══════╧═════╧═══════════════════╧═════════  table's z
                                                  └─ +Y ▶

So the column is met where the spindle's Y + throat is less than the Y of the back of vise or stock.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from polypocket.dryrun.findings import Fault, length_text
from polypocket.dryrun.motions import Motion, Point, motions_of
from polypocket.dryrun.paths import XY_PLANE, Paths
from polypocket.dryrun.rods import Block, Rod, entry, rods_of
from polypocket.dryrun.tolerances import TRAVEL
from polypocket.dryrun.travel import Extreme
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.standing import vise_body
from polypocket.model.surroundings import KeepOut
from polypocket.reader.track import Event, Track
from polypocket.shape.outline import Outline
from polypocket.units import shown

__all__ = ["column_faults", "table_faults"]


class _Thing(NamedTuple):
    """Something on the table, or the table.

    Attributes:
        name: as findings call it.
        block: where it is, measured from the work zero.
        top: its top as findings tell it: in machine coordinates, or from the work zero where it is on the vise, mm.
        is_keep_out: false for the table itself.
        frame: in which its top is told.
    """

    name: str
    block: Block
    top: float
    is_keep_out: bool
    frame: str = "of the machine"

    def code(self, rod: Rod) -> str:
        """Return the finding code for a rod that enters it."""
        if self.is_keep_out:
            return "keep-out"
        return "holder-contact" if rod.base > 0.0 else "fixture-contact"


def table_faults(
    track: Track, paths: Paths, mill: Mill, job: BlockJob | None, turn: float = 0.0
) -> Iterator[Fault]:
    """Yield a fault for each motion that enters a keep-out or the table with the cutter or its holder.

    Without a job the cutter is as thick as the program's comments say, or known by its axis alone (``rods_of``), and
    the holder is not judged. Where nobody can tell where the program is in machine coordinates, that is the fault.
    Keep-outs on the vise stand turned by ``turn`` radians, and are judged by the rectangle about them; with a job only
    where it is not known where the cutter is, since they are then part of what holds the work (``fixture``).
    """
    on_vise = tuple(_on_vise(each, turn) for each in mill.keep_out if each.on_vise)
    on_table = [each for each in mill.keep_out if not each.on_vise]
    if not on_vise and not on_table and mill.table is None:
        return
    zero = mill.work_offsets.get(mill.work_offset)
    if (on_table or mill.table is not None) and (zero is None or not mill.homed):
        yield _nowhere(track, mill)
        return
    fixed = _things(mill, zero) if zero is not None else ()
    highest = max(thing.block.top for thing in (*on_vise, *fixed))
    independent = mill.rapid_path == "independent"
    rods = rods_of(track, job)
    above = (paths.start[2] >= highest) & (paths.end[2] >= highest)  # never where a height is not known
    for motion in motions_of(
        paths.some(~above | (paths.plane != XY_PLANE))
    ):  # such an arc may dip between its ends
        for rod in rods(motion):
            for thing in fixed if job is not None and motion.is_known else (*on_vise, *fixed):
                deep = entry(motion, rod, thing.block, independent=independent)
                if deep > 0.0:
                    yield _entered(track, motion, rod, thing, deep)


def column_faults(
    track: Track, extremes: Mapping[str, Extreme], mill: Mill, job: BlockJob | None, turn: float = 0.0
) -> Iterator[Fault]:
    """Yield a fault where the back of the stock or of the vise's body goes into the column.

    Where the spindle gets furthest to the front, the work is furthest back. A keep-out need not be a solid thing, and
    is not judged against the column. The work stands turned by ``turn`` radians. Where the mill file says at which
    place of the machine the cutter is changed, the work must clear the column there too.
    """
    if mill.column is None or job is None or "y" not in extremes:
        return
    foremost = extremes["y"]
    at_change = _at_change(track, mill)
    backs = {"the stock": job.stock.largest_outline().turned(turn).extents()[3]}
    body = vise_body(job, mill)
    if body is not None:
        backs["the vise's body"] = body.turned(turn).extents()[3]
    for name, back in backs.items():
        over = back - (foremost.low + mill.column.throat)
        if over > TRAVEL:
            yield Fault(
                "fixture-contact",
                track.name,
                foremost.low_line,
                f"with the spindle at Y {length_text(foremost.low, track.units)}, {name}, which reaches back to "
                f"Y {length_text(back, track.units)}, goes {length_text(over, track.units)} into the column, "
                f"{length_text(mill.column.throat, track.units)} behind the spindle",
                "hold the work further to the front of its vise or another way round, or take a smaller clearance",
                key=f"column {name}",
                amount=over,
            )
        if at_change is None:
            continue
        y, line = at_change
        over = back - (y + mill.column.throat)
        if over > TRAVEL:
            yield Fault(
                "fixture-contact",
                track.name,
                line,
                f"where the cutter is changed {name} goes {length_text(over, track.units)} into the column",
                "clamp the work further to the front, or change the cutter further back",
                key=f"change {name}",
                amount=over,
            )


def _at_change(track: Track, mill: Mill) -> tuple[float, int] | None:
    """Return the Y at which the cutter is changed, from the work zero, and the line; ``None`` where nobody knows."""
    changes = np.flatnonzero(track.event == Event.CUTTER)
    zero = mill.work_offsets.get(mill.work_offset)
    if mill.tool_change.at is None or zero is None or not mill.homed or not len(changes):
        return None
    return mill.tool_change.at[1] - zero[1], int(track.line[changes[0]])


def _things(mill: Mill, zero: Point) -> tuple[_Thing, ...]:
    found = [
        _thing(f"the keep-out {shown(each.name)}", each.x, each.y, each.z[1], zero, is_keep_out=True)
        for each in mill.keep_out
        if not each.on_vise
    ]
    if mill.table is not None:
        found.append(_thing("the table", mill.table.x, mill.table.y, mill.table.z, zero, is_keep_out=False))
    return tuple(found)


def _on_vise(each: KeepOut, turn: float) -> _Thing:
    (x1, x2), (y1, y2) = each.x, each.y
    plan = Outline(((x2, y1), (x2, y2), (x1, y2), (x1, y1))).turned(turn).extents()
    name, top = f"the keep-out {shown(each.name)}", each.z[1]
    return _Thing(name, Block(plan, top), top, is_keep_out=True, frame="from the work zero")


def _thing(
    name: str,
    x: tuple[float, float],
    y: tuple[float, float],
    top: float,
    zero: Point,
    *,
    is_keep_out: bool,
) -> _Thing:
    plan = x[0] - zero[0], y[0] - zero[1], x[1] - zero[0], y[1] - zero[1]
    return _Thing(name, Block(plan, top - zero[2]), top, is_keep_out)


def _entered(track: Track, motion: Motion, rod: Rod, thing: _Thing, deep: float) -> Fault:
    top = length_text(thing.top, track.units)
    if math.isinf(deep):
        message = (
            f"{rod.name} may go into {thing.name}, whose top is at Z {top} {thing.frame}: "
            f"the program has not said where the cutter is"
        )
        fix = "go first to a Z above it, with no other axis"
        key = f"{rod.name} {thing.name} unknown"
    else:
        message = (
            f"{rod.name} goes up to {length_text(deep, track.units)} into {thing.name}, "
            f"whose top is at Z {top} {thing.frame}"
        )
        fix = "go round it or over it, or clamp the work further away"
        key = f"{rod.name} {thing.name}"
    return Fault(thing.code(rod), track.name, motion.line, message, fix, key, deep)


def _nowhere(track: Track, mill: Mill) -> Fault:
    why = (
        f"the mill file does not say where {mill.work_offset} is"
        if mill.homed
        else "the mill has no home switches"
    )
    what = "keep-outs" if mill.keep_out else "the table"
    return Fault(
        "keep-out" if mill.keep_out else "fixture-contact",
        track.name,
        1,
        f"{why}, so nobody can tell where this program goes among {what} in machine coordinates",
        f"put {mill.work_offset} into the mill file's [work_offsets], on a mill that is homed, "
        f"or take {what} out of the file",
        key="nowhere",
    )
