"""Where and how a cutter is changed for another in the middle of a program."""

from __future__ import annotations

from collections.abc import Iterator

from polypocket.model.cutter import Cutter
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.standing import zero_height
from polypocket.program.items import Item, Link, Spindle, UseCutter
from polypocket.program.moves import Point, Rapid

__all__ = ["change_of_cutter", "change_seconds", "first_cutter", "highest_tip"]

#: What a change takes, seconds: by hand, with touching off, and by a changer. Common practice, no source.
_BY_HAND, _BY_CHANGER = 180.0, 15.0


def highest_tip(job: BlockJob, cutter: Cutter, mill: Mill) -> float:
    """Return how high over the work zero a cutter's tip can be, mm.

    The mill file has the zero's height as it is with the job's first cutter; with a longer one the spindle is higher
    by as much when the tip is on the zero. Where nobody has set the zero it stands as high as table and vise bring it,
    if the mill file tells. Where that is not known either, or the machine's coordinates mean nothing, there is as much
    as the travel leaves once the deepest floor is reached.
    """
    z, zero = mill.axes.z, mill.work_offsets.get(mill.work_offset)
    height = zero_height(job, mill) if zero is None else zero[2]
    if mill.homed and height is not None:
        return z.high - height - job.longer_by(cutter)
    deepest = max(section.depth for section in job.sections)
    return z.high - z.low - deepest - max(map(job.longer_by, job.cutters))


def change_seconds(mill: Mill) -> float:
    """Return what a change of the cutter takes."""
    return _BY_CHANGER if mill.tool_change.automatic else _BY_HAND


def first_cutter(job: BlockJob, cutter: Cutter, mill: Mill, safe: float) -> Iterator[Item]:
    """Yield how a program's first cutter is put in and started; where there are several, another may have been in.

    No height is told where the control keeps lengths and none is in force yet, nor where nobody knows which of several
    cutters is in: a person starts the program with the cutter above everything on the table.
    """
    if mill.tool_change.automatic and not mill.length_offset and len(job.cutters) == 1:
        yield Link((Rapid(Point(z=safe)),))
    touch_off = len(job.cutters) > 1 and not mill.length_offset
    yield _use(cutter, mill, touch_off=touch_off)
    if touch_off:
        yield _off_the_work(safe)
    yield Spindle(cutter.cut.spindle_rpm)


def change_of_cutter(
    job: BlockJob, before: Cutter, cutter: Cutter, mill: Mill, crossing: float, safe: float
) -> Iterator[Item]:
    """Yield how a cutter is changed for the next one: up, to where it is changed, with the spindle still, and started.

    The old one goes up to ``crossing`` at least, and so far that the new one is at its ``safe`` height then. Where the
    control keeps no lengths, Z is touched off anew.
    """
    least = max(crossing, safe + job.longer_by(cutter) - job.longer_by(before))
    yield Link(tuple(_to_the_place(job, before, mill, least)))
    yield Spindle(0.0)
    yield _use(cutter, mill, touch_off=not mill.length_offset)
    if not mill.length_offset:
        yield _off_the_work(safe)
    yield Spindle(cutter.cut.spindle_rpm)


def _off_the_work(safe: float) -> Link:
    """Return the way up from where the cutter was touched off, before it turns."""
    return Link((Rapid(Point(z=safe)),))


def _to_the_place(job: BlockJob, cutter: Cutter, mill: Mill, least: float) -> Iterator[Rapid]:
    """Yield the ways to where the mill file has the cutter changed, no lower than ``least``.

    Or else straight up: as far as Z goes, if it is known how far that is.
    """
    zero, at = mill.work_offsets.get(mill.work_offset), mill.tool_change.at
    if zero is None or not mill.homed:
        yield Rapid(Point(z=least))
        return
    highest = highest_tip(job, cutter, mill)
    if at is None:
        yield Rapid(Point(z=max(least, highest)))
        return
    yield Rapid(Point(z=max(least, highest - (mill.axes.z.high - at[2]))))
    yield Rapid(Point(at[0] - zero[0], at[1] - zero[1]))


def _use(cutter: Cutter, mill: Mill, *, touch_off: bool) -> UseCutter:
    register = cutter.number if mill.length_offset else None
    by_hand = not mill.tool_change.automatic
    return UseCutter(cutter.number, cutter.diameter, register, by_hand=by_hand, touch_off=touch_off)
